package ringout.diagnosis;

/**
 * What a diagnosis assumes, and how far it searches.
 *
 * @param slipRate         probability that a prompted press was of another control, 0 to below 1
 * @param marginalOn       probability that an input between the thresholds reads on
 * @param intermittentShow probability that an intermittent fault is there during one observation
 * @param stopAt           probability of one class of explanations at which no further step is asked for
 * @param mostSlips        slips considered together in one explanation
 * @param budget           sets of three or more faults tried before the search gives up and says so; in proportion fewer
 *                         where there are more than 256 observations
 * @param mostFaults       faults considered together in one explanation; up to two the search is complete
 */
public record DiagnosisSettings(
        double slipRate,
        double marginalOn,
        double intermittentShow,
        double stopAt,
        int mostSlips,
        int budget,
        int mostFaults) {
    /**
     * The figures used everywhere but in tests. All are common practice without a source: about one prompted press in
     * two hundred is of the wrong control; a doubtful level and a loose joint are as likely one way as the other.
     */
    public static final DiagnosisSettings DEFAULT = new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, 2, 60_000, 6);

    /** The same with a budget that is spent within about half a second: for a check, where the builder waits. */
    public static final DiagnosisSettings WHILE_WAITING = new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, 2, 12_000, 6);

    public DiagnosisSettings {
        if (slipRate < 0
                || slipRate >= 1
                || marginalOn <= 0
                || marginalOn >= 1
                || intermittentShow <= 0
                || intermittentShow >= 1
                || stopAt <= 0.5
                || stopAt > 1
                || mostSlips < 0
                || budget < 0
                || mostFaults < 1) {
            throw new IllegalArgumentException("a probability or a count is out of range: slip " + slipRate
                    + ", marginal "
                    + marginalOn + ", intermittent " + intermittentShow + ", stop " + stopAt + ", slips " + mostSlips
                    + ", budget " + budget + ", faults " + mostFaults);
        }
    }
}
