package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.sat4j.core.VecInt;
import org.sat4j.minisat.SolverFactory;
import org.sat4j.specs.ContradictionException;
import org.sat4j.specs.ISolver;
import org.sat4j.specs.TimeoutException;
import ringout.Thorough;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.circuit.Supply;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/**
 * The smallest explanations against a Boolean satisfiability solver (Sat4j) on matrices too large for trying every set.
 *
 * <p>The other side shares neither search nor circuit: wires, joints, switches and diodes are clauses straight from the
 * plan. An input seen off needs a set of nodes that holds the driven pin, is closed under conduction and leaves out the
 * input's pin. An input seen on needs a path, as layers: along a line, across a contact or a short, along a line, and so
 * on; with one control pressed and k faults no path needs more than k + 1 such crossings.
 *
 * <p>Faults covered: lines open at the pin or broken between joints, contacts open, closed or normally-closed, diodes
 * open, shorted or reversed, and lines shorted to each other. Not covered: exchanges, wrong pins, shorts to a rail and
 * faults that come and go; {@link BruteForceTest} has those on small boxes. At 5 V and up to two faults no level is
 * marginal: a path with three diodes in series needs two crossings back, which is four faults and the press.
 *
 * <p>{@code -Dringout.sat.rounds=N} adds N cases to each size, and 8 x 8 to the sizes; that takes minutes.
 */
class Sat4jTest {
    private static final DiagnosisSettings EXACT = new DiagnosisSettings(0.005, 0.5, 0.5, 0.95, 0, 0, 2);
    private static final int ROUNDS = Integer.getInteger("ringout.sat.rounds", 0);

    @ParameterizedTest
    @CsvSource({"4, 4, 3", "6, 6, 1", "8, 8, 0"})
    void smallestSetsAreThoseOfTheSolver(int rows, int columns, int cases) throws Exception {
        assumeTrue(cases + ROUNDS > 0, "runs with -Dringout.sat.rounds=1 or more");
        assumeTrue(
                rows == 4 || ROUNDS > 0 || Thorough.ALL,
                "takes long: on the build server, or with -Dringout.thorough=true");
        Random random = new Random(rows);
        int pairs = 0;
        for (int i = 0; i < cases + ROUNDS; i++) {
            for (Contact.Diode diode : List.of(Contact.Diode.NONE, Contact.Diode.CATHODE_ROW)) {
                Circuit circuit =
                        Circuit.of(PlanMaker.matrix(rows, columns, diode).plan(), Supply.V5);
                List<Fault> faults = circuit.singleFaults().stream()
                        .filter(Sat4jTest::covered)
                        .toList();
                List<Fault> truth =
                        List.of(faults.get(random.nextInt(faults.size())), faults.get(random.nextInt(faults.size())));
                List<Observation> seen = Boxes.check(circuit, truth, random, 0);
                TreeSet<String> expected = smallest(circuit.plan(), faults, seen);
                assertEquals(expected, found(circuit, faults, seen), () -> "hidden: " + truth);
                pairs += expected.first().contains(", ") ? 1 : 0;
            }
        }
        assertTrue(rows > 4 || pairs > 0, "some cases need two faults");
    }

    static boolean covered(Fault f) {
        return f instanceof Fault.LineOpen
                || f instanceof Fault.LineBroken
                || f instanceof Fault.ContactOpen
                || f instanceof Fault.ContactClosed
                || f instanceof Fault.NormallyClosed
                || f instanceof Fault.DiodeOpen
                || f instanceof Fault.DiodeShort
                || f instanceof Fault.DiodeReversed
                || f instanceof Fault.LinesShorted s
                        && !s.second().equals(Fault.GROUND)
                        && !s.second().equals(Fault.SUPPLY);
    }

    static TreeSet<String> found(Circuit circuit, List<Fault> faults, List<Observation> seen) {
        Diagnoser diagnoser = new Diagnoser(circuit, faults, EXACT);
        List<Candidate> candidates = diagnoser.candidates(diagnoser.evidence(seen, List.of()));
        int least = candidates.stream().mapToInt(c -> c.faults().length).min().orElse(-1);
        TreeSet<String> sets = new TreeSet<>();
        candidates.stream()
                .filter(c -> c.faults().length == least)
                .forEach(c -> sets.add(Boxes.text(diagnoser.table(), c)));
        return sets;
    }

