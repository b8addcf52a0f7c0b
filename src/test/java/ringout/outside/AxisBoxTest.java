package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.bench.Advisor;
import ringout.circuit.Fault;
import ringout.diagnosis.Explanation;
import ringout.hid.Input;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/**
 * Whole guided checks of boxes whose levers are resistors between supply, ground and a converter: what is wrong with one
 * must be among what the first explanation names. {@code -Dtest.argLine=-Dringout.axes=200} for so many boxes of every sort,
 * {@code -Dringout.axes.from=1001} for others than those that thresholds were tuned on, {@code -Dringout.axes.pulled=true}
 * for a firmware that has left the pull-up of the converter's pins on.
 */
class AxisBoxTest {
    private static final int FEW = 3;
    private static final boolean PULLED = Boolean.getBoolean("ringout.axes.pulled");
    private static final int FROM = Integer.getInteger("ringout.axes.from", 1);

    private static final Plan PLAN = PlanReader.read("""
            ringout: 1
            box: { name: Driver's desk }
            lines:
              rows: { R1: pin 4, R2: pin 5 }
              columns: { C1: pin 8, C2: pin 9 }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row, supply: 5 V }
            controls:
              - { id: bell, kind: push, at: [R1, C1], input: button 1 }
              - { id: horn, kind: push, at: [R1, C2], input: button 2 }
              - { id: lamp, kind: push, at: [R2, C1], input: button 3 }
              - { id: wash, kind: push, at: [R2, C2], input: button 4 }
              - { id: brake, kind: axis, input: axis Z, pin: A0, high: full brake, range: 90 % }
              - { id: power, kind: axis, input: axis Y, pin: A1, high: full power, range: 90 % }
            """, "desk").plan().orElseThrow();
    private static final Input BRAKE = Input.parse("axis Z").orElseThrow();
    private static final Input POWER = Input.parse("axis Y").orElseThrow();

    /** What is done to the brake, or to both. */
    private enum Wrong {
        NOTHING(""),
        WIPER_OFF("axis-open:brake.wiper"),
        GROUND_OFF("axis-open:brake.ground"),
        SUPPLY_OFF("axis-open:brake.supply"),
        ENDS("axis-exchange:brake.ends"),
        WIPER_GROUND("axis-exchange:brake.wiper-ground"),
        WIPER_SUPPLY("axis-exchange:brake.wiper-supply"),
        LOOSE_GROUND("intermittent:axis-open:brake.ground"),
        LOOSE_SUPPLY("intermittent:axis-open:brake.supply"),
        WORN("axis-worn:brake"),
        PINS("exchange:brake,power");

        final String named;

        Wrong(String named) {
            this.named = named;
        }
    }

    private record Checked(Guided.Told told, DividerBox.Floating floating) {}

    private static Checked check(Wrong wrong, long seed) {
        SplittableRandom random = new SplittableRandom(seed * 31 + wrong.ordinal());
        boolean swapped = wrong == Wrong.PINS;
        DividerBox.Lever brake = new DividerBox.Lever(swapped ? POWER : BRAKE, random.nextDouble(5e3, 50e3));
        DividerBox.Lever power = new DividerBox.Lever(swapped ? BRAKE : POWER, random.nextDouble(5e3, 50e3));
        Map<Divider.Wire, Divider.Lug> wires = brake.wires;
        switch (wrong) {
            case WIPER_OFF -> wires.put(Divider.Wire.INPUT, Divider.Lug.NOWHERE);
            case GROUND_OFF -> wires.put(Divider.Wire.GROUND, Divider.Lug.NOWHERE);
            case SUPPLY_OFF -> wires.put(Divider.Wire.SUPPLY, Divider.Lug.NOWHERE);
            case ENDS -> exchange(wires, Divider.Wire.GROUND, Divider.Wire.SUPPLY);
            case WIPER_GROUND -> exchange(wires, Divider.Wire.GROUND, Divider.Wire.INPUT);
            case WIPER_SUPPLY -> exchange(wires, Divider.Wire.SUPPLY, Divider.Wire.INPUT);
            case LOOSE_GROUND -> brake.loose = Divider.Wire.GROUND;
            case LOOSE_SUPPLY -> brake.loose = Divider.Wire.SUPPLY;
            case WORN -> brake.wornAt = random.nextDouble(0.3, 0.7);
            case NOTHING, PINS -> {}
        }
        // A pull that was left on bends every reading; here it is only one of the things that a pin does which nothing
        // holds.
        DividerBox.Floating drawn = DividerBox.Floating.values()[
                random.nextInt(wrong == Wrong.WIPER_OFF ? DividerBox.Floating.values().length : 2)];
        DividerBox.Floating floating = PULLED ? DividerBox.Floating.PULLED : drawn;
        Chip chip = Chip.draw(PLAN, random);
        DividerBox box = new DividerBox(
                new LiveBox(PLAN, new Soldered(PLAN, chip, List.of()), seed),
                Map.of(BRAKE, brake, POWER, power),
                List.of(POWER, BRAKE),
                floating,
                chip.volts(),
                seed);
        Hand hand = new Hand(PLAN, box, Hand.Manners.CAREFUL, seed);
        return new Checked(new Guided(PLAN, box, hand, Advisor.measuring(PLAN, 0)).run(), floating);
    }

