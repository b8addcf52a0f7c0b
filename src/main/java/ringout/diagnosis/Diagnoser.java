package ringout.diagnosis;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Meter;
import ringout.circuit.ProbeReading;
import ringout.circuit.Reading;
import ringout.diagnosis.NextStep.Purpose;
import ringout.hid.Input;
import ringout.naming.FaultWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Known;
import ringout.plan.Plan;
import ringout.words.Phrase;

/**
 * Turns what was observed of one box into explanations and next steps. Deterministic; keeps nothing between calls but
 * what a box of that plan does, so that one can serve several threads.
 */
public final class Diagnoser {
    private static final int MOST_NEXT = 8;
    private static final int MOST_LATENT = 100;
    /** Of a probe's readings, so many are explained. */
    private static final int MOST_READINGS = 2;
    /** Of the inputs that a press may bring, a step names so many. */
    private static final int MOST_INPUTS = 3;
    /** Of an explanation with many faults, a step names so many. */
    private static final int MOST_TOLD = 2;

    /** Three corners of a rectangle light the fourth. */
    private static final int CORNERS = 3;

    private static final int MOST_CLASSES = 3;
    private static final int MOST_MEMBERS = 6;
    private static final double LEAST_SHARE = 0.01;
    /**
     * A press that looks like a slip is asked for until it was made so often, as long as no try answered as it should, or one
     * gave nothing: who pressed wrongly twice does not always, and what gives nothing may do so at times.
     */
    private static final int MOST_TRIES = 3;
    /** Put by for sets that were not tried where the search met its budget. */
    static final double ALONE_SHARE = 0.02;

    private final DiagnosisSettings settings;
    private final FaultTable table;
    private final FaultWords wording;
    private final Chords chords;

    /** What was worked out for calls that are over, for the next ones: only time depends on it. One call at a time has each. */
    private final Deque<Predictor> spare = new ArrayDeque<>();
    /** Worked out once it is needed; which thread does it makes no difference. */
    private volatile @Nullable List<GhostProof.DiodeTest> diodeTests;
    /** As {@link #table}, searched for weak joints and leaks, too; likewise. */
    private volatile @Nullable FaultTable measuringTable;

    /** A diagnoser for boxes of that plan. */
    public Diagnoser(Plan plan, DiagnosisSettings settings) {
        this(Circuit.of(plan), settings);
    }

    /** A diagnoser for boxes of that model, which knows the board's supply. */
    public Diagnoser(Circuit circuit, DiagnosisSettings settings) {
        this(FaultTable.of(circuit), settings);
    }

    /** The same for a builder of whom more is known. */
    public Diagnoser(Circuit circuit, DiagnosisSettings settings, BuilderRecord builder) {
        this(FaultTable.of(circuit, builder), settings);
    }

    /** With a choice of faults, for comparisons with other solvers. */
    Diagnoser(Circuit circuit, List<Fault> faults, DiagnosisSettings settings) {
        this(new FaultTable(circuit, faults), settings);
    }

    Diagnoser(FaultTable table, DiagnosisSettings settings) {
        this.settings = settings;
        this.table = table;
        this.wording = new FaultWords(table.circuit.plan());
        this.chords = new Chords(table.circuit.plan());
    }

    /**
     * Ranks explanations.
     *
     * @param observations in any order; the same press may be there several times
     * @param probes       what the meter showed
     * @throws IllegalArgumentException where one names an action or a point that the plan does not have
     */
    public Diagnosis diagnose(List<Observation> observations, List<ProbeResult> probes) {
        Diagnosis diagnosis = diagnoseMatrix(ofMatrix(observations), probesOfMatrix(probes));
        return withAxes(diagnosis, AxisDiagnosis.of(table.circuit, table.axisPriors(), observations, probes), probes);
    }

    private List<Observation> ofMatrix(List<Observation> observations) {
        return observations.stream()
                .filter(o -> !AxisDiagnosis.isSweep(table.circuit, o))
                .toList();
    }

