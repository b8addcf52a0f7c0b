package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.Program;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;

/**
 * The model against circuit simulation: the voltages ngspice finds at the inputs of random small boxes, with up to
 * three faults and any controls held, must lie where the model says. Netlists come straight from plan and faults.
 *
 * <p>Prints how often the model and the simulation call an input marginal; docs/electrical-model.md quotes it. More
 * cases: {@code mvn test -Dtest=SpiceTest -Dtest.argLine=-Dspice.cases=5000}.
 */
class SpiceTest {
    private static final int CASES = Integer.getInteger("spice.cases", 1000);
    private static final int RESISTIVE = Integer.getInteger("spice.resistive", 600);
    private static final int CASES_PER_DECK = 20;

    /** A common small-signal silicon switching diode; parameters as widely published, from memory. */
    private static final String DIODE_MODEL =
            ".model small D(IS=2.52n RS=0.568 N=1.752 CJO=4p M=0.4 TT=20n BV=100 IBV=0.1u)";

    /** Ohms of hook-up wire and a joint, and of a short. From memory: a metre of 0.25 mm2 copper has about 0.07. */
    private static final double WIRE_OHMS = 0.05;

    /** Ohms of the pull resistors inside common microcontrollers: 20 to 50 thousand. */
    private static final double LEAST_PULL = 20_000;

    private static final double MOST_PULL = 50_000;

    /** Ohms of a driving pin of common microcontrollers, from memory of their data sheets. */
    private static final double LEAST_DRIVER = 20;

    private static final double MOST_DRIVER = 50;

    private static final Pattern VOLTAGE = Pattern.compile("^v\\((\\w+)\\) = (\\S+)$");

    @TempDir
    private Path folder;

    /** A box at a supply; {@code pullOhms} is 0 for a random resistor at every input. */
    private record Voltages(AsBuilt.Case box, Supply supply, double volts, int number, double pullOhms) {
        static Voltages of(AsBuilt.Case box, boolean five, int number, double pullOhms) {
            return new Voltages(box, five ? Supply.V5 : Supply.V3_3, five ? 5.0 : 3.3, number, pullOhms);
        }

        /** The name of a node of this case while that line is driven, or none. */
        String node(String driven, String node) {
            return node.equals(AsBuilt.GROUND)
                    ? "0"
                    : ("n" + number + "_" + (driven == null ? "idle" : driven) + "_" + node)
                            .replaceAll("[^A-Za-z0-9]", "_")
                            .toLowerCase(Locale.ROOT);
        }
    }

    @Test
    void voltagesAtTheInputsLieWhereTheModelSays() throws Exception {
        assumeTrue(
                Program.installed("ngspice"),
                "ngspice is not installed (Debian package ngspice), so the model cannot be compared with it");
        List<Voltages> cases = new ArrayList<>();
        for (int seed = 0; cases.size() < CASES; seed++) {
            AsBuilt.Case box = AsBuilt.random(new Random(seed), 3, 4, 2, seed % 4 >= 2);
            if (!shortsSupply(box)) {
                cases.add(Voltages.of(box, seed % 2 == 0, cases.size(), 0));
            }
        }
        Map<String, Integer> tally = compare(cases);
        int marginal = sum(tally, "model marginal");
        int inputs = sum(tally, "model");
        assertTrue(
                sum(tally, "simulation between") > 0,
                "no voltage lay between the thresholds, so nothing was shown about them");
        assertTrue(marginal < inputs / 20, "the model hides behind \"marginal\": " + marginal + " of " + inputs);
    }

    /**
     * Weak joints and leaks of every resistance that the model knows, alone, together and beside one hard fault: where it
     * is certain, the voltage must lie there, and where it is not, it must have been in doubt for a reason.
     */
    @Test
    void resistancesNeverLeaveWhatTheModelAllows() throws Exception {
        assumeTrue(
                Program.installed("ngspice"),
                "ngspice is not installed (Debian package ngspice), so weak joints and leaks cannot be compared with it");
        List<Voltages> cases = new ArrayList<>();
        for (int seed = 0; cases.size() < RESISTIVE; seed++) {
            AsBuilt.Case box = AsBuilt.resistive(new Random(40_000 + seed), 3, 4, 2);
            if (!shortsSupply(box)
                    && box.faults().stream().anyMatch(f -> f.hard().isPresent())) {
                cases.add(Voltages.of(box, seed % 2 == 0, cases.size(), 0));
            }
        }
        Map<String, Integer> tally = compare(cases);
        assertTrue(
                sum(tally, "simulation between") > 0,
                "no voltage lay between the thresholds, so nothing was shown about resistances");
    }

