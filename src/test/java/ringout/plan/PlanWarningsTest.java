package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

/** How much a plan is warned of, where, and in which order. */
class PlanWarningsTest {
    /** Push buttons b-1, b-2, … row by row at every crossing, without diodes. */
    private static String matrix(int rows, int columns, String... keys) {
        StringBuilder yaml = new StringBuilder("ringout: 1\nbox: { name: Desk }\n" + String.join("\n", keys) + "\n");
        yaml.append("lines:\n  rows: { ").append(lines("R", rows, 1)).append(" }\n");
        yaml.append("  columns: { ").append(lines("C", columns, rows + 1)).append(" }\n");
        yaml.append("scan: { drive: rows, active: low, diodes: none }\ncontrols:\n");
        for (int r = 1; r <= rows; r++) {
            for (int c = 1; c <= columns; c++) {
                int number = (r - 1) * columns + c;
                yaml.append(String.format(
                        "  - { id: b-%d, label: B%d, kind: push, at: [R%d, C%d], input: button %d }%n",
                        number, number, r, c, number));
            }
        }
        return yaml.toString();
    }

    private static String lines(String name, int count, int firstPin) {
        StringBuilder lines = new StringBuilder();
        for (int i = 1; i <= count; i++) {
            lines.append(i == 1 ? "" : ", ")
                    .append(name)
                    .append(i)
                    .append(": pin ")
                    .append(firstPin + i - 1);
        }
        return lines.toString();
    }

    private static List<PlanProblem> problems(String yaml) {
        PlanReading reading = PlanReader.read(yaml, "desk");
        assertTrue(reading.plan().isPresent(), () -> reading.problems().toString());
        return reading.problems();
    }

    private static List<String> messages(String yaml) {
        return problems(yaml).stream().map(PlanProblem::message).toList();
    }

    private static List<String> ghosts(String yaml) {
        return messages(yaml).stream().filter(m -> m.startsWith("holding")).toList();
    }

    /** Two rows and four columns span six rectangles, two and three columns three. */
    @Test
    void sixRectanglesAreToldOneByOne() {
        assertEquals(3, messages(matrix(2, 3)).size());
        List<String> six = messages(matrix(2, 4));
        assertEquals(6, six.size());
        assertTrue(six.stream().allMatch(m -> m.startsWith("holding B")), six::toString);
    }

    /** Three rows and three columns span nine. */
    @Test
    void theRestIsCounted() {
        List<String> nine = messages(matrix(3, 3));
        assertEquals(7, nine.size());
        assertTrue(nine.contains("3 more rectangles of four contacts can ghost in the same way"), nine::toString);
    }

    @Test
    void aGhostIsToldAtTheControlThatSeemsToBePressed() {
        PlanProblem only = problems(matrix(2, 2)).get(0);
        assertEquals(
                "holding B1 + B2 + B3 also reports B4: nothing blocks the current at B1; a diode at each contact would",
                only.message());
        assertEquals(12, only.line());
    }

    @Test
    void rowsAndColumnsMayBeAnyOfTheirLines() {
        String apart = matrix(3, 3).replaceAll("(?m)^.*id: b-[2-68], .*\n", "");
        assertEquals(List.of(), ghosts(apart));
        String corners = matrix(3, 3).replaceAll("(?m)^.*id: b-[24568], .*\n", "");
        assertEquals(
                List.of("holding B1 + B3 + B7 also reports B9: nothing blocks the current at B1;"
                        + " a diode at each contact would"),
                ghosts(corners));
    }

    private static List<String> numbered(int otherwise) {
        String yaml = matrix(3, 3, "numbering: by-rows").replace("diodes: none", "diodes: per-contact, cathode: row");
        for (int i = 1; i <= otherwise; i++) {
            yaml = yaml.replace("button " + i + " ", "button " + (20 + i * i) + " ");
        }
        return messages(yaml);
    }

    @Test
    void fourWrongNumbersAreToldOneByOneAndTheRestIsCounted() {
        assertEquals(List.of(), numbered(0));
        assertEquals(4, numbered(4).size());
        List<String> six = numbered(6);
        assertEquals(5, six.size());
        assertTrue(six.contains("2 more buttons are numbered otherwise than by the scheme"), six::toString);
    }

    /** A switch that stays on, without a diode, with two crossings beside it and one across: nothing less, nothing else. */
    @Test
    void onlyALatchingCornerOfAWholeRectangleWithoutADiodeIsPermanent() {
        String yaml = matrix(2, 2).replace("B1, kind: push", "B1, kind: toggle");
        assertEquals(List.of("b-1"), corners(yaml));
        assertTrue(messages(yaml).stream().anyMatch(m -> m.startsWith("B1 stays closed while it is on")));
        assertEquals(List.of(), corners(matrix(2, 2)), "momentary");
        assertEquals(List.of(), corners(yaml.replace("input: button 1 ", "input: button 1, diode: row ")));
        for (int missing = 2; missing <= 4; missing++) {
            String three = yaml.replaceAll("(?m)^.*id: b-" + missing + ", .*\n", "");
            assertEquals(List.of(), corners(three), "without b-" + missing);
        }
    }

    private static List<String> corners(String yaml) {
        return PermanentCorners.of(PlanReader.read(yaml, "desk").plan().orElseThrow());
    }
}
