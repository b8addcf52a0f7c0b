package ringout.diagnosis;

import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.KeptCheck;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;

/**
 * Finds why one control does not answer, in the fewest presses, chords and probes: told what was seen so far, it says
 * what to do next, until one fault is likely enough or nothing can tell the rest apart.
 *
 * <p>Unlike the diagnosis of a whole check it does not stop at what no press can tell apart: of a dead switch and a dead
 * diode the one to mend is named, by the meter where there is no other way. A fault that comes and goes counts as the
 * same one.
 *
 * <p>It begins with single faults: where one control has died, two faults at once hold less than a hundredth of the
 * probability. As soon as no single fault accounts for what was seen, or only such as are rarer than {@link #RARE},
 * sets of several are searched as after a whole check, slips of the finger included.
 *
 * <p>Immutable: what was seen or asked gives a new one. Does its work when it is made, which takes a moment for a large
 * box.
 */
public final class Hunt {
    /** Prior odds of all single faults left, together, below which two common faults at once may be likelier. */
    private static final double RARE = 5e-5;
    /** Prior of a fault that a kept check disproved, for somebody may have rewired the box since; common practice, no source. */
    private static final double REWIRED = 0.01;

    private static final Steps.Limits LIMITS = new Steps.Limits(96, 96, 400);
    /** What is wrong with how a contact behaves, not with where it is wired. */
    private static final Set<FindingKind> WEAR =
            Set.of(FindingKind.BOUNCING, FindingKind.DROPPING_OUT, FindingKind.SKIPPING);

    private final Diagnoser singles;
    private final Diagnoser any;
    private final DiagnosisSettings settings;
    private final List<Observation> seen;
    private final List<ProbeResult> measured;
    private final Set<List<Object>> asked;

    private final Diagnoser used;
    private final Optional<NextStep> next;
    private final double expectedSteps;
    private final boolean settled;

    private Hunt(
            Diagnoser singles,
            Diagnoser any,
            DiagnosisSettings settings,
            List<Observation> seen,
            List<ProbeResult> measured,
            Set<List<Object>> asked) {
        this.singles = singles;
        this.any = any;
        this.settings = settings;
        this.seen = List.copyOf(seen);
        this.measured = List.copyOf(measured);
        this.asked = Set.copyOf(asked);
        Evidence evidence = singles.evidence(seen, measured);
        List<Candidate> candidates = singles.candidates(evidence);
        boolean rare =
                candidates.stream().mapToDouble(c -> Math.exp(c.logWeight())).sum() < RARE;
        used = rare ? any : singles;
        if (rare) {
            singles.done(evidence.predictor);
            evidence = any.evidence(seen, measured);
            candidates = any.candidates(evidence);
        }
        if (candidates.isEmpty()) {
            next = Optional.empty();
            expectedSteps = 0;
            settled = false;
            return;
        }
        List<String> silent = seen.stream()
                .filter(o -> o.held().size() == 1 && o.on().isEmpty())
                .map(o -> o.held().first())
                .toList();
        Steps steps = used.steps(candidates, evidence, LIMITS, silent);
        List<Option> options = steps.options().stream()
                .filter(o -> !this.asked.contains(key(o)))
                .toList();
        // The diagnosis puts a little by for larger sets, and must still come out at the share that settles it.
        Lookahead lookahead = ahead(options, steps);
        if (!measured.isEmpty()
                && lookahead.best().filter(o -> o.probe().isEmpty()).isPresent()) {
            // The box is unplugged, and the meter in hand.
            Lookahead probing =
                    ahead(options.stream().filter(o -> o.probe().isPresent()).toList(), steps);
            if (probing.best().isPresent() && probing.expectedSteps() <= lookahead.expectedSteps() + PLUG) {
                lookahead = probing;
            }
        }
        next = lookahead.best().map(o -> used.step(steps, o));
        expectedSteps = lookahead.expectedSteps();
        settled = lookahead.settled();
        used.done(steps.predictor);
        used.done(evidence.predictor);
    }

    /** Steps with the meter that going back to the plug may save at least. */
    private static final double PLUG = 0.25;

    private Lookahead ahead(List<Option> options, Steps steps) {
        return new Lookahead(
                options,
                steps.steadyWeights(),
                steps.classOf,
                steps.sets(),
                Math.min(1, settings.stopAt() / (1 - Diagnoser.ALONE_SHARE)));
    }

    /**
     * A hunt in a box of which nothing is known yet.
     *
     * @param baseline a finished check of this box, built to the same plan: what answered well in it was built right, so
     *                 that exchanged, reversed and wrongly planned connections are out, and only what breaks or wears is
     *                 left; empty where there is none
     * @param builder  what is known of who built it, and of its board
     */
    public static Hunt in(
            Circuit circuit, Optional<KeptCheck> baseline, BuilderRecord builder, DiagnosisSettings settings) {
        return in(circuit, circuit.singleFaults(), baseline, builder, settings);
    }

