package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import ringout.Thorough;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.Scan;

/**
 * How often the diagnosis is right: boxes with hidden faults, checked by a builder who then takes the steps asked for.
 *
 * <p>The check: hands off, every control once, then the presses and chords that {@link Diagnosis#press} asks for by
 * itself, as the guided check does; no meter. Where that shows nothing, the chords offered for what no single press can
 * show.
 *
 * <p>The box answers from {@link ringout.circuit.Harness} and {@link ringout.circuit.Meter} with the hidden faults; what
 * "masked" and "a single fault explains it, too" mean is decided by asking the circuit for every single fault, not by
 * the search. All draws are seeded.
 *
 * <p>The short version, part of every build, leaves the 8 x 8 boxes out, and half of the pairs but on the build server. {@code -Dringout.accuracy=full} runs the long
 * version and prints its table; {@code -Dringout.accuracy.minutes=N} ends it after so long, with the number of cases it
 * came to, and {@code -Dringout.accuracy.seed=N} draws others. Figures of a run stand in {@code docs/diagnosis.md}.
 */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class AccuracyTest {
    private static final boolean FULL = "full".equals(System.getProperty("ringout.accuracy"));
    private static final long MINUTES = Long.getLong("ringout.accuracy.minutes", Long.MAX_VALUE);
    /** Other draws, to add to those of an earlier run. */
    private static final long SEED = 1000 * Long.getLong("ringout.accuracy.seed", 0);

    private static final int MOST_STEPS = 6;
    /** What the guided check uses; the short version gives up on sets of three and more sooner. */
    private static final DiagnosisSettings SETTINGS =
            FULL ? DiagnosisSettings.WHILE_WAITING : new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, 2, 500, 6);

    private record Box(
            String kind,
            Circuit circuit,
            Diagnoser diagnoser,
            Priors priors,
            List<Fault> singles,
            List<Fault> permanent) {
        static Box of(String kind, Plan plan) {
            Circuit circuit = Circuit.of(plan);
            List<Fault> singles = circuit.singleFaults();
            return new Box(
                    kind,
                    circuit,
                    new Diagnoser(circuit, SETTINGS),
                    new Priors(plan),
                    singles,
                    singles.stream()
                            .filter(f -> !(f instanceof Fault.Intermittent))
                            .toList());
        }

        Bench bench(List<Fault> truth, Random random) {
            return new Bench(circuit, diagnoser, truth, random);
        }
    }

    /** Counts under a name, for the table. */
    private static final class Tally {
        private final Map<String, Integer> counts = new LinkedHashMap<>();
        private final List<String> misses = new ArrayList<>();

        void add(String what, boolean yes) {
            add(what, yes ? 1 : 0);
        }

        void add(String what, int count) {
            counts.merge(what, count, Integer::sum);
        }

        int of(String what) {
            return counts.getOrDefault(what, 0);
        }

        void miss(String what) {
            misses.add(what);
        }
    }

    private static final List<String> TABLE = new ArrayList<>();
    private static List<List<Box>> kinds;

    @BeforeAll
    static void boxes() throws IOException {
        kinds = new ArrayList<>();
        for (String name : List.of("drivers-desk", "guards-panel", "lamp-switches")) {
            String yaml = Files.readString(Path.of("fixtures/plans", name + ".yaml"));
            kinds.add(List.of(Box.of(name, PlanReader.read(yaml, name).plan().orElseThrow())));
        }
        for (int size : FULL ? new int[] {4, 8} : new int[] {4}) {
            for (boolean diodes : new boolean[] {true, false}) {
                List<Box> some = new ArrayList<>();
                for (int seed = 0; seed < (FULL ? 12 : 2); seed++) {
                    some.add(Box.of(
                            size + "x" + size + (diodes ? ", diodes" : ", no diodes"),
                            random(size, diodes, new Random(seed))));
                }
                kinds.add(some);
            }
        }
        TABLE.add("| what | boxes | cases | share |");
        TABLE.add("| --- | --- | --- | --- |");
    }

    @AfterAll
    static void print() {
        TABLE.forEach(System.out::println);
    }

    /** A matrix scanned one way or the other, at most crossings a push button, wired in any order. */
    private static Plan random(int size, boolean diodes, Random random) {
        Scan.Drive drive = random.nextBoolean() ? Scan.Drive.ROWS : Scan.Drive.COLUMNS;
        Scan.Active active = random.nextBoolean() ? Scan.Active.LOW : Scan.Active.HIGH;
        // Current runs into an active-low driven line and out of an active-high one.
        boolean cathodeRow = drive == Scan.Drive.ROWS == (active == Scan.Active.LOW);
        PlanMaker maker = PlanMaker.box()
                .drive(drive)
                .active(active)
                .rows(size)
                .columns(size)
                .diode(
                        !diodes
                                ? Contact.Diode.NONE
                                : cathodeRow ? Contact.Diode.CATHODE_ROW : Contact.Diode.CATHODE_COLUMN);
        List<int[]> crossings = new ArrayList<>();
        for (int r = 1; r <= size; r++) {
            for (int c = 1; c <= size; c++) {
                crossings.add(new int[] {r, c});
            }
        }
        Collections.shuffle(crossings, random);
        for (int[] at : crossings.subList(0, crossings.size() - random.nextInt(size))) {
            maker.push("b-" + at[0] + "-" + at[1], "R" + at[0], "C" + at[1]);
        }
        return maker.plan();
    }

    private static void row(String what, String boxes, int cases, int good) {
        TABLE.add(String.format(
                Locale.ROOT,
                "| %s | %s | %d | %s |",
                what,
                boxes,
                cases,
                cases == 0 ? "-" : String.format(Locale.ROOT, "%.1f %% (%d)", 100.0 * good / cases, good)));
    }

    private static void mean(String what, String boxes, int cases, int sum) {
        TABLE.add(String.format(
                Locale.ROOT,
                "| %s | %s | %d | %s |",
                what,
                boxes,
                cases,
                cases == 0 ? "-" : String.format(Locale.ROOT, "%.2f", (double) sum / cases)));
    }

    private static String texts(List<Fault> faults) {
        return faults.stream().map(Fault::text).collect(Collectors.joining(" + "));
    }

    /** A case runs until the count is reached or, in the long version, its part of the time is over. */
    private static boolean more(long start, double share) {
        return !FULL || MINUTES == Long.MAX_VALUE || System.nanoTime() - start < share * MINUTES * 60e9;
    }

    @Test
    @Order(1)
    void oneFaultIsNamedFirst() {
        List<String> wrong = new ArrayList<>();
        long start = System.nanoTime();
        for (int k = 0; k < kinds.size(); k++) {
            Tally tally = new Tally();
            Box any = kinds.get(k).get(0);
            Random random = new Random(SEED + 11);
            List<Fault> faults = new ArrayList<>(any.permanent);
            Collections.shuffle(faults, random);
            for (int i = 0;
                    i < Math.min(FULL ? 500 : 20, faults.size()) && more(start, 0.15 * (k + 1) / kinds.size());
                    i++) {
                Box box = kinds.get(k).get(i % kinds.get(k).size());
                // Boxes of one kind differ in places, so the fault is drawn anew where there are several.
                single(
                        box,
                        List.of(kinds.get(k).size() == 1 ? faults.get(i) : byKind(box.permanent, random)),
                        tally,
                        random,
                        wrong);
            }
            int visible = tally.of("visible");
            row(
                    "one fault that single presses show: in the first class after these",
                    any.kind,
                    visible,
                    tally.of("at once"));
            row("and after the presses and chords that the check asks for then", any.kind, visible, tally.of("named"));
            mean("presses and chords asked for, on average", any.kind, visible, tally.of("steps"));
            mean("single faults in the first class, on average", any.kind, visible, tally.of("class"));
            row("one fault that single presses do not show", any.kind, tally.of("cases"), tally.of("hidden"));
            row("the chords offered in such a case show it", any.kind, tally.of("hidden"), tally.of("proved"));
            row("and it is in the first class", any.kind, tally.of("proved"), tally.of("proved first"));
        }
        print("not first", wrong);
        assertEquals(List.of(), wrong);
    }

    private static void single(Box box, List<Fault> truth, Tally tally, Random random, List<String> wrong) {
        Bench bench = box.bench(truth, random).check();
        Diagnosis checked = bench.diagnose();
        tally.add("cases", true);
        Diagnosis last;
        if (bench.explained(List.of())) {
            tally.add("hidden", true);
            last = bench.prove(checked, MOST_STEPS);
            boolean shown = !bench.explained(List.of());
            tally.add("proved", shown);
            tally.add("proved first", shown && Bench.first(last, truth));
        } else {
            last = bench.finish(checked, MOST_STEPS);
            tally.add("visible", true);
            tally.add("at once", Bench.first(checked, truth));
            tally.add("named", Bench.first(last, truth));
            tally.add("steps", bench.steps());
            tally.add("class", (int) last.explanations().get(0).alternatives().stream()
                    .filter(a -> a.size() == 1 && !(a.get(0) instanceof Fault.Intermittent))
                    .count());
        }
        // What nothing shows has to be listed with "nothing wrong", as what may still be there.
        if (!Bench.first(last, truth)) {
            wrong.add(box.kind + ": " + texts(truth) + " given as " + headline(last));
        }
    }

    /** For comparison, not for a promise: what happens not to show in one go cannot be named. */
    @Test
    @Order(2)
    void oneFaultThatComesAndGoesIsMostlyNamedWhereItShows() {
        Random random = new Random(SEED + 12);
        Tally tally = new Tally();
        long start = System.nanoTime();
        for (int i = 0; i < (FULL ? 700 : 10) && more(start, 0.05); i++) {
            Box box = kinds.get(i % kinds.size())
                    .get(i / kinds.size() % kinds.get(i % kinds.size()).size());
            List<Fault> truth = List.of(byPrior(
                    box,
                    box.singles.stream()
                            .filter(Fault.Intermittent.class::isInstance)
                            .toList(),
                    random));
            Bench bench = box.bench(truth, random).check();
            tally.add("cases", true);
            if (!bench.explained(List.of())) {
                Diagnosis last = bench.finish(bench.diagnose(), MOST_STEPS);
                Fault lasting = ((Fault.Intermittent) truth.get(0)).fault();
                tally.add("shown", true);
                tally.add("named", Bench.first(last, truth) || Bench.first(last, List.of(lasting)));
            }
        }
        row("one fault that comes and goes: shows in the check", "all", tally.of("cases"), tally.of("shown"));
        row(
                "of these, it or the same fault that lasts is in the first class after the check",
                "all",
                tally.of("shown"),
                tally.of("named"));
        assertTrue(tally.of("named") >= 0.8 * tally.of("shown"), tally.of("named") + " of " + tally.of("shown"));
    }

    private static String headline(Diagnosis diagnosis) {
        return diagnosis.explanations().isEmpty()
                ? diagnosis.verdict().text()
                : texts(diagnosis.explanations().get(0).alternatives().get(0)) + " at "
                        + String.format(
                                Locale.ROOT,
                                "%.3f",
                                diagnosis.explanations().get(0).probability())
                        + (diagnosis.settled() ? ", settled" : ", not settled")
                        + (diagnosis.budgetHit() ? ", budget hit" : "");
    }

    private static void print(String what, List<String> cases) {
        if (FULL) {
            cases.stream().limit(60).forEach(c -> System.out.println(what + ": " + c));
        }
    }

    /** Every kind of fault as often, then every place of it. */
    private static Fault byKind(List<Fault> faults, Random random) {
        Map<Class<?>, List<Fault>> by = faults.stream()
                .collect(Collectors.groupingBy(Fault::getClass, LinkedHashMap::new, Collectors.toList()));
        List<List<Fault>> lists = List.copyOf(by.values());
        List<Fault> list = lists.get(random.nextInt(lists.size()));
        return list.get(random.nextInt(list.size()));
    }

    /** As often as the priors say. */
    private static Fault byPrior(Box box, List<Fault> faults, Random random) {
        double total = faults.stream().mapToDouble(box.priors::of).sum();
        double at = random.nextDouble() * total;
        for (Fault fault : faults) {
            at -= box.priors.of(fault);
            if (at < 0) {
                return fault;
            }
        }
        return faults.get(faults.size() - 1);
    }

    private static List<Fault> pair(Box box, boolean prior, Random random) {
        while (true) {
            Fault one = prior ? byPrior(box, box.permanent, random) : byKind(box.permanent, random);
            Fault other = prior ? byPrior(box, box.permanent, random) : byKind(box.permanent, random);
            if (!one.equals(other)) {
                return List.of(one, other);
            }
        }
    }

    @Test
    @Order(3)
    void twoFaultsAreNamedAfterAtMostSixSteps() {
        pairs(true);
    }

    @Test
    @Order(4)
    void twoFaultsOfAnyKindAreNamedAfterAtMostSixSteps() {
        pairs(false);
    }

    private static void pairs(boolean prior) {
        int wanted = FULL ? 2000 : Thorough.of(21, 40);
        Random random = new Random(SEED + (prior ? 21 : 22));
        Tally tally = new Tally();
        Map<String, Tally> byBox = new LinkedHashMap<>();
        long start = System.nanoTime();
        for (int i = 0; tally.of("proper") < wanted && more(start, 0.2); i++) {
            List<Box> kind = kinds.get(i % kinds.size());
            Box box = kind.get(i / kinds.size() % kind.size());
            List<Fault> truth = pair(box, prior, random);
            Bench bench = box.bench(truth, random).check();
            tally.add("drawn", true);
            if (bench.explained(List.of())) {
                tally.add("nothing shows", true);
            } else if (truth.stream().anyMatch(f -> bench.explained(List.of(f)))) {
                tally.add("masked", true);
                masked(box, bench, truth, tally, random);
            } else if (bench.explainedBySingle(box.singles)) {
                tally.add("looks like one", true);
            } else {
                tally.add("proper", true);
                Tally own = byBox.computeIfAbsent(box.kind, b -> new Tally());
                own.add("proper", true);
                Diagnosis checked = bench.diagnose();
                tally.add("at once", Bench.first(checked, truth));
                Diagnosis last = bench.follow(checked, MOST_STEPS);
                tally.add("steps", bench.steps());
                boolean named = Bench.first(last, truth);
                tally.add("named", named);
                own.add("named", named);
                if (!named) {
                    tally.miss(box.kind + ": " + texts(truth) + " given as " + headline(last));
                }
            }
        }
        String draw = prior ? "drawn by the priors" : "every kind as often";
        row("two faults, " + draw + ": nothing shows", "all", tally.of("drawn"), tally.of("nothing shows"));
        row("two faults, " + draw + ": one masks the other", "all", tally.of("drawn"), tally.of("masked"));
        row(
                "two faults, " + draw + ": another single fault would do the same",
                "all",
                tally.of("drawn"),
                tally.of("looks like one"));
        row("of the rest, both named after the check alone", "all", tally.of("proper"), tally.of("at once"));
        row("of the rest, both named after at most six steps", "all", tally.of("proper"), tally.of("named"));
        mean("steps taken, on average", "all", tally.of("proper"), tally.of("steps"));
        byBox.forEach((box, own) -> row("likewise", box, own.of("proper"), own.of("named")));
        row("masked: the visible one is first", "all", tally.of("masked"), tally.of("visible first"));
        row(
                "masked: the other changes nothing that single presses and the chords offered show, and is listed as such",
                "all",
                tally.of("visible first"),
                tally.of("second never shows"));
        row("masked: after its repair the other is first", "all", tally.of("second"), tally.of("second first"));
        print("two faults, " + draw, tally.misses);
        assertTrue(tally.of("proper") >= 20, "cases: " + tally.of("proper"));
        assertTrue(
                tally.of("named") >= 0.95 * tally.of("proper"),
                tally.of("named") + " of " + tally.of("proper") + ": " + tally.misses);
        assertEquals(tally.of("masked"), tally.of("visible first"), () -> "visible one not first: " + tally.misses);
        assertEquals(tally.of("second"), tally.of("second first"), () -> "second not first: " + tally.misses);
    }

    /** One fault accounts for all that was seen of two: it has to come first, and the other once it was repaired. */
    private static void masked(Box box, Bench bench, List<Fault> truth, Tally tally, Random random) {
        Diagnosis last = bench.finish(bench.diagnose(), MOST_STEPS);
        List<Fault> visible =
                truth.stream().filter(f -> Bench.first(last, List.of(f))).toList();
        boolean found = !visible.isEmpty() || Bench.first(last, truth);
        tally.add("visible first", found);
        if (!found) {
            tally.miss("masked, " + box.kind + ": " + texts(truth) + " given as " + headline(last));
            return;
        }
        List<Fault> left = truth.stream()
                .filter(f -> visible.isEmpty() ? f.equals(truth.get(1)) : !f.equals(visible.get(0)))
                .toList();
        Bench again = box.bench(left, random).check();
        Diagnosis second = again.prove(again.diagnose(), MOST_STEPS);
        if (again.explained(List.of())) {
            tally.add("second never shows", true);
            assertTrue(
                    Bench.first(second, left),
                    () -> box.kind + ": " + texts(left) + " is not listed as what may still be there");
            return;
        }
        tally.add("second", true);
        tally.add("second first", Bench.first(second, left));
        if (!Bench.first(second, left)) {
            tally.miss("after repair, " + box.kind + ": " + texts(left) + " given as " + headline(second));
        }
    }

    @Test
    @Order(5)
    void oneSlipDoesNotMislead() {
        int wanted = FULL ? 1000 : 20;
        Random random = new Random(SEED + 31);
        long start = System.nanoTime();
        for (int faults = 1; faults <= (FULL ? 2 : 1); faults++) {
            Tally tally = new Tally();
            for (int i = 0; tally.of("drawn") < wanted && more(start, 0.06 * faults); i++) {
                List<Box> kind = kinds.get(i % kinds.size());
                Box box = kind.get(i / kinds.size() % kind.size());
                List<Fault> truth =
                        faults == 1 ? List.of(byPrior(box, box.permanent, random)) : pair(box, true, random);
                Bench clean = box.bench(truth, random).check();
                if (faults == 1 ? clean.explained(List.of()) : clean.explainedBySingle(box.singles)) {
                    continue;
                }
                Bench bench = box.bench(truth, random).checkWithOneSlip();
                tally.add("drawn", true);
                // The one press that would have shown the fault may be the one that went wrong.
                boolean lost = faults == 1 ? bench.explained(List.of()) : bench.explainedBySingle(box.singles);
                Diagnosis last = bench.follow(bench.diagnose(), MOST_STEPS);
                boolean named = Bench.first(last, truth);
                tally.add(lost ? "lost" : "cases", true);
                tally.add(lost ? "lost named" : "named", named);
                if (!named) {
                    tally.miss(box.kind + ": " + (lost ? "lost, " : "") + texts(truth) + " given as " + headline(last));
                }
            }
            String what = "one slip in the presses, " + (faults == 1 ? "one fault" : "two faults");
            row(
                    what + ", named after at most six steps",
                    "all",
                    tally.of("drawn"),
                    tally.of("named") + tally.of("lost named"));
            row(
                    "the slip took the place of a press without which the fault does not show",
                    "all",
                    tally.of("drawn"),
                    tally.of("lost"));
            row("of these, named", "all", tally.of("lost"), tally.of("lost named"));
            row("of the rest, named", "all", tally.of("cases"), tally.of("named"));
            print("one slip", tally.misses);
            assertTrue(
                    tally.of("named") + tally.of("lost named") >= 0.9 * tally.of("drawn"),
                    tally.of("named") + " and " + tally.of("lost named") + " of " + tally.of("drawn") + ": "
                            + tally.misses);
        }
    }

    @Test
    @Order(6)
    void whatIsGivenAtNinetyFivePercentIsRightThatOften() {
        int wanted = FULL ? 10_000 : 60;
        Random random = new Random(SEED + 41);
        Tally tally = new Tally();
        long start = System.nanoTime();
        for (int i = 0; tally.of("cases") < wanted && more(start, 0.28); i++) {
            List<Box> kind = kinds.get(i % kinds.size());
            Box box = kind.get(i / kinds.size() % kind.size());
            List<Fault> truth = faulty(box, random);
            Bench bench = box.bench(truth, random).check();
            Diagnosis checked = bench.diagnose();
            tally.add("cases", true);
            judge("check", checked, truth, box, tally);
            judge("steps", bench.follow(checked, MOST_STEPS), truth, box, tally);
        }
        row("faulty boxes in which nothing shows, called healthy", "all", tally.of("cases"), tally.of("check healthy"));
        row(
                "the likeliest explanation of the others is at 95 % or more after the check alone",
                "all", tally.of("cases") - tally.of("check healthy"), tally.of("check given"));
        row("and right", "all", tally.of("check given"), tally.of("check right"));
        row(
                "at 95 % or more after at most six steps",
                "all", tally.of("cases") - tally.of("steps healthy"), tally.of("steps given"));
        row("and right", "all", tally.of("steps given"), tally.of("steps right"));
        print("given at 95 % and wrong", tally.misses);
        assertTrue(tally.of("steps given") > 20, "given: " + tally.of("steps given"));
        for (String when : List.of("check", "steps")) {
            assertTrue(
                    tally.of(when + " right") >= 0.95 * tally.of(when + " given"),
                    () -> when + ": " + tally.of(when + " right") + " of " + tally.of(when + " given") + ": "
                            + tally.misses);
        }
    }

    /** An explanation that says nothing shows is not counted: no fault set is easier to be right about. */
    private static void judge(String when, Diagnosis diagnosis, List<Fault> truth, Box box, Tally tally) {
        if (diagnosis.explanations().isEmpty()) {
            return;
        }
        Explanation first = diagnosis.explanations().get(0);
        if (first.healthy()) {
            tally.add(when + " healthy", true);
        } else if (first.probability() >= 0.95) {
            tally.add(when + " given", true);
            tally.add(when + " right", Bench.right(first, truth));
            if (!Bench.right(first, truth)) {
                tally.miss(when + ", " + box.kind + ": " + texts(truth) + " given as " + headline(diagnosis));
            }
        }
    }

    /** Every fault of the table is there or not as its prior says; at least one is. */
    private static List<Fault> faulty(Box box, Random random) {
        while (true) {
            List<Fault> truth = new ArrayList<>();
            for (Fault fault : box.singles) {
                Fault base = fault instanceof Fault.Intermittent i ? i.fault() : fault;
                if (random.nextDouble() < box.priors.of(fault) && !truth.contains(base)) {
                    truth.add(fault);
                }
            }
            if (!truth.isEmpty()) {
                return truth;
            }
        }
    }
}
