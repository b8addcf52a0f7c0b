package ringout.signal;

import java.util.ArrayList;
import java.util.List;

/**
 * Counts an encoder's pulses against the detents it was asked to be turned by.
 *
 * <p>The firmware has turned the phases into pulses, so bounce between them shows as pulses the other way among those
 * asked for. Two pulses within one report interval look like one. Not thread-safe.
 */
public final class EncoderMeter {
    /** Pulses closer than this come from no hand: common practice, no source. */
    public static final long QUICK_NANOS = 5_000_000;

    private static final long NEVER = Long.MIN_VALUE;

    private record Turn(int asked, int forward, int backward) {}

    private final long quick;
    private final List<Turn> turns = new ArrayList<>();
    private boolean clockwise;
    private int asked;
    private int forward;
    private int backward;
    private int quickPairs;
    private long last = NEVER;

    /**
     * What was counted. All counts are exact but for pulses that no report showed.
     *
     * @param asked    detents asked for
     * @param right    pulses the way it was turned
     * @param wrong    pulses the other way while it turned right: the phases bounce
     * @param skipped  detents without a pulse
     * @param doubled  pulses beyond those a detent gives
     * @param reversed detents that gave only pulses the other way
     * @param quick    pulses that followed another faster than a hand turns
     * @param perDetent pulses a detent gives: 1, or 2 or 4 where nearly every one gave as many, which the firmware's
     *                 setting for this encoder explains
     */
    public record Summary(
            int asked, int right, int wrong, int skipped, int doubled, int reversed, int quick, int perDetent) {
        /** True where every detent gave its pulse and nothing else came. */
        public boolean clean() {
            return wrong == 0 && skipped == 0 && doubled == 0 && reversed == 0 && quick == 0 && perDetent == 1;
        }
    }

    /** @param quickNanos pulses closer than this come from no hand */
    public EncoderMeter(long quickNanos) {
        quick = quickNanos;
    }

    /** It is being turned from now on; ends the turn before. */
    public void asked(boolean clockwise, int detents) {
        settled();
        this.clockwise = clockwise;
        asked = detents;
        last = NEVER;
    }

    /** A pulse began. Pulses outside of a turn do not count. */
    public void pulse(long nanos, boolean clockwise) {
        if (asked == 0) {
            return;
        }
        if (clockwise == this.clockwise) {
            forward++;
        } else {
            backward++;
        }
        quickPairs += last != NEVER && nanos - last < quick ? 1 : 0;
        last = nanos;
    }

    /** The turn is over, all its pulses have come. */
    public void settled() {
        if (asked > 0) {
            turns.add(new Turn(asked, forward, backward));
        }
        asked = 0;
        forward = 0;
        backward = 0;
    }

    /** What the turns so far gave; the one in progress does not count. */
    public Summary summary() {
        int perDetent = perDetent();
        int total = 0;
        int right = 0;
        int wrong = 0;
        int skipped = 0;
        int doubled = 0;
        int reversed = 0;
        for (Turn turn : turns) {
            total += turn.asked;
            right += turn.forward;
            if (turn.forward == 0 && turn.backward > 0) {
                reversed += turn.asked;
                continue;
            }
            // A bounce gives one pulse back and one more forward again.
            int net = turn.forward - turn.backward;
            int planned = turn.asked * perDetent;
            wrong += turn.backward;
            skipped += Math.max(0, (planned - net + perDetent - 1) / perDetent);
            doubled += Math.max(0, net - planned);
        }
        return new Summary(total, right, wrong, skipped, doubled, reversed, quickPairs, perDetent);
    }

    private int perDetent() {
        for (int times : new int[] {2, 4}) {
            long as = turns.stream()
                    .filter(t -> t.forward == times * t.asked && t.backward == 0)
                    .count();
            if (turns.size() >= 4 && as * 4 >= turns.size() * 3L) {
                return times;
            }
        }
        return 1;
    }
}
