package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringout.check.AxisSeen;
import ringout.check.Observation;
import ringout.circuit.AxisProbes;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.FaultWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.words.Phrase;

/**
 * What is wrong with one axis. Axes are outside the matrix and have no effect on each other, but for wipers on each other's
 * pin, so each is weighed by itself: prior times how well a fault fits what the reading did, times what the meter showed.
 * The shares below are estimates, no source.
 */
final class AxisDiagnosis {
    /** What the reading did while the control was moved. */
    private enum Moved {
        /** It followed, as far as the plan says which way. */
        RIGHT,
        /** It followed, the wrong way. */
        WRONG,
        /** It stayed at the lowest end of its range. */
        LOW,
        /** It stayed at the highest end. */
        HIGH,
        /** It stayed somewhere else. */
        BETWEEN,
        /** It went about, whatever the control did. */
        WANDERS,
        /** Another axis followed instead. */
        OTHER,
        /** Nothing came, and nobody knows where it stood. */
        NOTHING
    }

    /** Where the reading leapt to. */
    private enum Leaps {
        NONE,
        DOWN,
        UP,
        BOTH
    }

    /** What is weighed: a set of one fault; none for a good axis. */
    record Cause(List<Fault> faults, double weight) {}

    /** Within this share of its range from an end, a reading that stays is at that end: leakage of an input does as much. */
    private static final double AT_END = 0.03;
    /** A reading that stays is within this share of its range. */
    private static final double STAYS = 0.02;
    /** So many leaps to an end are no accident. */
    private static final int LEAPS = 3;

    /** Of one axis. */
    private static final double SOMETHING_ELSE = Prior.SOMETHING_ELSE.value() / 5;
    /** Told beside the likeliest from this share on. */
    private static final double LEAST_SHARE = 0.01;
    /** How often a beep or a silence is as predicted. */
    private static final double METER_RIGHT = 0.97;
    /** How often a joint that comes and goes is good when it is probed. */
    private static final double GOOD_NOW = 0.75;

    private final Control.Axis axis;
    private final Moved moved;
    private final Leaps leaps;
    private final boolean spots;
    private final boolean partly;
    /** Where it stays near an end for most of its travel, which. */
    private final Optional<Moved> bent;

    private final Set<String> others;
    private final double rest;
    private final List<Cause> causes = new ArrayList<>();
    private final double else_;

    private AxisDiagnosis(
            Circuit circuit, Priors priors, Control.Axis axis, List<Observation> sweeps, List<ProbeResult> probes) {
        this.axis = axis;
        Observation last = sweeps.isEmpty() ? null : sweeps.get(sweeps.size() - 1);
        Optional<AxisSeen> seen = last == null ? Optional.empty() : last.swept();
        boolean came = last == null || last.on().contains(axis.input());
        others = new HashSet<>();
        for (Control control : circuit.plan().controls()) {
            if (last != null
                    && control instanceof Control.Axis other
                    && !other.id().equals(axis.id())
                    && last.on().contains(other.input())) {
                others.add(other.id());
            }
        }
        leaps = seen.map(AxisDiagnosis::leaps).orElse(Leaps.NONE);
        spots = seen.map(s -> s.spots() > 0 || leaps == Leaps.NONE && s.spikes() >= LEAPS)
                .orElse(false);
        bent = seen.filter(s -> came && s.isBent()).map(s -> s.low() > 0.5 ? Moved.LOW : Moved.HIGH);
        partly = seen.filter(s -> !s.enough()).isPresent();
        rest = seen.map(AxisSeen::rest).orElse(Double.NaN);
        moved = came ? followed(seen) : stood(seen);
        double other = SOMETHING_ELSE / Moved.values().length / Leaps.values().length / 2;
        List<Fault> faults = new ArrayList<>(circuit.axisFaults());
        faults.removeIf(f -> !isAbout(f));
        double good = fit(Optional.empty(), probes);
        if (good > 0) {
            causes.add(new Cause(List.of(), good));
        }
        for (Fault fault : faults) {
            double prior =
                    priors.of(fault.lasting()) * (fault instanceof Fault.Intermittent ? Prior.INTERMITTENT.value() : 1);
            causes.add(new Cause(List.of(fault), prior * fit(Optional.of(fault), probes)));
        }
        for (ProbeResult probe : probes) {
            other *= isOf(probe) ? 0.5 : 1;
        }
        else_ = other;
        causes.sort(Comparator.comparingDouble(c -> -c.weight()));
    }