    private static List<ProbeResult> probesOfMatrix(List<ProbeResult> probes) {
        return probes.stream().filter(p -> !AxisDiagnosis.isAxis(p)).toList();
    }

    /** Sets of one explanation, with what is wrong with axes, that are told at most. */
    private static final int MOST_ALIKE = 12;

    /** What else is wrong with axes goes with every explanation of the matrix: neither touches the other. */
    private Diagnosis withAxes(Diagnosis matrix, List<AxisDiagnosis> axes, List<ProbeResult> probes) {
        if (axes.isEmpty()) {
            return matrix;
        }
        List<NextStep> probesOfAxes = new ArrayList<>();
        List<List<Fault>> sets = List.of(List.of());
        List<Phrase> seen = new ArrayList<>();
        double share = 1;
        for (AxisDiagnosis axis : axes) {
            sets = sets.stream()
                    .flatMap(set -> axis.alternatives().stream().map(more -> union(set, more)))
                    .limit(MOST_ALIKE)
                    .toList();
            share *= axis.probability();
            if (!axis.good()) {
                seen.add(axis.seen());
            }
            probesOfAxes.addAll(axis.probes(table.circuit, wording, probes));
        }
        // Before what is only offered: chords that prove what nothing has shown.
        List<NextStep> next = new ArrayList<>(matrix.next());
        int offered = 0;
        while (offered < next.size() && next.get(offered).purpose() != Purpose.PROVE) {
            offered++;
        }
        next.addAll(offered, probesOfAxes);
        List<Explanation> explanations = new ArrayList<>();
        for (Explanation one : matrix.explanations()) {
            if (one.alternatives().get(0).stream().anyMatch(Fault.Silent.class::isInstance)) {
                // Where nothing comes at all, an axis that says nothing has no cause of its own.
                explanations.add(one);
                continue;
            }
            // What is latent in a good matrix is no alternative beside a fault of an axis.
            List<List<Fault>> own = one.healthy() && !sets.get(0).isEmpty() ? List.of(List.of()) : one.alternatives();
            List<List<Fault>> all = new ArrayList<>();
            for (List<Fault> set : own) {
                sets.forEach(more -> all.add(union(set, more)));
            }
            List<List<Fault>> told =
                    all.stream().limit(Math.max(MOST_ALIKE, own.size())).toList();
            List<Phrase> reasons = new ArrayList<>(one.healthy() && !seen.isEmpty() ? List.of() : one.evidenceFor());
            reasons.addAll(seen);
            explanations.add(new Explanation(
                    told,
                    one.probability() * share,
                    sets.get(0).isEmpty() ? one.said() : wording.alternatives(told),
                    reasons,
                    one.evidenceAgainst(),
                    sets.get(0).isEmpty() || !one.healthy() ? one.assumed() : List.of()));
        }
        return new Diagnosis(
                explanations,
                matrix.unexplained(),
                matrix.budgetHit(),
                1 - explanations.stream().mapToDouble(Explanation::probability).sum(),
                matrix.settled(),
                matrix.unexplained() ? matrix.verdict() : verdict(explanations, matrix.settled()),
                next,
                matrix.expectedSteps());
    }

    private static List<Fault> union(List<Fault> set, List<Fault> more) {
        List<Fault> all = new ArrayList<>(set);
        more.stream().filter(f -> !all.contains(f)).forEach(all::add);
        return List.copyOf(all);
    }

    private Diagnosis diagnoseMatrix(List<Observation> observations, List<ProbeResult> probes) {
        List<Input> foreign = observations.stream()
                .flatMap(o -> o.on().stream())
                .filter(i -> table.circuit.firmware().indexOf(i).isEmpty())
                .distinct()
                .sorted()
                .toList();
        boolean measuring = measuring(probes);
        FaultTable focused = (measuring ? measuringTable() : table).focused(offLines(observations));
        Predictor predictor = foreign.isEmpty() && focused == table ? takeSpare() : new Predictor(focused, foreign);
        Diagnosis diagnosis = diagnose(predictor, observations, probes);
        done(predictor);
        return diagnosis;
    }

