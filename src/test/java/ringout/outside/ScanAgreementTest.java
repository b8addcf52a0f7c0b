package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.Action;
import ringout.plan.Plan;

/**
 * What {@link Circuit} says a box with faults reads, against the independent model, and both against a firmware on an
 * emulated chip: every press, and chords of two and three. {@code -Dtest.argLine=-Dringout.agreement=1000} for so many
 * boxes of each plan instead of a few.
 */
class ScanAgreementTest {
    private static final long MS = 1_000_000;
    private static final int FEW = 12;
    private static final int MANY = 170;

    static Set<String> plans() {
        return Emulated.PLANS.keySet();
    }

    /** The two models, every single fault: an input that one is sure of is so in the other, or the level is marginal. */
    @ParameterizedTest
    @MethodSource("plans")
    void modelsAgreeOnEverySingleFault(String name) {
        Plan plan = Emulated.PLANS.get(name);
        List<String> differences = new ArrayList<>();
        int compared = 0;
        for (Fault fault : Circuit.of(plan).singleFaults()) {
            if (fault.text().startsWith("intermittent:")) {
                continue;
            }
            Soldered outside;
            Chip chip = Emulated.chip(plan, Chip.draw(plan, new SplittableRandom(3)), new SplittableRandom(compared));
            try {
                outside = new Soldered(plan, chip, List.of(Mistake.of(fault.text())));
            } catch (IllegalArgumentException unknown) {
                continue;
            }
            Harness harness = Circuit.of(plan).with(List.of(fault));
            for (List<String> hold : holds(plan, new SplittableRandom(compared))) {
                Set<String> contacts = contacts(plan, hold);
                if (outside.roles(contacts, new java.util.BitSet()).contains(new Role.Off())) {
                    continue;
                }
                compared++;
                Set<Input> read = switches(plan, outside.inputs(contacts, new java.util.BitSet()));
                String difference = difference(plan, harness.read(hold), read);
                if (!difference.isEmpty()) {
                    differences.add(fault.text() + " holding " + hold + ": " + difference);
                }
            }
        }
        System.out.println(name + ": " + compared + " readings of single faults, " + differences.size() + " differ");
        differences.stream().limit(20).forEach(System.out::println);
        assertEquals(List.of(), differences.stream().limit(20).toList());
    }

    /** The firmware's own scan, boxes with up to three faults. */
    @Test
    void firmwareReadsWhatTheModelsSay() throws Exception {
        String missing = Firmwares.missing();
        if (!missing.isEmpty() && Firmwares.required()) {
            fail(missing);
        }
        assumeTrue(missing.isEmpty(), missing);
        int boxes = Integer.getInteger("ringout.agreement", FEW);
        List<String> differences = new ArrayList<>();
        int compared = 0;
        for (String name : plans()) {
            Plan plan = Emulated.PLANS.get(name);
            for (int seed = 0; seed < boxes; seed++) {
                SplittableRandom random = new SplittableRandom(seed * 31L + name.hashCode());
                List<Mistake> mistakes = some(plan, random);
                Harness harness = Circuit.of(plan)
                        .with(mistakes.stream()
                                .map(m -> Fault.parse(m.text(), plan))
                                .toList());
                Chip chip = Emulated.chip(plan, Chip.draw(plan, random), random);
                Soldered soldered = new Soldered(plan, chip, mistakes);
                if (soldered.netlist(Set.of(), new java.util.BitSet()).isEmpty()) {
                    continue;
                }
                try (EmulatedBox box = new EmulatedBox(soldered, soldered.settings(), seed)) {
                    ReportDecoder decoder = new ReportDecoder(ReportDescriptor.parse(box.descriptor()));
                    InputState state = decoder.layout().newState();
                    long time = 0;
                    for (List<String> hold : holds(plan, random)) {
                        Set<String> contacts = contacts(plan, hold);
                        for (String contact : contacts) {
                            box.move(time, contact, true, new long[0]);
                        }
                        time = settle(box, decoder, state, time);
                        Set<Input> seen = switches(plan, state.onInputs());
                        Set<Input> outside = switches(plan, soldered.inputs(contacts, new java.util.BitSet()));
                        String what = name + " seed " + seed + " "
                                + mistakes.stream().map(Mistake::text).toList() + " holding " + hold;
                        compared++;
                        if (!outside.equals(seen) && !hats(outside) && !hats(seen)) {
                            differences.add(what + ": the firmware reads " + seen + ", the network " + outside);
                        }
                        String difference =
                                hats(seen) || hats(outside) ? "" : difference(plan, harness.read(hold), seen);
                        if (!difference.isEmpty()) {
                            differences.add(what + ": " + difference);
                        }
                        for (String contact : contacts) {
                            box.move(time, contact, false, new long[0]);
                        }
                        time = settle(box, decoder, state, time);
                    }
                }
            }
        }
        System.out.println(compared + " readings of emulated boxes, " + differences.size() + " differ");
        differences.stream().limit(20).forEach(System.out::println);
        assertEquals(List.of(), differences.stream().limit(20).toList());
    }

