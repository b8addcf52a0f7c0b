package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.circuit.ProbeMode;
import ringout.diagnosis.NextStep.Purpose;
import ringout.hid.Input;
import ringout.plan.Contact;

/** What is left after some presses of a box of three buttons, in what classes, and what would tell these apart. */
class StepsTest {
    private static final Circuit PINS = Circuit.of(PlanMaker.box()
            .directs(4)
            .push("a", "D1")
            .push("b", "D2")
            .push("c", "D3")
            .toggle("lamp", "D4")
            .plan());

    private static Observation seen(String held, int... buttons) {
        SortedSet<Input> on = new TreeSet<>();
        Arrays.stream(buttons).forEach(b -> on.add(new Input.Button(b)));
        return new Observation(held.isEmpty() ? new TreeSet<>() : new TreeSet<>(List.of(held.split("\\+"))), on);
    }

    private final Diagnoser known = new Diagnoser(PINS, DiagnosisSettings.WHILE_WAITING);

    private static Steps steps(Diagnoser diagnoser, List<Observation> seen) {
        FaultTable table = diagnoser.table();
        DiagnosisSettings settings = DiagnosisSettings.WHILE_WAITING;
        Predictor predictor = new Predictor(table);
        Evidence evidence = new Evidence(predictor, settings, seen, List.of());
        List<Candidate> candidates = new Search(table, evidence, settings).run();
        return new Steps(predictor, settings, new Chords(table.circuit.plan()), candidates, 0.95, evidence);
    }

    private Steps steps(Observation... seen) {
        return steps(known, List.of(seen));
    }

    private int hypothesis(Steps steps, String... faults) {
        FaultTable table = known.table();
        Set<String> wanted = Set.of(faults);
        return IntStream.range(0, steps.live.size())
                .filter(h -> Arrays.stream(steps.live.get(h).faults)
                        .mapToObj(f -> table.fault(f).text())
                        .collect(java.util.stream.Collectors.toSet())
                        .equals(wanted))
                .findFirst()
                .orElseThrow(() -> new AssertionError(wanted));
    }

    private static Optional<Option> option(Steps steps, String... hold) {
        return steps.options().stream()
                .filter(o -> o.probe().isEmpty() && o.hold().equals(List.of(hold)))
                .findFirst();
    }

    /**
     * Two presses gave nothing: the box is silent, 0.02 / 0.98, or both contacts are open, or both wires. Of odds 0.002 / 0.998 each of four
     * is 0.002004, so that one mistake made twice is 4 x 0.002004 x 0.9 x 0.25 / 6 times 0.3 for contacts and 0.2 for wires: 9.018e-5 and
     * 6.012e-5, and 0.402e-5 more by chance.
     */
    @Test
    void weightsGoAsThePriors() {
        Steps steps = steps(seen(""), seen("a"), seen("b"));
        double silent = steps.weight[hypothesis(steps, "silent")];
        double contacts = steps.weight[hypothesis(steps, "open:contact:a", "open:contact:b")];
        double wires = steps.weight[hypothesis(steps, "open:D1", "open:D2")];
        assertEquals(0.020408 / 9.4196e-5, silent / contacts, 0.01);
        assertEquals(9.4196 / 6.4136, contacts / wires, 1e-4);
        assertEquals(1, Arrays.stream(steps.weight).sum(), 1e-3);
    }

    /** Any other press tells a silent box from two dead buttons, which no press tells from their dead wires. */
    @Test
    void aClassIsWhatNoPressTellsApart() {
        Steps steps = steps(seen(""), seen("a"), seen("b"));
        int silent = steps.classOf[hypothesis(steps, "silent")];
        int contacts = steps.classOf[hypothesis(steps, "open:contact:a", "open:contact:b")];
        assertTrue(silent != contacts);
        assertEquals(contacts, steps.classOf[hypothesis(steps, "open:D1", "open:D2")]);
        double[] classes = steps.classWeights(steps.weight);
        assertEquals(Arrays.stream(steps.weight).sum(), Arrays.stream(classes).sum(), 1e-12);
        assertEquals(1, steps.live.get(hypothesis(steps, "silent")).needs());
        assertEquals(2, steps.live.get(hypothesis(steps, "open:D1", "open:D2")).needs());
    }

