package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.report.FirmwareSettings;

/**
 * The firmware that {@code sheet --firmware} writes: compiled without a warning for every plan, and run on an emulated chip
 * whose pins are wired as the plan says. Skipped with the reason where avr-gcc or libsimavr is missing.
 */
class FirmwareTest {
    private static final long MS = 1_000_000;

    private static final String REGISTERS = """
            ringout: 1
            box: { name: "Registers & more" }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4 }
              direct: { D1: pin 5 }
              shift: { S1: { pin: pin 6, registers: 2 }, S2: { pin: pin 7 } }
            scan: { drive: columns, active: low, diodes: none, debounce: 12 ms }
            controls:
              - { id: a, label: A, kind: push, at: [R1, C1], input: button 1 }
              - { id: b, label: B, kind: push, at: [R2, C1], input: button 40 }
              - { id: c, label: C, kind: push, at: D1, input: button 3 }
              - { id: d, label: D, kind: push, at: [S1, 1, 0], input: button 4 }
              - { id: e, label: E, kind: push, at: [S1, 2, 7], input: button 5 }
              - { id: f, label: F, kind: push, at: [S2, 1, 3], input: button 6 }
            """;

    static Stream<String> plans() {
        return Stream.concat(Emulated.PLANS.keySet().stream(), Stream.of("registers"));
    }

    private static Plan plan(String name) {
        return name.equals("registers") ? Panels.of(REGISTERS) : Emulated.PLANS.get(name);
    }

    private static void need(String missing) {
        if (!missing.isEmpty() && Firmwares.required()) {
            fail(missing);
        }
        assumeTrue(missing.isEmpty(), missing);
    }

    @ParameterizedTest
    @MethodSource("plans")
    void compilesWithoutWarning(String name) {
        need(Firmwares.missingCompiler());
        Firmwares.compile(FirmwareSettings.of(plan(name)));
    }

    /** Every control of a well-soldered box does what its plan says, and nothing else. */
    @ParameterizedTest
    @MethodSource("plans")
    void emulatedBoxDoesWhatItsPlanSays(String name) throws Exception {
        need(Firmwares.missing());
        Plan plan = plan(name);
        Chip chip = Emulated.chip(plan, Chip.draw(plan, new SplittableRandom(7)), new SplittableRandom(7));
        Soldered soldered = new Soldered(plan, chip, List.of());
        try (EmulatedBox box = new EmulatedBox(soldered, FirmwareSettings.of(plan), 7)) {
            Reader reader = new Reader(box);
            assertEquals(Set.of(), reader.after(200 * MS));
            for (Action action : plan.actions()) {
                Input input = action.input().orElseThrow();
                switch (action.gesture()) {
                    case PRESS, LATCH -> {
                        reader.move(action.contacts().get(0), true);
                        assertEquals(Set.of(input), reader.after(200 * MS), action.id());
                        reader.move(action.contacts().get(0), false);
                        assertEquals(Set.of(), reader.after(200 * MS), action.id());
                    }
                    case TURN -> {
                        int first = action.isClockwise() ? 0 : 1;
                        reader.move(action.contacts().get(first), true);
                        reader.after(15 * MS);
                        reader.move(action.contacts().get(1 - first), true);
                        reader.after(15 * MS);
                        reader.move(action.contacts().get(first), false);
                        reader.after(15 * MS);
                        reader.move(action.contacts().get(1 - first), false);
                        reader.seen.clear();
                        reader.after(200 * MS);
                        assertEquals(Set.of(input), reader.seen, action.id());
                    }
                    case SWEEP -> {
                        for (int value : new int[] {0, 300, 1023}) {
                            box.axis(reader.time, input, value);
                            reader.after(100 * MS);
                            int i = reader.axis(input);
                            assertTrue(Math.abs(reader.state.axis(i) - value) <= 2, value + " " + reader.state.axis(i));
                        }
                    }
                }
            }
        }
    }

    /** After a dip of the supply the chip starts again, is enumerated anew, and goes on. */
    @Test
    void brownOutIsOverAtOnce() throws Exception {
        need(Firmwares.missing());
        Plan plan = plan("guards-panel");
        Chip chip = Emulated.chip(plan, Chip.draw(plan, new SplittableRandom(7)), new SplittableRandom(7));
        Soldered soldered = new Soldered(plan, chip, List.of());
        try (EmulatedBox box = new EmulatedBox(soldered, soldered.settings(), 7)) {
            Reader reader = new Reader(box);
            reader.move("buzzer", true);
            assertEquals(Set.of(new Input.Button(3)), reader.after(100 * MS));
            box.brownOut();
            reader.time = Math.max(reader.time, 200 * MS);
            assertEquals(Set.of(new Input.Button(3)), reader.after(200 * MS));
            reader.move("buzzer", false);
            assertEquals(Set.of(), reader.after(100 * MS));
        }
    }

    @Test
    void declaresWhatThePlanHas() throws Exception {
        var layout = new ReportDecoder(ReportDescriptor.parse(
                        FirmwareSettings.of(plan("drivers-desk")).descriptor()))
                .layout();
        for (Action action : plan("drivers-desk").actions()) {
            assertTrue(layout.has(action.input().orElseThrow()), action.id());
        }
        assertEquals(14 + 4, layout.switches().size());
        assertEquals(AxisUsage.Z, layout.axes().get(0).input().usage());
    }

    @Test
    void saysWhatItCannotDo() {
        String other = Panels.gridText(2, 2, false, "rows", "low", "").replace("pin 3", "GP7");
        String said = assertThrows(IllegalArgumentException.class, () -> FirmwareSettings.of(Panels.of(other)))
                .getMessage();
        assertTrue(said.contains("\"GP7\"") && said.contains("ATmega32U4"), said);
    }

    /** Decodes what a box reports with the reader that Ringout has for descriptors. */
    private static final class Reader {
        private final EmulatedBox box;
        private final ReportDecoder decoder;
        private final InputState state;
        private final Set<Input> seen = new TreeSet<>();
        private long time;

        Reader(EmulatedBox box) throws Exception {
            this.box = box;
            decoder = new ReportDecoder(ReportDescriptor.parse(box.descriptor()));
            state = decoder.layout().newState();
        }

        void move(String contact, boolean close) {
            box.move(time, contact, close);
        }

        int axis(Input input) {
            return decoder.layout().axes().stream()
                    .map(a -> (Input) a.input())
                    .toList()
                    .indexOf(input);
        }

        Set<Input> after(long nanos) {
            time += nanos;
            for (PlayedBox.Report r = box.run(time); r != null; r = box.run(time)) {
                decoder.decode(r.bytes(), r.bytes().length, state);
                seen.addAll(state.onInputs());
            }
            return state.onInputs();
        }
    }
}
