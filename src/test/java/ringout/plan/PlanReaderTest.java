package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputLayout;

class PlanReaderTest {
    private static final Path FIXTURES = Path.of("fixtures/plans");

    /** A sound small plan; tests break one thing in it at a time. */
    private static final String SOUND = """
            ringout: 1
            box: { name: Test desk }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4, C2: 5 }
              direct: { D1: pin 6, D2: pin 7 }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row }
            controls:
              - { id: horn, kind: push, at: [R1, C1], input: button 1 }
              - { id: bell, kind: push, at: [C2, R1], input: button 2 }
              - { id: lamp, kind: toggle, at: [R2, C1], input: button 3 }
              - { id: fan, kind: push, at: [R2, C2], input: button 4 }
              - { id: notch, kind: encoder, a: D1, b: D2, cw: button 5, ccw: button 6 }
            """;

    private static PlanReading read(String yaml) {
        return PlanReader.read(yaml, "test.yaml");
    }

    private static Plan sound(String yaml) {
        PlanReading reading = read(yaml);
        assertEquals(
                List.of(), reading.problems().stream().map(PlanProblem::text).toList());
        return reading.plan().orElseThrow();
    }

    @Test
    void readsEveryPartOfASoundPlan() {
        Plan plan = sound(SOUND);
        assertEquals(
                List.of("R1", "R2", "C1", "C2", "D1", "D2"),
                plan.lines().stream().map(Line::name).toList());
        assertEquals(
                Optional.of(Scan.Supply.V3_3),
                sound(SOUND.replace("drive: rows", "supply: 3.3 V")).scan().supply());
        assertEquals("pin 5", plan.line("C2").orElseThrow().pin(), "a bare number is a pin");
        assertEquals(
                new Wiring.Crossing("R1", "C2"),
                plan.contact("bell").orElseThrow().wiring(),
                "row and column in either order");
        assertEquals(
                Contact.Diode.CATHODE_ROW, plan.contact("horn").orElseThrow().diode());
        assertEquals(Contact.Diode.NONE, plan.contact("notch.a").orElseThrow().diode(), "diodes belong to the matrix");
        assertEquals(List.of("horn", "bell"), plan.line("R1").orElseThrow().contacts());
        assertEquals(
                List.of("horn", "bell", "lamp", "fan", "notch.cw", "notch.ccw"),
                plan.actions().stream().map(Action::id).toList());
        assertEquals(
                "Notch clockwise", plan.action("notch.cw").orElseThrow().words().text());
        assertEquals(
                Optional.of(new Input.Button(6)),
                plan.action("notch.ccw").orElseThrow().input());
    }

    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk.yaml", "guards-panel.yaml", "lamp-switches.yaml"})
    void fixturePlansHaveNoErrors(String name) throws IOException {
        PlanReading reading = PlanReader.read(Files.readString(FIXTURES.resolve(name)), name);
        assertTrue(reading.plan().isPresent(), () -> reading.problems().toString());
        assertEquals(
                reading.plan().get().actions().stream().map(Action::id).sorted().toList(),
                reading.places().keySet().stream().sorted().toList(),
                "every input has a place in the file");
    }

