package ringout.signal;

import java.util.List;
import ringout.words.Phrase;

/**
 * What nothing measured through this box's reports can go below: its report interval, and the firmware's debounce.
 *
 * @param resolution    interval between two possible reports
 * @param debounceNanos what the plan says the firmware waits before it believes an edge; 0 where the plan is silent
 */
public record TimingLimits(Resolution resolution, long debounceNanos) {
    public TimingLimits {
        if (debounceNanos < 0) {
            throw new IllegalArgumentException("debounce of " + debounceNanos + " ns");
        }
    }

    /** That time with its resolution. */
    public Measured time(double nanos) {
        return Measured.time(nanos, resolution);
    }

    /** Bounce and gaps up to this long may have happened without a trace, in nanoseconds. */
    public long blindNanos() {
        return Math.max(resolution.nanos(), debounceNanos);
    }

    /** What was not seen, where nothing was: {@code none longer than 5.0 ms}. */
    public Phrase none() {
        return Phrase.of("limits.none", ms(blindNanos()));
    }

    /** What all times of this box have in common, in whole sentences. */
    public Phrase words() {
        Phrase interval = resolution.measured()
                ? Phrase.of("limits.interval", ms(resolution.nanos()))
                : Phrase.of("limits.interval.at-best", ms(resolution.nanos()));
        Phrase firmware = debounceNanos > 0
                ? Phrase.of("limits.debounce", ms(debounceNanos))
                : Phrase.of("limits.debounce.unknown");
        return Phrase.sentences(List.of(interval, firmware));
    }

    private static Phrase ms(long nanos) {
        return Phrase.of("length.ms", Phrase.decimal(nanos / 1e6, nanos < 1_000_000 ? 3 : 1));
    }
}
