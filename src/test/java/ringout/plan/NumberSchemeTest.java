package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.Input;
import ringout.plan.NewBox.Part;
import ringout.plan.NumberScheme.Way;

/** What a plan says of the firmware's numbering: read, given out, looked over, edited. */
class NumberSchemeTest {
    /** Two rows by three columns, one crossing free; by rows from 1 where every crossing counts. */
    private static final String DESK = """
            # Numbers as the firmware gives them.
            ringout: 1
            box: { name: Desk }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4, C2: pin 5, C3: pin 6 }
              direct: { D1: pin 7 }
            numbering: by-rows  # as flashed
            controls:
              - { id: horn,  kind: push, at: [R1, C1], input: button 1 }
              - { id: bell,  kind: push, at: [R1, C2], input: button 2 }  # loud
              - { id: wiper, kind: push, at: [R2, C1], input: button 4 }
              - { id: door,  kind: push, at: [R2, C2], input: button 5 }
              - { id: lamp,  kind: push, at: [R2, C3], input: button 6 }
              - { id: guard, kind: push, at: D1, input: button 7 }
            """;

    private static Plan plan(String yaml) {
        PlanReading reading = PlanReader.read(yaml, "desk");
        return reading.plan().orElseThrow(() -> new AssertionError(reading.problems()));
    }

    private static List<String> warnings(String yaml) {
        return PlanReader.read(yaml, "desk").problems().stream()
                .map(PlanProblem::message)
                .filter(m -> m.contains("number"))
                .toList();
    }

    private static int number(Plan plan, String action) {
        return ((Input.Button) plan.action(action).orElseThrow().input().orElseThrow()).number();
    }

    @Test
    void aPlanWithoutTheKeySaysNothing() {
        String silent = DESK.replaceAll("(?m)^numbering.*\n", "");
        assertEquals(Optional.empty(), plan(silent).numbering());
        assertEquals(List.of(), warnings(silent.replace("button 6", "button 60")));
        assertEquals(List.of(), warnings(DESK.replace("by-rows", "free").replace("button 6", "button 60")));
    }

    @Test
    void whatTheFirmwareCountsIsEitherEveryCrossingOrOnlyButtons() {
        assertEquals(Optional.of(new NumberScheme(Way.BY_ROWS, 1)), plan(DESK).numbering());
        assertEquals(List.of(), warnings(DESK));
        String buttonsOnly = DESK.replace("button 4", "button 3")
                .replace("button 5", "button 4")
                .replace("button 6", "button 5");
        assertEquals(List.of(), warnings(buttonsOnly));
        assertEquals(List.of(), warnings(buttonsOnly.replace("button 7", "button 31")), "outside the matrix");
        String bell = "  - { id: bell,  kind: push, at: [R1, C2], input: button 2 }  # loud\n";
        assertEquals(List.of(), warnings(buttonsOnly.replace(bell, "") + bell), "in whatever order the plan has them");
    }

    @Test
    void oneButtonThatIsNumberedOtherwiseIsNamedWithItsCrossing() {
        assertEquals(
                List.of("numbering by-rows from button 1 makes R2 C3 button 6, but Lamp there is planned as button 60"),
                warnings(DESK.replace("button 6", "button 60")));
    }

    @Test
    void anotherSchemeIsOneWarning() {
        assertEquals(
                List.of("numbering is by-columns from button 1, but the matrix is numbered by-rows from button 1;"
                        + " one of the two has to change, whichever the firmware does not do"),
                warnings(DESK.replace("by-rows", "by-columns")));
        assertEquals(
                List.of("numbering is by-rows from button 3, but the matrix is numbered by-rows from button 1;"
                        + " one of the two has to change, whichever the firmware does not do"),
                warnings(DESK.replace("by-rows", "by-rows\nfirst: 3")));
    }