    /**
     * Sixteen columns, all held on one row whose shorted diode lets their current through to another: every pull-up's
     * current goes through one diode and one driver, the most two drops can come to.
     */
    @Test
    void aWideMatrixStaysInsideTheConstants() throws Exception {
        assumeTrue(
                Program.installed("ngspice"),
                "ngspice is not installed (Debian package ngspice), so the constants cannot be compared with it");
        Plan plan = PlanMaker.matrix(2, 16, Contact.Diode.CATHODE_ROW).plan();
        List<String> worked = new ArrayList<>(List.of("b-1-1"));
        for (int c = 1; c <= 16; c++) {
            worked.add("b-2-" + c);
        }
        AsBuilt.Case box = new AsBuilt.Case(plan, List.of(new Fault.DiodeShort("b-2-1")), worked);
        Map<String, Integer> tally =
                compare(List.of(Voltages.of(box, true, 0, LEAST_PULL), Voltages.of(box, false, 1, LEAST_PULL)));
        assertEquals(32, tally.get("5.0 V, model on, simulation on"), tally.toString());
        assertEquals(17, tally.get("3.3 V, model on, simulation on"), tally.toString());
    }

    /**
     * A staircase R1, C1, R2, C2 and so on whose diodes all point down to R1: while R1 is driven, column n lies behind
     * 2n - 1 diodes, or one fewer where the first is bridged. Shows at which count an input stops reading active, and
     * from which it surely does not.
     */
    @Test
    void everyNumberOfDropsReadsAsTheConstantsSay() throws Exception {
        assumeTrue(
                Program.installed("ngspice"),
                "ngspice is not installed (Debian package ngspice), so the constants cannot be compared with it");
        int steps = 7;
        PlanMaker maker = PlanMaker.box().rows(steps).columns(steps);
        for (int n = 1; n <= steps; n++) {
            maker.diode(Contact.Diode.CATHODE_ROW).push("down-" + n, "R" + n, "C" + n);
            if (n < steps) {
                maker.diode(Contact.Diode.CATHODE_COLUMN).push("back-" + n, "R" + (n + 1), "C" + n);
            }
        }
        // What is read at the far columns while R1 is driven; never held.
        maker.diode(Contact.Diode.NONE);
        for (int n = 2; n <= steps; n++) {
            maker.push("far-" + n, "R1", "C" + n);
        }
        Plan plan = maker.plan();
        List<String> worked = plan.contacts().stream()
                .map(Contact::id)
                .filter(id -> !id.startsWith("far"))
                .toList();
        AsBuilt.Case odd = new AsBuilt.Case(plan, List.of(), worked);
        AsBuilt.Case even = new AsBuilt.Case(plan, List.of(new Fault.DiodeShort("down-1")), worked);
        List<Voltages> cases = new ArrayList<>();
        for (AsBuilt.Case box : List.of(odd, even)) {
            for (boolean five : new boolean[] {true, false}) {
                for (double pull : new double[] {LEAST_PULL, MOST_PULL}) {
                    cases.add(Voltages.of(box, five, cases.size(), pull));
                }
            }
        }
        compare(cases);
        Map<String, Double> voltages = simulate(cases);
        for (Voltages one : cases) {
            AsBuilt built = new AsBuilt(plan, one.box.faults(), one.box.worked());
            for (int n = 1; n <= steps; n++) {
                System.out.printf(
                        Locale.ROOT,
                        "spice: %.1f V, pull-ups %.0f kilohms, %d drops: %.2f V%n",
                        one.volts,
                        one.pullOhms / 1000,
                        2 * n - (one.box == odd ? 1 : 2),
                        voltages.get(one.node("R1", built.pinOf.get("C" + n))));
            }
        }
    }

    private static int sum(Map<String, Integer> tally, String what) {
        return tally.entrySet().stream()
                .filter(entry -> entry.getKey().contains(what))
                .mapToInt(Map.Entry::getValue)
                .sum();
    }

    /** Simulates the cases and says how often what came out; fails where the model is certain of something else. */
    private Map<String, Integer> compare(List<Voltages> cases) throws IOException, InterruptedException {
        Map<String, Double> voltages = new HashMap<>();
        for (int from = 0; from < cases.size(); from += CASES_PER_DECK) {
            voltages.putAll(simulate(cases.subList(from, Math.min(cases.size(), from + CASES_PER_DECK))));
        }
        Map<String, Integer> tally = new TreeMap<>();
        List<String> wrong = new ArrayList<>();
        cases.forEach(one -> compare(one, voltages, tally, wrong));
        tally.forEach((what, count) -> System.out.println("spice: " + what + ": " + count));
        assertEquals(List.of(), wrong);
        return tally;
    }