    /**
     * True where weak joints and leaks have to be looked for by themselves, not only beside the open or the short that they
     * may be taken for: a meter tells the two apart.
     */
    private static boolean measuring(List<ProbeResult> probes) {
        return probes.stream().anyMatch(p -> p.reading() != ProbeReading.UNCERTAIN);
    }

    private FaultTable measuringTable() {
        FaultTable made = measuringTable;
        if (made == null) {
            made = table.measuring();
            measuringTable = made;
        }
        return made;
    }

    /** The lines of what was worked, and of what came on, where that is not as planned. */
    private SortedSet<Integer> offLines(List<Observation> observations) {
        SortedSet<Integer> lines = new TreeSet<>();
        Plan plan = table.circuit.plan();
        if (plan.lines().size() <= Long.SIZE) {
            return lines;
        }
        Harness healthy = table.circuit.healthy();
        Map<String, List<Integer>> linesOf = new HashMap<>();
        for (int i = 0; i < plan.lines().size(); i++) {
            for (String contact : plan.lines().get(i).contacts()) {
                linesOf.computeIfAbsent(contact, k -> new ArrayList<>()).add(i);
            }
        }
        for (Observation observation : observations) {
            Reading planned = healthy.read(observation.held());
            if (planned.on().equals(observation.on())) {
                continue;
            }
            for (Action action : plan.actions()) {
                if (observation.held().contains(action.id())
                        || action.input()
                                .filter(i -> observation.on().contains(i)
                                        != planned.on().contains(i))
                                .isPresent()) {
                    action.contacts().forEach(id -> lines.addAll(linesOf.getOrDefault(id, List.of())));
                }
            }
        }
        return lines;
    }

    private synchronized Predictor takeSpare() {
        return spare.isEmpty() ? new Predictor(table) : spare.pop();
    }

    /** Keeps for later calls what that one worked out, which nothing asks any more. */
    synchronized void done(Predictor predictor) {
        if (predictor.table == table && predictor.small() && spare.size() < MOST_SPARE) {
            predictor.putMetersAway();
            spare.push(predictor);
        }
    }

    /** A hunt has one for what was seen and one for the steps. */
    private static final int MOST_SPARE = 2;

    private Diagnosis diagnose(Predictor predictor, List<Observation> observations, List<ProbeResult> probes) {
        Evidence evidence = new Evidence(predictor, settings, observations, probes);
        Search search = new Search(predictor.table, evidence, settings);
        List<Candidate> candidates = search.run();
        if (predictor.table == table && farFetched(candidates, evidence)) {
            // Several weak joints or leaks that meet do what no open and no short does.
            Predictor measuring = new Predictor(measuringTable(), List.copyOf(evidence.foreign));
            Evidence again = new Evidence(measuring, settings, observations, probes);
            Search wider = new Search(measuringTable(), again, settings);
            List<Candidate> more = wider.repeated();
            if (!more.isEmpty()) {
                return diagnosis(measuring, again, search.budgetHit() || wider.budgetHit(), both(more, candidates));
            }
        }
        return diagnosis(predictor, evidence, search.budgetHit(), candidates);
    }

    /** All of them, those that are in both once; likeliest first. Tables that search for more number the faults alike. */
    private static List<Candidate> both(List<Candidate> some, List<Candidate> others) {
        List<Candidate> both = new ArrayList<>(some);
        others.stream()
                .filter(c -> some.stream()
                        .noneMatch(s -> Arrays.equals(s.faults(), c.faults()) && Arrays.equals(s.slips(), c.slips())))
                .forEach(both::add);
        both.sort(Comparator.comparingDouble(c -> -c.logWeight()));
        return both;
    }

    private boolean farFetched(List<Candidate> candidates, Evidence evidence) {
        return candidates.isEmpty()
                || candidates.get(0).logWeight() < Search.FAR_FETCHED
                || remainder(candidates, new Elsewhere(table.circuit, evidence), false) >= Diagnosis.FAR_FETCHED;
    }