    /** a gave b's number: a slip, or the two are exchanged. Either press once more tells, for one effort; the meter is dearer. */
    @Test
    void theStepThatTellsMostForItsEffortIsTaken() {
        Steps steps = steps(seen(""), seen("a", 2));
        assertFalse(steps.leads(steps.weight));
        // A slip to one of three others, 0.005 / 0.995 / 3, against two neighbours exchanged, 0.0015 / 0.9985.
        assertEquals(
                1.67504 / 1.50225,
                steps.weight[hypothesis(steps)] / steps.weight[hypothesis(steps, "exchange:D1,D2")],
                1e-4);
        Option best = steps.best(steps.weight).orElseThrow();
        assertTrue(List.of(List.of("a"), List.of("b")).contains(best.hold()), best.hold()::toString);
        assertTrue(steps.bits(best) > 0.5, "bits " + steps.bits(best));
        assertEquals(best, steps.ranked().get(0));
        double before = Double.POSITIVE_INFINITY;
        for (Option option : steps.ranked()) {
            double now = steps.bits(option) / option.effort();
            assertTrue(now <= before + 1e-12, option.hold()::toString);
            assertTrue(steps.bits(option) > 1e-3);
            before = now;
        }
        assertTrue(steps.expectedSteps() >= 1 && steps.expectedSteps() < 2, "steps " + steps.expectedSteps());
        assertTrue(steps.seen(option(steps, "a").orElseThrow()));
    }

    @Test
    void whatOneClassHoldsIsSettled() {
        Steps steps = steps(seen(""), seen("a"), seen("b", 2), seen("c", 3), seen("lamp", 4));
        assertTrue(steps.leads(steps.weight));
        int open = steps.classOf[hypothesis(steps, "open:contact:a")];
        assertTrue(steps.classWeights(steps.weight)[open] > 0.99, Arrays.toString(steps.classWeights(steps.weight)));
    }

    /** Hands off and a press 1; every further finger 0.6 more, a switch that stays 0.3; the meter 6, a finger 1, a figure 3. */
    @Test
    void effortIsCountedInPresses() {
        Steps steps = steps(seen(""), seen("a", 2));
        for (Option option : steps.options()) {
            if (option.probe().isPresent()) {
                double expected = 6
                        + (option.hold().isEmpty() ? 0 : 1)
                        + (option.probe().get().mode() == ProbeMode.RESISTANCE ? 3 : 0);
                assertEquals(expected, option.effort(), 1e-12);
            } else {
                int fingers = (int)
                        option.hold().stream().filter(a -> !a.equals("lamp")).count();
                int latched = option.hold().size() - fingers;
                double expected = option.hold().isEmpty() ? 1 : 1 + 0.6 * (fingers - 1) + 0.3 * latched;
                assertEquals(expected, option.effort(), 1e-12, option.hold().toString());
            }
        }
        assertTrue(steps.options().stream().anyMatch(o -> o.probe().isPresent()));
        assertTrue(option(steps, "b").isPresent());
    }

    /** Whatever a hypothesis expects, something comes; a set that lasts and leaves no level in doubt expects one outcome. */
    @Test
    void theChancesOfWhatIsExpectedAddUp() {
        Circuit diodes =
                Circuit.of(PlanMaker.matrix(3, 3, Contact.Diode.CATHODE_ROW).plan());
        Diagnoser diagnoser = new Diagnoser(diodes, DiagnosisSettings.WHILE_WAITING);
        List<Observation> dead =
                Boxes.check(diodes, List.of(new Fault.ContactOpen("b-1-2")), new java.util.Random(1), 0);
        int doubtful = 0;
        for (Steps steps : List.of(steps(diagnoser, dead), steps(seen(""), seen("a", 2)), steps(seen("a")))) {
            for (Option option : steps.options()) {
                Set<Integer> used = new TreeSet<>();
                for (int h = 0; h < steps.live.size(); h++) {
                    assertEquals(
                            1,
                            Arrays.stream(option.chance()[h]).sum(),
                            1e-9,
                            option.hold().toString());
                    assertEquals(option.id()[h].length, option.chance()[h].length);
                    assertEquals(
                            option.id()[h].length,
                            Arrays.stream(option.id()[h]).distinct().count());
                    Arrays.stream(option.id()[h]).forEach(used::add);
                    doubtful += option.id()[h].length > 1 ? 1 : 0;
                    if (option.probe().isEmpty()
                            && option.pressed().get(h).size() == 1
                            && Arrays.stream(option.pressed().get(h).get(0).marginal())
                                    .allMatch(m -> m == 0)) {
                        assertEquals(1, option.id()[h].length, option.hold().toString());
                    }
                }
                assertEquals(option.outcomes(), used.size());
                assertTrue(option.outcomes() > 1, "what all expect alike is no step");
            }
        }
        assertTrue(doubtful > 0, "something may fall either way");
    }