    /** Button 1 at R2 C2 would make R1 C1 button -3, or -2. */
    @Test
    void aMatrixThatWouldBeginBelowButton1HasNoScheme() {
        String shifted = DESK.replace("button 1 ", "button 60 ").replace("button 5 ", "button 1 ");
        assertEquals(Optional.empty(), NumberScheme.of(plan(shifted)));
        String early = DESK.replaceAll("(?m)^.*id: (horn|bell), .*\n", "")
                .replace("button 4 ", "button 1 ")
                .replace("button 5 ", "button 2 ")
                .replace("button 6 ", "button 3 ");
        assertEquals(Optional.of(new NumberScheme(Way.BY_ROWS, 1)), NumberScheme.of(plan(early)), "only buttons count");
        assertEquals(Optional.of(new NumberScheme(Way.BY_ROWS, 1)), NumberScheme.of(plan(DESK)));
        assertEquals(
                Optional.empty(),
                NumberScheme.of(plan(DESK.replaceAll("(?m)^.*id: (bell|wiper|door|lamp), .*\n", ""))),
                "one button would be one by any");
    }

    /** Lines in the order of the plan, in a chain bit by bit, what is not wired last; then the encoders. */
    @Test
    void outsideTheMatrixNumbersRunByLineAndBit() {
        Plan plan = plan("""
                ringout: 1
                box: { name: Desk }
                lines:
                  rows: { R1: pin 2 }
                  columns: { C1: pin 4, C2: pin 5 }
                  direct: { D1: pin 7, D2: pin 8, D3: pin 9 }
                  shift: { S1: { pin: pin 12, registers: 2 } }
                numbering: by-rows
                controls:
                  - { id: knob,  kind: encoder, a: D2, b: D3, cw: button 8, ccw: button 9 }
                  - { id: loose, kind: push, input: button 20 }
                  - { id: late,  kind: push, at: [S1, 2, 0], input: button 21 }
                  - { id: later, kind: push, at: [S1, 2, 1], input: button 22 }
                  - { id: early, kind: push, at: [S1, 1, 7], input: button 23 }
                  - { id: guard, kind: push, at: D1, input: button 24 }
                  - { id: bell,  kind: push, at: [R1, C2], input: button 25 }
                  - { id: horn,  kind: push, at: [R1, C1], input: button 26 }
                """);
        Map<String, Input> inputs = plan.numbering().orElseThrow().inputs(plan);
        assertEquals(
                List.of("horn", "bell", "guard", "early", "late", "later", "loose", "knob.cw", "knob.ccw"),
                inputs.entrySet().stream()
                        .sorted(Map.Entry.comparingByValue())
                        .map(Map.Entry::getKey)
                        .toList());
        assertEquals(new Input.Button(1), inputs.get("horn"));
        assertEquals(new Input.Button(9), inputs.get("knob.ccw"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"first: 3", "numbering: by-rows\nfirst: 0", "numbering: down"})
    void whatMakesNoSenseIsAnError(String keys) {
        assertTrue(PlanReader.read(DESK.replaceAll("(?m)^numbering.*\n", keys + "\n"), "desk")
                .hasErrors());
    }

    /** Row by row: r × columns + c; down the columns: c × rows + r (row-major and column-major order). */
    @Test
    void newBoxesAreNumberedAsTheFirmwareDoes() {
        Random random = new Random(17);
        int crossings = 0;
        for (int i = 0; i < 60; i++) {
            Map<Part, Integer> counts = new EnumMap<>(Part.class);
            for (Part part : Part.values()) {
                counts.put(part, random.nextInt(part == Part.PUSH ? 14 : 3));
            }
            counts.merge(Part.PUSH, 1, Integer::sum);
            Way way = Way.values()[random.nextInt(3)];
            int first = 1 + random.nextInt(4);
            boolean diodes = random.nextBoolean();
            String yaml = NewBox.yaml(new NewBox.Answers(
                    "Test box",
                    counts,
                    4,
                    random.nextInt(4) > 0,
                    diodes,
                    IntStream.range(2, 99).mapToObj(n -> "pin " + n).toList(),
                    List.of(),
                    Optional.empty(),
                    Optional.of(new NumberScheme(way, first))));
            Plan plan = plan(yaml);
            assertEquals(Optional.of(new NumberScheme(way, first)), plan.numbering());
            assertEquals(List.of(), warnings(yaml));
            Set<Integer> seen = new HashSet<>();
            int rows = plan.lines(Line.Kind.ROW).size();
            int columns = plan.lines(Line.Kind.COLUMN).size();
            for (Action action : plan.actions()) {
                if (!(action.input().orElse(null) instanceof Input.Button button)) {
                    continue;
                }
                assertTrue(button.number() >= first && seen.add(button.number()), yaml);
                if (way != Way.FREE
                        && action.contacts().size() == 1
                        && plan.contact(action.contacts().get(0)).orElseThrow().wiring()
                                instanceof Wiring.Crossing at) {
                    int r = Integer.parseInt(at.row().substring(1)) - 1;
                    int c = Integer.parseInt(at.column().substring(1)) - 1;
                    assertEquals(first + (way == Way.BY_ROWS ? r * columns + c : c * rows + r), button.number(), yaml);
                    crossings++;
                } else if (way != Way.FREE) {
                    assertTrue(button.number() >= first + rows * columns, yaml);
                }
            }
        }
        assertTrue(crossings > 200, "crossings: " + crossings);
    }

    @Test
    void renumberingTouchesNumbersAlone() {
        PlanDocument before = PlanDocument.of(DESK, "desk");
        PlanDocument after = before.setNumbering(Optional.of(new NumberScheme(Way.BY_COLUMNS, 5)))
                .renumber(new NumberScheme(Way.BY_COLUMNS, 5));
        assertEquals(
                DESK.replace("numbering: by-rows  # as flashed", "numbering: by-columns  # as flashed\nfirst: 5")
                        .replace("[R1, C1], input: button 1", "[R1, C1], input: button 5")
                        .replace("[R1, C2], input: button 2", "[R1, C2], input: button 7")
                        .replace("[R2, C1], input: button 4", "[R2, C1], input: button 6")
                        .replace("[R2, C2], input: button 5", "[R2, C2], input: button 8")
                        .replace("[R2, C3], input: button 6", "[R2, C3], input: button 10")
                        .replace("D1, input: button 7", "D1, input: button 11"),
                after.text());
        assertEquals(List.of(), warnings(after.text()));
        assertEquals(
                after.text(),
                after.renumber(new NumberScheme(Way.BY_COLUMNS, 5)).text());
        assertEquals(after.text(), after.renumber(new NumberScheme(Way.FREE, 1)).text());
    }

    @Test
    void aPlanThatCountsOnlyItsButtonsGoesOnDoingSo() {
        Plan desk = plan(DESK.replace("button 4", "button 3")
                .replace("button 5", "button 4")
                .replace("button 6", "button 5")
                .replace("button 7", "button 31"));
        Map<String, Input> inputs = new NumberScheme(Way.BY_ROWS, 1).inputs(desk);
        assertEquals(Optional.of(new Input.Button(5)), Optional.of(inputs.get("lamp")));
        assertEquals(new Input.Button(6), inputs.get("guard"));
    }

    @Test
    void theKeysComeAndGoWithoutAnythingElse() {
        String bare = DESK.replaceAll("(?m)^numbering.*\n", "");
        PlanDocument document = PlanDocument.of(bare, "desk");
        String with = document.setNumbering(Optional.of(new NumberScheme(Way.BY_ROWS, 2)))
                .text();
        assertEquals(Optional.of(new NumberScheme(Way.BY_ROWS, 2)), plan(with).numbering());
        assertEquals(
                bare,
                PlanDocument.of(with, "desk").setNumbering(Optional.empty()).text());
        assertEquals(
                DESK,
                PlanDocument.of(DESK, "desk")
                        .setNumbering(plan(DESK).numbering())
                        .text());
    }

    @Test
    void aControlMoreBeginsAtTheFirstNumber() {
        Plan plan = plan(DESK.replaceAll("(?m)^numbering.*$", "numbering: free\nfirst: 40"));
        assertEquals(40, number(withOne(plan), "button-1"));
        assertThrows(PlanEditException.class, () -> new NumberScheme(Way.FREE, 0));
    }

    private static Plan withOne(Plan plan) {
        return plan(PlanDocument.of(DESK.replaceAll("(?m)^numbering.*$", "numbering: free\nfirst: 40"), "desk")
                .addControl(NewBox.another(plan, Part.PUSH, 4))
                .text());
    }
}