    private Diagnosis diagnosis(Predictor predictor, Evidence evidence, boolean budgetHit, List<Candidate> candidates) {
        if (candidates.isEmpty()) {
            Phrase why = evidence.foreign.isEmpty()
                    ? budgetHit
                            ? Phrase.of("verdict.tried")
                            : Phrase.of("verdict.none", Phrase.number(settings.mostFaults()))
                    : Phrase.of(
                            "verdict.foreign",
                            Phrase.or(
                                    evidence.foreign.stream().map(Input::words).toList()));
            return new Diagnosis(List.of(), true, budgetHit, 1, true, contradicted(why, evidence), List.of(), 0);
        }
        Elsewhere elsewhere = new Elsewhere(table.circuit, evidence);
        double remainder = remainder(candidates, elsewhere, budgetHit);
        Steps steps = new Steps(
                predictor,
                settings,
                chords,
                candidates,
                settings.stopAt() / Math.max(1 - remainder, settings.stopAt()),
                evidence);
        List<ClassOf> classes = classes(steps);
        List<Explanation> explanations = new ArrayList<>();
        FaultWords known = wording.open(places(steps));
        for (ClassOf c : classes) {
            explanations.add(new Reasons(predictor, evidence, known)
                    .explain(
                            steps,
                            c.members,
                            complete(c, evidence) * (1 - remainder),
                            c.members.get(0).faults.length == 0
                                    ? evidence.hidden().stream()
                                            .limit(MOST_LATENT)
                                            .map(f -> List.of(table.fault(f)))
                                            .toList()
                                    : List.of()));
        }
        List<NextStep> next =
                new ArrayList<>(repeats(evidence, classes.get(0).members.get(0)));
        tries(steps, evidence, classes.get(0)).stream()
                .filter(t -> next.stream().noneMatch(n -> n.hold().equals(t.hold())))
                .forEach(next::add);
        if (!steps.leads(steps.weight)) {
            // Of what comes and goes single presses tell as much as chords, and are made sooner.
            boolean unsteady = unsteady(steps, classes.get(0));
            steps.ranked().stream()
                    .sorted(Comparator.comparing(
                            o -> unsteady && (o.kind() != NextStep.Kind.PRESS || steps.bits(o) < Diagnosis.LEAST_BITS)))
                    .limit(MOST_NEXT)
                    .filter(o -> next.stream().noneMatch(n -> same(n, o)))
                    .forEach(o -> next.add(step(steps, o, Purpose.TELL, classes)));
        }
        steps.confirming(steps.weight).stream()
                .limit(MOST_NEXT)
                .filter(o -> next.stream().noneMatch(n -> same(n, o)))
                .forEach(o -> next.add(step(steps, o, Purpose.CONFIRM, classes)));
        boolean settled = next.isEmpty();
        if (explanations.get(0).healthy()) {
            next.addAll(proofs(predictor, evidence));
        }
        if (classes.get(0).members.size() > 1) {
            steps.splitting(classes.get(0).number).stream()
                    .limit(3)
                    .filter(o -> next.stream().noneMatch(n -> same(n, o)))
                    .forEach(o -> next.add(step(steps, o, Purpose.NARROW, classes)));
            if (next.isEmpty()) {
                steps.grading(classes.get(0).number).stream()
                        .limit(1)
                        .forEach(o -> next.add(step(steps, o, Purpose.GRADE, classes)));
            }
        }
        return new Diagnosis(
                explanations,
                remainder >= Diagnosis.FAR_FETCHED,
                budgetHit,
                1 - explanations.stream().mapToDouble(Explanation::probability).sum(),
                settled,
                remainder >= Diagnosis.FAR_FETCHED
                        ? contradicted(elsewhere.words(wording.names()), evidence)
                        : verdict(explanations, settled),
                next,
                settled ? 0 : steps.expectedSteps());
    }

