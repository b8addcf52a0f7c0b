package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.BitSet;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** What the independent model reads where a textbook, or a moment's thought with a pencil, says what it must. */
class SolderedTest {
    private static final BitSet NOTHING = new BitSet();

    private static Set<String> read(Plan plan, String hold, String... mistakes) {
        Soldered box = new Soldered(plan, chip(plan), Mistake.all(java.util.List.of(mistakes)));
        Set<String> held = hold.isEmpty() ? Set.of() : Set.of(hold.split(" "));
        return box.inputs(held, NOTHING).stream()
                .map(i -> i.text().replace("button ", ""))
                .collect(Collectors.toCollection(TreeSet::new));
    }

    private static Chip chip(Plan plan) {
        return Chip.draw(plan, new SplittableRandom(1));
    }

    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk", "guards-panel", "lamp-switches"})
    void goodBoxDoesWhatItsPlanSays(String name) throws IOException {
        Plan plan = Panels.of(Files.readString(Path.of("fixtures", "plans", name + ".yaml")));
        for (int seed = 0; seed < 50; seed++) {
            Soldered box = new Soldered(plan, Chip.draw(plan, new SplittableRandom(seed)), java.util.List.of());
            assertEquals(Set.of(), box.inputs(Set.of(), NOTHING));
            for (Contact contact : plan.contacts()) {
                Set<Input> expected = contact.input().map(Set::of).orElse(Set.of());
                assertEquals(expected, box.inputs(Set.of(contact.id()), NOTHING), contact.id() + " seed " + seed);
            }
        }
    }

    @Test
    void everySideLevelAndDiodeReads() {
        for (String drive : new String[] {"rows", "columns"}) {
            for (String active : new String[] {"low", "high"}) {
                for (boolean diodes : new boolean[] {true, false}) {
                    Plan plan = Panels.of(Panels.gridText(3, 4, diodes, drive, active, "3.3 V"));
                    assertEquals(Set.of("7"), read(plan, "k7"), drive + active + diodes);
                    // The fourth corner of a rectangle: a ghost without diodes, none with them.
                    Set<String> three = read(plan, "k1 k2 k5");
                    assertEquals(diodes ? Set.of("1", "2", "5") : Set.of("1", "2", "5", "6"), three, drive + active);
                }
            }
        }
    }

    @Test
    void faultsReadAsTheyMust() {
        Plan plan = Panels.grid(4, 4, true);
        assertEquals(Set.of(), read(plan, "k6", "open:R2"));
        assertEquals(Set.of("5"), read(plan, "k5", "open:R2@after:k6"));
        assertEquals(Set.of(), read(plan, "k7", "open:R2@after:k6"));
        assertEquals(Set.of("1", "5"), read(plan, "k1", "short:R1,R2"));
        assertEquals(Set.of("2", "1"), read(plan, "k1", "short:C1,C2"));
        assertEquals(Set.of("1", "5", "9", "13"), read(plan, "", "short:C1,GND"));
        assertEquals(Set.of(), read(plan, "k1", "short:C1,VCC"));
        assertEquals(Set.of(), read(plan, "k1", "diode-reversed:k1"));
        assertEquals(Set.of("5"), read(plan, "k1", "exchange:R1,R2"));
        assertEquals(Set.of("1"), read(plan, "", "normally-closed:k1"));
        assertEquals(Set.of(), read(plan, "k1", "wrong-pin:R1,unused"));
        assertEquals(Set.of("4"), read(plan, "k1", "mirrored:columns"));
        assertEquals(Set.of("16"), read(plan, "k1", "mirrored:both"));
        assertEquals(Set.of("5"), read(plan, "k2", "transposed"));
        assertEquals(Set.of("5"), read(plan, "k2", "numbering:by-columns"));
        assertEquals(Set.of("2"), read(plan, "k1", "rotated:columns:+1"));
        assertEquals(Set.of("13"), read(plan, "k1", "rotated:rows:-1"));
        assertEquals(Set.of("9"), read(plan, "k8", "numbering:shift:+1"));
        assertEquals(Set.of(), read(plan, "k8", "scan:other-way"));
        assertEquals(Set.of("8"), read(Panels.grid(4, 4, false), "k8", "scan:other-way"));
        assertEquals(Set.of(), read(plan, "k8", "silent"));
    }

    /** A bridged diode lets the current of a chord back through its contact: the corner that is not held comes on. */
    @Test
    void bridgedDiodeGhosts() {
        Plan plan = Panels.grid(4, 4, true);
        assertEquals(Set.of("1", "2", "5"), read(plan, "k1 k2 k5"));
        assertEquals(Set.of("1", "2", "5", "6"), read(plan, "k1 k2 k5", "diode-short:k1"));
    }

    /** Ohms decide: against a pull-up of 20 to 50 kΩ and a threshold of 0.9 to 1.9 V at 5 V. */
    @Test
    void resistanceDecides() {
        Plan plan = Panels.grid(4, 4, false);
        Chip chip = chip(plan);
        double edge = chip.pull() * chip.threshold() / (chip.volts() - chip.threshold());
        for (double part : new double[] {0.2, 0.8, 1.3, 5}) {
            boolean reads = part < 1;
            for (String text : new String[] {"weak:contact:k6", "weak:R2", "weak:C2"}) {
                Soldered weak = new Soldered(plan, chip, java.util.List.of(Mistake.of(text, part * edge)));
                assertEquals(reads, !weak.inputs(Set.of("k6"), NOTHING).isEmpty(), text + " " + part);
            }
            Soldered leak = new Soldered(plan, chip, java.util.List.of(Mistake.of("leak:R2,C2", part * edge)));
            assertEquals(reads, !leak.inputs(Set.of(), NOTHING).isEmpty(), "leak " + part);
        }
    }

    /** A line that is read before its pull-up has charged it still shows the contact of the line before. */
    @Test
    void hastyScanSmears() {
        Plan plan = Panels.grid(4, 4, true);
        Chip slow = new Chip(5, 40_000, 30, 1.4, 300e-12, 1e-6, Chip.Idle.FREE, 5, 5);
        Soldered hasty = new Soldered(plan, slow, java.util.List.of());
        assertTrue(hasty.inputs(Set.of("k1"), NOTHING).size() > 1, "1 us against an RC of 12 us or more");
        Soldered patient = new Soldered(plan, slow.settling(100e-6), java.util.List.of());
        assertEquals(1, patient.inputs(Set.of("k1"), NOTHING).size());
    }

    @Test
    void lineWithoutPullKeepsWhatItWasLast() {
        Plan plan = Panels.grid(4, 4, true);
        Soldered box = new Soldered(
                plan,
                new Chip(5, 40_000, 30, 1.4, 200e-12, 60e-6, Chip.Idle.FREE, 5, 5),
                java.util.List.of(Mistake.of("floating:C2")));
        assertTrue(box.inputs(Set.of("k2"), NOTHING).size() > 1);
        assertEquals(Set.of(new Input.Button(1)), box.inputs(Set.of("k1"), NOTHING));
    }

    @Test
    void shortedSupplyIsOff() {
        Plan plan = Panels.grid(4, 4, true);
        Soldered box = new Soldered(plan, chip(plan), Mistake.all(java.util.List.of("short:R1,GND", "short:R1,VCC")));
        assertEquals(Set.of(new Role.Off()), box.roles(Set.of(), NOTHING));
    }
}
