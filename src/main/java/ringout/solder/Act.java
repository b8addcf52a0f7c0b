package ringout.solder;

import java.time.Instant;

/**
 * One thing that was done while soldering along; what is kept is the list of these.
 *
 * @param when it was done
 * @param kind what sort of thing
 * @param what the id of a joint, or a reading as {@link ringout.diagnosis.ProbeResult#text} writes it
 */
public record Act(Instant when, Kind kind, String what) {
    /** What was done. */
    public enum Kind {
        /** A joint was soldered. */
        DONE,
        /** A joint was left for later, or a point was not measured. */
        SKIPPED,
        /** The meter showed something. */
        MEASURED,
        /** A joint was soldered anew, because of what the meter showed. */
        MENDED,
        /** A wrong reading was left as it is. */
        LEFT,
        /** What was left for later is asked for again. */
        AGAIN
    }
}