    /** What is replaced, by what (the caret stands before the place the problem must name), a part of the message. */
    static Stream<Arguments> broken() {
        return Stream.of(
                Arguments.of("ringout: 1", "ringout: ^2", "version 2"),
                Arguments.of("ringout: 1", "^version: 1", "has no \"version\""),
                Arguments.of("box: { name: Test desk }", "box: { ^nam: Test desk }", "did you mean \"name\"?"),
                Arguments.of("R2: pin 3", "R2: ^pin 2", "pin 2 is used twice; the first is on line 4"),
                Arguments.of("C2: 5", "C2: ^4", "pin 4 is used twice"),
                Arguments.of("C2: 5", "^C2:", "has no pin"),
                Arguments.of("D1: pin 6", "^GND: pin 6", "GND means ground"),
                Arguments.of("D1: pin 6", "^R1: pin 6", "already a row"),
                Arguments.of("at: [R1, C1]", "at: [R1, ^C7]", "there is no line C7; did you mean C1?"),
                Arguments.of("at: [R1, C1]", "at: ^[R1, R2]", "must be at a row and a column"),
                Arguments.of("at: [R1, C1]", "at: ^R1", "wired to row R1 alone"),
                Arguments.of(
                        "at: [R2, C2]", "at: ^[R2, C1]", "where another contact already is; the first is on line 11"),
                Arguments.of(
                        "input: button 2", "input: ^button 1", "button 1 is planned twice; the first is on line 9"),
                Arguments.of("input: button 2", "input: ^knob 2", "expected an input such as button 7"),
                Arguments.of("input: button 2", "input: ^axis X", "it needs a button or a hat direction"),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "^{ id: bell, kind: push, at: [C2, R1] }",
                        "lacks \"input\""),
                Arguments.of("id: bell", "id: ^horn", "the name horn is taken; the first is on line 9"),
                Arguments.of("id: bell", "id: ^R1", "cannot be an id"),
                Arguments.of("id: bell, kind: push", "id: bell, kind: ^pusch", "did you mean push?"),
                Arguments.of("{ id: bell, ", "^{ ", "lacks \"id\""),
                Arguments.of("input: button 2", "input: button 2, hole: ^16", "expected a length such as 22 mm"),
                Arguments.of("input: button 2", "input: button 2, place: ^[1 mm]", "two lengths"),
                Arguments.of("input: button 2", "input: button 2, ^hloe: 16 mm", "did you mean \"hole\"?"),
                Arguments.of("drive: rows", "drive: ^diagonals", "expected rows or columns"),
                Arguments.of("drive: rows", "supply: ^12 V", "expected 3.3 V or 5 V"),
                Arguments.of(
                        "{ id: notch, kind: encoder, a: D1, b: D2",
                        "^{ id: notch, kind: encoder, a: D1",
                        "has one phase wired"),
                Arguments.of(
                        "{ id: notch, kind: encoder, a: D1, b: D2, cw: button 5",
                        "^{ id: notch, kind: encoder, a: D1, b: D2",
                        "lacks \"cw\""),
                Arguments.of("at: [R1, C1]", "at: ^[R1]", "is a direct line such as D1, a crossing"),
                Arguments.of("R1: pin 2", "^1: pin 2", "\"1\" cannot name a line"),
                Arguments.of("R1: pin 2", "^VCC: pin 2", "VCC means the supply"),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "^{ id: bell, kind: hat5, input: hat 1, up: [C2, R1], right: {}, down: {}, left: {} }",
                        "hat bell is a hat5 and lacks \"push\""),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "^{ id: bell, kind: hat4, input: hat 1, up: [C2, R1], right: {}, down: {} }",
                        "hat bell lacks \"left\""),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "^{ id: bell, kind: toggle, up: { at: [C2, R1], input: button 2 } }",
                        "toggle bell lacks \"down\""),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "^{ id: bell, kind: selector, positions: [{ at: [C2, R1], input: button 2 }] }",
                        "selector bell needs at least two"),
                Arguments.of(
                        "{ id: bell, kind: push, at: [C2, R1], input: button 2 }",
                        "{ id: bell, kind: axis, input: ^button 2 }",
                        "axis bell needs an axis"),
                Arguments.of(
                        "controls:\n", "listen: { ^stuck-afer: 5 s }\ncontrols:\n", "did you mean \"stuck-after\"?"),
                Arguments.of(
                        "controls:\n", "order: { R1: [bell, ^bell] }\ncontrols:\n", "stands twice in the order of R1"),
                Arguments.of("controls:\n", "order: { ^R1: [bell] }\ncontrols:\n", "the order of R1 leaves out horn"),
                Arguments.of("controls:\n", "order: { R1: [bell, ^lamp] }\ncontrols:\n", "lamp is not on line R1"),
                Arguments.of("controls:\n", "order: { ^R7: [bell] }\ncontrols:\n", "there is no line R7"),
                Arguments.of("controls:\n", "controls: ^none\nx:\n", "must be a list"));
    }

    @ParameterizedTest
    @MethodSource("broken")
    void namesTheProblemAndItsPlace(String good, String bad, String message) {
        assertTrue(SOUND.contains(good), good);
        String marked = SOUND.replace(good, bad);
        int caret = marked.indexOf('^');
        int line = 1
                + (int) marked.substring(0, caret)
                        .chars()
                        .filter(c -> c == '\n')
                        .count();
        int column = caret - marked.lastIndexOf('\n', caret);
        PlanReading reading = read(marked.replace("^", ""));
        assertTrue(reading.plan().isEmpty());
        assertTrue(
                reading.problems().stream()
                        .anyMatch(p -> p.line() == line
                                && p.column() == column
                                && p.message().contains(message)),
                () -> "wanted " + line + ":" + column + " " + message + "\ngot "
                        + reading.problems().stream().map(PlanProblem::text).toList());
    }

    /** A chain of two registers of eight bits. */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "[S1, 1, 0]|",
                "[S1, 2, 7]|",
                "[S1, 2, 8]|a register has bits 0 to 7, not 8",
                "[S1, 0, 0]|S1 has registers 1 to 2, not 0",
                "[S1, 3, 0]|S1 has registers 1 to 2, not 3",
                "S1|bell is wired to shift-register chain S1 alone; write [S1, register, bit]",
                "[D1, 1, 1]|D1 is a direct input, not a shift-register chain",
                "[S1, C1]|must be at a row and a column; S1 is a shift-register chain and C1 a column"
            })
    void aPlaceInAChainIsWithinIt(String at, String message) {
        List<PlanProblem> errors = read(
                        SOUND.replace("D2: pin 7 }", "D2: pin 7 }\n  shift: { S1: { pin: pin 8, registers: 2 } }")
                                .replace("at: [C2, R1]", "at: " + at))
                .problems()
                .stream()
                .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                .toList();
        assertEquals(message == null ? 0 : 1, errors.size(), errors::toString);
        assertTrue(message == null || errors.get(0).message().contains(message), errors::toString);
    }

    @Test
    void reportsAllProblemsAtOnceInFileOrder() {
        PlanReading reading = read(SOUND.replace("R2: pin 3", "R2: pin 2")
                .replace("at: [C2, R1]", "at: [C2, R9]")
                .replace("button 6", "button 5"));
        assertEquals(
                List.of(4, 10, 13),
                reading.problems().stream().map(PlanProblem::line).toList());
    }

    @Test
    void saysWhereYamlItselfBreaks() {
        PlanReading reading = read("ringout: 1\nbox: { name: Desk\ncontrols: []\n");
        assertEquals(1, reading.problems().size());
        assertEquals(3, reading.problems().get(0).line());
        assertTrue(reading.problems().get(0).message().startsWith("this is not YAML"));
        assertEquals("1:1", spot(read("").problems().get(0)));
        assertEquals("1:1", spot(read("just words").problems().get(0)));
    }

    private static String spot(PlanProblem problem) {
        return problem.line() + ":" + problem.column();
    }

    @Test
    void daisyChainFollowsTheOrderGiven() {
        Plan plan = sound(SOUND + "order: { R1: [bell, horn] }\n");
        assertEquals(List.of("bell", "horn"), plan.line("R1").orElseThrow().contacts());
        assertTrue(read(SOUND + "order: { R1: [bell] }\n")
                .problems()
                .get(0)
                .message()
                .contains("leaves out horn"));
        assertTrue(read(SOUND + "order: { R1: [bell, horn, fan] }\n")
                .problems()
                .get(0)
                .message()
                .contains("fan is not on line R1"));
        assertTrue(read(SOUND + "order: { R8: [bell] }\n")
                .problems()
                .get(0)
                .message()
                .contains("there is no line R8"));
    }

    @Test
    void readsShiftRegistersSelectorsHatsAndAxes() {
        Plan plan = sound("""
                ringout: 1
                box: { name: Mixed }
                lines:
                  direct: { D1: pin 1 }
                  shift: { S1: { pin: pin 12, registers: 2 } }
                controls:
                  - id: lights
                    kind: selector
                    positions:
                      - { at: [S1, 1, 0], input: button 1 }
                      - { at: [S1, 2, 7], input: button 2 }
                  - { id: look, kind: hat5, input: hat 1, up: [S1, 1, 1], right: [S1, 1, 2], down: [S1, 1, 3], left: [S1, 1, 4],
                      push: { at: D1, input: button 3 } }
                  - { id: brake, kind: axis, input: axis Slider 2, pin: A0 }
                """);
        assertEquals(
                new Wiring.Shift("S1", 2, 7),
                plan.contact("lights.2").orElseThrow().wiring());
        assertEquals(
                Optional.of(new Input.Hat(1, Direction.LEFT)),
                plan.action("look.left").orElseThrow().input());
        assertEquals(
                Optional.of(new Input.Axis(AxisUsage.SLIDER, 2, 1)),
                plan.action("brake").orElseThrow().input());
        assertEquals(2, plan.line("S1").orElseThrow().registers());
    }

    @Test
    @DisplayName("common practice, no source: three corners of a diode-less rectangle make the fourth")
    void warnsOfGhostsWithTheChord() {
        PlanReading reading = read(SOUND.replace("diodes: per-contact, cathode: row", "diodes: none"));
        assertTrue(reading.plan().isPresent(), "warnings leave the plan usable");
        List<String> messages =
                reading.problems().stream().map(PlanProblem::message).toList();
        assertTrue(
                messages.stream().anyMatch(m -> m.startsWith("holding Horn + Bell + Lamp also reports Fan")),
                messages::toString);
        assertTrue(
                messages.stream().anyMatch(m -> m.startsWith("Lamp stays closed while it is on")), messages::toString);
    }

    @Test
    @DisplayName("common practice, no source: the diode that blocks a ghost is the one opposite the phantom corner")
    void oneDiodeBlocksOnlyTheOppositeCorner() {
        String one = SOUND.replace("diodes: per-contact, cathode: row", "diodes: none")
                .replace("{ id: horn, kind: push,", "{ id: horn, kind: push, diode: row,");
        List<String> messages = read(one).problems().stream()
                .map(PlanProblem::message)
                .filter(m -> m.startsWith("holding"))
                .toList();
        assertEquals(1, messages.size());
        assertFalse(messages.get(0).contains("also reports Fan"), messages::toString);
        String all = SOUND.replace("id: horn, kind: push,", "id: horn, kind: push, diode: none,");
        assertTrue(
                read(all).problems().stream().anyMatch(p -> p.message().contains("also reports Fan")),
                "a single missing diode lets its opposite ghost");
    }

    @Test
    void warnsOfDiodesThatBlockEveryPress() {
        PlanReading reading = read(SOUND.replace("cathode: row", "cathode: column"));
        assertTrue(reading.plan().isPresent());
        assertTrue(reading.problems().get(0).message().contains("every diode blocks"));
        assertEquals(
                List.of(),
                read(SOUND.replace("drive: rows", "drive: columns").replace("cathode: row", "cathode: column"))
                        .problems());
        assertEquals(
                List.of(),
                read(SOUND.replace("active: low", "active: high").replace("cathode: row", "cathode: column"))
                        .problems());
    }

    @Test
    void warnsOfHolesThatDoNotFit() {
        String placed =
                SOUND.replace("input: button 1 }", "input: button 1, place: [20 mm, 20 mm], hole: 16 mm, nut: 22 mm }");
        assertTrue(read(placed.replace(
                        "input: button 2 }", "input: button 2, place: [40 mm, 20 mm], hole: 16 mm, nut: 22 mm }"))
                .problems()
                .get(0)
                .message()
                .contains("overlap by 2.0 mm"));
        assertTrue(read(placed.replace("input: button 2 }", "input: button 2, place: [3.7 cm, 20 mm], hole: 16 mm }"))
                .problems()
                .get(0)
                .message()
                .contains("only 1.0 mm of panel"));
        assertTrue(read("panel: { width: 100 mm, height: 1 in }\n" + placed)
                .problems()
                .get(0)
                .message()
                .contains("reaches 5.6 mm beyond the panel's edge"));
        assertEquals(
                List.of(),
                read(placed.replace(
                                "input: button 2 }",
                                "input: button 2, place: [42 mm, 20 mm], hole: 16 mm, nut: 22 mm }"))
                        .problems());
    }

    @Test
    void warnsOfBodiesThatAreTooDeep() {
        String panel = "panel: { width: 200 mm, height: 100 mm, depth: 40 mm }\n" + SOUND;
        assertEquals(
                List.of(),
                read(panel.replace("input: button 1 }", "input: button 1, depth: 30 mm }"))
                        .problems());
        assertEquals(
                "Horn reaches 30.5 mm behind the panel and its wires need 10.0 mm more, but the box has room for 40.0 mm",
                read(panel.replace("input: button 1 }", "input: button 1, depth: 30.5 mm }"))
                        .problems()
                        .get(0)
                        .message());
    }

    @Test
    void readsWhatUsbShowsAndHowLongAnInputMayStayOn() {
        Plan plan = sound(SOUND.replace(
                        "{ name: Test desk }", "{ name: Test desk, usb: { vendor: 0x1209, product: 2, serial: A-7 } }")
                + "listen: { stuck-after: 90 s }\n");
        assertEquals(new Plan.Box("Test desk", Optional.of(0x1209), Optional.of(2), Optional.of("A-7")), plan.box());
        assertEquals(Optional.of(90_000_000_000L), plan.stuckAfterNanos());
        assertEquals(Optional.empty(), sound(SOUND).stuckAfterNanos());
    }

    @Test
    void aPlanSaysWhereTheWiresEnd() {
        String panel = "panel: { width: 200 mm, height: 100 mm, board: [30 mm, 40 mm] }\n" + SOUND;
        assertEquals(Optional.of(new Mount.Place(30, 40)), sound(panel).board());
        String inside = panel.replace(", board: [30 mm, 40 mm]", "")
                + "inside: { board: { place: [50 mm, 60 mm], width: 18 mm, height: 30 mm } }\n";
        assertEquals(Optional.of(new Mount.Place(50, 60)), sound(inside).board(), "the middle of its outline");
        assertEquals(Optional.empty(), sound(SOUND).board());
    }

    /** Current flows from a pull-up to the line that is driven low, or from the one driven high to a pull-down. */
    @Test
    void diodesConductTowardsTheDrivenLowSide() {
        String[][] scans = {
            {"drive: rows, active: low", "CATHODE_ROW"},
            {"drive: rows, active: high", "CATHODE_COLUMN"},
            {"drive: columns, active: low", "CATHODE_COLUMN"},
            {"drive: columns, active: high", "CATHODE_ROW"}
        };
        for (String[] scan : scans) {
            String yaml = SOUND.replace(
                    "drive: rows, active: low, diodes: per-contact, cathode: row", scan[0] + ", diodes: none");
            assertEquals(
                    scan[1], read(yaml).plan().orElseThrow().scan().conducting().name(), scan[0]);
        }
    }

    @Test
    void aProblemIsWrittenAsALink() {
        assertEquals(
                "test.yaml:9:5: error: ",
                read(SOUND.replace("kind: push, at: [R1, C1]", "kind: pusch, at: [R1, C1]"))
                        .problems()
                        .get(0)
                        .text()
                        .replaceAll("(?<=error: ).*", "")
                        .replaceAll(":\\d+: error", ":5: error"));
        assertTrue(read(SOUND.replace("cathode: row", "cathode: column"))
                .problems()
                .get(0)
                .text()
                .contains(": warning: "));
    }

    @Test
    void aKeyWithoutAValueIsToldOnceWhereItStands() {
        for (String empty : List.of("", " ~", " null", " \"\"")) {
            List<String> problems = read(SOUND.replace("name: Test desk }", "name:" + empty + " }")).problems().stream()
                    .map(PlanProblem::text)
                    .toList();
            assertEquals(1, problems.size(), problems::toString);
            assertTrue(problems.get(0).startsWith("test.yaml:2:8: error: \"name\" has no value"), problems::toString);
        }
    }

    @Test
    void halfACharacterIsNoYaml() {
        PlanReading reading = read(SOUND.replace("Test desk", "\uD83D desk"));
        assertTrue(reading.hasErrors());
        assertFalse(reading.problems().isEmpty());
    }

    /** What the box has of that sort: none, one, or from the first to the last. */
    @Test
    void tellsWhatTheBoxDeclaresInstead() {
        Plan plan = sound(SOUND);
        PlanReading reading = read(SOUND);
        assertEquals(6, plan.actions().size());
        List<String> none = reading.against(new InputLayout(List.of(), List.of())).stream()
                .map(PlanProblem::message)
                .toList();
        assertEquals(6, none.size());
        InputLayout one = new InputLayout(List.of(new Input.Button(1)), List.of());
        assertEquals(5, reading.against(one).size());
        assertTrue(reading.against(one).get(0).message().contains("button 1"), reading.against(one)::toString);
        PlanReading lever = read(SOUND + "  - { id: brake, kind: axis, input: axis Z }\n"
                + "  - { id: look, kind: hat4, input: hat 1, up: {}, right: {}, down: {}, left: {} }\n");
        assertEquals(
                lever.plan().orElseThrow().actions().size(),
                lever.against(new InputLayout(List.of(), List.of())).size());
        assertEquals(
                3,
                lever.against(new InputLayout(List.of(), List.of())).stream()
                        .map(p -> p.message().replaceAll(".*(no \\w+).*", "$1"))
                        .distinct()
                        .count());
    }

    @Test
    void triesAPlaceWithoutTouchingThePlan() {
        Plan plan = sound(
                SOUND.replace("input: button 1 }", "input: button 1, place: [20 mm, 20 mm], hole: 16 mm, nut: 22 mm }")
                        .replace("input: button 2 }", "input: button 2, hole: 16 mm, nut: 22 mm }"));
        assertEquals(
                List.of(new Clearance.NutsOverlap("bell", "Bell", "horn", "Horn", 2.0)),
                Clearance.at(plan, "bell", new Mount.Place(40, 20)));
        assertEquals(List.of(), Clearance.at(plan, "bell", new Mount.Place(42, 20)));
        assertEquals(List.of(), Clearance.at(plan, "horn", new Mount.Place(21, 20)), "not with itself");
    }

    @Test
    void comparesThePlanWithWhatTheBoxDeclares() {
        PlanReading reading = read(SOUND);
        InputLayout five = new InputLayout(
                Stream.of(1, 2, 3, 4, 5).<Input>map(Input.Button::new).toList(), List.of());
        List<PlanProblem> problems = reading.against(five);
        assertEquals(1, problems.size());
        assertEquals(13, problems.get(0).line());
        assertTrue(
                problems.get(0).message().contains("button 6")
                        && problems.get(0).message().contains("button 1 to button 5"),
                problems.get(0)::message);
    }

    @ParameterizedTest
    @ValueSource(strings = {"[", "{a: ", "- ", "? "})
    void deepNestingIsAProblemNotACrash(String opening) {
        PlanReading reading = read(opening.repeat(100_000));
        assertTrue(reading.plan().isEmpty());
        assertFalse(reading.problems().isEmpty());
    }

    @Test
    void anAliasThatContainsItselfIsAProblemNotALoop() {
        assertTrue(read("&a\nringout: 1\nbox: *a\ncontrols: [*a]\n").plan().isEmpty());
    }
}