    /** That evidence, made ready to be compared with sets of faults. */
    Evidence evidence(List<Observation> observations, List<ProbeResult> probes) {
        return new Evidence(takeSpare(), settings, ofMatrix(observations), probesOfMatrix(probes));
    }

    /** The sets of faults that account for everything, likeliest first. */
    List<Candidate> candidates(Evidence evidence) {
        return new Search(table, evidence, settings).run();
    }

    FaultTable table() {
        return table;
    }

    /** What there is to tell those candidates apart, what is along the lines of the silent actions included. */
    Steps steps(List<Candidate> candidates, Evidence evidence, Steps.Limits limits, List<String> silent) {
        return new Steps(takeSpare(), settings, chords, candidates, settings.stopAt(), evidence, limits, silent);
    }

    /** A step in words. */
    NextStep step(Steps steps, Option option) {
        return step(steps, option, Purpose.TELL, classes(steps));
    }

    private record ClassOf(int number, double weight, List<Steps.Hypothesis> members) {}

    private static List<ClassOf> classes(Steps steps) {
        List<List<Steps.Hypothesis>> members = new ArrayList<>();
        for (int c = 0; c < steps.classes; c++) {
            members.add(new ArrayList<>());
        }
        for (int h = 0; h < steps.live.size(); h++) {
            members.get(steps.classOf[h]).add(steps.live.get(h));
        }
        double[] weights = steps.classWeights(steps.weight);
        List<ClassOf> classes = new ArrayList<>();
        for (int c = 0; c < steps.classes; c++) {
            classes.add(new ClassOf(c, weights[c], members.get(c)));
        }
        classes.sort(Comparator.comparingDouble(c -> -c.weight));
        return classes;
    }

    /**
     * The probability that no set of the model is the truth. Explanations compete with that as with each other; where the
     * search met its budget a little more is put by for sets that were not tried.
     */
    private static double remainder(List<Candidate> candidates, Elsewhere elsewhere, boolean budgetHit) {
        double most =
                candidates.stream().mapToDouble(Candidate::logWeight).max().orElse(0);
        double total = candidates.stream()
                .mapToDouble(c -> Math.exp(c.logWeight() - most))
                .sum();
        double other = Math.exp(Math.min(700, elsewhere.logWeight() - most));
        double share = other / (total + other);
        return budgetHit ? share + (1 - share) * ALONE_SHARE : share;
    }

    /** The presses that an explanation takes for slips, where they were made only once. */
    private List<NextStep> repeats(Evidence evidence, Steps.Hypothesis leading) {
        List<NextStep> repeats = new ArrayList<>();
        for (int slip : leading.candidates.get(0).slips()) {
            Evidence.Seen seen = (Evidence.Seen) evidence.items.get(slip);
            long tries = evidence.times(seen.held);
            boolean open = seen.times == tries || seen.observation.on().isEmpty();
            if (tries == 1 || tries < MOST_TRIES && open) {
                List<String> hold = seen.held.actions;
                repeats.add(new NextStep(
                        hold.size() > 1 ? NextStep.Kind.CHORD : NextStep.Kind.PRESS,
                        Purpose.REPEAT,
                        hold,
                        Optional.empty(),
                        bits(evidence.hiddenBehind(leading.candidates.get(0), slip)),
                        hold.size(),
                        Phrase.of("next.repeat", wording.names().hold(hold))));
            }
        }
        return repeats;
    }

    /** What failed at times is worked until it was tried so often: one try says little of what comes and goes. */
    private static final int LEAST_TRIES = 4;

    /** True where by every set of a class something comes and goes. */
    private static boolean unsteady(Steps steps, ClassOf leading) {
        return leading.members.stream().anyMatch(steps::comesAndGoes)
                && leading.members.stream().noneMatch(Steps.Hypothesis::lasting);
    }

