package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import ringout.plan.NewBox.Part;

class NewBoxTest {
    private static NewBox.Answers answers(Map<Part, Integer> counts, boolean matrix, boolean diodes, int pins) {
        return new NewBox.Answers(
                "Test box",
                counts,
                4,
                matrix,
                diodes,
                IntStream.rangeClosed(2, pins + 1).mapToObj(i -> "pin " + i).toList(),
                List.of("A0", "A1"),
                Optional.empty());
    }

    private static Plan plan(String yaml) {
        PlanReading reading = PlanReader.read(yaml, "new.yaml");
        return reading.plan().orElseThrow(() -> new AssertionError(reading.problems() + "\n" + yaml));
    }

    @Test
    void writesAPlanABuilderCouldHaveWritten() {
        String yaml = NewBox.yaml(answers(Map.of(Part.PUSH, 6, Part.TOGGLE, 1, Part.ENCODER, 1), true, false, 12));
        assertEquals("""
                # Wiring plan: 6 × push button, 1 × on/off toggle, 1 × rotary encoder.
                # A start to be changed: rename the controls, measure the parts, move them where your hands want them.
                ringout: 1

                box: { name: Test box }

                # Seen from the front; places are measured from the upper left corner. The board is where the wires end.
                panel: { width: 140 mm, height: 75 mm, board: [70 mm, 38 mm] }

                # 8 of 12 free pins used.
                # Switches that stay on have pins of their own: without diodes they would make ghosts of the presses around them.
                # Encoders have pins of their own: a scanned matrix misses steps.
                lines:
                  rows:    { R1: pin 2, R2: pin 3 }
                  columns: { C1: pin 4, C2: pin 5, C3: pin 6 }
                  direct:  { D1: pin 7, D2: pin 8, D3: pin 9 }

                # No diodes: three buttons held at three corners of a rectangle of the matrix report the fourth as well.
                scan: { drive: rows, active: low, diodes: none, direct: ground }
                """, yaml.substring(0, yaml.indexOf("\n# Hole")));
        assertEquals(8, plan(yaml).controls().size());
    }

    @Test
    void everyBoxFitsItsPanelAndGhostsNoSwitchThatStaysOn() {
        Random random = new Random(5);
        for (int i = 0; i < 150; i++) {
            Map<Part, Integer> counts = new EnumMap<>(Part.class);
            for (Part part : Part.values()) {
                counts.put(part, random.nextInt(part == Part.PUSH ? 12 : 3));
            }
            counts.merge(Part.PUSH, 1, Integer::sum);
            boolean matrix = random.nextInt(4) > 0;
            boolean diodes = random.nextBoolean();
            String yaml = NewBox.yaml(answers(counts, matrix, diodes, 80));
            Plan plan = plan(yaml);
            List<PlanProblem> others = PlanReader.read(yaml, "x").problems().stream()
                    .filter(p -> matrix && !diodes
                            ? !p.message().contains("holding") && !p.message().contains("can ghost")
                            : true)
                    .toList();
            assertEquals(List.of(), others, yaml);
            assertEquals(
                    counts.values().stream().mapToInt(n -> n).sum(),
                    plan.controls().size());
            assertTrue(plan.contacts().stream().noneMatch(c -> c.wiring() instanceof Wiring.Unknown), yaml);
            assertEquals(fewestPins(plan, matrix, diodes), plan.lines().size(), yaml);
            fingersFit(plan);
            partsShareALine(plan, diodes);
        }
    }

    /** Counted another way: every matrix tried, smallest first, and every way to put whole parts on its lines. */
    private static int fewestPins(Plan plan, boolean matrix, boolean diodes) {
        int crossable = 0;
        int own = 0;
        List<Integer> parts = new ArrayList<>();
        for (Control control : plan.controls()) {
            boolean alone = !matrix || control instanceof Control.Encoder || control.latching() && !diodes;
            own += alone ? control.contacts().size() : 0;
            crossable += alone ? 0 : control.contacts().size();
            if (!alone && control.contacts().size() > 1) {
                parts.add(control.contacts().size());
            }
        }
        int best = crossable;
        for (int shared = 1; shared <= crossable; shared++) {
            for (int across = 1; shared + across < best; across++) {
                if (shared * across >= crossable && fits(parts, new int[shared], across)) {
                    best = shared + across;
                }
            }
        }
        return own + best;
    }