    /** The axes of a plan that do not do what they should, or are suspected by a meter. */
    static List<AxisDiagnosis> of(
            Circuit circuit, Priors priors, List<Observation> observations, List<ProbeResult> probes) {
        List<AxisDiagnosis> found = new ArrayList<>();
        for (Control control : circuit.plan().controls()) {
            if (control instanceof Control.Axis axis) {
                List<Observation> sweeps = observations.stream()
                        .filter(o -> o.held().contains(axis.id()))
                        .toList();
                AxisDiagnosis one = new AxisDiagnosis(circuit, priors, axis, sweeps, probes);
                boolean told = found.stream().anyMatch(o -> o.exchangedWith(axis.id()));
                if (!told && (one.isOdd() || probes.stream().anyMatch(one::isOf))) {
                    found.add(one);
                }
            }
        }
        return found;
    }

    /** True where this one's likeliest cause tells of that one, too. */
    private boolean exchangedWith(String other) {
        return causes.get(0).faults().stream()
                .anyMatch(f -> f instanceof Fault.AxesExchanged x
                        && (x.first().equals(other) || x.second().equals(other)));
    }

    /** True for an observation that is about axes. */
    static boolean isSweep(Circuit circuit, Observation observation) {
        return observation.held().stream()
                .anyMatch(id -> circuit.plan()
                        .action(id)
                        .filter(a -> a.gesture() == Action.Gesture.SWEEP)
                        .isPresent());
    }

    /** True for a probe at an axis. */
    static boolean isAxis(ProbeResult probe) {
        return isAxis(probe.pointA()) || isAxis(probe.pointB());
    }

    private static boolean isAxis(NodeName node) {
        return node instanceof NodeName.AxisPad || node instanceof NodeName.AxisLug;
    }

    private boolean isOf(ProbeResult probe) {
        return isMine(probe.pointA()) || isMine(probe.pointB());
    }

    private boolean isMine(NodeName node) {
        return node instanceof NodeName.AxisPad pad && pad.axis().equals(axis.id())
                || node instanceof NodeName.AxisLug lug && lug.axis().equals(axis.id());
    }

    private boolean isAbout(Fault fault) {
        Fault lasting = fault.lasting();
        return lasting instanceof Fault.AxisOpen f && f.axis().equals(axis.id())
                || lasting instanceof Fault.AxisExchanged e && e.axis().equals(axis.id())
                || lasting instanceof Fault.AxisWorn w && w.axis().equals(axis.id())
                // Told once, of the first of the two.
                || lasting instanceof Fault.AxesExchanged x
                        && (x.first().equals(axis.id()) || x.second().equals(axis.id()));
    }

    private boolean isOdd() {
        return moved != Moved.RIGHT || leaps != Leaps.NONE || spots || bent.isPresent();
    }

    private static Moved followed(Optional<AxisSeen> seen) {
        return seen.filter(s -> s.end() == AxisSeen.End.LOW).isPresent() ? Moved.WRONG : Moved.RIGHT;
    }

    private Moved stood(Optional<AxisSeen> seen) {
        if (!others.isEmpty()) {
            return Moved.OTHER;
        }
        if (seen.isEmpty()) {
            return Moved.NOTHING;
        }
        AxisSeen s = seen.get();
        return s.most() <= AT_END
                ? Moved.LOW
                : s.least() >= 1 - AT_END ? Moved.HIGH : s.reached() <= STAYS ? Moved.BETWEEN : Moved.WANDERS;
    }