    /** Where faults that come and go lead, the single presses that failed, those tried least first. */
    private List<NextStep> tries(Steps steps, Evidence evidence, ClassOf leading) {
        if (!unsteady(steps, leading)) {
            return List.of();
        }
        return evidence.failing().stream()
                .filter(held -> evidence.times(held) < LEAST_TRIES)
                .sorted(Comparator.comparingLong(evidence::times))
                .map(held -> new NextStep(
                        NextStep.Kind.PRESS,
                        Purpose.REPEAT,
                        held.actions,
                        Optional.empty(),
                        1,
                        1,
                        Phrase.of("next.again", wording.names().hold(held.actions))))
                .toList();
    }

    /**
     * Chords that show, or may show where levels are in doubt, what no press so far could have shown in a box where
     * nothing was found: first those that prove diodes, then those about what is left. Each counts for the faults that
     * those before it would not show; none is asked for twice.
     */
    private List<NextStep> proofs(Predictor predictor, Evidence evidence) {
        List<Integer> hidden = new ArrayList<>(evidence.hidden());
        List<NextStep> proofs = new ArrayList<>();
        if (hidden.isEmpty()) {
            return proofs;
        }
        List<List<String>> tried = new ArrayList<>();
        diodeTests().forEach(t -> tried.add(t.hold()));
        int ready = tried.size();
        tried.addAll(new ChordFinder(table.circuit, chords)
                .about(hidden.stream().map(table::fault).toList()));
        for (int i = 0; i < tried.size() && proofs.size() < MOST_NEXT && !hidden.isEmpty(); i++) {
            Predictor.Held held = predictor.held(tried.get(i));
            List<Integer> shown = evidence.seen(held)
                    ? List.of()
                    : hidden.stream()
                            .filter(f -> !predictor.alone(f, held).same(held.healthy))
                            .toList();
            if (!shown.isEmpty()) {
                hidden.removeAll(new HashSet<>(shown));
                double odds = shown.stream()
                        .mapToDouble(f -> Math.exp(table.logOdds(f))
                                * (predictor.alone(f, held).meets(held.healthy) ? 0.5 : 1))
                        .sum();
                Phrase said =
                        i < ready ? diodeTests().get(i).said() : wording.names().hold(held.actions);
                proofs.add(new NextStep(
                        NextStep.Kind.CHORD,
                        Purpose.PROVE,
                        tried.get(i),
                        Optional.empty(),
                        bits(odds),
                        tried.get(i).size(),
                        said));
            }
        }
        return proofs;
    }

    /** What it tells whether something is there that has these odds, in bits. */
    private static double bits(double odds) {
        return Option.entropy(new double[] {1, odds}, 1 + odds);
    }

    private List<GhostProof.DiodeTest> diodeTests() {
        if (diodeTests == null) {
            diodeTests = GhostProof.tests(table.circuit.plan());
        }
        return diodeTests;
    }

    /** The weight of a class, less that of there being more of the same that has not shown yet. */
    private static double complete(ClassOf c, Evidence evidence) {
        return c.members.stream()
                .mapToDouble(h -> h.weight
                        * (h.weight < LEAST_SHARE || h.lasting()
                                ? 1
                                : 1
                                        / (1
                                                + evidence.moreAtTimes(
                                                        h.faults,
                                                        h.candidates.get(0).slips()))))
                .sum();
    }

    private static Phrase contradicted(Phrase why, Evidence evidence) {
        return evidence.contradiction()
                .map(p -> Phrase.of("verdict.contradiction", why, Names.node(p.pointA()), Names.node(p.pointB())))
                .orElse(why);
    }

    private Phrase verdict(List<Explanation> explanations, boolean settled) {
        Explanation first = explanations.get(0);
        Phrase percent = Explanation.percent(first.probability());
        boolean enough = first.probability() >= settings.stopAt();
        return settled
                ? enough ? Phrase.of("verdict.settled", percent) : Phrase.of("verdict.stuck", percent)
                : enough ? Phrase.of("verdict.open.others", percent) : Phrase.of("verdict.open", percent);
    }

