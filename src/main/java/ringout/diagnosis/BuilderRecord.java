package ringout.diagnosis;

import java.util.Collection;
import java.util.EnumMap;
import java.util.Map;
import ringout.circuit.FaultKind;

/**
 * What a builder said that it was, mend after mend, by kind: whoever reversed diodes before does so more easily again.
 *
 * @param told how often each kind was told; a mistake made many times counts once
 */
public record BuilderRecord(Map<FaultKind, Integer> told) {
    /** Of a builder of whom nothing is known. */
    public static final BuilderRecord EMPTY = new BuilderRecord(Map.of());

    /** The table of {@link Prior} counts for as much as so many mends; common practice, no source. */
    private static final double STRENGTH = 8;
    /** No kind becomes more than so many times likelier or rarer: a few mends say little. */
    private static final double MOST = 5;

    private static final double LEAST = 1.0 / 3;

    public BuilderRecord {
        told = Map.copyOf(told);
    }

    /** One entry a mend. */
    public static BuilderRecord of(Collection<FaultKind> mends) {
        Map<FaultKind, Integer> told = new EnumMap<>(FaultKind.class);
        mends.forEach(kind -> told.merge(kind, 1, Integer::sum));
        return new BuilderRecord(told);
    }

    /** Mends told in all. */
    public int total() {
        return told.values().stream().mapToInt(Integer::intValue).sum();
    }

    /**
     * By what the prior of a kind is multiplied: a Dirichlet prior of the shares that the table gives the kinds, and a count
     * of each on top.
     *
     * @param share of all faults that are of that kind by the table, above 0 up to 1
     */
    public double factor(FaultKind kind, double share) {
        double now = (STRENGTH * share + told.getOrDefault(kind, 0)) / (STRENGTH + total());
        return Math.max(LEAST, Math.min(MOST, now / share));
    }
}