    private static void compare(
            Voltages one, Map<String, Double> voltages, Map<String, Integer> tally, List<String> wrong) {
        Plan plan = one.box.plan();
        AsBuilt built = new AsBuilt(plan, one.box.faults(), one.box.worked());
        Circuit circuit = Circuit.of(plan, one.supply);
        long[] worked = new long[circuit.words()];
        one.box.worked().forEach(id -> worked[circuit.contactIndex(id) >>> 6] |= 1L << circuit.contactIndex(id));
        long[] on = new long[circuit.words()];
        long[] marginal = new long[circuit.words()];
        circuit.with(one.box.faults()).scan(worked, on, marginal);
        Map<String, PlainSearch.Verdict> reasons = PlainSearch.read(one.box, one.supply);
        for (int i = 0; i < circuit.contacts().size(); i++) {
            Contact contact = circuit.contacts().get(i);
            String pin = built.pinOf.get(AsBuilt.sensedFor(plan, contact));
            String driven = AsBuilt.drivenFor(plan, contact);
            Scan.Active active =
                    driven == null ? directActive(plan) : plan.scan().active();
            double volts = voltages.get(one.node(driven, pin));
            String truth = level(volts / one.volts, active);
            if (driven == null && truth.equals("off")) {
                // A direct pin that some driven line pulls down reads as the firmware's timing has it.
                for (Line line : AsBuilt.driven(plan)) {
                    if (!level(voltages.get(one.node(line.name(), pin)) / one.volts, active)
                            .equals("off")) {
                        truth = "depends on timing";
                    }
                }
            }
            String said = (on[i >>> 6] >>> i & 1) != 0 ? "on" : (marginal[i >>> 6] >>> i & 1) != 0 ? "marginal" : "off";
            String supply = one.volts + " V";
            String reason = said.equals("marginal") ? " (" + reasons.get(contact.id()).words + ")" : "";
            tally.merge(supply + ", model " + said + reason + ", simulation " + truth, 1, Integer::sum);
            boolean decided = truth.equals("on") || truth.equals("off");
            if (!said.equals("marginal") && !(decided && said.equals(truth))) {
                wrong.add(contact.id() + " is " + said + " but " + String.format(Locale.ROOT, "%.3f V at ", volts)
                        + supply + " (" + truth + "), case " + one.number + ": " + one.box);
            }
        }
    }

    private static String level(double fraction, Scan.Active active) {
        boolean low = fraction < Supply.LOW_FRACTION;
        boolean high = fraction > Supply.HIGH_FRACTION;
        return low || high ? low == (active == Scan.Active.LOW) ? "on" : "off" : "between";
    }

    private static Scan.Active directActive(Plan plan) {
        return plan.scan().directTo() == Scan.DirectTo.GROUND ? Scan.Active.LOW : Scan.Active.HIGH;
    }

    /** Ground tied to the supply: no board runs on that, and no voltage of a simulation would mean anything. */
    private static boolean shortsSupply(AsBuilt.Case box) {
        AsBuilt built = new AsBuilt(box.plan(), box.faults(), box.worked());
        TreeSet<String> net = new TreeSet<>(List.of(AsBuilt.GROUND));
        boolean grew = true;
        while (grew) {
            grew = false;
            for (AsBuilt.Wire wire : built.wires) {
                if (net.contains(wire.a()) || net.contains(wire.b())) {
                    grew |= net.add(wire.a());
                    grew |= net.add(wire.b());
                }
            }
        }
        return net.contains(AsBuilt.SUPPLY);
    }

    private Map<String, Double> simulate(List<Voltages> cases) throws IOException, InterruptedException {
        StringBuilder deck = new StringBuilder("boxes\n").append(DIODE_MODEL).append('\n');
        TreeSet<String> wanted = new TreeSet<>();
        for (Voltages one : cases) {
            deck(one, deck, wanted);
        }
        deck.append(".control\nop\n");
        wanted.stream()
                .filter(node -> !node.equals("0"))
                .forEach(node -> deck.append("print v(").append(node).append(")\n"));
        deck.append("quit\n.endc\n.end\n");
        Path file = folder.resolve("deck" + cases.get(0).number + ".cir");
        Path output = folder.resolve("deck" + cases.get(0).number + ".out");
        Files.writeString(file, deck);
        Process ngspice = new ProcessBuilder("ngspice", "-b", file.toString())
                .redirectErrorStream(true)
                .redirectOutput(output.toFile())
                .start();
        assertTrue(ngspice.waitFor(120, TimeUnit.SECONDS), "ngspice does not end");
        Map<String, Double> voltages = new HashMap<>();
        List<String> lines = Files.readAllLines(output);
        for (String line : lines) {
            Matcher m = VOLTAGE.matcher(line.strip());
            if (m.matches()) {
                voltages.put(m.group(1), Double.parseDouble(m.group(2)));
            }
        }
        wanted.remove("0");
        assertEquals(
                wanted.size(), voltages.size(), () -> String.join("\n", lines.subList(0, Math.min(40, lines.size()))));
        voltages.put("0", 0.0);
        return voltages;
    }

