package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** How the wires are bundled, against what can be told of the drawn runs alone. */
class BundleTest {
    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "test.yaml").plan().orElseThrow();
    }

    /** The plans of the fixtures with a board, a rib to go around and a rim, and boxes of the test's own. */
    static Stream<Plan> plans() throws IOException {
        List<Plan> plans = new ArrayList<>();
        for (String name : List.of("drivers-desk", "guards-panel", "lamp-switches")) {
            PlanDocument document = PlanDocument.of(Files.readString(Path.of("fixtures/plans", name + ".yaml")), name);
            Plan.Panel panel = document.reading().plan().orElseThrow().panel().orElseThrow();
            plans.add(document.setPanel(
                            new Plan.Panel(panel.width(), panel.height(), Optional.of(60.0), Optional.empty()))
                    .setBoard(Optional.of(new Inside.Board(
                            new Inside.Shape.Block(new Mount.Place(panel.width() / 2 + 7, panel.height() - 15), 18, 20),
                            Optional.of(12.0),
                            Inside.On.FLOOR,
                            Optional.empty())))
                    .addKeepOut(new Inside.KeepOut(
                            "Test rib",
                            new Inside.Shape.Block(new Mount.Place(panel.width() / 2, panel.height() / 2), 3, 20),
                            Optional.empty(),
                            Inside.On.FLOOR))
                    .reading()
                    .plan()
                    .orElseThrow());
        }
        Random random = new Random(5);
        for (int box = 0; box < 6; box++) {
            StringBuilder controls = new StringBuilder();
            for (int i = 0; i < 30; i++) {
                controls.append(String.format(
                        Locale.ROOT,
                        "  - { id: c%d, kind: push, input: button %d, place: [%d mm, %d mm], hole: 8 mm, depth: %d mm }\n",
                        i,
                        i + 1,
                        12 + random.nextInt(276),
                        12 + random.nextInt(176),
                        10 + random.nextInt(30)));
            }
            plans.add(plan("""
                    ringout: 1
                    box: { name: Scattered }
                    panel: { width: 300 mm, height: 200 mm, depth: 70 mm }
                    inside:
                      board: { place: [%d mm, 150 mm], width: 40 mm, height: 20 mm, tall: 12 mm }
                      keep-outs:
                        - { name: Post, place: [100 mm, 80 mm], round: 20 mm }
                        - { name: Wall, place: [200 mm, 90 mm], width: 6 mm, height: 120 mm }
                        - { name: Rim, rim: 4 mm }
                    controls:
                    %s""".formatted(40 + random.nextInt(200), controls)));
        }
        return plans.stream();
    }

    private static List<Bundle.Wire> toEach(Plan plan) {
        return plan.controls().stream()
                .map(c -> new Bundle.Wire(Optional.empty(), c.id()))
                .toList();
    }

    private record At(long x, long y) {
        static At of(Mount.Place place) {
            return new At(Math.round(place.x() * 1000), Math.round(place.y() * 1000));
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    @DisplayName(
            "the runs are a tree that reaches every control, and none leads through a keep-out, sampled every millimetre")
    void runsAreATreeAroundKeepOuts(Plan plan) {
        Bundle bundle = Bundle.of(plan).orElseThrow();
        List<Bundle.Run> runs = bundle.runs(toEach(plan));
        Set<At> reached = new HashSet<>(Set.of(At.of(bundle.on(Optional.empty()))));
        Deque<Bundle.Run> open = new ArrayDeque<>(runs);
        int idle = 0;
        while (!open.isEmpty() && idle <= open.size()) {
            Bundle.Run run = open.remove();
            if (reached.contains(At.of(run.from()))) {
                assertTrue(reached.add(At.of(run.to())), "no end is reached twice: a tree has no rings");
                idle = 0;
            } else {
                open.add(run);
                idle++;
            }
        }
        assertTrue(open.isEmpty(), () -> "loose: " + open);
        List<Mount.Place> on = new ArrayList<>(List.of(bundle.on(Optional.empty())));
        double most = 0;
        for (Bundle.Run run : runs) {
            int steps = Math.max(1, (int) Math.ceil(run.length()));
            for (int i = 0; i <= steps; i++) {
                double share = (double) i / steps;
                Mount.Place p = new Mount.Place(
                        run.from().x() + share * (run.to().x() - run.from().x()),
                        run.from().y() + share * (run.to().y() - run.from().y()));
                on.add(p);
                if (bundle.pressed().isEmpty()) {
                    for (Inside.KeepOut keepOut : plan.inside().keepOuts()) {
                        assertFalse(within(keepOut.shape(), p, plan.panel().orElseThrow()), keepOut + " at " + p);
                    }
                }
            }
            most = Math.max(most, run.wires());
        }
        assertTrue(bundle.pressed().isEmpty(), () -> "pressed: " + bundle.pressed());
        for (Control control : plan.controls()) {
            Mount.Place end = bundle.on(Optional.of(control.id()));
            assertTrue(on.stream().anyMatch(p -> Math.hypot(p.x() - end.x(), p.y() - end.y()) < 1e-6), control.id());
        }
    }

    /** Known to this test only. */
    private static boolean within(Inside.Shape shape, Mount.Place p, Plan.Panel panel) {
        if (shape instanceof Inside.Shape.Disc d) {
            return Math.pow(p.x() - d.centre().x(), 2)
                            + Math.pow(p.y() - d.centre().y(), 2)
                    < d.diameter() * d.diameter() / 4;
        }
        if (shape instanceof Inside.Shape.Block b) {
            return Math.abs(p.x() - b.centre().x()) < b.width() / 2
                    && Math.abs(p.y() - b.centre().y()) < b.height() / 2;
        }
        double rim = ((Inside.Shape.Rim) shape).width();
        return p.x() < rim || p.y() < rim || p.x() > panel.width() - rim || p.y() > panel.height() - rim;
    }

    @ParameterizedTest
    @MethodSource("plans")
    @DisplayName("ways: no shorter than straight, all together what the runs carry, and not wildly long")
    void waysAddUp(Plan plan) {
        Bundle bundle = Bundle.of(plan).orElseThrow();
        double ways = 0;
        double legs = 0;
        double straight = 0;
        for (Control control : plan.controls()) {
            Mount.Place place = control.mount().place().orElseThrow();
            Mount.Place end = bundle.on(Optional.of(control.id()));
            double direct = Math.hypot(
                    place.x() - bundle.board().x(), place.y() - bundle.board().y());
            double way = bundle.fromBoard(control.id());
            assertTrue(way >= direct - 1e-6, control.id());
            assertTrue(bundle.wireFromBoard(control.id()) >= way + plan.inside().lidSlack());
            ways += way;
            straight += direct;
            legs += Math.hypot(place.x() - end.x(), place.y() - end.y());
        }
        Mount.Place root = bundle.on(Optional.empty());
        double first = Math.hypot(
                root.x() - bundle.board().x(), root.y() - bundle.board().y());
        double carried = bundle.runs(toEach(plan)).stream()
                .mapToDouble(r -> r.length() * r.wires())
                .sum();
        assertEquals(ways, carried + legs + first * plan.controls().size(), 1e-6);
        assertTrue(ways < 2.2 * straight + 60 * plan.controls().size(), ways + " against " + straight);
        for (Control a : plan.controls()) {
            assertEquals(0, bundle.between(a.id(), a.id()));
            for (Control b : plan.controls()) {
                double between = bundle.between(a.id(), b.id());
                assertEquals(between, bundle.between(b.id(), a.id()), 1e-9);
                assertTrue(between <= bundle.fromBoard(a.id()) + bundle.fromBoard(b.id()) + 1e-6);
                assertTrue(between >= distance(a, b) - 1e-6, a.id() + " to " + b.id());
            }
        }
    }

    private static double distance(Control a, Control b) {
        Mount.Place p = a.mount().place().orElseThrow();
        Mount.Place q = b.mount().place().orElseThrow();
        return Math.hypot(p.x() - q.x(), p.y() - q.y());
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyBranchIsHeldAndTiesAreNoFartherApartThanSaid(Plan plan) {
        Bundle bundle = Bundle.of(plan).orElseThrow();
        List<Bundle.Wire> wires = toEach(plan);
        List<Mount.Place> ties = bundle.ties(wires);
        for (Bundle.Run run : bundle.runs(wires)) {
            if (run.wires() > 1) {
                long on = ties.stream().filter(t -> onRun(t, run)).count();
                assertTrue(on >= Math.floor(run.length() / Bundle.TIE_MM), run + " has " + on);
            }
        }
        assertFalse(bundle.reliefs(wires).isEmpty());
        for (Mount.Place relief : bundle.reliefs(wires)) {
            assertTrue(bundle.runs(wires).stream().anyMatch(r -> onRun(relief, r)), relief.toString());
        }
    }

    private static boolean onRun(Mount.Place p, Bundle.Run run) {
        double along = Math.hypot(p.x() - run.from().x(), p.y() - run.from().y())
                + Math.hypot(p.x() - run.to().x(), p.y() - run.to().y());
        return along < run.length() + 1e-6;
    }

    @Test
    void whatIsWalledInIsSaid() {
        Plan plan = plan("""
                ringout: 1
                box: { name: Walled }
                panel: { width: 200 mm, height: 100 mm, depth: 50 mm }
                inside:
                  board: { place: [20 mm, 50 mm], width: 18 mm, height: 30 mm, tall: 10 mm }
                  keep-outs: [ { name: Wall, place: [100 mm, 50 mm], width: 10 mm, height: 100 mm } ]
                controls:
                  - { id: near, kind: push, input: button 1, place: [60 mm, 50 mm] }
                  - { id: far, kind: push, input: button 2, place: [150 mm, 50 mm] }
                """);
        assertEquals(List.of("far"), Bundle.of(plan).orElseThrow().pressed());
    }

    @Test
    void slackDepthAndBendsAreCounted() {
        Plan plan = plan("""
                ringout: 1
                box: { name: Straight }
                panel: { width: 205 mm, height: 105 mm, depth: 60 mm }
                inside: { board: { place: [52.5 mm, 52.5 mm], width: 18 mm, height: 30 mm, tall: 10 mm }, slack: 80 mm }
                controls:
                  - { id: a, kind: push, input: button 1, place: [102.5 mm, 52.5 mm], depth: 30 mm }
                  - { id: b, kind: push, input: button 2, place: [152.5 mm, 52.5 mm], depth: 20 mm }
                """);
        Bundle bundle = Bundle.of(plan).orElseThrow();
        assertEquals(50, bundle.fromBoard("a"), 1e-6);
        assertEquals(100, bundle.fromBoard("b"), 1e-6);
        assertEquals(50, bundle.between("a", "b"), 1e-6);
        assertEquals(1.1 * (50 + 60 - 10 - 30) + 80, bundle.wireFromBoard("a"), 1e-6);
        assertEquals(1.1 * (50 + 10), bundle.wireBetween("a", "b"), 1e-6);
    }

    /** Across a large body would be 10 mm shorter; across a small one it is taken. */
    @Test
    void theBundleGoesAroundALargeBody() {
        String yaml = """
                ringout: 1
                box: { name: Around }
                panel: { width: 205 mm, height: 105 mm, depth: 60 mm }
                inside: { board: { place: [32.5 mm, 52.5 mm], width: 18 mm, height: 30 mm } }
                controls:
                  - { id: far, kind: push, input: button 1, place: [122.5 mm, 52.5 mm], body: 10 mm }
                  - { id: mid, kind: push, input: button 2, place: [82.5 mm, 37.5 mm], body: 40 mm }
                """;
        Bundle around = Bundle.of(plan(yaml)).orElseThrow();
        assertEquals(130, around.fromBoard("far"), 1e-6);
        for (Bundle.Run run : around.runs(List.of(new Bundle.Wire(Optional.empty(), "far")))) {
            for (double share = 0; share <= 1; share += 0.01) {
                double x = run.from().x() + share * (run.to().x() - run.from().x());
                double y = run.from().y() + share * (run.to().y() - run.from().y());
                assertTrue(Math.hypot(x - 82.5, y - 37.5) >= 20 - 1e-6, run::toString);
            }
        }
        Bundle across =
                Bundle.of(plan(yaml.replace("body: 40 mm", "body: 4 mm"))).orElseThrow();
        assertEquals(120, across.fromBoard("far"), 1e-6);
    }

    @Test
    void aPlanWithoutAnInsideHasNone() {
        assertEquals(Optional.empty(), Bundle.of(plan("""
                        ringout: 1
                        box: { name: Bare }
                        panel: { width: 200 mm, height: 100 mm, board: [20 mm, 50 mm] }
                        controls: [ { id: a, kind: push, input: button 1, place: [60 mm, 50 mm] } ]
                        """)));
    }
}
