package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.FaultWords;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * What a reading of the meter checklist means: the single faults that it and all readings before it leave. They are
 * weighed by the same priors, the same {@link Meter} and the same {@link Evidence#fit} as in the diagnosis at the end, so
 * that the two agree; where several faults are there, only the diagnosis takes them together.
 *
 * <p>Immutable; thread-safe.
 */
public final class ContinuityNotes {
    /** Causes that are less likely than this, against all that are left, are not counted. */
    private static final double LEAST = 0.01;

    private final Circuit circuit;
    private final List<Fault> faults;
    private final Priors priors;
    private final FaultWords words;

    /** Of that box. */
    public ContinuityNotes(Circuit circuit) {
        this.circuit = circuit;
        faults = new ArrayList<>();
        for (Fault fault : circuit.singleFaults()) {
            // What comes and goes is told with what lasts.
            if (fault.kind() != FaultKind.INTERMITTENT) {
                faults.add(fault);
            }
        }
        circuit.softFaults().stream()
                .filter(f -> f.kind() != FaultKind.PULL_LOST)
                .forEach(faults::add);
        priors = new Priors(circuit.plan());
        words = new FaultWords(circuit.plan()).brief();
    }

    /** One fault that a reading leaves, with its share of all that it leaves. */
    record Cause(Fault fault, double share) {}

    /** What is left after these readings and one more, the likeliest first; empty where no single fault does all that. */
    List<Cause> causes(ContinuityRun run, ProbeReading reading) {
        int at = run.shown().size();
        Continuity.Step step = run.steps().get(at);
        Set<String> near = near(step);
        List<Cause> left = new ArrayList<>();
        double total = 0;
        for (Fault fault : faults) {
            if (!concerns(fault, near)) {
                continue;
            }
            double weight = priors.of(fault);
            Meter meter = circuit.with(List.of(fault)).meter(circuit.hold(step.hold()));
            double fits = 0;
            for (int way = 0; way < meter.ways(); way++) {
                double fit = fit(meter, way, step, reading);
                for (int i = 0; i < at && fit > 0; i++) {
                    Optional<ProbeReading> before = run.shown().get(i);
                    fit *= before.isPresent() ? fit(meter, way, run.steps().get(i), before.get()) : 1;
                }
                fits += fit / meter.ways();
            }
            if (fits > 0) {
                left.add(new Cause(fault, weight * fits));
                total += weight * fits;
            }
        }
        double all = total;
        return left.stream()
                .map(c -> new Cause(c.fault, c.share / all))
                .sorted(Comparator.comparingDouble(c -> -c.share))
                .toList();
    }

    /** The single faults that a reading of this step leaves, the likeliest first. */
    public List<Fault> likeliest(ContinuityRun run, ProbeReading reading) {
        return causes(run, reading).stream().map(Cause::fault).toList();
    }

    private static double fit(Meter meter, int way, Continuity.Step step, ProbeReading shown) {
        return Evidence.fit(meter.reads(way, step.red(), step.black(), step.mode()), shown, step.mode());
    }

    /** What a reading that is not that of a good box means. */
    Phrase note(ContinuityRun run, ProbeReading reading) {
        Continuity.Step step = run.steps().get(run.shown().size());
        return said(run, reading).orElseGet(() -> Phrase.of("continuity.several", Names.reading(reading, step.mode())));
    }

    /** What any other reading than that of a good box would mean, the best path first. */
    Phrase otherwise(ContinuityRun run) {
        Continuity.Step step = run.steps().get(run.shown().size());
        List<Phrase> all = new ArrayList<>();
        for (ProbeReading reading : step.mode().readings()) {
            if (reading != step.good() && !(reading == ProbeReading.TWO_DROPS && step.mode() == ProbeMode.DIODE)) {
                said(run, reading).ifPresent(all::add);
            }
        }
        return all.isEmpty() ? Phrase.of("continuity.several.otherwise") : Phrase.sentences(all);
    }

    private Optional<Phrase> said(ContinuityRun run, ProbeReading reading) {
        Continuity.Step step = run.steps().get(run.shown().size());
        List<Cause> causes =
                causes(run, reading).stream().filter(c -> c.share >= LEAST).toList();
        return causes.isEmpty()
                ? Optional.empty()
                : Optional.of(Phrase.of(
                        "next.probe.if",
                        Names.reading(reading, step.mode()),
                        words.fault(causes.get(0).fault),
                        causes.size() - 1));
    }

    /** The lines and contacts that a step is about; no fault of anything else moves its reading. */
    private Set<String> near(Continuity.Step step) {
        Set<String> near = new TreeSet<>();
        for (NodeName node : List.of(step.red(), step.black())) {
            if (node instanceof NodeName.Pin pin) {
                near.add(pin.line());
            } else if (node instanceof NodeName.Rail rail) {
                near.add(rail.name());
            } else if (node instanceof NodeName.Joint joint) {
                near.add(joint.line());
                near.add(joint.contact());
            } else if (node instanceof NodeName.Leg leg) {
                near.add(leg.contact());
            } else if (node instanceof NodeName.RegisterInput input) {
                near.add(input.line());
            }
        }
        return near;
    }

    private boolean concerns(Fault fault, Set<String> near) {
        Set<String> names = new HashSet<>(fault.lines());
        for (String id : fault.contacts()) {
            names.add(id);
            Contact contact = circuit.contacts().get(circuit.contactIndex(id));
            if (contact.wiring() instanceof Wiring.Crossing at) {
                names.add(at.row());
                names.add(at.column());
            } else if (contact.wiring() instanceof Wiring.Direct at) {
                names.add(at.line());
                names.add(Fault.GROUND);
                names.add(Fault.SUPPLY);
            }
        }
        return names.stream().anyMatch(near::contains);
    }
}
