package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.plan.Contact;
import ringout.plan.Plan;

/**
 * The solver against ngspice, for boxes with joints of 1 to 100 kΩ, leaks of 1 to 200 kΩ and up to two hard faults beside
 * them, up to three contacts held: every node of every phase of the scan. {@code -Dtest.argLine=-Dringout.spice=500} for so
 * many boxes instead of a few. Skipped where ngspice is missing.
 */
class NetworkSpiceTest {
    private static final int FEW = 40;
    private static final int BOXES_A_FILE = 10;
    /** Of the threshold of an input, which is 1.5 V and more off either rail, this is nothing. */
    private static final double VOLTS = 0.005;

    private static final Pattern VALUE = Pattern.compile("^(b\\S+) = (\\S+)$");

    @TempDir
    private Path folder;

    @Test
    void solverAgreesWithSpice() throws Exception {
        boolean there = Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator))
                .anyMatch(p -> Files.isExecutable(Path.of(p, "ngspice")));
        assumeTrue(there, "ngspice is missing (Debian: sudo apt-get install ngspice)");
        int boxes = Integer.getInteger("ringout.spice", FEW);
        int nodes = 0;
        List<String> different = new ArrayList<>();
        for (int first = 0; first < boxes; first += BOXES_A_FILE) {
            Map<String, Double> mine = new HashMap<>();
            Map<String, String> what = new HashMap<>();
            List<String> lines = new ArrayList<>(List.of("* boxes from " + first));
            for (int seed = first; seed < Math.min(boxes, first + BOXES_A_FILE); seed++) {
                box(seed, lines, mine, what);
            }
            lines.add(".model switching D(IS=2.52n N=1.752)");
            lines.add(".options temp=26.85 tnom=26.85");
            lines.add(".control");
            lines.add("op");
            lines.add("print all");
            lines.add("quit");
            lines.add(".endc");
            lines.add(".end");
            Map<String, Double> theirs = simulate(lines);
            for (Map.Entry<String, Double> entry : mine.entrySet()) {
                Double volts = theirs.get(entry.getKey());
                assertTrue(volts != null, "ngspice says nothing of " + entry.getKey());
                nodes++;
                if (Math.abs(volts - entry.getValue()) > VOLTS) {
                    different.add(what.get(entry.getKey()) + " " + entry.getKey() + ": ngspice " + volts + ", here "
                            + entry.getValue());
                }
            }
        }
        System.out.println(boxes + " boxes, " + nodes + " voltages against ngspice, " + different.size() + " differ");
        assertEquals(List.of(), different.stream().limit(10).toList());
    }

    private static void box(int seed, List<String> lines, Map<String, Double> mine, Map<String, String> what) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Plan> plans = List.copyOf(Emulated.PLANS.values());
        Plan plan = plans.get(random.nextInt(plans.size()));
        List<Mistake> mistakes = new ArrayList<>();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            mistakes.add(random.nextBoolean() ? Cases.weak(random, plan) : Cases.leak(random, plan));
        }
        for (int i = random.nextInt(3); i > 0; i--) {
            Mistake hard = Cases.single(random, plan);
            if (!hard.comesAndGoes()) {
                mistakes.add(hard);
            }
        }
        Soldered soldered = new Soldered(plan, Chip.draw(plan, random), mistakes);
        Set<String> held = new HashSet<>();
        for (int i = random.nextInt(4); i > 0; i--) {
            List<Contact> contacts = plan.contacts();
            held.add(contacts.get(random.nextInt(contacts.size())).id());
        }
        int phase = 0;
        for (Network network : soldered.phases(held, new BitSet())) {
            String prefix = "b" + seed + "p" + phase++ + "n";
            lines.addAll(network.spice(prefix, lines.size()));
            double[] volts = network.settled(new double[network.nodes()]);
            for (int node = 1; node < network.nodes(); node++) {
                // A node that hangs in the air has no voltage to speak of, and SPICE may not know it at all.
                if (lines.stream().anyMatch(mentions(prefix + node))) {
                    mine.put(prefix + node, volts[node]);
                    what.put(prefix + node, mistakes.stream().map(Mistake::text).toList() + " holding " + held);
                }
            }
        }
    }

    private static java.util.function.Predicate<String> mentions(String node) {
        return line -> Arrays.asList(line.split(" ")).contains(node);
    }

    private Map<String, Double> simulate(List<String> lines) throws IOException, InterruptedException {
        Path file = folder.resolve("boxes.cir");
        Files.write(file, lines);
        Process process = new ProcessBuilder("ngspice", "-b", file.toString())
                .redirectErrorStream(true)
                .start();
        process.getOutputStream().close();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        process.waitFor();
        Map<String, Double> volts = new HashMap<>();
        for (String line : said.lines().toList()) {
            Matcher value = VALUE.matcher(line.strip());
            if (value.matches()) {
                volts.put(value.group(1), Double.parseDouble(value.group(2)));
            }
        }
        assertTrue(!volts.isEmpty(), said);
        return volts;
    }
}