    private static boolean same(NextStep step, Option option) {
        return step.kind() == option.kind()
                && step.hold().equals(option.hold())
                && step.probe()
                        .map(p -> p.pointA() + " " + p.pointB() + p.mode())
                        .equals(option.probe().map(p -> p.red() + " " + p.black() + p.mode()));
    }

    private NextStep step(Steps steps, Option option, Purpose purpose, List<ClassOf> classes) {
        Optional<Probe> probe = option.probe().map(p -> probe(steps, p, classes));
        Phrase said = probe.map(Probe::said).orElseGet(() -> press(steps, option, classes));
        return new NextStep(option.kind(), purpose, option.hold(), probe, steps.bits(option), option.effort(), said);
    }

    /** A press or chord with why it is asked for: what it would show of the leading explanation, or of its likeliest rival. */
    private Phrase press(Steps steps, Option option, List<ClassOf> classes) {
        Phrase hold = wording.names().hold(option.hold());
        if (steps.seen(option)) {
            return Phrase.of("next.again", hold);
        }
        Steps.Hypothesis leading = classes.get(0).members.get(0);
        int first = steps.live.indexOf(leading);
        for (ClassOf c : classes.subList(1, classes.size())) {
            Steps.Hypothesis rival = c.members.get(0);
            int other = steps.live.indexOf(rival);
            if (option.parts(first, other)) {
                List<Input> more = steps.more(option, other, first);
                if (!more.isEmpty()) {
                    return option.hold().size() < CORNERS
                            ? Phrase.of("step.also", hold, owned(more), told(rival, leading))
                            : Phrase.of("step.ghost", hold, owned(more), told(rival, leading));
                }
                List<Input> less = steps.more(option, first, other);
                if (!less.isEmpty()) {
                    return Phrase.of("step.only", hold, owned(less), told(leading, rival));
                }
            }
        }
        return hold;
    }

    private Phrase owned(List<Input> inputs) {
        return Phrase.some(
                inputs.stream().map(input -> wording.names().owned(input)).toList(), MOST_INPUTS);
    }

    private Phrase told(Steps.Hypothesis h, Steps.Hypothesis other) {
        return apart(h, Set.copyOf(faults(other)), wording.brief());
    }

    private List<Fault> faults(Steps.Hypothesis h) {
        return Arrays.stream(h.faults).mapToObj(table::fault).toList();
    }

    /** The contact that is open in a hypothesis with one such. */
    private String opening(Steps.Hypothesis h) {
        return ((Fault.ContactOpen) table.fault(table.openings(h.faults)[0])).contact();
    }

    /** By contact, the places where it may be open where the meter has ruled some out. */
    private Map<String, Set<Integer>> places(Steps steps) {
        Map<String, Set<Integer>> places = new HashMap<>();
        for (Steps.Hypothesis h : steps.live) {
            h.place()
                    .ifPresent(place -> places.computeIfAbsent(opening(h), k -> new TreeSet<>())
                            .add(place));
        }
        places.values().removeIf(left -> left.size() == Meter.PLACES);
        return places;
    }

    /**
     * Of each leading class the leading sets, likeliest first; but none so rare that nobody would think of it, and none that
     * comes and goes where the same one that lasts is there.
     */
    private List<Steps.Hypothesis> likeliest(List<ClassOf> classes) {
        List<Steps.Hypothesis> all = classes.stream()
                .limit(MOST_CLASSES)
                .flatMap(c -> c.members.stream().limit(MOST_MEMBERS))
                .filter(h -> h.weight >= LEAST_SHARE)
                .sorted(Comparator.comparingDouble(h -> -h.weight))
                .toList();
        return all.stream()
                .filter(h -> Arrays.equals(table.steady(h.faults), h.faults)
                        || all.stream().noneMatch(o -> Arrays.equals(table.steady(h.faults), o.faults)))
                .toList();
    }