    private static Leaps leaps(AxisSeen seen) {
        // Where it stands at one end, what leaps to the other leaps back as often.
        boolean down = seen.leapsDown() >= LEAPS && seen.leapsDown() > 0.7 * seen.leapsUp();
        boolean up = seen.leapsUp() >= LEAPS && seen.leapsUp() > 0.7 * seen.leapsDown();
        return down && up ? Leaps.BOTH : down ? Leaps.DOWN : up ? Leaps.UP : Leaps.NONE;
    }

    /** The probability of all that was seen of it, with that fault or with none. */
    private double fit(Optional<Fault> fault, List<ProbeResult> probes) {
        double fit = moves(fault)
                * bends(fault)
                * reaches(fault)
                * leapt(fault)
                * (spots ? spotted(fault) : 1 - spotted(fault));
        for (ProbeResult probe : probes) {
            if (isOf(probe) && probe.reading() != ProbeReading.UNCERTAIN) {
                List<Fault> there = fault.map(f -> List.of(f.lasting())).orElse(List.of());
                double now = meter(there, probe);
                fit *= fault.orElse(null) instanceof Fault.Intermittent
                        ? GOOD_NOW * meter(List.of(), probe) + (1 - GOOD_NOW) * now
                        : now;
            }
        }
        return fit;
    }

    private static double meter(List<Fault> there, ProbeResult probe) {
        ProbeReading reading = AxisProbes.reads(there, probe.pointA(), probe.pointB(), probe.mode());
        return reading == ProbeReading.UNCERTAIN ? 0.5 : reading == probe.reading() ? METER_RIGHT : 1 - METER_RIGHT;
    }

    private double moves(Optional<Fault> fault) {
        if (fault.isEmpty()) {
            // It was asked for three times; that nobody moved it all the same, or let it go each time, is rare.
            return moved == Moved.RIGHT ? 0.999 : moved == Moved.WRONG ? 3e-4 : moved == Moved.WANDERS ? 1e-4 : 2e-4;
        }
        boolean atTimes = fault.get() instanceof Fault.Intermittent;
        Fault lasting = fault.get().lasting();
        if (lasting instanceof Fault.AxisOpen open) {
            return switch (open.wire()) {
                case WIPER ->
                    atTimes
                            ? share(0.5, 0.15, 0.02, 0.02, 0.05, 0.25)
                            // It picks up hum, or keeps what leaks into it; where a pull is on, one end.
                            : share(0.02, 0.005, 0.14, 0.19, 0.24, 0.4);
                case GROUND ->
                    atTimes ? share(0.75, 0.15, 0.005, 0.04, 0.01, 0.04) : share(0.004, 0.001, 0.005, 0.95, 0.02, 0.02);
                case SUPPLY ->
                    atTimes ? share(0.75, 0.15, 0.04, 0.005, 0.01, 0.04) : share(0.004, 0.001, 0.95, 0.005, 0.02, 0.02);
            };
        } else if (lasting instanceof Fault.AxisExchanged exchanged) {
            return switch (exchanged.pair()) {
                case ENDS ->
                    axis.high().isEmpty() ? 0.99 * one(Moved.RIGHT) : share(0.003, 0.99, 0.001, 0.001, 0, 0.005);
                case WIPER_GROUND -> share(0.3, 0.15, 0.5, 0.005, 0.02, 0.02);
                case WIPER_SUPPLY -> share(0.3, 0.15, 0.005, 0.5, 0.02, 0.02);
            };
        } else if (lasting instanceof Fault.AxesExchanged pair) {
            String partner = pair.first().equals(axis.id()) ? pair.second() : pair.first();
            return moved == Moved.OTHER && others.equals(Set.of(partner)) ? 0.98 : 0.001;
        }
        return share(0.95, 0.005, 0.005, 0.005, 0.005, 0.02);
    }

