package ringout.feel;

import java.util.List;
import java.util.Optional;

/**
 * What the rounds tell.
 *
 * @param rounds     that are whole; with fewer than {@link Feel#LEAST_ROUNDS} nothing more is said
 * @param presses    that count
 * @param wrong      of these, in how many another control was taken first
 * @param controls   in the order of the plan
 * @param confusions pairs that are taken for one another more often than chance has it, the surest first
 * @param reach      how the time grows with distance and size; empty where that is not known, and then {@code noReach} tells
 *                   why
 * @param proposals  what to change, the most saving first
 */
public record FeelResult(
        int rounds,
        int presses,
        int wrong,
        List<Found> controls,
        List<Confusion> confusions,
        Optional<Reach> reach,
        NoReach noReach,
        List<Proposal> proposals) {
    /** How a control was found: median in seconds of those without a wrong press; 0 where there is none. */
    public record Found(String id, int presses, int wrong, double seconds) {}

    /**
     * Two controls that are taken for one another.
     *
     * @param taken   how often one was worked first where the other was asked for
     * @param presses asked for either
     * @param chance  that as many or more fall on any one pair by chance, corrected for the number of pairs (Holm)
     * @param spacing from centre to centre, millimetres
     * @param seconds that one such slip costs, over the usual time of that control; the mean
     */
    public record Confusion(
            String a, String b, int taken, int presses, double chance, Optional<Double> spacing, double seconds) {}

    /**
     * Reaching time: {@code a + b log2(D / W + 1)} seconds.
     *
     * @param intercept    {@code a}, seconds; the time to understand the name is in it
     * @param slope        {@code b}, seconds a bit
     * @param slopeError   its standard error
     * @param points       presses it was fitted to
     * @param correlation  Pearson's r
     */
    public record Reach(double intercept, double slope, double slopeError, int points, double correlation) {}

    /** Why nothing is said of reaching. */
    public enum NoReach {
        /** It is. */
        NONE,
        /** Too few presses or too little difference between them. */
        FEW,
        /** The plan lacks places. */
        PLACES,
        /** It has places, but neither nuts nor holes. */
        SIZES,
        /** The time does not grow with distance, as far as these presses show. */
        NO_SLOPE
    }

    /**
     * Something to change.
     *
     * @param controls that it is about
     * @param seconds  it is expected to save of an average press of these controls
     */
    public record Proposal(What what, List<String> controls, double seconds) {
        /** What to do. */
        public enum What {
            /** Tell the two apart by another cap, or a mark on one. */
            MARK,
            /** So near that they should also be moved apart. */
            MARK_OR_MOVE,
            /** A cap of twice the size. */
            LARGER
        }

        public Proposal {
            controls = List.copyOf(controls);
        }
    }

    public FeelResult {
        controls = List.copyOf(controls);
        confusions = List.copyOf(confusions);
        proposals = List.copyOf(proposals);
    }

    /** True where enough was pressed to say anything. */
    public boolean enough() {
        return rounds >= Feel.LEAST_ROUNDS;
    }
}
