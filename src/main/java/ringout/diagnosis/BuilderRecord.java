package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import ringout.check.BareBoard;
import ringout.circuit.AxisProbes;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.Order;

/**
 * What a builder said that it was, mend after mend, by kind: whoever reversed diodes before does so more easily again; and
 * what was proved of the board before anything was soldered to it.
 *
 * @param told   how often each kind was told; a mistake made many times counts once
 * @param board what touches on the bare board proved
 * @param metered faults that were not there when the box was measured before it was first powered
 */
public record BuilderRecord(Map<FaultKind, Integer> told, BareBoard.Proof board, Set<Fault> metered) {
    /** Of a builder of whom nothing is known. */
    public static final BuilderRecord EMPTY = new BuilderRecord(Map.of(), BareBoard.Proof.NONE, Set.of());

    /** The table of {@link Prior} counts for as much as so many mends; common practice, no source. */
    private static final double STRENGTH = 8;
    /** No kind becomes more than so many times likelier or rarer: a few mends say little. */
    private static final double MOST = 5;

    private static final double LEAST = 1.0 / 3;

    public BuilderRecord {
        told = Map.copyOf(told);
        metered = Set.copyOf(metered);
    }

    /** One entry a mend. */
    public static BuilderRecord of(Collection<FaultKind> mends) {
        Map<FaultKind, Integer> told = new EnumMap<>(FaultKind.class);
        mends.forEach(kind -> told.merge(kind, 1, Integer::sum));
        return new BuilderRecord(told, BareBoard.Proof.NONE, Set.of());
    }

    /** The same, with a board of which that was proved. */
    public BuilderRecord proving(BareBoard.Proof proof) {
        return new BuilderRecord(told, proof, metered);
    }

    /** The same, with a box that was measured while it was soldered. */
    public BuilderRecord measuring(Circuit circuit, Collection<ProbeResult> readings) {
        return new BuilderRecord(told, board, refuted(circuit, readings));
    }

    /** The single faults with which no meter would have shown all that; what comes and goes is none of them. */
    private static Set<Fault> refuted(Circuit circuit, Collection<ProbeResult> readings) {
        List<ProbeResult> wiring = readings.stream()
                .filter(r -> !(r.pointA() instanceof NodeName.AxisLug))
                .toList();
        List<ProbeResult> levers = readings.stream()
                .filter(r -> r.pointA() instanceof NodeName.AxisLug)
                .toList();
        List<Fault> faults = new ArrayList<>(circuit.singlesBeforeExchanges());
        faults.addAll(circuit.singlesAfterExchanges());
        faults.addAll(circuit.softFaults());
        Set<Fault> refuted = new HashSet<>();
        for (Fault fault : wiring.isEmpty() ? List.<Fault>of() : faults) {
            if (fault.kind() != FaultKind.INTERMITTENT && fault.kind() != FaultKind.PULL_LOST) {
                Map<List<String>, Meter> meters = new HashMap<>();
                if (wiring.stream()
                        .anyMatch(r -> Evidence.fit(
                                        meters.computeIfAbsent(
                                                        r.hold(),
                                                        hold -> circuit.with(List.of(fault))
                                                                .meter(circuit.hold(hold)))
                                                .reads(r.pointA(), r.pointB(), r.mode()),
                                        r.reading(),
                                        r.mode())
                                == 0)) {
                    refuted.add(fault);
                }
            }
        }
        for (Fault fault : levers.isEmpty() ? List.<Fault>of() : circuit.axisFaults()) {
            if (fault.kind() != FaultKind.INTERMITTENT
                    && levers.stream()
                            .anyMatch(r -> Evidence.fit(
                                            AxisProbes.reads(List.of(fault), r.pointA(), r.pointB(), r.mode()),
                                            r.reading(),
                                            r.mode())
                                    == 0)) {
                refuted.add(fault);
            }
        }
        return refuted;
    }

    /**
     * What was proved may have suffered since, under the iron or while the lid was closed, or the firmware may have been
     * flashed anew, in so many of the cases that are expected otherwise. Common practice, no source.
     */
    private static final double SINCE = 0.05;

    /** By what the prior of a fault is multiplied for of what was proved before. */
    double since(Fault fault) {
        Fault lasting = fault.lasting();
        boolean refuted = fault.equals(lasting) && metered.contains(lasting)
                || lasting instanceof Fault.WrongPin pin && board.lines().contains(pin.line())
                || lasting instanceof Fault.PullLost pull && board.lines().contains(pull.line())
                || lasting instanceof Fault.Misordered order
                        && (order.order() instanceof Order.Shifted
                                        && !board.lines().isEmpty()
                                || order.order().renumbers() && board.numbering());
        return refuted ? SINCE : 1;
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