    /** All sets of the fewest faults, up to two, that the clauses allow. */
    static TreeSet<String> smallest(Plan plan, List<Fault> faults, List<Observation> seen) throws TimeoutException {
        for (int most = 0; most <= 2; most++) {
            TreeSet<String> sets = new TreeSet<>();
            try {
                Clauses clauses = new Clauses(plan, faults, seen, most);
                clauses.solver.addAtMost(
                        new VecInt(IntStream.rangeClosed(1, faults.size()).toArray()), most);
                while (clauses.solver.isSatisfiable()) {
                    int[] set = Arrays.stream(clauses.solver.model())
                            .filter(v -> v > 0 && v <= faults.size())
                            .toArray();
                    sets.add(new TreeSet<>(Arrays.stream(set)
                                    .mapToObj(v -> faults.get(v - 1).text())
                                    .toList())
                            .toString());
                    clauses.solver.addClause(
                            new VecInt(Arrays.stream(set).map(v -> -v).toArray()));
                }
            } catch (ContradictionException none) {
                // The clauses contradict each other before any search: there are no more sets.
            }
            if (!sets.isEmpty()) {
                return sets;
            }
        }
        throw new AssertionError("two faults were hidden, yet the clauses have no set of two");
    }

    /** The box and what was seen of it. Variables from 1 on are the faults; a minus negates. */
    private static final class Clauses {
        final ISolver solver = SolverFactory.newDefault();
        private final Plan plan;
        private final Map<String, Integer> faultVar = new HashMap<>();
        private final Map<String, Integer> nodes = new HashMap<>();
        /** Pairs of nodes next to each other on a wire, with the fault that parts them or 0. */
        private final List<int[]> wires = new ArrayList<>();
        /** By line, its nodes from the joint at the pin outwards, and the faults between each and the next or 0. */
        private final List<int[]> runs = new ArrayList<>();

        private final List<int[]> breaks = new ArrayList<>();
        /** Two nodes and the fault that joins them. */
        private final List<int[]> shorts = new ArrayList<>();

        private final Map<String, int[]> conducts = new HashMap<>();
        private int variables;

        Clauses(Plan plan, List<Fault> faults, List<Observation> seen, int most) throws ContradictionException {
            this.plan = plan;
            faults.forEach(f -> faultVar.put(f.text(), ++variables));
            for (Line line : plan.lines()) {
                List<String> names = new ArrayList<>(List.of("head " + line.name()));
                line.contacts().forEach(c -> names.add("joint " + line.name() + " " + c));
                names.forEach(this::node);
                int[] gaps = new int[names.size() - 1];
                for (int i = 1; i < gaps.length; i++) {
                    gaps[i] = fault(
                            "open:" + line.name() + "@after:" + line.contacts().get(i - 1));
                }
                runs.add(names.stream().mapToInt(this::node).toArray());
                breaks.add(gaps);
                wires.add(new int[] {node("pin " + line.name()), node(names.get(0)), fault("open:" + line.name())});
                for (int i = 0; i < gaps.length; i++) {
                    wires.add(new int[] {node(names.get(i)), node(names.get(i + 1)), gaps[i]});
                }
            }
            for (Fault fault : faults) {
                if (fault instanceof Fault.LinesShorted s) {
                    shorts.add(new int[] {node("head " + s.first()), node("head " + s.second()), fault(fault.text())});
                }
            }
            for (Contact contact : plan.contacts()) {
                conducts.put(contact.id() + " rest", conduction(contact, false));
                conducts.put(contact.id() + " worked", conduction(contact, true));
            }
            for (Observation observation : seen) {
                for (Line row : plan.lines(Line.Kind.ROW)) {
                    off(observation, row);
                }
                for (Contact contact : plan.contacts()) {
                    if (observation.on().contains(contact.input().orElseThrow())) {
                        on(observation, (Wiring.Crossing) contact.wiring(), most + 1);
                    }
                }
            }
        }

        private int node(String name) {
            return nodes.computeIfAbsent(name, k -> nodes.size());
        }

        /** The fault's variable, or 0 where this box cannot have it. */
        private int fault(String text) {
            return faultVar.getOrDefault(text, 0);
        }

        private int[] edge(Contact contact, Observation observation) {
            return conducts.get(contact.id() + (observation.held().contains(contact.id()) ? " worked" : " rest"));
        }

        private int joint(String line, Contact contact) {
            return node("joint " + line + " " + contact.id());
        }

        /** Literals that say whether the search can spread from row to column, and from column to row. */
        private int[] conduction(Contact contact, boolean worked) throws ContradictionException {
            String id = contact.id();
            int inverted = fault("normally-closed:" + id);
            if (inverted == 0) {
                throw new AssertionError("how is a normally-closed contact written? " + faultVar.keySet());
            }
            int closed =
                    and(-fault("open:contact:" + id), or(fault("closed:contact:" + id), worked ? -inverted : inverted));
            if (contact.diode() == Contact.Diode.NONE) {
                return new int[] {closed, closed};
            }
            int bridged = fault("diode-short:" + id);
            int there = -fault("diode-open:" + id);
            int turned = fault("diode-reversed:" + id);
            // The cathode is at the row, and rows are driven low: the search goes against the current.
            return new int[] {
                and(closed, or(bridged, and(there, -turned))), and(closed, or(bridged, and(there, turned)))
            };
        }