    /**
     * Whether it passes one end much faster than the other. Where wiper and an end wire are exchanged, the resistance of the
     * wiper's contact, tens of ohms, divides the supply with what is left of the track: it stays at one end, and goes to the
     * other in the last of its travel.
     */
    private double bends(Optional<Fault> fault) {
        if (moved != Moved.RIGHT && moved != Moved.WRONG) {
            return 1;
        }
        double low = 0.01;
        double high = 0.01;
        if (fault.orElse(null) instanceof Fault.AxisExchanged e) {
            low = e.pair() == Fault.AxisExchanged.Pair.WIPER_GROUND ? 0.9 : low;
            high = e.pair() == Fault.AxisExchanged.Pair.WIPER_SUPPLY ? 0.9 : high;
        } else if (fault.orElse(null) instanceof Fault.Intermittent || fault.orElse(null) instanceof Fault.AxisWorn) {
            low = 0.05;
            high = 0.05;
        }
        return bent.isEmpty() ? 1 - low - high : bent.get() == Moved.LOW ? low : high;
    }

    /** Whether it goes through as much of its range as is planned. */
    private double reaches(Optional<Fault> fault) {
        if (moved != Moved.RIGHT && moved != Moved.WRONG) {
            return 1;
        }
        double part = 0.01;
        if (fault.orElse(null) instanceof Fault.AxisExchanged e && e.pair() != Fault.AxisExchanged.Pair.ENDS) {
            part = 0.5;
        } else if (fault.isPresent() && !(fault.get() instanceof Fault.AxisExchanged)) {
            part = 0.1;
        }
        return part(part);
    }

    private double part(double chance) {
        return partly ? chance : 1 - chance;
    }

    private double one(Moved expected) {
        return moved == expected ? 1 : 0.001;
    }

    private double share(double right, double wrong, double low, double high, double between, double wanders) {
        return switch (moved) {
            case RIGHT -> right;
            case WRONG -> wrong;
            case LOW -> low;
            case HIGH -> high;
            case BETWEEN -> between;
            case WANDERS -> wanders;
            case NOTHING -> low + high + between;
            case OTHER -> 0.005;
        };
    }

    private double leapt(Optional<Fault> fault) {
        if (fault.orElse(null) instanceof Fault.Intermittent f && f.fault() instanceof Fault.AxisOpen open) {
            return switch (open.wire()) {
                case WIPER -> leap(0.5, 0.15, 0.15, 0.2);
                case GROUND -> leap(0.1, 0.02, 0.82, 0.06);
                case SUPPLY -> leap(0.1, 0.82, 0.02, 0.06);
            };
        }
        if (fault.orElse(null) instanceof Fault.AxisWorn) {
            return leap(0.8, 0.08, 0.06, 0.06);
        }
        boolean floats = fault.orElse(null) instanceof Fault.AxisOpen open && open.wire() == Fault.AxisOpen.Wire.WIPER;
        return floats ? leap(0.7, 0.1, 0.1, 0.1) : leap(0.9999, 4e-5, 4e-5, 2e-5);
    }

    private double leap(double none, double down, double up, double both) {
        return switch (leaps) {
            case NONE -> none;
            case DOWN -> down;
            case UP -> up;
            case BOTH -> both;
        };
    }

    private static double spotted(Optional<Fault> fault) {
        return fault.orElse(null) instanceof Fault.AxisWorn
                ? 0.9
                : fault.orElse(null) instanceof Fault.Intermittent ? 0.15 : 2e-4;
    }

    // ---------------------------------------------------------------- what it comes to

    private double total() {
        return else_ + causes.stream().mapToDouble(Cause::weight).sum();
    }

    /** True where the likeliest is that nothing is wrong with it. */
    boolean good() {
        return causes.get(0).faults().isEmpty();
    }

    /** Sets of one fault that are likely enough to be told, likeliest first; none where it is good. */
    List<List<Fault>> alternatives() {
        return good()
                ? List.of(List.of())
                : causes.stream()
                        .filter(c -> !c.faults().isEmpty() && c.weight() >= LEAST_SHARE * total())
                        .map(Cause::faults)
                        .toList();
    }

    /** The probability that one of {@link #alternatives} is what is wrong. */
    double probability() {
        return causes.stream()
                        .filter(c -> alternatives().contains(c.faults()))
                        .mapToDouble(Cause::weight)
                        .sum()
                / total();
    }