    /** With a choice of faults, for comparison with every possible plan. */
    static Hunt in(
            Circuit circuit,
            List<Fault> faults,
            Optional<KeptCheck> baseline,
            BuilderRecord builder,
            DiagnosisSettings settings) {
        Priors priors = FaultTable.priors(circuit, faults, builder);
        FaultTable plain = new FaultTable(circuit, faults);
        Set<Fault> disproved =
                baseline.map(b -> disproved(plain, settings, answeredWell(b))).orElse(Set.of());
        FaultTable table = disproved.isEmpty() && builder.equals(BuilderRecord.EMPTY)
                ? plain
                : new FaultTable(
                        circuit, faults, f -> priors.of(f) * builder.since(f) * (disproved.contains(f) ? REWIRED : 1));
        DiagnosisSettings alone = new DiagnosisSettings(
                settings.slipRate(), settings.marginalOn(), settings.intermittentShow(), settings.stopAt(), 0, 0, 1);
        return new Hunt(
                new Diagnoser(table, alone), new Diagnoser(table, settings), settings, List.of(), List.of(), Set.of());
    }

    /** Ids of the actions that a kept check shows to be wired as planned. */
    public static SortedSet<String> answeredWell(KeptCheck check) {
        SortedSet<String> good = new TreeSet<>(check.answered());
        for (Finding finding : check.findings()) {
            if (!WEAR.contains(finding.kind())) {
                good.removeAll(finding.actions());
            }
        }
        return good;
    }

    /** Mistakes of building with which some of these actions could not have answered as planned. */
    private static Set<Fault> disproved(FaultTable table, DiagnosisSettings settings, Set<String> good) {
        Circuit circuit = table.circuit;
        Predictor predictor = new Predictor(table);
        List<Observation> answers = circuit.plan().actions().stream()
                .filter(a -> good.contains(a.id()) && !a.contacts().isEmpty())
                .map(a -> new Observation(
                        new TreeSet<>(Set.of(a.id())),
                        circuit.healthy().read(Set.of(a.id())).on()))
                .toList();
        Evidence evidence = new Evidence(predictor, settings, answers, List.of());
        Set<Fault> disproved = new HashSet<>();
        int[] none = new int[0];
        for (int f = 0; f < table.size(); f++) {
            if (table.fault(f).kind().origin() == FaultKind.Origin.BUILDING) {
                int fault = f;
                int[] alone = {f};
                if (Arrays.stream(evidence.about(f))
                        .mapToObj(evidence.items::get)
                        .anyMatch(i -> i.mayMove(fault, none) && i.fit(alone) == 0)) {
                    disproved.add(table.fault(f));
                }
            }
        }
        return disproved;
    }

    /**
     * The hunt with all that was seen and measured so far, in place of what it knew.
     *
     * @throws IllegalArgumentException where something names an action or a point that the plan does not have
     */
    public Hunt knowing(List<Observation> observations, List<ProbeResult> probes) {
        Set<List<Object>> now = new HashSet<>(asked);
        observations.forEach(o -> now.add(List.of(List.copyOf(o.held()))));
        probes.forEach(p -> now.add(List.of(p.pointA(), p.pointB(), p.mode(), p.hold())));
        return new Hunt(singles, any, settings, observations, probes, now);
    }

    /** The hunt without a step that cannot be taken. */
    public Hunt without(NextStep step) {
        Set<List<Object>> now = new HashSet<>(asked);
        now.add(step.probe()
                .<List<Object>>map(p -> List.of(p.pointA(), p.pointB(), p.mode(), p.hold()))
                .orElse(List.of(step.hold().stream().sorted().toList())));
        return new Hunt(singles, any, settings, seen, measured, now);
    }

    private static List<Object> key(Option option) {
        return option.probe()
                .<List<Object>>map(p -> List.of(p.red(), p.black(), p.mode(), p.hold()))
                .orElse(List.of(option.hold().stream().sorted().toList()));
    }

    /** What to do next; empty where it is settled, nothing splits what is left, or nothing accounts for what was seen. */
    public Optional<NextStep> next() {
        return next;
    }

    /** How many more steps it is expected to take; 0 where there is none to take. */
    public double expectedSteps() {
        return expectedSteps;
    }

    /** True where one fault is likely enough. */
    public boolean settled() {
        return settled;
    }

    /** What was seen so far. */
    public List<Observation> seen() {
        return seen;
    }

    /** What was measured so far. */
    public List<ProbeResult> measured() {
        return measured;
    }

    /** What can be said now; takes a moment. */
    public Diagnosis diagnosis() {
        return used.diagnose(seen, measured);
    }
}