    /** One island per driven line, and one with none driven. */
    private static void deck(Voltages one, StringBuilder deck, TreeSet<String> wanted) {
        Plan plan = one.box.plan();
        AsBuilt built = new AsBuilt(plan, one.box.faults(), one.box.worked());
        Random random = new Random(one.number);
        List<String> phases =
                new ArrayList<>(AsBuilt.driven(plan).stream().map(Line::name).toList());
        phases.add(null);
        Map<String, Double> pulls = new HashMap<>();
        Map<String, Double> drivers = new HashMap<>();
        Map<Fault, Double> ohms = new HashMap<>();
        plan.lines().forEach(line -> {
            pulls.put(
                    line.name(),
                    one.pullOhms > 0 ? one.pullOhms : LEAST_PULL + (MOST_PULL - LEAST_PULL) * random.nextDouble());
            drivers.put(
                    line.name(),
                    one.pullOhms > 0 ? MOST_DRIVER : LEAST_DRIVER + (MOST_DRIVER - LEAST_DRIVER) * random.nextDouble());
        });
        for (String driven : phases) {
            Netlist net = new Netlist(one, driven, deck);
            net.source(one.volts);
            built.wires.forEach(wire -> net.resistor(wire.a(), wire.b(), WIRE_OHMS));
            for (AsBuilt.Resistive r : built.resistive) {
                net.resistor(r.a(), r.b(), ohms.computeIfAbsent(r.fault(), f -> ohms(f, random)));
            }
            built.diodes.forEach(diode -> net.diode(diode.anode(), diode.cathode()));
            if (driven != null) {
                net.resistor(built.pinOf.get(driven), rail(plan.scan().active()), drivers.get(driven));
            }
            for (Line line : AsBuilt.sensed(plan)) {
                net.resistor(built.pinOf.get(line.name()), idleRail(plan.scan().active()), pulls.get(line.name()));
            }
            for (Line line : plan.lines(Line.Kind.DIRECT)) {
                net.resistor(built.pinOf.get(line.name()), idleRail(directActive(plan)), pulls.get(line.name()));
            }
            net.leak();
            for (Contact contact : plan.contacts()) {
                wanted.add(one.node(driven, built.pinOf.get(AsBuilt.sensedFor(plan, contact))));
            }
        }
    }

    /** Evenly over the decades of what the model takes for a weak joint or for a leak. */
    private static double ohms(Fault fault, Random random) {
        boolean weak = fault instanceof Fault.ContactWeak || fault instanceof Fault.LineWeak;
        double least = Math.log(weak ? Supply.WEAK_LEAST : Supply.LEAK_LEAST);
        double most = Math.log(weak ? Supply.WEAK_MOST : Supply.LEAK_MOST);
        return Math.exp(least + (most - least) * random.nextDouble());
    }

    private static String rail(Scan.Active active) {
        return active == Scan.Active.LOW ? AsBuilt.GROUND : AsBuilt.SUPPLY;
    }

    private static String idleRail(Scan.Active active) {
        return active == Scan.Active.LOW ? AsBuilt.SUPPLY : AsBuilt.GROUND;
    }

    private static final class Netlist {
        private final Voltages one;
        private final String driven;
        private final StringBuilder deck;
        private final TreeSet<String> nodes = new TreeSet<>();
        private int elements;

        Netlist(Voltages one, String driven, StringBuilder deck) {
            this.one = one;
            this.driven = driven;
            this.deck = deck;
        }

        private String node(String name) {
            String node = one.node(driven, name);
            nodes.add(node);
            return node;
        }

        private String element(String letter) {
            return letter + one.number + "_" + (driven == null ? "idle" : driven) + "_" + elements++;
        }

        void source(double volts) {
            deck.append(element("V"))
                    .append(' ')
                    .append(node(AsBuilt.SUPPLY))
                    .append(" 0 ")
                    .append(volts)
                    .append('\n');
        }

        void resistor(String a, String b, double ohms) {
            String from = node(a);
            String to = node(b);
            if (!from.equals(to)) {
                deck.append(element("R"))
                        .append(' ')
                        .append(from)
                        .append(' ')
                        .append(to)
                        .append(' ')
                        .append(ohms)
                        .append('\n');
            }
        }

        void diode(String anode, String cathode) {
            deck.append(element("D"))
                    .append(' ')
                    .append(node(anode))
                    .append(' ')
                    .append(node(cathode))
                    .append(" small\n");
        }

        /** Ten gigaohms to ground at every node, so that the simulator can solve for those that float. */
        void leak() {
            nodes.remove("0");
            nodes.forEach(
                    node -> deck.append(element("R")).append(' ').append(node).append(" 0 10G\n"));
        }
    }
}
