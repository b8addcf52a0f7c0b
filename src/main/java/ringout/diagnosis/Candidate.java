package ringout.diagnosis;

import java.util.Arrays;

/**
 * A set of faults that accounts for every observation.
 *
 * @param faults    indices into the table, ascending
 * @param slips     observations it takes for slips, ascending
 * @param logWeight logarithm of prior odds times likelihood, not normalised
 */
record Candidate(int[] faults, int[] slips, double logWeight) {
    /** True where all of the other's faults and slips are among this one's, and there are more here. */
    boolean widens(Candidate other) {
        return faults.length + slips.length > other.faults.length + other.slips.length
                && contains(faults, other.faults)
                && contains(slips, other.slips);
    }

    private static boolean contains(int[] all, int[] some) {
        for (int s : some) {
            if (Arrays.binarySearch(all, s) < 0) {
                return false;
            }
        }
        return true;
    }
}