    private static boolean fits(List<Integer> parts, int[] used, int most) {
        if (parts.isEmpty()) {
            return true;
        }
        for (int i = 0; i < used.length; i++) {
            if (used[i] + parts.get(0) <= most) {
                used[i] += parts.get(0);
                boolean fits = fits(parts.subList(1, parts.size()), used, most);
                used[i] -= parts.get(0);
                if (fits) {
                    return true;
                }
            }
        }
        return false;
    }

    /** Parts with several contacts have one common terminal, so they share a line: the one without the diodes' legs. */
    private static void partsShareALine(Plan plan, boolean diodes) {
        for (Control control : plan.controls()) {
            long lines = control.contacts().stream()
                    .map(Contact::wiring)
                    .filter(Wiring.Crossing.class::isInstance)
                    .map(Wiring.Crossing.class::cast)
                    .map(x -> diodes ? x.column() : x.row())
                    .distinct()
                    .count();
            assertTrue(lines <= 1, () -> control.id() + " is spread over " + lines + " lines");
        }
    }

    private static void fingersFit(Plan plan) {
        for (Control a : plan.controls()) {
            for (Control b : plan.controls()) {
                double apart = Chain.distance(
                        a.mount().place().orElseThrow(), b.mount().place().orElseThrow());
                assertTrue(
                        a == b
                                || apart
                                                - (a.mount().nut().orElseThrow()
                                                                + b.mount()
                                                                        .nut()
                                                                        .orElseThrow())
                                                        / 2
                                        >= NewBox.FINGER_ROOM_MM - 1e-9,
                        a.id() + " " + b.id());
            }
        }
    }

    @Test
    void saysWhatWouldDoWherePinsOrPanelDoNot() {
        Map<Part, Integer> many = Map.of(Part.PUSH, 9, Part.TOGGLE, 3);
        assertEquals(
                "these controls need 12 digital pins and the board has 9 free; in a matrix they need 9",
                assertThrows(PlanEditException.class, () -> NewBox.yaml(answers(many, false, false, 9)))
                        .getMessage());
        assertEquals(
                "these controls need 9 digital pins and the board has 7 free; with a diode at every contact,"
                        + " so that switches that stay on can join the matrix, they need 7",
                assertThrows(PlanEditException.class, () -> NewBox.yaml(answers(many, true, false, 7)))
                        .getMessage());
        assertTrue(assertThrows(PlanEditException.class, () -> NewBox.yaml(answers(many, true, true, 6)))
                .getMessage()
                .contains("more pins"));
        NewBox.Answers small = new NewBox.Answers(
                "Box",
                many,
                4,
                true,
                true,
                answers(many, true, true, 9).pins(),
                List.of(),
                Optional.of(new Plan.Panel(100, 60, Optional.empty(), Optional.empty())));
        assertTrue(assertThrows(PlanEditException.class, () -> NewBox.yaml(small))
                .getMessage()
                .contains("need a panel of 100 mm by"));
        assertThrows(PlanEditException.class, () -> NewBox.yaml(answers(Map.of(), true, true, 9)));
    }

    @Test
    void aGivenPanelIsKept() {
        NewBox.Answers wide = new NewBox.Answers(
                "It's: mine",
                Map.of(Part.PUSH, 8),
                4,
                true,
                true,
                answers(Map.of(), true, true, 9).pins(),
                List.of(),
                Optional.of(new Plan.Panel(300, 80, Optional.of(45.0), Optional.empty())));
        Plan plan = plan(NewBox.yaml(wide));
        assertEquals("It's: mine", plan.box().name());
        assertEquals(300, plan.panel().orElseThrow().width());
        assertEquals(
                1,
                plan.controls().stream()
                        .map(c -> c.mount().place().orElseThrow().y())
                        .distinct()
                        .count());
    }

    @Test
    @DisplayName("the chain is the shortest of all orders, by trying them all")
    void shortChainsAreExact() {
        Random random = new Random(3);
        for (int i = 0; i < 60; i++) {
            List<Mount.Place> stops = new ArrayList<>();
            for (int n = 1 + random.nextInt(7); n > 0; n--) {
                stops.add(new Mount.Place(random.nextInt(200), random.nextInt(100)));
            }
            Optional<Mount.Place> start =
                    random.nextBoolean() ? Optional.of(new Mount.Place(100, 50)) : Optional.empty();
            List<Integer> order = Chain.order(stops, start);
            assertEquals(stops.size(), Set.copyOf(order).size());
            assertEquals(shortest(stops, new ArrayList<>(), start), Chain.length(stops, order, start), 1e-9);
            assertTrue(Chain.estimate(
                            Chain.distances(stops, start),
                            IntStream.range(0, stops.size()).toArray())
                    >= Chain.length(stops, order, start) - 1e-9);
        }
    }