    /** What was seen of it, in words. */
    Phrase seen() {
        String name = Names.label(axis);
        return switch (moved) {
            case RIGHT ->
                leaps != Leaps.NONE
                        ? Phrase.of("seen.axis.leaps", name)
                        : bent.isPresent() ? Phrase.of("seen.axis.bent", name) : Phrase.of("seen.axis.spots", name);
            case WRONG -> Phrase.of("seen.axis.wrong", name, axis.high().orElse(""));
            case LOW -> Phrase.of("seen.axis.low", name);
            case HIGH -> Phrase.of("seen.axis.high", name);
            case BETWEEN ->
                Double.isNaN(rest)
                        ? Phrase.of("seen.axis.nothing", name)
                        : Phrase.of("seen.axis.between", name, Math.round(100 * rest));
            case WANDERS -> Phrase.of("seen.axis.wanders", name);
            case OTHER -> Phrase.of("seen.axis.other", name);
            case NOTHING -> Phrase.of("seen.axis.nothing", name);
        };
    }

    /** Probes that tell its alternatives apart, the most telling first; none that was made before. */
    List<NextStep> probes(Circuit circuit, FaultWords words, List<ProbeResult> made) {
        List<List<Fault>> told = alternatives();
        if (good() || told.size() < 2) {
            return List.of();
        }
        List<NextStep> steps = new ArrayList<>();
        for (NodeName lug : circuit.axisNodes()) {
            if (!(lug instanceof NodeName.AxisLug at) || !at.axis().equals(axis.id())) {
                continue;
            }
            NodeName from = switch (at.wire()) {
                case WIPER ->
                    axis.pin()
                            .<NodeName>map(pin -> new NodeName.AxisPad(axis.id(), pin))
                            .orElse(null);
                case GROUND -> new NodeName.Rail(Fault.GROUND);
                case SUPPLY -> new NodeName.Rail(Fault.SUPPLY);
            };
            if (from == null
                    || made.stream()
                            .anyMatch(p -> p.pointA().equals(from)
                                    && p.pointB().equals(lug)
                                    && p.mode() == ProbeMode.CONTINUITY)) {
                continue;
            }
            Map<Phrase, ProbeReading> predict = new LinkedHashMap<>();
            List<Phrase> silent = new ArrayList<>();
            double beeps = 0;
            double all = 0;
            for (Cause cause : causes) {
                if (!told.contains(cause.faults())) {
                    continue;
                }
                List<Fault> lasting =
                        cause.faults().stream().map(Fault::lasting).toList();
                ProbeReading reading = AxisProbes.reads(lasting, from, lug, ProbeMode.CONTINUITY);
                predict.put(words.set(cause.faults()), reading);
                all += cause.weight();
                if (reading == ProbeReading.BEEP) {
                    beeps += cause.weight();
                } else {
                    silent.add(words.brief().set(cause.faults()));
                }
            }
            double bits = Option.entropy(new double[] {beeps, all - beeps}, all);
            if (silent.isEmpty() || bits <= 0) {
                continue;
            }
            Phrase bad = Phrase.of(
                    "next.probe.if",
                    Names.reading(ProbeReading.OPEN, ProbeMode.CONTINUITY),
                    silent.get(0),
                    silent.size() - 1);
            Phrase said = Phrase.of(
                    "next.probe",
                    Phrase.of("next.probe.continuity"),
                    Names.node(from),
                    Names.node(lug),
                    Phrase.of("next.probe.middle", Names.label(axis)),
                    Names.reading(ProbeReading.BEEP, ProbeMode.CONTINUITY));
            Probe probe = new Probe(
                    from,
                    lug,
                    ProbeMode.CONTINUITY,
                    List.of(),
                    ProbeReading.BEEP,
                    predict,
                    bad,
                    Phrase.sentences(List.of(said, bad)));
            steps.add(new NextStep(
                    NextStep.Kind.PROBE,
                    NextStep.Purpose.NARROW,
                    List.of(),
                    Optional.of(probe),
                    bits,
                    PROBE_EFFORT,
                    probe.said()));
        }
        steps.sort(Comparator.comparingDouble(s -> -s.expectedBits()));
        return steps;
    }

    /** As other probes. */
    private static final double PROBE_EFFORT = 4;
}
