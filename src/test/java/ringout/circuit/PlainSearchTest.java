package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;

/** Every position of thousands of random boxes against plain search over the wires and diodes as built. */
class PlainSearchTest {
    private static final int CASES = 4000;

    private enum Level { OFF, MARGINAL, ON }

    @ParameterizedTest
    @EnumSource(Supply.class)
    void everyPositionReadsAsPlainSearchSays(Supply supply) {
        Map<Level, Integer> seen = new EnumMap<>(Level.class);
        for (int seed = 0; seed < CASES; seed++) {
            AsBuilt.Case box = AsBuilt.random(new Random(seed), 4, 5, 2, seed % 4 == 0);
            Map<String, Level> expected = search(box, supply);
            Map<String, Level> actual = scan(box, supply);
            String what = "seed " + seed + ": " + box;
            assertEquals(expected, actual, what);
            actual.values().forEach(level -> seen.merge(level, 1, Integer::sum));
        }
        assertTrue(seen.get(Level.ON) > 5000 && seen.get(Level.OFF) > 10_000 && seen.get(Level.MARGINAL) > 200, seen.toString());
    }

    /** More nets than one machine word has bits. */
    @Test
    void boxesOfManyLinesReadAsPlainSearchSays() {
        for (int seed = 0; seed < 60; seed++) {
            AsBuilt.Case box = AsBuilt.random(new Random(seed), 6, 6, 90, seed % 2 == 0);
            assertEquals(search(box, Supply.V5), scan(box, Supply.V5), "seed " + seed + ": " + box);
        }
    }

    private static Map<String, Level> scan(AsBuilt.Case box, Supply supply) {
        Circuit circuit = Circuit.of(box.plan(), supply);
        long[] worked = new long[circuit.words()];
        box.worked().forEach(id -> worked[circuit.contactIndex(id) >>> 6] |= 1L << circuit.contactIndex(id));
        long[] on = new long[circuit.words()];
        long[] marginal = new long[circuit.words()];
        circuit.with(box.faults()).scan(worked, on, marginal);
        Map<String, Level> levels = new TreeMap<>();
        for (int i = 0; i < circuit.contacts().size(); i++) {
            boolean isOn = (on[i >>> 6] >>> i & 1) != 0;
            boolean isMarginal = (marginal[i >>> 6] >>> i & 1) != 0;
            assertTrue(!(isOn && isMarginal));
            levels.put(circuit.contacts().get(i).id(), isOn ? Level.ON : isMarginal ? Level.MARGINAL : Level.OFF);
        }
        return levels;
    }

    private static Map<String, Level> search(AsBuilt.Case box, Supply supply) {
        AsBuilt built = new AsBuilt(box.plan(), box.faults(), box.worked());
        Graph graph = new Graph(built);
        Map<String, Level> levels = new TreeMap<>();
        Plan plan = box.plan();
        boolean dead = graph.distances(Set.of(AsBuilt.SUPPLY), Set.of(), true, 0).containsKey(AsBuilt.GROUND);
        for (Contact contact : plan.contacts()) {
            String driven = AsBuilt.drivenFor(plan, contact);
            String pin = built.pinOf.get(AsBuilt.sensedFor(plan, contact));
            Scan.Active active = driven != null ? plan.scan().active() : directActive(plan);
            Level level = dead ? Level.OFF : level(graph, built, active, driven, pin, supply);
            if (!dead && driven == null && level == Level.OFF && directActive(plan) == plan.scan().active()) {
                for (Line line : AsBuilt.driven(plan)) {
                    if (level(graph, built, active, line.name(), pin, supply) != Level.OFF) {
                        level = Level.MARGINAL;
                    }
                }
            }
            levels.put(contact.id(), level);
        }
        return levels;
    }

    private static Scan.Active directActive(Plan plan) {
        return plan.scan().directTo() == Scan.DirectTo.GROUND ? Scan.Active.LOW : Scan.Active.HIGH;
    }

    private static Level level(Graph graph, AsBuilt built, Scan.Active active, String driven, String pin, Supply supply) {
        boolean low = active == Scan.Active.LOW;
        String rail = low ? AsBuilt.GROUND : AsBuilt.SUPPLY;
        String against = low ? AsBuilt.SUPPLY : AsBuilt.GROUND;
        Set<String> held = graph.distances(Set.of(rail), Set.of(), low, 0).keySet();
        Set<String> clamped = graph.distances(Set.of(against), Set.of(), low, 0).keySet();
        Set<String> contested = new HashSet<>(graph.distances(Set.of(against), held, !low, 99).keySet());
        contested.addAll(clamped);
        Set<String> sources = new HashSet<>(Set.of(rail));
        if (driven != null) {
            sources.add(built.pinOf.get(driven));
        }
        Integer certain = graph.distances(sources, contested, low, 99).get(pin);
        if (certain != null && certain <= supply.activeWithin(active)) {
            return Level.ON;
        }
        boolean directLow = directActive(built.plan) == Scan.Active.LOW;
        if (directActive(built.plan) != built.plan.scan().active()) {
            // Resistors that pull to the level: those of inputs that are active at the other one.
            List<Line> pulled = directLow == low ? AsBuilt.sensed(built.plan) : built.plan.lines(Line.Kind.DIRECT);
            if (!AsBuilt.sensed(built.plan).isEmpty()) {
                pulled.forEach(line -> sources.add(built.pinOf.get(line.name())));
            }
        }
        Integer possible = graph.distances(sources, clamped, low, 99).get(pin);
        return possible != null && possible < supply.inactiveFrom(active) ? Level.MARGINAL : Level.OFF;
    }

    /** The wires and diodes as an explicit graph, searched edge by edge until nothing changes. */
    private record Graph(AsBuilt built) {
        /**
         * Fewest diodes between sources and every node reached.
         *
         * @param upstream true to go from cathode to anode, against the current
         */
        Map<String, Integer> distances(Set<String> sources, Set<String> blocked, boolean upstream, int most) {
            Map<String, Integer> distance = new HashMap<>();
            sources.stream().filter(node -> !blocked.contains(node)).forEach(node -> distance.put(node, 0));
            boolean changed = true;
            while (changed) {
                changed = false;
                for (AsBuilt.Wire wire : built.wires) {
                    changed |= relax(distance, wire.a(), wire.b(), 0, blocked, most);
                    changed |= relax(distance, wire.b(), wire.a(), 0, blocked, most);
                }
                for (AsBuilt.Diode diode : built.diodes) {
                    changed |= relax(distance, upstream ? diode.cathode() : diode.anode(), upstream ? diode.anode() : diode.cathode(), 1,
                            blocked, most);
                }
            }
            return distance;
        }

        private static boolean relax(Map<String, Integer> distance, String from, String to, int drops, Set<String> blocked, int most) {
            Integer start = distance.get(from);
            if (start == null || blocked.contains(to) || start + drops > most
                    || distance.getOrDefault(to, Integer.MAX_VALUE) <= start + drops) {
                return false;
            }
            distance.put(to, start + drops);
            return true;
        }
    }
}
