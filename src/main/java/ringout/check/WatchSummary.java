package ringout.check;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.signal.IntervalMeter;
import ringout.signal.Measured;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

/**
 * What a long watch has come to.
 *
 * @param watchedNanos how long, the time the box was away included
 * @param awayNanos    how long it was away
 * @param lines        one for each kind of event at each input, in order of kind and input
 * @param intervals    how often the box reported
 * @param limits       what could not be seen
 */
public record WatchSummary(
        long watchedNanos, long awayNanos, List<Line> lines, IntervalMeter.Summary intervals, TimingLimits limits) {

    /**
     * All events of one kind at one input.
     *
     * @param input empty for the whole box
     * @param named the control's name and the input; empty for the whole box
     * @param count how many
     * @param worst the longest; empty where the kind has no length
     * @param first when the first one began
     * @param last  when the last one began
     */
    public record Line(
            WatchEvent.Kind kind,
            Optional<Input> input,
            Phrase named,
            long count,
            Optional<Measured> worst,
            long first,
            long last) {
        /** The control's name and the input; empty for the whole box. */
        public String name() {
            return named.text();
        }
    }

    public WatchSummary {
        lines = List.copyOf(lines);
    }

    /** True where the box did nothing wrong. */
    public boolean clean() {
        return lines.stream().noneMatch(l -> l.kind().isFault());
    }
}
