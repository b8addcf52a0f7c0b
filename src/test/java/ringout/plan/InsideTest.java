package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.hid.Direction;

/** What is behind the panel: how it is read, edited and compared with the controls. */
class InsideTest {
    private static final String DESK = """
            ringout: 1
            box: { name: Test desk }
            panel: { width: 200 mm, height: 100 mm, depth: 60 mm }
            inside: # measured with the lid off
              board: { place: [40 mm, 80 mm], width: 18 mm, height: 34 mm, tall: 15 mm, connector: left } # on two screws
              cable: [0 mm, 80 mm]
              keep-outs:
                - { name: Boss, place: [8 mm, 8 mm], round: 9 mm } # of the lid
                - { name: Lug, place: [196 mm, 50 mm], width: 0.8 cm, height: 20 mm, tall: 20 mm }
                - { name: Rim, rim: 3 mm, tall: 6 mm, from: panel }
            lines:
              direct: { D1: pin 6 }
            controls:
              - { id: horn, kind: push, at: D1, input: button 1, place: [100 mm, 50 mm], hole: 16 mm, nut: 22 mm, depth: 30 mm }
            """;

    private static PlanReading read(String yaml) {
        return PlanReader.read(yaml, "test.yaml");
    }

    private static Plan plan(String yaml) {
        return read(yaml).plan().orElseThrow();
    }

    private static List<String> said(String yaml) {
        return read(yaml).problems().stream().map(PlanProblem::text).toList();
    }

