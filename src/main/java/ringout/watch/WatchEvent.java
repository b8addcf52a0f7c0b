package ringout.watch;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.signal.Measured;
import ringout.words.Phrase;

/**
 * Something a long watch noticed.
 *
 * @param kind   which sort
 * @param nanos  when it began
 * @param inputs inputs it is about, the one at fault first; empty where it is about the whole box
 * @param figure how long it took, or how much an axis shakes; empty where that is not known yet, or says nothing
 * @param nth    how many of this kind there have been at this input, this one included
 * @param said   what happened, in a whole sentence
 */
public record WatchEvent(Kind kind, long nanos, List<Input> inputs, Optional<Measured> figure, long nth, Phrase said) {

    /** What can happen. */
    public enum Kind {
        /** An input that should have come back by itself is still on. */
        STUCK("stuck", Phrase.of("watched.stuck")),
        /** An input told as stuck went off. */
        FREED("freed", Phrase.of("watched.freed")),
        /** One press or release gave more edges, for longer than a good switch does. */
        BOUNCED("bounced", Phrase.of("watched.bounced")),
        /** An input went off for a moment while it was held. */
        DROPPED_OUT("dropped out", Phrase.of("watched.dropped-out")),
        /** An input came and went as the fourth corner of a rectangle in the matrix. */
        GHOSTED("ghosted", Phrase.of("watched.ghosted")),
        /** An axis shakes faster than a hand moves it. */
        SHAKING("shaking", Phrase.of("watched.shaking")),
        /** A box that reports all the time left some reports out. */
        REPORT_GAP("report gap", Phrase.of("watched.report-gap")),
        /** The box went away. */
        LOST("lost", Phrase.of("watched.lost")),
        /** The box came back. */
        FOUND("found", Phrase.of("watched.found")),
        /** This program fell behind and missed reports. */
        OVERRUN("overrun", Phrase.of("watched.overrun")),
        /** Why the box went away, as far as the other boxes tell. */
        OUTAGE("outage", Phrase.of("watched.outage"));

        private final String word;
        private final Phrase said;

        Kind(String word, Phrase said) {
            this.word = word;
            this.said = said;
        }

        /** The lower-case word used in JSON. */
        public String word() {
            return word;
        }

        /** What it is called to people. */
        public Phrase said() {
            return said;
        }

        /** True for what is wrong with the box, not only worth knowing. */
        public boolean isFault() {
            return this != FREED && this != FOUND && this != OVERRUN && this != OUTAGE;
        }
    }

    public WatchEvent {
        inputs = List.copyOf(inputs);
    }

    /** What happened, in a whole sentence. */
    public String words() {
        return said.text();
    }
}
