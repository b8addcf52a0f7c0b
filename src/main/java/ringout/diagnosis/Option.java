package ringout.diagnosis;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.diagnosis.Predictor.Pred;

/**
 * A step that could be taken, with what each live hypothesis expects of it.
 *
 * @param kind     press, chord or probe
 * @param hold     ids of the actions held
 * @param probe    where the probes go, for a probe
 * @param effort   in single presses
 * @param outcomes number of different outcomes
 * @param id       by hypothesis: outcomes it allows
 * @param chance   by hypothesis: how likely each of these is
 * @param always   by hypothesis: the outcome with all its intermittent faults there, levels in doubt included
 * @param pressed  by hypothesis: what it predicts with each choice of its intermittent faults there; none for a probe
 */
record Option(
        NextStep.Kind kind,
        List<String> hold,
        Optional<ProbePoints.Points> probe,
        double effort,
        int outcomes,
        int[][] id,
        double[][] chance,
        int[] always,
        List<List<Pred>> pressed) {

    /** True where those two hypotheses expect the same, with the same chances. */
    boolean same(int one, int other) {
        return expects(one).equals(expects(other));
    }

    private Map<Integer, Long> expects(int hypothesis) {
        Map<Integer, Long> expects = new HashMap<>();
        for (int k = 0; k < id[hypothesis].length; k++) {
            expects.put(id[hypothesis][k], Math.round(1000 * chance[hypothesis][k]));
        }
        return expects;
    }

    /** True where no reading of the inputs fits both hypotheses; never for a probe. */
    boolean parts(int one, int other) {
        for (Pred a : pressed.get(one)) {
            for (Pred b : pressed.get(other)) {
                if (a.meets(b)) {
                    return false;
                }
            }
        }
        return probe.isEmpty();
    }

    /**
     * How much the outcome says about the class of the hypothesis, in bits.
     *
     * @param weight  by hypothesis; need not add up to 1
     * @param classOf by hypothesis
     * @param classes number of classes
     */
    double bits(double[] weight, int[] classOf, int classes) {
        double[] joint = new double[outcomes * classes];
        double[] ofOutcome = new double[outcomes];
        double[] ofClass = new double[classes];
        double total = 0;
        for (int h = 0; h < weight.length; h++) {
            if (weight[h] == 0) {
                continue;
            }
            total += weight[h];
            ofClass[classOf[h]] += weight[h];
            for (int k = 0; k < id[h].length; k++) {
                double w = weight[h] * chance[h][k];
                joint[id[h][k] * classes + classOf[h]] += w;
                ofOutcome[id[h][k]] += w;
            }
        }
        return total == 0
                ? 0
                : Math.max(0, entropy(ofOutcome, total) + entropy(ofClass, total) - entropy(joint, total));
    }

    /** In bits, of weights that add up to that total. */
    static double entropy(double[] weights, double total) {
        double sum = 0;
        for (double w : weights) {
            if (w > 0) {
                sum -= w / total * Math.log(w / total);
            }
        }
        return sum / Math.log(2);
    }

    /** The weights once that outcome was seen. */
    double[] after(double[] weight, int outcome) {
        double[] left = new double[weight.length];
        for (int h = 0; h < weight.length; h++) {
            for (int k = 0; k < id[h].length; k++) {
                if (id[h][k] == outcome) {
                    left[h] = weight[h] * chance[h][k];
                }
            }
        }
        return left;
    }
}
