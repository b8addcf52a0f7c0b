package ringout.journal;

import java.util.Arrays;

/**
 * Tells reports that say something new from repetitions of the one before, per report ID. What is recorded and what is
 * checked go through the same rule, so that a recording gives the same result as the box did.
 *
 * <p>Not thread-safe. Allocates only when a report ID comes for the first time, or with another length.
 */
public final class ChangedReports {
    private final boolean usesReportIds;
    private final byte[][] last = new byte[256][];

    /** @param usesReportIds true where the first byte of every report is its ID */
    public ChangedReports(boolean usesReportIds) {
        this.usesReportIds = usesReportIds;
    }

    /** True where this report differs from the last one of its ID; remembers it. */
    public boolean isNew(byte[] buffer, int length) {
        int id = usesReportIds && length > 0 ? buffer[0] & 0xFF : 0;
        byte[] before = last[id];
        if (before != null && Arrays.equals(before, 0, before.length, buffer, 0, length)) {
            return false;
        }
        if (before == null || before.length != length) {
            last[id] = Arrays.copyOf(buffer, length);
        } else {
            System.arraycopy(buffer, 0, before, 0, length);
        }
        return true;
    }

    /** Forgets everything: the box was lost, and its next report counts whatever it says. */
    public void forget() {
        Arrays.fill(last, null);
    }
}
