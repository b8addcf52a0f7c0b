package ringout.check;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.signal.Measured;

/**
 * Something a long watch noticed.
 *
 * @param kind   which sort
 * @param nanos  when it began
 * @param inputs inputs it is about, the one at fault first; empty where it is about the whole box
 * @param figure how long it took, or how much an axis shakes; empty where that is not known yet, or says nothing
 * @param nth    how many of this kind there have been at this input, this one included
 * @param words  what happened, in a whole sentence
 */
public record WatchEvent(Kind kind, long nanos, List<Input> inputs, Optional<Measured> figure, long nth, String words) {

    /** What can happen. */
    public enum Kind {
        /** An input that should have come back by itself is still on. */
        STUCK("stuck"),
        /** An input told as stuck went off. */
        FREED("freed"),
        /** One press or release gave more edges, for longer than a good switch does. */
        BOUNCED("bounced"),
        /** An input went off for a moment while it was held. */
        DROPPED_OUT("dropped out"),
        /** An input came and went as the fourth corner of a rectangle in the matrix. */
        GHOSTED("ghosted"),
        /** An axis shakes faster than a hand moves it. */
        SHAKING("shaking"),
        /** A box that reports all the time left some reports out. */
        REPORT_GAP("report gap"),
        /** The box went away. */
        LOST("lost"),
        /** The box came back. */
        FOUND("found"),
        /** This program fell behind and missed reports. */
        OVERRUN("overrun");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The lower-case word used in texts and JSON. */
        public String word() {
            return word;
        }

        /** True for what is wrong with the box, not only worth knowing. */
        public boolean isFault() {
            return this != FREED && this != FOUND && this != OVERRUN;
        }
    }

    public WatchEvent {
        inputs = List.copyOf(inputs);
    }
}
