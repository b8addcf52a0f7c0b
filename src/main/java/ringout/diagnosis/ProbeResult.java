package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiFunction;
import java.util.stream.Stream;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.plan.Nearest;
import ringout.words.Phrase;
import ringout.words.RefusedException;

/**
 * What the meter showed.
 *
 * @param pointA  where the red probe was
 * @param pointB  where the black probe was
 * @param mode    what the meter was set to
 * @param hold    ids of the actions held meanwhile
 * @param reading what it showed; {@link ProbeReading#UNCERTAIN} says nothing
 */
public record ProbeResult(NodeName pointA, NodeName pointB, ProbeMode mode, List<String> hold, ProbeReading reading) {
    public ProbeResult {
        hold = List.copyOf(hold);
        if (reading != ProbeReading.UNCERTAIN && !mode.readings().contains(reading)) {
            throw new IllegalArgumentException("no meter shows " + reading + " when it is set to " + mode);
        }
    }

    /** The answer to a probe that was asked for. */
    public static ProbeResult of(Probe probe, ProbeReading reading) {
        return new ProbeResult(probe.pointA(), probe.pointB(), probe.mode(), probe.hold(), reading);
    }

    /** How it is written down: {@code continuity,pin:R2,joint:R2:horn-low,open}, and {@code ,hold=ID+ID} where any was held. */
    public String text() {
        return mode.word() + "," + pointA.written() + "," + pointB.written() + "," + reading.word()
                + (hold.isEmpty() ? "" : "," + HOLD + String.join("+", hold));
    }

    private static final String HOLD = "hold=";

    /**
     * Reads {@link #text}.
     *
     * @param shown what a word for a reading means, of those that are none of its own
     * @throws RefusedException where the plan has no such point or action, or a meter does not show that; says what
     *                                  there is
     */
    public static ProbeResult parse(
            String text, Circuit circuit, BiFunction<ProbeMode, String, Optional<ProbeReading>> shown) {
        List<String> parts = new ArrayList<>(
                Arrays.stream(text.split(",", -1)).map(String::strip).toList());
        List<String> hold = List.of();
        if (parts.get(parts.size() - 1).startsWith(HOLD)) {
            hold = List.of(
                    parts.remove(parts.size() - 1).substring(HOLD.length()).split("\\+"));
            circuit.hold(hold);
        }
        if (parts.size() != 4) {
            throw new RefusedException(Phrase.of("refused.reading", text));
        }
        ProbeMode mode = Arrays.stream(ProbeMode.values())
                .filter(m -> m.word().equals(parts.get(0)))
                .findFirst()
                .orElseThrow(() -> new RefusedException(Phrase.of("refused.mode", parts.get(0))));
        Optional<ProbeReading> reading = Stream.concat(mode.readings().stream(), Stream.of(ProbeReading.UNCERTAIN))
                .filter(r -> r.word().equals(parts.get(3)))
                .findFirst()
                .or(() -> shown.apply(mode, parts.get(3)));
        return new ProbeResult(
                point(parts.get(1), circuit),
                point(parts.get(2), circuit),
                mode,
                hold,
                reading.orElseThrow(() -> new RefusedException(Phrase.of(
                        "refused.shown",
                        parts.get(3),
                        mode.word(),
                        Phrase.commas(
                                mode.readings().stream().map(ProbeReading::word).toList())))));
    }

    private static NodeName point(String written, Circuit circuit) {
        Map<String, NodeName> points = new LinkedHashMap<>();
        circuit.nodes().forEach(node -> points.putIfAbsent(node.written(), node));
        circuit.axisNodes().forEach(node -> points.putIfAbsent(node.written(), node));
        NodeName point = points.get(written);
        if (point == null) {
            throw new RefusedException(Nearest.of(written, points.keySet())
                    .map(near -> Phrase.of("refused.point-near", written, near))
                    .orElseGet(() -> Phrase.of("refused.point", written)));
        }
        return point;
    }

    /** True where the meter was put there before, in that mode, with the same held. */
    public boolean samePlace(ProbeResult other) {
        return at(other.pointA, other.pointB, other.mode, other.hold);
    }

    /** True where it is what that probe showed. */
    public boolean answers(Probe probe) {
        return at(probe.pointA(), probe.pointB(), probe.mode(), probe.hold());
    }

    private boolean at(NodeName red, NodeName black, ProbeMode set, List<String> held) {
        return pointA.equals(red) && pointB.equals(black) && mode == set && hold.equals(held);
    }
}
