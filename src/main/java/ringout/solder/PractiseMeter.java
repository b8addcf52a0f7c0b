package ringout.solder;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import ringout.circuit.AxisProbes;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.plan.Known;
import ringout.plan.Line;

/**
 * The meter of somebody who only practises: it shows what it would on a box with hidden faults, each of which goes when one
 * of its joints is soldered anew. Immutable; thread-safe.
 */
public final class PractiseMeter {
    private final Circuit circuit;
    private final List<LineJoints> lines;
    private final List<Fault> faults;
    /** Of what is wired, with every selector where the checklist has it. */
    private final Map<List<String>, Meter> meters = new HashMap<>();

    private PractiseMeter(Circuit circuit, List<LineJoints> lines, List<Fault> faults) {
        this.circuit = circuit;
        this.lines = lines;
        this.faults = List.copyOf(faults);
        lines.forEach(line -> line.steps().forEach(step -> meters.computeIfAbsent(step.hold(), this::meter)));
    }

    /**
     * On a box with these faults.
     *
     * @param faults none that comes and goes
     */
    public static PractiseMeter of(Circuit circuit, List<Fault> faults) {
        return new PractiseMeter(
                circuit,
                SolderOrder.of(circuit),
                faults.stream().map(Fault::lasting).toList());
    }

    /** On a box with one mistake of soldering that a meter finds. */
    public static PractiseMeter hidden(Circuit circuit, long seed) {
        List<Fault> possible = new ArrayList<>();
        for (Fault fault : circuit.singlesBeforeExchanges()) {
            if (fault instanceof Fault.DiodeReversed
                    || fault instanceof Fault.LineOpen open
                            && !circuit.plan().lines(Line.Kind.SHIFT).stream()
                                    .anyMatch(line -> line.name().equals(open.line()))
                    || fault instanceof Fault.LineBroken) {
                possible.add(fault);
            }
        }
        for (LineJoints line : SolderOrder.of(circuit)) {
            for (Continuity.Step step : line.steps()) {
                if (step.kind() == Continuity.Kind.APART && !(step.red() instanceof NodeName.Rail)) {
                    possible.add(new Fault.LinesShorted(SolderOrder.line(step.black()), SolderOrder.line(step.red())));
                }
            }
        }
        return of(
                circuit,
                possible.isEmpty() ? List.of() : List.of(possible.get(new Random(seed).nextInt(possible.size()))));
    }

    /** What is wrong with the box now. */
    public List<Fault> faults() {
        return faults;
    }

    /** What the meter shows. */
    public ProbeReading reads(Continuity.Step step) {
        ProbeReading reading = step.red() instanceof NodeName.AxisLug
                ? AxisProbes.reads(faults, step.red(), step.black(), step.mode())
                : Known.in(meters, step.hold()).reads(0, step.red(), step.black(), step.mode());
        return switch (reading) {
            // A meter always shows something.
            case RESISTIVE -> step.mode() == ProbeMode.RESISTANCE ? ProbeReading.BELOW_10K : ProbeReading.OPEN;
            case UNCERTAIN -> step.good();
            default -> reading;
        };
    }

    private Meter meter(List<String> hold) {
        List<Fault> wiring = new ArrayList<>(faults);
        wiring.removeIf(f -> f.kind().seat() == FaultKind.Seat.AXIS || f.kind().seat() == FaultKind.Seat.BOX);
        return circuit.with(wiring).meter(circuit.hold(hold));
    }

    /** After that joint was soldered anew. */
    public PractiseMeter mended(Joint joint) {
        SolderPlaces places = new SolderPlaces(circuit.plan(), lines);
        List<Fault> left = faults.stream()
                .filter(fault -> !places.of(fault, lines.get(0)).contains(joint))
                .toList();
        return new PractiseMeter(circuit, lines, left);
    }
}