    private static void exchange(Map<Divider.Wire, Divider.Lug> wires, Divider.Wire one, Divider.Wire other) {
        Divider.Lug kept = wires.put(one, wires.get(other));
        wires.put(other, kept);
    }

    private static boolean names(Explanation explanation, Wrong wrong) {
        List<String> sets = explanation.alternatives().stream()
                .map(set -> String.join(" ", set.stream().map(Fault::text).toList()))
                .toList();
        return sets.contains(wrong.named);
    }

    @Test
    void namesWhatIsWrongWithALever() {
        int boxes = Integer.getInteger("ringout.axes", FEW);
        StringBuilder table = new StringBuilder();
        List<String> missed = new ArrayList<>();
        int certain = 0;
        int right = 0;
        for (Wrong wrong : Wrong.values()) {
            int named = 0;
            for (int seed = FROM; seed < FROM + boxes; seed++) {
                Checked checked = check(wrong, seed);
                List<Explanation> explanations = checked.told().diagnosis().explanations();
                boolean found = !explanations.isEmpty() && names(explanations.get(0), wrong);
                named += found ? 1 : 0;
                // That nothing is wrong which could be seen is said of a worn place, too, that never showed.
                if (!explanations.isEmpty()
                        && !explanations.get(0).healthy()
                        && explanations.get(0).probability() >= 0.95) {
                    certain++;
                    right += found ? 1 : 0;
                }
                if (wrong == Wrong.NOTHING && checked.told().findings() > 0) {
                    missed.add("a good box with findings: " + checked.told().log());
                }
                if (!found) {
                    missed.add(wrong + " " + seed + " " + checked.floating() + ": "
                            + (explanations.isEmpty()
                                    ? "none"
                                    : explanations.get(0).text()) + "\n"
                            + checked.told().observations().stream()
                                    .filter(o -> o.swept().isPresent())
                                    .toList() + "\n"
                            + String.join("\n", checked.told().log()));
                }
            }
            table.append(String.format(Locale.ROOT, "%-14s %3d of %3d named%n", wrong, named, boxes));
        }
        table.append(right).append(" right of ").append(certain).append(" stated at 95 % or more");
        System.out.println(table);
        assertTrue(right >= 0.95 * certain, table + "\n" + missed);
        assertTrue(missed.size() <= 0.1 * boxes * Wrong.values().length, table + "\n" + String.join("\n", missed));
    }

    @TempDir
    private Path folder;

    @Test
    void theDividerAgreesWithSpice() throws Exception {
        boolean there = Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator))
                .anyMatch(p -> Files.isExecutable(Path.of(p, "ngspice")));
        assumeTrue(there, "ngspice is missing (Debian: sudo apt-get install ngspice)");
        SplittableRandom random = new SplittableRandom(17);
        List<String> lines = new ArrayList<>(List.of("* dividers"));
        Map<String, Double> mine = new LinkedHashMap<>();
        for (int i = 0; i < 200; i++) {
            Map<Divider.Wire, Divider.Lug> wires = new EnumMap<>(Divider.Wire.class);
            for (Divider.Wire wire : Divider.Wire.values()) {
                wires.put(wire, Divider.Lug.values()[random.nextInt(Divider.Lug.values().length)]);
            }
            Divider divider = new Divider(
                    random.nextDouble(1e3, 100e3),
                    random.nextDouble(1, 500),
                    random.nextDouble(5e6, 500e6),
                    random.nextBoolean() ? Double.POSITIVE_INFINITY : random.nextDouble(20e3, 50e3),
                    random.nextBoolean() ? 5 : 3.3);
            double place = random.nextDouble();
            double lift = random.nextInt(4) == 0 ? 20e6 : 0;
            String name = "b" + i;
            lines.addAll(divider.spice(name, wires, place, lift));
            mine.put(Divider.inputNode(name), divider.input(wires, place, lift));
        }
        lines.addAll(List.of(".options gmin=1e-15", ".control", "op", "print all", "quit", ".endc", ".end"));
        Path file = folder.resolve("dividers.cir");
        Files.write(file, lines);
        Process process = new ProcessBuilder("ngspice", "-b", file.toString())
                .redirectErrorStream(true)
                .start();
        process.getOutputStream().close();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        process.waitFor();
        Map<String, Double> theirs = new HashMap<>();
        Matcher value = Pattern.compile("(?m)^(b\\S+) = (\\S+)$").matcher(said);
        while (value.find()) {
            theirs.put(value.group(1), Double.parseDouble(value.group(2)));
        }
        assertEquals(200, mine.size());
        mine.forEach(
                (node, volts) -> assertEquals(volts, theirs.getOrDefault(node, Double.NaN), 0.005, node + "\n" + said));
    }
}
