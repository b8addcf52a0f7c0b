package ringout.check;

/**
 * The times and limits of a guided check, all in nanoseconds. Values without a named source are common practice.
 *
 * @param quiet        how long the box must be left alone at the start
 * @param answer       how long to wait for an answer before asking once more, and again before going on
 * @param hold         how long a press is watched before the builder is told to let go
 * @param release      how long to wait for an input to go off before asking once more, and again before calling it stuck
 * @param settle       quiet time after a release before the next prompt; longer than {@code bounceWindow}
 * @param latchProof   how long a latching control must stay by itself before the builder is told to put it back; longer
 *                     than a finger stays on a button it means to tap
 * @param turnQuiet    pause after the last pulse that ends an encoder click
 * @param sweepQuiet   pause after the last movement that ends a sweep
 * @param chordSettle  how long a complete chord must stand
 * @param chordWait    how long an incomplete chord is waited for after its last change
 * @param bounceWindow further transitions this long after a prompted edge are bounce
 * @param dropoutLimit longer gaps in a hold are a release and a new press
 * @param bounceLimit  bounce up to this is normal for a good switch: 5 ms is the maximum that data sheets of small
 *                     switches commonly give (from memory, no source)
 * @param silence      after so many steps in a row without any input the check asks whether anybody is there; 0 for never, so
 *                     that silence is an answer by itself
 * @param sweep        how much of its range an axis must go through where the plan does not say, 0 to 1
 * @param fingers      true where an input that was off while the box was left alone is held by a finger if it is on as a step
 *                     begins, so that its going off is no answer, and where a press that shows that somebody is there may
 *                     be one
 */
public record CheckSettings(
        long quiet,
        long answer,
        long hold,
        long release,
        long settle,
        long latchProof,
        long turnQuiet,
        long sweepQuiet,
        long chordSettle,
        long chordWait,
        long bounceWindow,
        long dropoutLimit,
        long bounceLimit,
        int silence,
        double sweep,
        boolean fingers) {
    private static final long MS = 1_000_000;

    /** What the program uses. */
    public static final CheckSettings STANDARD = new CheckSettings(
            2000 * MS, 6000 * MS, 400 * MS, 5000 * MS, 60 * MS, 1200 * MS, 400 * MS, 1000 * MS, 150 * MS, 1500 * MS,
            40 * MS, 150 * MS, 5 * MS, 2, 0.75, true);

    /** The newest rules by which checks are made, see {@link #of}. */
    public static final int RULES = 4;

    /**
     * What a check was made with that was recorded by these rules: it replays as it was made.
     *
     * @param rules 1 before silence was asked about, 2 while a quarter of its range was enough of an axis, 3 while a control
     *              that was held as it was asked for was one that opens, {@link #RULES} since
     */
    public static CheckSettings of(int rules) {
        return STANDARD.with(rules < 2 ? 0 : STANDARD.silence, rules < 3 ? ANY_SWEEP : STANDARD.sweep, rules >= 4);
    }

    /** What counts as a movement of an axis at all. */
    private static final double ANY_SWEEP = 0.25;

    /** The same, with silence taken for an answer: where whoever asks knows that somebody is there. */
    CheckSettings unasked() {
        return with(0, sweep, fingers);
    }

    private CheckSettings with(int silence, double sweep, boolean fingers) {
        return new CheckSettings(
                quiet,
                answer,
                hold,
                release,
                settle,
                latchProof,
                turnQuiet,
                sweepQuiet,
                chordSettle,
                chordWait,
                bounceWindow,
                dropoutLimit,
                bounceLimit,
                silence,
                sweep,
                fingers);
    }
}