    @Test
    void readsEveryPart() {
        assertEquals(List.of(), said(DESK));
        Inside inside = plan(DESK).inside();
        assertEquals(
                new Inside(
                        Optional.of(new Inside.Board(
                                new Inside.Shape.Block(new Mount.Place(40, 80), 18, 34),
                                Optional.of(15.0),
                                Inside.On.FLOOR,
                                Optional.of(Direction.LEFT))),
                        Optional.of(new Mount.Place(0, 80)),
                        Optional.empty(),
                        List.of(
                                new Inside.KeepOut(
                                        "Boss",
                                        new Inside.Shape.Disc(new Mount.Place(8, 8), 9),
                                        Optional.empty(),
                                        Inside.On.FLOOR),
                                new Inside.KeepOut(
                                        "Lug",
                                        new Inside.Shape.Block(new Mount.Place(196, 50), 8, 20),
                                        Optional.of(20.0),
                                        Inside.On.FLOOR),
                                new Inside.KeepOut("Rim", new Inside.Shape.Rim(3), Optional.of(6.0), Inside.On.PANEL))),
                inside);
        assertEquals(Optional.of(new Mount.Place(40, 80)), plan(DESK).board(), "the wires end in its middle");
        assertEquals(100, inside.lidSlack());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "place: [40 mm, 80 mm], width|width|5|10|the board lacks \"place\"",
                "connector: left|connector: front|5|88|expected the side the plug is on",
                "round: 9 mm|round: 9|8|49|expected a length such as 22 mm",
                "name: Lug|name: Boss|9|15|the keep-out Boss is there twice; the first is on line 8",
                "rim: 3 mm,|place: [3 mm, 3 mm],|10|7|a keep-out is a post",
                "cable:|cabel:|6|3|did you mean \"cable\"?"
            })
    void namesTheLineAndColumnOfAMistake(String good, String bad, int line, int column, String message) {
        assertTrue(DESK.contains(good));
        PlanReading reading = read(DESK.replace(good, bad));
        assertTrue(
                reading.problems().stream()
                        .anyMatch(p -> p.severity() == PlanProblem.Severity.ERROR
                                && p.line() == line
                                && p.column() == column
                                && p.message().contains(message)),
                () -> reading.problems().toString());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "place: [100 mm, 50 mm]|place: [17 mm, 9 mm]|14:5|6.4 mm within Boss behind the panel",
                "place: [100 mm, 50 mm]|place: [100 mm, 12 mm]|14:5|2.0 mm within Rim behind the panel",
                "place: [8 mm, 8 mm], round|place: [3 mm, 8 mm], round|8:7|Boss reaches 1.5 mm beyond the panel's edge",
                "tall: 20 mm|tall: 61 mm|9:7|Lug is 61.0 mm tall, but the box has room for 60.0 mm",
                "place: [196 mm, 50 mm]|place: [50 mm, 70 mm]|5:10|the board is 3.0 mm within Lug",
                "height: 34 mm, tall: 15 mm|height: 38 mm, tall: 55 mm|5:10|the board is 2.0 mm within Rim",
                "place: [196 mm, 50 mm]|place: [15 mm, 76 mm]|5:10|the board's plug is 8.0 mm within Lug",
                "cable: [0 mm, 80 mm]|cable: [31 mm, 60 mm]|6:3|20.0 mm from the connector and not straight ahead",
                "cable: [0 mm, 80 mm]|cable: [8 mm, 9 mm]|6:3|the cable leaves the box where Boss is",
                "cable: [0 mm, 80 mm]|cable: [200 mm, 101 mm]|6:3|1.0 mm beyond the panel's edge",
                "connector: left|connector: down|5:10|the board's plug reaches 27.0 mm beyond the panel's edge",
                ", depth: 60 mm||4:1|until \"panel\" says its \"depth\""
            })
    void warnsWhereSomethingDoesNotFit(String good, String bad, String spot, String message) {
        assertTrue(DESK.contains(good));
        List<String> said = said(DESK.replace(good, bad == null ? "" : bad));
        assertTrue(
                said.stream().anyMatch(t -> t.startsWith("test.yaml:" + spot + ": warning: ") && t.contains(message)),
                () -> said.toString());
    }

    @Test
    void onlyOfAPlugItIsSaidWhatRoomItNeeds() {
        String[][] wholes = {
            {"place: [196 mm, 50 mm]", "place: [50 mm, 70 mm]", ": the board is 3.0 mm within Lug"},
            {
                "place: [196 mm, 50 mm]",
                "place: [15 mm, 76 mm]",
                ": the board's plug is 8.0 mm within Lug: a plug and the bend of its cable need 30.0 mm straight ahead"
            },
            {"place: [8 mm, 8 mm], round", "place: [3 mm, 8 mm], round", ": Boss reaches 1.5 mm beyond the panel's edge"
            },
            {
                "connector: left",
                "connector: down",
                "edge: a plug and the bend of its cable need 30.0 mm straight ahead, or a way out of the box there"
            },
            {
                "panel: { width: 200 mm, height: 100 mm, depth: 60 mm }\n",
                "",
                ": \"inside\" is measured from the panel's upper left corner; give \"panel\" its width and height"
            }
        };
        for (String[] whole : wholes) {
            List<String> said = said(DESK.replace(whole[0], whole[1]));
            assertTrue(said.stream().anyMatch(t -> t.endsWith(whole[2])), said::toString);
        }
    }

    /** Else the plug and the first bend of its cable need 30 mm within the box. */
    @Test
    void aCableThatLeavesStraightAheadNeedsNoRoomToBend() {
        String left = DESK.replace("place: [40 mm, 80 mm]", "place: [30 mm, 80 mm]");
        assertEquals(List.of(), said(left));
        List<String> aside = said(left.replace("cable: [0 mm, 80 mm]", "cable: [0 mm, 60 mm]"));
        assertTrue(
                aside.stream().anyMatch(t -> t.contains("the board's plug reaches 9.0 mm beyond the panel's edge")),
                aside::toString);
        String down = DESK.replace("place: [40 mm, 80 mm]", "place: [40 mm, 70 mm]")
                .replace("connector: left", "connector: down");
        assertEquals(List.of(), said(down.replace("cable: [0 mm, 80 mm]", "cable: [40 mm, 100 mm]")));
        List<String> up = said(down.replace("cable: [0 mm, 80 mm]", "cable: [40 mm, 0 mm]"));
        assertTrue(
                up.stream().anyMatch(t -> t.contains("the board's plug reaches 17.0 mm beyond the panel's edge")),
                up::toString);
    }

    @Test
    void countsTheRoomForWiresOverTheBoard() {
        String over = DESK.replace("place: [100 mm, 50 mm]", "place: [45 mm, 60 mm]");
        assertEquals(List.of(), said(over), "30 mm of body, 10 mm of wires, and 15 mm of board fit 60 mm");
        assertEquals(
                List.of("test.yaml:14:5: warning: Horn reaches 36.0 mm behind the panel, over the board,"
                        + " and its wires need 10.0 mm more, but there is room for 45.0 mm"),
                said(over.replace("depth: 30 mm", "depth: 36 mm")));
        assertEquals(
                List.of(
                        "test.yaml:14:5: warning: Horn is taken to reach 30.0 mm behind the panel (as is usual; its \"depth\""
                                + " says better), over the board, and its wires need 10.0 mm more, but there is room for 39.0 mm"),
                said(over.replace("depth: 60 mm", "depth: 54 mm").replace(", depth: 30 mm", "")));
    }

    @Test
    void warnsOfBodiesWiderThanTheirNuts() {
        String two = DESK
                + "  - { id: bell, kind: push, input: button 2, place: [124 mm, 50 mm], nut: 22 mm, body: 28 mm }\n";
        assertEquals(
                List.of("test.yaml:15:5: warning: the bodies of Horn and Bell overlap by 1.0 mm behind the panel"),
                said(two));
        assertEquals(List.of(), said(two.replace("body: 28 mm", "body: 26 mm")));
    }

    @Test
    void aPlanWithoutAnInsideIsWarnedOfNothingNew() {
        String bare = DESK.substring(0, DESK.indexOf("inside:")) + DESK.substring(DESK.indexOf("lines:"));
        assertEquals(
                List.of(), said(bare.replace("depth: 60 mm", "depth: 20 mm").replace(", depth: 30 mm", "")));
        assertTrue(plan(bare).inside().isUnknown());
    }

    // ---- edits

    @Test
    void editsKeepCommentsAndWhatDoesNotChange() {
        PlanDocument document = PlanDocument.of(DESK, "test.yaml");
        Inside inside = plan(DESK).inside();
        Inside.Board board = inside.board().orElseThrow();
        PlanDocument moved = document.setBoard(Optional.of(new Inside.Board(
                new Inside.Shape.Block(new Mount.Place(44, 80), 18, 34),
                board.tall(),
                Inside.On.PANEL,
                board.connector())));
        assertEquals(
                DESK.replace("[40 mm, 80 mm]", "[44 mm, 80 mm]").replace("tall: 15 mm,", "tall: 15 mm, from: panel,"),
                moved.text());
        assertEquals(
                DESK.replace("height: 20 mm, tall: 20 mm", "height: 22 mm, tall: 20 mm"),
                document.setKeepOut(
                                "Lug",
                                new Inside.KeepOut(
                                        "Lug",
                                        new Inside.Shape.Block(new Mount.Place(196, 50), 8, 22),
                                        Optional.of(20.0),
                                        Inside.On.FLOOR))
                        .text(),
                "a length in another unit keeps its words");
        PlanDocument rim = document.setKeepOut(
                "Boss", new Inside.KeepOut("Ridge", new Inside.Shape.Rim(2), Optional.empty(), Inside.On.FLOOR));
        assertEquals(
                DESK.replace("name: Boss, place: [8 mm, 8 mm], round: 9 mm", "name: Ridge, rim: 2 mm"), rim.text());
        assertEquals(DESK, rim.undo().text());
        PlanDocument one = document.removeKeepOut("Lug").removeKeepOut("Rim");
        assertTrue(
                one.text().contains("- { name: Boss, place: [8 mm, 8 mm], round: 9 mm } # of the lid\nlines:"),
                one.text());
        PlanDocument none = one.removeKeepOut("Boss").setCable(Optional.empty()).setBoard(Optional.empty());
        assertFalse(none.text().contains("inside"), none.text());
        assertTrue(none.reading().plan().orElseThrow().inside().isUnknown());
    }

    @ParameterizedTest
    @MethodSource("fixtures")
    void everyPartCanBeAddedToEveryPlan(Path fixture) throws IOException {
        Inside inside = plan(DESK).inside();
        PlanDocument bare = PlanDocument.of(Files.readString(fixture), fixture.toString());
        PlanDocument document = bare;
        for (Inside.KeepOut old : bare.reading().plan().orElseThrow().inside().keepOuts()) {
            document = document.removeKeepOut(old.name());
        }
        document =
                document.setCable(Optional.empty()).setBoard(Optional.empty()).setSlack(Optional.empty());
        PlanDocument none = document;
        document = document.setCable(inside.cable()).setBoard(inside.board()).setSlack(Optional.of(70.0));
        for (Inside.KeepOut keepOut : inside.keepOuts()) {
            document = document.addKeepOut(keepOut);
        }
        Plan plan = document.reading().plan().orElseThrow();
        assertEquals(new Inside(inside.board(), inside.cable(), Optional.of(70.0), inside.keepOuts()), plan.inside());
        for (Inside.KeepOut keepOut : inside.keepOuts()) {
            document = document.removeKeepOut(keepOut.name());
        }
        assertEquals(
                none.reading().plan(),
                document.setSlack(Optional.empty())
                        .setBoard(Optional.empty())
                        .setCable(Optional.empty())
                        .reading()
                        .plan());
    }

    static Stream<Path> fixtures() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("fixtures/plans"))) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList().stream();
        }
    }

    // ---- an independent computation

    /** A post, a bar or a rim as a set of points, known only to this test. */
    private record Solid(String name, String yaml, double fromDepth, double toDepth, Inside.Shape shape) {
        boolean holds(double x, double y) {
            if (shape instanceof Inside.Shape.Disc d) {
                double dx = x - d.centre().x();
                double dy = y - d.centre().y();
                return dx * dx + dy * dy < d.diameter() * d.diameter() / 4;
            }
            if (shape instanceof Inside.Shape.Block b) {
                return x > b.centre().x() - b.width() / 2
                        && x < b.centre().x() + b.width() / 2
                        && y > b.centre().y() - b.height() / 2
                        && y < b.centre().y() + b.height() / 2;
            }
            double w = ((Inside.Shape.Rim) shape).width();
            return x < w || y < w || x > WIDE - w || y > HIGH - w;
        }
    }

    private static final int WIDE = 160;
    private static final int HIGH = 110;
    private static final int DEEP = 55;

    private static Solid solid(Random random, int i) {
        int x = 20 + random.nextInt(WIDE - 40);
        int y = 20 + random.nextInt(HIGH - 40);
        int a = 4 + random.nextInt(20);
        int b = 4 + random.nextInt(20);
        Inside.Shape shape = switch (random.nextInt(4)) {
            case 0 -> new Inside.Shape.Rim(2 + random.nextInt(4));
            case 1 -> new Inside.Shape.Disc(new Mount.Place(x, y), a);
            default -> new Inside.Shape.Block(new Mount.Place(x, y), a, b);
        };
        String at = shape instanceof Inside.Shape.Rim rim
                ? "rim: " + (int) rim.width() + " mm"
                : "place: [" + x + " mm, " + y + " mm], "
                        + (shape instanceof Inside.Shape.Disc
                                ? "round: " + a + " mm"
                                : "width: " + a + " mm, height: " + b + " mm");
        int tall = 1 + random.nextInt(DEEP);
        String name = "T" + i;
        return switch (random.nextInt(3)) {
            case 0 -> new Solid(name, "{ name: " + name + ", " + at + " }", 0, DEEP, shape);
            case 1 ->
                new Solid(
                        name, "{ name: " + name + ", " + at + ", tall: " + tall + " mm, from: panel }", 0, tall, shape);
            default ->
                new Solid(name, "{ name: " + name + ", " + at + ", tall: " + tall + " mm }", DEEP - tall, DEEP, shape);
        };
    }

    @Test
    @DisplayName(
            "which bodies meet which things, against points sampled every half millimetre in plan view and in depth")
    void agreesWithSampledPoints() {
        Random random = new Random(17);
        int met = 0;
        int clear = 0;
        for (int round = 0; round < 300; round++) {
            List<Solid> solids = new ArrayList<>();
            for (int i = 0; i < 4; i++) {
                solids.add(solid(random, i));
            }
            double radius = 5 + random.nextInt(10);
            int depth = 10 + random.nextInt(25);
            int x = 20 + random.nextInt(WIDE - 40);
            int y = 20 + random.nextInt(HIGH - 40);
            String yaml = String.format(
                    Locale.ROOT,
                    """
                    ringout: 1
                    box: { name: Sampled }
                    panel: { width: %d mm, height: %d mm, depth: %d mm }
                    inside: { keep-outs: [ %s ] }
                    lines: { direct: { D1: pin 1 } }
                    controls: [ { id: a, kind: push, at: D1, input: button 1, place: [%d mm, %d mm], body: %.1f mm, depth: %d mm } ]
                    """,
                    WIDE,
                    HIGH,
                    DEEP,
                    solids.stream().map(Solid::yaml).collect(Collectors.joining(", ")),
                    x,
                    y,
                    2 * radius,
                    depth);
            Plan plan = plan(yaml);
            Set<String> named = Clearance.of(plan).stream()
                    .flatMap(c -> c instanceof Clearance.InTheWay way
                            ? Stream.of(way.thing().name())
                            : c instanceof Clearance.OverThing over
                                    ? Stream.of(over.thing().name())
                                    : Stream.empty())
                    .collect(Collectors.toSet());
            for (Solid solid : solids) {
                boolean sampled = sampled(solid, x, y, radius, depth + Clearance.WIRING_ROOM_MM);
                // Between two samples nothing can be said.
                boolean grown = sampled(solid, x, y, radius + 0.75, depth + Clearance.WIRING_ROOM_MM);
                if (sampled || !grown) {
                    assertEquals(sampled, named.contains(solid.name()), yaml);
                    met += sampled ? 1 : 0;
                    clear += sampled ? 0 : 1;
                }
            }
        }
        assertTrue(met > 40 && clear > 40, met + " met, " + clear + " clear");
    }

    private static boolean sampled(Solid solid, double x, double y, double radius, double depth) {
        for (double z = 0.25; z < depth; z += 0.5) {
            if (z > solid.fromDepth() && z < solid.toDepth()) {
                for (double dx = -radius; dx <= radius; dx += 0.5) {
                    for (double dy = -radius; dy <= radius; dy += 0.5) {
                        if (dx * dx + dy * dy < radius * radius && solid.holds(x + dx, y + dy)) {
                            return true;
                        }
                    }
                }
            }
        }
        return false;
    }
}