    /** Where a contact comes and goes its press gives its input in half of the tries, a meter beeps or is silent likewise. */
    @Test
    void whatComesAndGoesIsExpectedEitherWay() {
        Steps steps = steps(seen(""), seen("a"));
        int atTimes = hypothesis(steps, "intermittent:open:contact:a");
        int lasting = hypothesis(steps, "open:contact:a");
        Option again = option(steps, "a").orElseThrow();
        assertArrayEquals(new double[] {0.5, 0.5}, again.chance()[atTimes], 1e-12);
        assertArrayEquals(new double[] {1}, again.chance()[lasting], 1e-12);
        assertEquals(again.always()[lasting], again.always()[atTimes], "when it is there it is the same");
        assertFalse(again.same(lasting, atTimes));
    }

    /** Sets as they are given, with nothing seen yet, the last the likeliest: each twice as likely as the one before. */
    private static Steps given(FaultTable table, Steps.Limits limits, String... sets) {
        DiagnosisSettings settings = DiagnosisSettings.WHILE_WAITING;
        Predictor predictor = new Predictor(table);
        Evidence evidence = new Evidence(predictor, settings, List.of(), List.of());
        List<Candidate> candidates = new ArrayList<>();
        for (String set : sets) {
            int[] faults = Arrays.stream(set.split(" "))
                    .mapToInt(text -> IntStream.range(0, table.size())
                            .filter(f -> table.fault(f).text().equals(text))
                            .findFirst()
                            .orElseThrow(() -> new AssertionError(text)))
                    .sorted()
                    .toArray();
            candidates.add(new Candidate(faults, new int[0], candidates.size() * Math.log(2)));
        }
        Chords chords = new Chords(table.circuit.plan());
        return new Steps(predictor, settings, chords, candidates, 0.95, evidence, limits, List.of());
    }

    private static String name(FaultTable table, Steps.Hypothesis h) {
        return new TreeSet<>(Arrays.stream(h.faults)
                        .mapToObj(f -> table.fault(f).text())
                        .toList())
                .toString();
    }

    @Test
    void theLikeliestAreKeptInWhateverOrderTheyWereFound() {
        FaultTable table = known.table();
        Steps two = given(table, new Steps.Limits(2, 2, 8), "open:D1", "open:D2", "silent", "open:D3");
        assertEquals(
                List.of("[open:D3]", "[silent]"),
                two.live.stream().map(h -> name(table, h)).limit(2).toList());
        assertEquals(8 / 15.0, two.live.get(0).weight, 1e-12);
        assertEquals(4 / 15.0, two.live.get(1).weight, 1e-12);
    }

    /** A slip is needed as a fault is. */
    @Test
    void aSlipCountsAsOneThing() {
        Steps steps = steps(seen(""), seen("a", 2));
        assertEquals(1, steps.live.get(hypothesis(steps)).needs());
        assertEquals(1, steps.live.get(hypothesis(steps, "exchange:D1,D2")).needs());
    }