        private int and(int a, int b) throws ContradictionException {
            int both = ++variables;
            clause(-both, a);
            clause(-both, b);
            clause(both, -a, -b);
            return both;
        }

        private int or(int a, int b) throws ContradictionException {
            return -and(-a, -b);
        }

        private void clause(int... literals) throws ContradictionException {
            solver.addClause(new VecInt(literals));
        }

        /** Some set holds the driven pin, is closed under conduction, and has no pin of an input that was seen off. */
        private void off(Observation observation, Line row) throws ContradictionException {
            int base = variables + 1;
            variables += nodes.size();
            clause(base + node("pin " + row.name()));
            for (int[] wire : wires) {
                spread(base, wire[0], wire[1], wire[2]);
                spread(base, wire[1], wire[0], wire[2]);
            }
            for (int[] s : shorts) {
                spread(base, s[0], s[1], -s[2]);
                spread(base, s[1], s[0], -s[2]);
            }
            for (Contact contact : plan.contacts()) {
                Wiring.Crossing at = (Wiring.Crossing) contact.wiring();
                int[] edge = edge(contact, observation);
                spread(base, joint(at.row(), contact), joint(at.column(), contact), -edge[0]);
                spread(base, joint(at.column(), contact), joint(at.row(), contact), -edge[1]);
                if (at.row().equals(row.name())
                        && !observation.on().contains(contact.input().orElseThrow())) {
                    clause(-(base + node("pin " + at.column())));
                }
            }
        }

        /** From one node to the other unless that literal holds. */
        private void spread(int base, int from, int to, int unless) throws ContradictionException {
            if (unless == 0) {
                clause(-(base + from), base + to);
            } else {
                clause(-(base + from), base + to, unless);
            }
        }

        /** Some path leads from the driven pin to the pin that is read. */
        private void on(Observation observation, Wiring.Crossing at, int crossings) throws ContradictionException {
            List<List<Integer>> why = reasons();
            int start = ++variables;
            why.get(node("head " + at.row())).add(start);
            clause(-start, -fault("open:" + at.row()));
            int layer = layer(why);
            List<Integer> arrivals = new ArrayList<>();
            for (int i = 0; i <= crossings; i++) {
                if (i > 0) {
                    layer = cross(observation, layer);
                }
                layer = along(layer);
                arrivals.add(layer + node("head " + at.column()));
            }
            clause(-fault("open:" + at.column()));
            clause(arrivals.stream().mapToInt(Integer::intValue).toArray());
        }

        private List<List<Integer>> reasons() {
            List<List<Integer>> why = new ArrayList<>();
            nodes.forEach((name, node) -> why.add(new ArrayList<>()));
            return why;
        }

        /** A variable per node, each true only for one of its reasons. */
        private int layer(List<List<Integer>> why) throws ContradictionException {
            int base = variables + 1;
            variables += nodes.size();
            for (int n = 0; n < why.size(); n++) {
                int[] clause = new int[why.get(n).size() + 1];
                clause[0] = -(base + n);
                for (int i = 1; i < clause.length; i++) {
                    clause[i] = why.get(n).get(i - 1);
                }
                clause(clause);
            }
            return base;
        }

        private int along(int from) throws ContradictionException {
            List<List<Integer>> why = reasons();
            for (int l = 0; l < runs.size(); l++) {
                int[] run = runs.get(l);
                for (int i = 0; i < run.length; i++) {
                    why.get(run[i]).add(from + run[i]);
                    for (int j = 0; j < run.length; j++) {
                        if (i != j) {
                            int step = step(from + run[j], why.get(run[i]));
                            for (int gap = Math.min(i, j); gap < Math.max(i, j); gap++) {
                                if (breaks.get(l)[gap] != 0) {
                                    clause(-step, -breaks.get(l)[gap]);
                                }
                            }
                        }
                    }
                }
            }
            return layer(why);
        }

        private int cross(Observation observation, int from) throws ContradictionException {
            List<List<Integer>> why = reasons();
            for (int[] s : shorts) {
                clause(-step(from + s[0], why.get(s[1])), s[2]);
                clause(-step(from + s[1], why.get(s[0])), s[2]);
            }
            for (Contact contact : plan.contacts()) {
                Wiring.Crossing at = (Wiring.Crossing) contact.wiring();
                int row = joint(at.row(), contact);
                int column = joint(at.column(), contact);
                int[] edge = edge(contact, observation);
                clause(-step(from + row, why.get(column)), edge[0]);
                clause(-step(from + column, why.get(row)), edge[1]);
            }
            return layer(why);
        }

        private int step(int from, List<Integer> why) throws ContradictionException {
            int step = ++variables;
            clause(-step, from);
            why.add(step);
            return step;
        }
    }
}