    private static double shortest(List<Mount.Place> stops, List<Integer> order, Optional<Mount.Place> start) {
        if (order.size() == stops.size()) {
            return Chain.length(stops, order, start);
        }
        double best = Double.MAX_VALUE;
        for (int i = 0; i < stops.size(); i++) {
            if (!order.contains(i)) {
                order.add(i);
                best = Math.min(best, shortest(stops, order, start));
                order.remove(order.size() - 1);
            }
        }
        return best;
    }

    @Test
    void longChainsAreCompleteAndNotSilly() {
        List<Mount.Place> line = new ArrayList<>();
        IntStream.range(0, 40).forEach(i -> line.add(new Mount.Place((i * 17) % 40 * 10, 0)));
        List<Integer> order = Chain.order(line, Optional.of(new Mount.Place(-10, 0)));
        assertEquals(
                400,
                Chain.length(line, order, Optional.of(new Mount.Place(-10, 0))),
                1e-9,
                "along a straight line there is one way");
    }

    @Test
    void theAssignmentBeatsPlanOrderAndEveryRandomOne() {
        Plan plan = plan(NewBox.yaml(answers(Map.of(Part.PUSH, 16), true, true, 10)));
        List<Control> controls = plan.controls();
        Map<String, Mount.Place> places = Assign.places(controls);
        Optional<Mount.Place> board = plan.panel().orElseThrow().board();
        double assigned = wire(plan.lines(), places, board);
        Random random = new Random(9);
        for (int i = 0; i < 200; i++) {
            List<String> ids =
                    new ArrayList<>(plan.contacts().stream().map(Contact::id).toList());
            if (i > 0) {
                java.util.Collections.shuffle(ids, random);
            }
            List<Line> lines = new ArrayList<>();
            for (int k = 0; k < 4; k++) {
                int line = k;
                lines.add(new Line(
                        "R" + k, Line.Kind.ROW, "", Assign.chained(ids.subList(4 * k, 4 * k + 4), places, board), 0));
                lines.add(new Line(
                        "C" + k,
                        Line.Kind.COLUMN,
                        "",
                        Assign.chained(
                                IntStream.range(0, 4)
                                        .mapToObj(r -> ids.get(4 * r + line))
                                        .toList(),
                                places,
                                board),
                        0));
            }
            assertTrue(wire(lines, places, board) >= assigned - 1e-6, "random assignment " + i + " is shorter");
        }
    }

    private static double wire(List<Line> lines, Map<String, Mount.Place> places, Optional<Mount.Place> board) {
        double sum = 0;
        for (Line line : lines) {
            List<Mount.Place> stops = line.contacts().stream().map(places::get).toList();
            sum += Chain.length(stops, IntStream.range(0, stops.size()).boxed().toList(), board);
        }
        return sum;
    }

    @Test
    void anExistingPlanIsRewiredInOneStep() {
        PlanDocument document = PlanDocument.of(
                NewBox.yaml(answers(
                        Map.of(Part.PUSH, 9, Part.TOGGLE, 2, Part.HAT5, 1, Part.SELECTOR, 1), false, false, 40)),
                "x");
        Plan before = document.reading().plan().orElseThrow();
        Assign.Assignment assignment = Assign.assign(
                before.controls(),
                new Assign.Means(
                        true,
                        Contact.Diode.CATHODE_ROW,
                        before.lines().stream().map(Line::pin).toList(),
                        Optional.empty()));
        PlanDocument rewired = document.together(d -> d.assign(assignment).setDiodes(true));
        Plan after = rewired.reading()
                .plan()
                .orElseThrow(() -> new AssertionError(rewired.reading().problems() + rewired.text()));
        assertEquals(List.of(), rewired.reading().problems());
        assertEquals(assignment.lines(), after.lines());
        Set<Wiring> used = new HashSet<>();
        after.contacts().forEach(c -> assertTrue(used.add(c.wiring()) && c.wiring() instanceof Wiring.Crossing));
        assertEquals(document.text(), rewired.undo().text());
        assertEquals(
                document.text().lines().filter(l -> l.startsWith("#")).toList(),
                rewired.text().lines().filter(l -> l.startsWith("#")).toList(),
                "comments stay");
    }
}