    /**
     * A stuck contact and a short leave one input between on and off: in half of the tries it is off, as with two stuck contacts, in the
     * other half on, as with three.
     */
    @Test
    void aLevelInDoubtIsExpectedEitherWay() {
        Circuit diodes =
                Circuit.of(PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW).plan());
        FaultTable table = FaultTable.of(diodes);
        String[] sets = {
            "closed:contact:b-1-1 short:R1,C2",
            "closed:contact:b-1-1 closed:contact:b-1-2",
            "closed:contact:b-1-1 closed:contact:b-1-2 closed:contact:b-2-1"
        };
        Steps steps = given(table, Steps.Limits.USUAL, sets);
        Option option = option(steps, "b-2-2").orElseThrow();
        int doubtful = live(table, steps, sets[0]);
        int off = live(table, steps, sets[1]);
        int on = live(table, steps, sets[2]);
        assertArrayEquals(new double[] {0.5, 0.5}, option.chance()[doubtful], 1e-12);
        assertEquals(
                new TreeSet<>(List.of(option.id()[off][0], option.id()[on][0])),
                new TreeSet<>(List.of(option.id()[doubtful][0], option.id()[doubtful][1])));
        assertEquals(2, option.outcomes());
        assertFalse(
                option.parts(doubtful, off) || option.parts(doubtful, on), "neither is ruled out by it for certain");
        assertTrue(option.parts(off, on));
    }

    private static int live(FaultTable table, Steps steps, String set) {
        String sorted = new TreeSet<>(List.of(set.split(" "))).toString();
        return IntStream.range(0, steps.live.size())
                .filter(h -> name(table, steps.live.get(h)).equals(sorted))
                .findFirst()
                .orElseThrow();
    }

    /** With all that comes and goes there, two are numbered alike just where a press gives, or the meter shows, the same. */
    @Test
    void alikeAreThoseOfWhichAStepShowsTheSame() {
        Steps steps = steps(seen(""), seen("a"), seen("b", 2));
        int alike = 0;
        int differ = 0;
        for (Option option : steps.options()) {
            for (int h = 0; h < steps.live.size(); h++) {
                for (int other = 0; other < h; other++) {
                    Steps.Hypothesis one = steps.live.get(h);
                    Steps.Hypothesis two = steps.live.get(other);
                    if (!one.lasting() || !two.lasting()) {
                        continue;
                    }
                    boolean same = option.probe()
                            .map(p -> steps.reads(one, p) == steps.reads(two, p))
                            .orElseGet(() -> reading(one, option).equals(reading(two, option)));
                    assertEquals(
                            same,
                            option.always()[h] == option.always()[other],
                            () -> option + " of " + name(known.table(), one) + " and " + name(known.table(), two));
                    alike += same ? 1 : 0;
                    differ += same ? 0 : 1;
                }
            }
        }
        assertTrue(alike > 100 && differ > 100, alike + " alike, " + differ + " not");
    }

    private List<SortedSet<Input>> reading(Steps.Hypothesis h, Option option) {
        var reading = PINS.with(Arrays.stream(h.faults)
                        .mapToObj(f -> known.table().fault(f))
                        .toList())
                .read(option.hold());
        return List.of(reading.on(), reading.marginal());
    }

    @Test
    void whatWasDoneTwiceIsNotAskedAgain() {
        assertTrue(option(steps(seen(""), seen("a", 2), seen("b", 2)), "b").isPresent());
        assertTrue(option(steps(seen(""), seen("a", 2), seen("b", 2), seen("b", 2)), "b")
                .isEmpty());
    }

    /** The same counted as lasting: what comes and goes is no other answer, and its weight goes over. */
    @Test
    void whatComesAndGoesCountsAsTheSame() {
        Steps steps = steps(seen(""), seen("a"), seen("b", 2), seen("c", 3), seen("lamp", 4));
        int lasting = hypothesis(steps, "open:contact:a");
        int atTimes = hypothesis(steps, "intermittent:open:contact:a");
        int[] sets = steps.sets();
        assertEquals(sets[lasting], sets[atTimes]);
        assertTrue(sets[lasting] != sets[hypothesis(steps, "open:D1")]);
        double[] steady = steps.steadyWeights();
        assertEquals(0, steady[atTimes]);
        assertTrue(steady[lasting] >= steps.weight[lasting] + steps.weight[atTimes] - 1e-12);
        assertEquals(Arrays.stream(steps.weight).sum(), Arrays.stream(steady).sum(), 1e-12);
        assertTrue(steps.comesAndGoes(steps.live.get(atTimes)));
        assertFalse(steps.comesAndGoes(steps.live.get(lasting)));
        assertTrue(steps.live.get(lasting).lasting());
        assertFalse(steps.live.get(atTimes).lasting());
        assertFalse(steps.comesAndGoes(steps.live.get(hypothesis(steps, "weak:contact:a"))), "it has a resistance");
    }

    /** A contact is open at its switch or at the joint of a leg, a third each. */
    @Test
    void anOpenContactIsTakenApartByPlaces() {
        Steps steps = steps(seen(""), seen("a"), seen("b", 2), seen("c", 3), seen("lamp", 4));
        List<Steps.Hypothesis> open = steps.live.stream()
                .filter(h ->
                        h.faults.length == 1 && known.table().fault(h.faults[0]).equals(new Fault.ContactOpen("a")))
                .toList();
        assertEquals(
                List.of(0, 1, 2),
                open.stream().map(h -> h.place().orElseThrow()).toList());
        assertEquals(open.get(0).weight, open.get(1).weight, 1e-12);
        assertEquals(open.get(0).weight, open.get(2).weight, 1e-12);
        assertTrue(open.get(0).sameFaults(open.get(2)));
        assertFalse(open.get(0).sameFaults(steps.live.get(hypothesis(steps, "open:D1"))));
        assertEquals(1, open.get(0).needs());
        // What tells the contact from its wire, and where it is open, is the meter.
        List<Option> splitting = steps.splitting(steps.classOf[hypothesis(steps, "open:contact:a")]);
        assertTrue(splitting.size() > 1, "probes " + splitting.size());
        assertTrue(splitting.stream().allMatch(o -> o.probe().isPresent()));
        double before = Double.POSITIVE_INFINITY;
        double[] weight = steps.weight;
        int[] own = IntStream.range(0, weight.length).toArray();
        for (Option option : splitting) {
            double now = option.bits(weight, own, own.length) / option.effort();
            before = Math.min(before, now);
            assertTrue(now > 0);
        }
        for (Option option : steps.grading(steps.classOf[hypothesis(steps, "open:contact:a")])) {
            assertEquals(ProbeMode.RESISTANCE, option.probe().orElseThrow().mode());
        }
    }

    @Test
    void moreIsWhatComesForSureWithTheOneAndNotWithTheOther() {
        Steps steps = steps(seen(""), seen("a"), seen("b"));
        Option c = option(steps, "c").orElseThrow();
        int silent = hypothesis(steps, "silent");
        int contacts = hypothesis(steps, "open:contact:a", "open:contact:b");
        assertEquals(List.of(new Input.Button(3)), steps.more(c, contacts, silent));
        assertEquals(List.of(), steps.more(c, silent, contacts));
        assertFalse(steps.seen(c));
        assertTrue(c.parts(silent, contacts));
    }

    /**
     * Two rows of a matrix that a short to the supply and an open pin make as dead: only a chord tells them apart, and the open one is
     * likelier by its prior; what confirms it is asked for, best first, and parts the two.
     */
    @Test
    void whatConfirmsTheLeadingClassPartsItFromARivalThatNeedsAsFew() {
        Circuit bare = Circuit.of(PlanMaker.matrix(2, 3, Contact.Diode.NONE).plan());
        Diagnoser diagnoser = new Diagnoser(bare, DiagnosisSettings.WHILE_WAITING);
        List<Observation> seen = new ArrayList<>();
        Fault truth = Fault.parse("open:R2", bare.plan());
        seen.add(new Observation(
                new TreeSet<>(), bare.with(List.of(truth)).read(List.of()).on()));
        bare.plan()
                .actions()
                .forEach(a -> seen.add(new Observation(
                        new TreeSet<>(Set.of(a.id())),
                        bare.with(List.of(truth)).read(List.of(a.id())).on())));
        Steps steps = steps(diagnoser, seen);
        List<Option> confirming = steps.confirming(steps.weight);
        double[] sums = steps.classWeights(steps.weight);
        int leader = IntStream.range(0, sums.length)
                .boxed()
                .max(java.util.Comparator.comparingDouble(c -> sums[c]))
                .orElseThrow();
        int leading = IntStream.range(0, steps.live.size())
                .filter(h -> steps.classOf[h] == leader)
                .findFirst()
                .orElseThrow();
        List<Integer> rivals = IntStream.range(0, steps.live.size())
                .filter(h -> steps.classOf[h] != leader && steps.live.get(h).faults.length == 1)
                .boxed()
                .toList();
        assertFalse(confirming.isEmpty());
        for (Option option : confirming) {
            assertTrue(option.probe().isEmpty() && !option.hold().isEmpty());
            assertTrue(
                    rivals.stream().anyMatch(r -> option.parts(leading, r)),
                    option.hold().toString());
        }
    }

    /** A box that nobody pressed yet is good, or one of all faults: a press is worth something, the meter is not asked. */
    @Test
    void aSlipIsAskedForAgainAndWhatFailsAtTimesUntilFourTries() {
        Observation good = seen("b", 2);
        List<Observation> seen =
                new ArrayList<>(List.of(seen(""), seen("a", 1), seen("a"), good, seen("c", 3), seen("lamp", 4)));
        NextStep first = known.diagnose(seen, List.of()).press().orElseThrow();
        assertEquals(List.of("a"), first.hold());
        assertEquals(Purpose.REPEAT, first.purpose());
        seen.add(seen("a"));
        seen.add(seen("a", 1));
        assertTrue(
                known.diagnose(seen, List.of()).next().stream()
                        .noneMatch(
                                s -> s.purpose() == Purpose.REPEAT && s.hold().equals(List.of("a"))),
                "four tries are enough");
    }

    @Test
    void probabilitiesAndWhatIsLeftAddUpToOne() {
        for (List<Observation> seen : List.of(
                List.of(seen(""), seen("a")),
                List.of(seen(""), seen("a", 1), seen("b", 2)),
                List.of(seen("", 1), seen("a", 1), seen("b", 1, 2)))) {
            Diagnosis found = known.diagnose(seen, List.of());
            double sum = found.explanations().stream()
                    .mapToDouble(Explanation::probability)
                    .sum();
            assertEquals(1, sum + found.somethingElse(), 1e-9);
            assertTrue(found.somethingElse() > 0);
            double[] given = found.explanations().stream()
                    .mapToDouble(Explanation::probability)
                    .toArray();
            double[] sorted =
                    Arrays.stream(given).map(p -> -p).sorted().map(p -> -p).toArray();
            assertArrayEquals(sorted, given, 1e-3, "likeliest first");
        }
    }

    /** Settled is what nothing is left to be done about; and enough is 95 %. */
    @Test
    void theVerdictSaysWhetherItIsSettledAndHowSure() {
        Set<String> said = new TreeSet<>();
        for (List<Observation> seen : List.of(
                List.of(seen(""), seen("a")),
                List.of(seen(""), seen("a"), seen("b", 2), seen("c", 3), seen("lamp", 4)),
                List.of(seen(""), seen("a", 1), seen("b", 2), seen("c", 3), seen("lamp", 4)))) {
            Diagnosis found = known.diagnose(seen, List.of());
            boolean enough = found.explanations().get(0).probability() >= 0.95;
            String start = found.settled()
                    ? enough ? "settled: one explanation" : "nothing that can be pressed"
                    : enough ? "not settled: the likeliest explanation holds .* but others" : "not settled: .*[%]$";
            assertTrue(
                    found.verdict().text().matches(start.endsWith("$") ? start : start + ".*"),
                    found.verdict().text());
            said.add(found.verdict().text().replaceAll("[0-9]", ""));
        }
        assertTrue(said.size() > 1, said::toString);
    }

    @Test
    void anInputThatThePlanDoesNotHaveIsToldOf() {
        Diagnosis found = known.diagnose(List.of(seen("a", 9)), List.of());
        assertTrue(found.unexplained());
        assertEquals(List.of(), found.explanations());
        assertEquals(1, found.somethingElse());
        assertTrue(found.settled());
        assertTrue(found.verdict().text().contains("button 9"), found.verdict().text());
    }

    /** Five controls in nine dead in no order, sets of two at most: nothing accounts for it, and that many are said to have been tried. */
    @Test
    void whereNothingAccountsForItThatIsSaid() {
        Diagnoser two = new Diagnoser(PINS, new DiagnosisSettings(0, 0.5, 0.5, 0.95, 0, 0, 1));
        Diagnosis found = two.diagnose(List.of(seen("", 1), seen("a", 2), seen("b", 3), seen("c", 4)), List.of());
        assertTrue(found.unexplained());
        assertEquals(
                "no set of up to one fault accounts for everything that was seen",
                found.verdict().text().replace("faults", "fault"));
    }
}