    /** The two models, boxes with up to three faults. */
    @ParameterizedTest
    @MethodSource("plans")
    void modelsAgreeOnSeveralFaults(String name) {
        Plan plan = Emulated.PLANS.get(name);
        List<String> differences = new ArrayList<>();
        int compared = 0;
        for (int seed = 0; seed < MANY; seed++) {
            SplittableRandom random = new SplittableRandom(seed * 31L + name.hashCode());
            List<Mistake> mistakes = some(plan, random);
            Chip chip = Emulated.chip(plan, Chip.draw(plan, random), random);
            Soldered outside = new Soldered(plan, chip, mistakes);
            Harness harness = Circuit.of(plan)
                    .with(mistakes.stream()
                            .map(m -> Fault.parse(m.text(), plan))
                            .toList());
            for (List<String> hold : holds(plan, random)) {
                Set<String> contacts = contacts(plan, hold);
                if (outside.roles(contacts, new java.util.BitSet()).contains(new Role.Off())) {
                    continue;
                }
                compared++;
                Set<Input> read = switches(plan, outside.inputs(contacts, new java.util.BitSet()));
                String difference = hats(read) ? "" : difference(plan, harness.read(hold), read);
                if (!difference.isEmpty()) {
                    differences.add("seed " + seed + " "
                            + mistakes.stream().map(Mistake::text).toList() + " holding " + hold + ": " + difference);
                }
            }
        }
        System.out.println(
                name + ": " + compared + " readings of up to three faults, " + differences.size() + " differ");
        differences.stream().limit(20).forEach(System.out::println);
        assertEquals(List.of(), differences.stream().limit(20).toList());
    }

    /**
     * Up to three faults, of different parts: which of two exchanged switches a fault "of the contact" means is a convention
     * of the written form (the place, for {@code circuit}), not of electricity.
     */
    private static List<Mistake> some(Plan plan, SplittableRandom random) {
        List<Mistake> mistakes = new ArrayList<>();
        Set<String> taken = new HashSet<>();
        for (int i = random.nextInt(4); i > 0; i--) {
            Mistake one = Cases.single(random, plan);
            List<String> parts =
                    one.names().stream().filter(n -> !n.equals("contact")).toList();
            if (!one.comesAndGoes() && parts.stream().noneMatch(taken::contains)) {
                mistakes.add(one);
                taken.addAll(parts);
                taken.removeAll(Set.of("GND", "VCC", "unused"));
            }
        }
        return mistakes;
    }

    private static long settle(EmulatedBox box, ReportDecoder decoder, InputState state, long from) {
        long until = from + 40 * MS;
        for (PlayedBox.Report r = box.run(until); r != null; r = box.run(until)) {
            decoder.decode(r.bytes(), r.bytes().length, state);
        }
        return until;
    }

    /** Hats report one way of several. */
    private static boolean hats(Set<Input> inputs) {
        return inputs.stream().filter(Input.Hat.class::isInstance).count() > 1;
    }

    private static List<List<String>> holds(Plan plan, SplittableRandom random) {
        List<String> presses = plan.actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.PRESS || a.gesture() == Action.Gesture.LATCH)
                .map(Action::id)
                .toList();
        List<List<String>> holds = new ArrayList<>();
        holds.add(List.of());
        presses.forEach(p -> holds.add(List.of(p)));
        for (int i = 0; i < 12; i++) {
            Set<String> chord = new TreeSet<>();
            Set<String> controls = new HashSet<>();
            for (int k = 2 + i % 2; k > 0; k--) {
                String id = presses.get(random.nextInt(presses.size()));
                // One hand holds one position of a switch at a time.
                if (controls.add(plan.action(id).orElseThrow().control())) {
                    chord.add(id);
                }
            }
            holds.add(List.copyOf(chord));
        }
        return holds;
    }

    private static Set<String> contacts(Plan plan, List<String> hold) {
        Set<String> contacts = new TreeSet<>();
        hold.forEach(id -> contacts.addAll(plan.action(id).orElseThrow().contacts()));
        return contacts;
    }

    /** Without the pulses of encoders, which no steady hold makes. */
    private static Set<Input> switches(Plan plan, Set<Input> inputs) {
        Set<Input> kept = new TreeSet<>(inputs);
        plan.actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.TURN)
                .forEach(a -> kept.remove(a.input().orElseThrow()));
        return kept;
    }

    private static String difference(Plan plan, Reading said, Set<Input> read) {
        Set<Input> surely = switches(plan, said.on());
        surely.removeAll(said.marginal());
        Set<Input> missing = new TreeSet<>(surely);
        missing.removeAll(read);
        Set<Input> tooMany = new TreeSet<>(read);
        tooMany.removeAll(said.on());
        tooMany.removeAll(said.marginal());
        return missing.isEmpty() && tooMany.isEmpty()
                ? ""
                : "circuit says " + said.on() + " maybe " + said.marginal() + ", read " + read;
    }
}