    private Probe probe(Steps steps, ProbePoints.Points p, List<ClassOf> classes) {
        ProbeReading good =
                table.circuit.healthy().meter(table.circuit.hold(p.hold())).reads(p.red(), p.black(), p.mode());
        Map<Phrase, ProbeReading> predict = new LinkedHashMap<>();
        List<Steps.Hypothesis> asked = likeliest(classes);
        int fewest = asked.stream().mapToInt(h -> h.faults.length).min().orElse(0);
        FaultWords known = wording.open(places(steps));
        Map<Steps.Hypothesis, ProbeReading> readings = new LinkedHashMap<>();
        asked.forEach(h -> readings.put(h, steps.reads(h, p)));
        Map<Phrase, List<Steps.Hypothesis>> byReading = new LinkedHashMap<>();
        for (Steps.Hypothesis h : asked) {
            ProbeReading reading = Known.in(readings, h);
            // Every one is predicted; the sentence names those that a builder will think of first.
            if (predict.putIfAbsent(words(h, asked, readings, known).set(faults(h)), reading) == null
                    && h.faults.length == fewest
                    && (reading != ProbeReading.UNCERTAIN || reading == good)) {
                byReading
                        .computeIfAbsent(Names.reading(reading, p.mode()), k -> new ArrayList<>())
                        .add(h);
            }
        }
        Phrase asPlanned = Names.reading(good, p.mode());
        List<Phrase> meant = new ArrayList<>();
        List<Phrase> bad = new ArrayList<>();
        byReading.entrySet().stream().limit(MOST_READINGS).forEach(entry -> {
            Set<Fault> others = byReading.values().stream()
                    .filter(other -> other != entry.getValue())
                    .flatMap(List::stream)
                    .flatMap(h -> faults(h).stream())
                    .collect(Collectors.toSet());
            List<Phrase> causes = entry.getValue().stream()
                    .map(h -> apart(h, others, words(h, asked, readings, known).brief()))
                    .filter(cause -> !cause.isEmpty())
                    .distinct()
                    .toList();
            if (!causes.isEmpty()) {
                Phrase means = Phrase.of("next.probe.if", entry.getKey(), causes.get(0), causes.size() - 1);
                meant.add(means);
                if (!entry.getKey().equals(asPlanned)) {
                    bad.add(means);
                }
            }
        });
        Phrase said = Phrase.of(
                "next.probe",
                switch (p.mode()) {
                    case CONTINUITY -> Phrase.of("next.probe.continuity");
                    case DIODE -> Phrase.of("next.probe.diode");
                    case RESISTANCE -> Phrase.of("next.probe.resistance");
                },
                Names.node(p.red()),
                Names.node(p.black()),
                p.hold().isEmpty()
                        ? Phrase.none()
                        : Phrase.of("next.probe.holding", wording.names().actions(p.hold())),
                asPlanned);
        meant.add(0, said);
        return new Probe(
                p.red(), p.black(), p.mode(), p.hold(), good, predict, Phrase.sentences(bad), Phrase.sentences(meant));
    }

    /** Where a contact is open is said where the readings depend on it. */
    private FaultWords words(
            Steps.Hypothesis h,
            List<Steps.Hypothesis> asked,
            Map<Steps.Hypothesis, ProbeReading> readings,
            FaultWords known) {
        return asked.stream().allMatch(o -> !o.sameFaults(h) || readings.get(o) == readings.get(h))
                ? known
                : h.place()
                        .map(place -> wording.open(Map.of(opening(h), Set.of(place))))
                        .orElse(known);
    }

    /** What sets it apart from those with another reading, in few words: one fault, or two that only together do. */
    private Phrase apart(Steps.Hypothesis h, Set<Fault> others, FaultWords brief) {
        List<Fault> own = faults(h);
        Optional<Fault> telling = own.stream()
                .filter(f -> !others.contains(f))
                .findFirst()
                .or(() -> h.place().map(place -> table.fault(table.openings(h.faults)[0])));
        return telling.map(brief::fault)
                .orElseGet(() ->
                        own.isEmpty() ? Phrase.none() : brief.set(own.subList(0, Math.min(MOST_TOLD, own.size()))));
    }
}
