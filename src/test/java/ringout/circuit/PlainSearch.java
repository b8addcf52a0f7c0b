package ringout.circuit;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;

/** What every position reads, by slow and plain search over the wires and diodes as built. */
final class PlainSearch {
    /** Off, on, or why it is marginal. */
    enum Verdict {
        OFF("off"),
        ON("on"),
        DROPS("several diodes in series"),
        FIGHT("ground and supply both reach it"),
        PULLS("pull-up against pull-down"),
        TIMING("a direct pin on a line that is scanned");

        final String words;

        Verdict(String words) {
            this.words = words;
        }
    }

    private PlainSearch() {}

    /** The verdict on every position, by the id of the contact planned there. */
    static Map<String, Verdict> read(AsBuilt.Case box, Supply supply) {
        AsBuilt built = new AsBuilt(box.plan(), box.faults(), box.worked());
        Graph graph = new Graph(built);
        Map<String, Verdict> verdicts = new TreeMap<>();
        Plan plan = box.plan();
        boolean dead =
                graph.distances(Set.of(AsBuilt.SUPPLY), Set.of(), true, 0).containsKey(AsBuilt.GROUND);
        for (Contact contact : plan.contacts()) {
            String driven = AsBuilt.drivenFor(plan, contact);
            String pin = built.pinOf.get(AsBuilt.sensedFor(plan, contact));
            Scan.Active active = driven != null ? plan.scan().active() : directActive(plan);
            Verdict verdict = dead ? Verdict.OFF : level(graph, built, active, driven, pin, supply);
            if (!dead
                    && driven == null
                    && verdict == Verdict.OFF
                    && directActive(plan) == plan.scan().active()) {
                for (Line line : AsBuilt.driven(plan)) {
                    if (level(graph, built, active, line.name(), pin, supply) != Verdict.OFF) {
                        verdict = Verdict.TIMING;
                    }
                }
            }
            verdicts.put(contact.id(), verdict);
        }
        return verdicts;
    }

    private static Scan.Active directActive(Plan plan) {
        return plan.scan().directTo() == Scan.DirectTo.GROUND ? Scan.Active.LOW : Scan.Active.HIGH;
    }

    private static Verdict level(
            Graph graph, AsBuilt built, Scan.Active active, String driven, String pin, Supply supply) {
        boolean low = active == Scan.Active.LOW;
        String rail = low ? AsBuilt.GROUND : AsBuilt.SUPPLY;
        String against = low ? AsBuilt.SUPPLY : AsBuilt.GROUND;
        Set<String> held = graph.distances(Set.of(rail), Set.of(), low, 0).keySet();
        Set<String> clamped = graph.distances(Set.of(against), Set.of(), low, 0).keySet();
        Set<String> contested =
                new HashSet<>(graph.distances(Set.of(against), held, !low, 99).keySet());
        contested.addAll(clamped);
        Set<String> sources = new HashSet<>(Set.of(rail));
        if (driven != null) {
            sources.add(built.pinOf.get(driven));
        }
        Integer certain = graph.distances(sources, contested, low, 99).get(pin);
        if (certain != null && certain <= supply.activeWithin(active)) {
            return Verdict.ON;
        }
        if (certain != null && certain < supply.inactiveFrom(active)) {
            return Verdict.DROPS;
        }
        Integer fought = graph.distances(sources, clamped, low, 99).get(pin);
        if (fought != null && fought < supply.inactiveFrom(active)) {
            return Verdict.FIGHT;
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
        return possible != null && possible < supply.inactiveFrom(active) ? Verdict.PULLS : Verdict.OFF;
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
                    changed |= relax(
                            distance,
                            upstream ? diode.cathode() : diode.anode(),
                            upstream ? diode.anode() : diode.cathode(),
                            1,
                            blocked,
                            most);
                }
            }
            return distance;
        }

        private static boolean relax(
                Map<String, Integer> distance, String from, String to, int drops, Set<String> blocked, int most) {
            Integer start = distance.get(from);
            if (start == null
                    || blocked.contains(to)
                    || start + drops > most
                    || distance.getOrDefault(to, Integer.MAX_VALUE) <= start + drops) {
                return false;
            }
            distance.put(to, start + drops);
            return true;
        }
    }
}
