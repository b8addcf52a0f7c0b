package ringout.report;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.drawing.Point;
import ringout.plan.Control;
import ringout.plan.Drill;
import ringout.plan.Inside;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

class WiringSheetTest {
    /** A tenth of a printer's dot at 600 dpi would be 0.004 mm; what the file's own rounding may do. */
    private static final double TOLERANCE_MM = 0.005;

    private static Plan fixture(String name) {
        try {
            return plan(Files.readString(Path.of("fixtures/plans", name)));
        } catch (IOException problem) {
            throw new UncheckedIOException(problem);
        }
    }

    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "x").plan().orElseThrow();
    }

    static Stream<Plan> plans() {
        return Stream.of(
                fixture("drivers-desk.yaml"),
                fixture("guards-panel.yaml"),
                fixture("lamp-switches.yaml"),
                plan("""
                ringout: 1
                box: { name: "No <places> & \\"no\\" panel" }
                lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3 }, shift: { S1: { pin: pin 9, registers: 2 } } }
                controls:
                  - { id: a, label: "Λάμπα 灯", kind: push, at: D1, input: button 1 }
                  - { id: t, label: Mode, kind: toggle, up: { at: D2, input: button 2 }, down: { at: D3, input: button 3 } }
                  - { id: s, kind: selector, positions: [ { at: [S1, 1, 0], input: button 5 }, { at: [S1, 1, 1], input: button 6 }] }
                  - { id: x, kind: axis, input: axis X }
                  - { id: u, kind: push, input: button 9 }
                """),
                everyPart(),
                plan("ringout: 1\nbox: { name: Empty }\npanel: { width: 50 mm, height: 50 mm }\ncontrols: []\n"));
    }

    /** One of each part that a new box can have. */
    private static Plan everyPart() {
        Map<NewBox.Part, Integer> counts = new EnumMap<>(NewBox.Part.class);
        for (NewBox.Part part : NewBox.Part.values()) {
            counts.put(part, 2);
        }
        return plan(NewBox.yaml(new NewBox.Answers(
                "Every part",
                counts,
                6,
                true,
                true,
                IntStream.rangeClosed(1, 30).mapToObj(i -> "GP" + i).toList(),
                List.of("A0"),
                Optional.empty())));
    }

    /** Larger than any paper, with holes on the seams. */
    private static Plan large() {
        StringBuilder yaml = new StringBuilder("""
                ringout: 1
                box: { name: Long overhead console }
                panel: { width: 520 mm, height: 300 mm, board: [400 mm, 130 mm] }
                lines: { direct: {\s""");
        int count = 0;
        StringBuilder controls = new StringBuilder("controls:\n");
        for (int x = 15; x <= 505; x += 35) {
            for (int y = 20; y <= 280; y += 52) {
                count++;
                yaml.append(count > 1 ? ", " : "")
                        .append("D")
                        .append(count)
                        .append(": ")
                        .append(count);
                controls.append("  - { id: b")
                        .append(count)
                        .append(", kind: push, at: D")
                        .append(count)
                        .append(", input: button ")
                        .append(count)
                        .append(", place: [")
                        .append(x)
                        .append(" mm, ")
                        .append(y)
                        .append(" mm], hole: ")
                        .append(10 + count % 7)
                        .append(".5 mm, nut: 22 mm }\n");
            }
        }
        return plan(yaml + " } }\n" + controls);
    }

    private static PDDocument pdf(Plan plan, Document.Paper paper) throws IOException {
        return Loader.loadPDF(PdfWriter.pdf(WiringSheet.of(plan, "plan.yaml", paper)));
    }

    private static List<PDPage> templates(PDDocument pdf) throws IOException {
        List<PDPage> pages = new ArrayList<>();
        PDFTextStripper text = new PDFTextStripper();
        for (int i = 1; i <= pdf.getNumberOfPages(); i++) {
            text.setStartPage(i);
            text.setEndPage(i);
            // Turned lettering is read letter by letter.
            if (text.getText(pdf).replaceAll("\\s", "").contains("Drilltemplate1:1")) {
                pages.add(pdf.getPage(i - 1));
            }
        }
        return pages;
    }

    @Test
    @DisplayName("ISO 32000-1: PDFBox finds every hole of the template where the plan has it, and of its size")
    void theTemplateIsOneToOne() throws IOException {
        for (String name : List.of("drivers-desk.yaml", "guards-panel.yaml", "lamp-switches.yaml")) {
            Plan plan = fixture(name);
            try (PDDocument pdf = pdf(plan, Document.Paper.A4)) {
                List<PDPage> pages = templates(pdf);
                assertEquals(1, pages.size());
                assertEquals(
                        210, pages.get(0).getMediaBox().getWidth() / 72 * 25.4, 0.01, "ISO 216: A4 is 210 by 297 mm");
                assertEquals(297, pages.get(0).getMediaBox().getHeight() / 72 * 25.4, 0.01);
                List<PdfGeometry.Stroke> strokes = PdfGeometry.strokes(pages.get(0));
                assertEquals(1, bars(strokes), "the check bar is 100 mm long");
                Panel panel = Panel.find(strokes, plan);
                List<PdfGeometry.Stroke> circles =
                        strokes.stream().filter(PdfGeometry.Stroke::curved).toList();
                for (Control control : plan.controls()) {
                    Mount mount = control.mount();
                    for (double diameter :
                            List.of(mount.hole().orElseThrow(), mount.nut().orElseThrow(), Drill.PILOT_MM)) {
                        assertTrue(
                                circles.stream()
                                        .anyMatch(c ->
                                                panel.holds(c, mount.place().orElseThrow(), diameter)),
                                () -> control.id() + " " + diameter + " in " + circles);
                    }
                }
                List<Inside.Shape.Disc> posts = plan.inside().keepOuts().stream()
                        .map(Inside.KeepOut::shape)
                        .filter(Inside.Shape.Disc.class::isInstance)
                        .map(Inside.Shape.Disc.class::cast)
                        .toList();
                for (Inside.Shape.Disc post : posts) {
                    assertTrue(
                            circles.stream().anyMatch(c -> panel.holds(c, post.centre(), post.diameter())),
                            post.toString());
                }
                assertEquals(3 * plan.controls().size() + posts.size(), circles.size(), "and nothing else is round");
            }
        }
    }

    private static long bars(List<PdfGeometry.Stroke> strokes) {
        return strokes.stream()
                .filter(s -> !s.curved()
                        && Math.abs(Math.max(s.width(), s.height()) - 100) < TOLERANCE_MM
                        && Math.min(s.width(), s.height()) < TOLERANCE_MM)
                .count();
    }

    /** The panel's outline on the paper: upright, or turned a quarter clockwise. */
    private record Panel(double left, double top, double width, double height, boolean turned) {
        static Panel find(List<PdfGeometry.Stroke> strokes, Plan plan) {
            double w = plan.panel().orElseThrow().width();
            double h = plan.panel().orElseThrow().height();
            List<PdfGeometry.Stroke> lying = edges(strokes, true);
            List<PdfGeometry.Stroke> standing = edges(strokes, false);
            for (boolean turned : new boolean[] {false, true}) {
                double across = turned ? h : w;
                double down = turned ? w : h;
                Optional<PdfGeometry.Stroke> top = lying.stream()
                        .filter(s -> Math.abs(s.width() - across) < TOLERANCE_MM)
                        .min(java.util.Comparator.comparingDouble(PdfGeometry.Stroke::top));
                Optional<PdfGeometry.Stroke> side = standing.stream()
                        .filter(s -> Math.abs(s.height() - down) < TOLERANCE_MM)
                        .min(java.util.Comparator.comparingDouble(PdfGeometry.Stroke::left));
                if (top.isPresent() && side.isPresent()) {
                    return new Panel(side.get().left(), top.get().top(), across, down, turned);
                }
            }
            throw new AssertionError("no outline of " + w + " by " + h + " in " + strokes);
        }

        private static List<PdfGeometry.Stroke> edges(List<PdfGeometry.Stroke> strokes, boolean lying) {
            return strokes.stream()
                    .filter(s -> !s.curved() && (lying ? s.height() : s.width()) < TOLERANCE_MM)
                    .toList();
        }

        boolean holds(PdfGeometry.Stroke circle, Mount.Place place, double diameter) {
            double x = turned ? left + width - place.y() : left + place.x();
            double y = turned ? top + place.x() : top + place.y();
            return Math.abs(circle.centreX() - x) < TOLERANCE_MM
                    && Math.abs(circle.centreY() - y) < TOLERANCE_MM
                    && Math.abs(circle.width() - diameter) < TOLERANCE_MM
                    && Math.abs(circle.height() - diameter) < TOLERANCE_MM;
        }
    }

    @ParameterizedTest
    @EnumSource(Document.Paper.class)
    void aLargePanelIsTiledNeverScaled(Document.Paper paper) throws IOException {
        Plan plan = large();
        try (PDDocument pdf = pdf(plan, paper)) {
            List<PDPage> pages = templates(pdf);
            assertTrue(pages.size() >= 4);
            int holes = 0;
            double largest = 0;
            for (PDPage page : pages) {
                List<PdfGeometry.Stroke> strokes = PdfGeometry.strokes(page);
                assertEquals(1, bars(strokes), "every tile has the check bar");
                for (PdfGeometry.Stroke s : strokes) {
                    assertTrue(
                            s.left() > 4
                                    && s.top() > 4
                                    && s.left() + s.width() < paper.width() - 4
                                    && s.top() + s.height() < paper.height() - 4,
                            () -> s + " is beyond what a printer reaches");
                }
                List<PdfGeometry.Stroke> circles =
                        strokes.stream().filter(PdfGeometry.Stroke::curved).toList();
                holes += (int) circles.stream()
                        .filter(c -> plan.controls().stream()
                                .anyMatch(control ->
                                        Math.abs(control.mount().hole().orElseThrow() - c.width()) < TOLERANCE_MM))
                        .count();
                largest = Math.max(
                        largest,
                        circles.stream()
                                .mapToDouble(PdfGeometry.Stroke::width)
                                .max()
                                .orElse(0));
                pitch(circles);
            }
            assertEquals(22, largest, TOLERANCE_MM, "nuts keep their size");
            assertTrue(holes >= plan.controls().size() - 20, "whole holes on some tile: " + holes);
        }
    }

    /** Neighbours on one tile are as far apart as in the plan: 35 mm one way, 52 mm the other. */
    private static void pitch(List<PdfGeometry.Stroke> circles) {
        List<PdfGeometry.Stroke> nuts = circles.stream()
                .filter(c -> Math.abs(c.width() - 22) < TOLERANCE_MM)
                .toList();
        for (PdfGeometry.Stroke nut : nuts) {
            double nearest = nuts.stream()
                    .filter(o -> o != nut)
                    .mapToDouble(o -> Math.hypot(o.centreX() - nut.centreX(), o.centreY() - nut.centreY()))
                    .min()
                    .orElse(35);
            assertTrue(
                    Math.abs(nearest - 35) < 2 * TOLERANCE_MM || Math.abs(nearest - 52) < 2 * TOLERANCE_MM,
                    () -> "pitch " + nearest);
        }
    }

    /** Every centre of every control is on at least one tile: the cross has the hole's reach and 2 mm more each way. */
    @Test
    void everyCentreIsOnSomeTile() {
        Plan plan = large();
        List<Document.Plate> plates = DrillTemplate.of(plan, Document.Paper.A4);
        List<String> names = plates.stream()
                .flatMap(p -> p.drawing().shapes().stream())
                .filter(Drawing.Text.class::isInstance)
                .map(s -> ((Drawing.Text) s).text())
                .toList();
        for (Control control : plan.controls()) {
            assertTrue(names.contains(control.label()), control.label());
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void pdfAndHtmlSayTheSame(Plan plan) throws IOException {
        Document sheet = WiringSheet.of(plan, "plan.yaml", Document.Paper.A4);
        String html = HtmlWriter.html(sheet);
        assertFalse(
                Pattern.compile("<script|https?://(?!www\\.w3\\.org/2000/svg)|<link|<img|url\\(")
                        .matcher(html)
                        .find(),
                "nothing is fetched and nothing runs");
        byte[] bytes = PdfWriter.pdf(sheet);
        assertArrayEquals(bytes, PdfWriter.pdf(sheet), "the same plan gives the same file");
        try (PDDocument pdf = Loader.loadPDF(bytes)) {
            String text = new PDFTextStripper().getText(pdf);
            for (Control control : plan.controls()) {
                String ascii = control.label()
                        .replaceAll("[^\\p{IsLatin}\\p{IsGreek}0-9 ]", "")
                        .strip();
                assertTrue(text.contains(ascii), ascii);
                assertTrue(html.contains(control.label()), control.label());
            }
            assertTrue(text.contains("Unplug USB") && html.contains("Unplug USB"));
            assertEquals(
                    plan.board().isPresent()
                            && plan.controls().stream()
                                    .allMatch(c -> c.mount().place().isPresent())
                            && html.contains("SOLDER SIDE"),
                    html.contains("dashed square"),
                    "where the board is");
            boolean drawn = plan.lines().stream()
                    .anyMatch(l -> l.kind() != Line.Kind.SHIFT && !l.contacts().isEmpty());
            assertEquals(drawn, text.contains("SOLDER SIDE"));
            assertEquals(drawn, html.contains("SOLDER SIDE"));
            for (PDPage page : pdf.getPages()) {
                for (var name : page.getResources().getFontNames()) {
                    PDFont font = page.getResources().getFont(name);
                    assertTrue(font.isEmbedded(), font.getName() + " must travel with the file");
                }
            }
        }
    }

    /** Who solders by it takes a joint that a wire runs through for one of that wire's. */
    @ParameterizedTest
    @MethodSource("plans")
    void noWireIsDrawnThroughTheJointOfAnother(Plan plan) {
        for (Line.Kind kind : Line.Kind.values()) {
            BackSide.of(plan, kind).ifPresent(figure -> {
                List<Point> joints = figure.drawing().shapes().stream()
                        .filter(shape -> shape instanceof Drawing.Circle circle && circle.radius() == 0.9)
                        .map(shape -> ((Drawing.Circle) shape).centre())
                        .toList();
                assertFalse(joints.isEmpty());
                figure.drawing().shapes().stream()
                        .filter(shape -> shape instanceof Drawing.Path path
                                && !path.closed()
                                // Arcs go round the body of one control, farther out for each wire.
                                && path.points().size() <= 3
                                && path.pen().filter(pen -> pen.width() == 0.7).isPresent())
                        .map(shape -> ((Drawing.Path) shape).points())
                        .forEach(points -> joints.stream()
                                .filter(joint -> !points.contains(joint))
                                .forEach(joint -> assertTrue(
                                        away(joint, points) > 0.9,
                                        () -> plan.box().name() + ", " + kind + ": " + points + " through " + joint)));
            });
        }
    }

    private static double away(Point joint, List<Point> points) {
        return IntStream.range(1, points.size())
                .mapToDouble(i -> java.awt.geom.Line2D.ptSegDist(
                        points.get(i - 1).x(),
                        points.get(i - 1).y(),
                        points.get(i).x(),
                        points.get(i).y(),
                        joint.x(),
                        joint.y()))
                .min()
                .orElseThrow();
    }

    @ParameterizedTest
    @MethodSource("plans")
    @DisplayName("WHATWG HTML and W3C CSS: the Nu checker finds neither error nor warning")
    void theHtmlIsValid(Plan plan) throws Exception {
        assertEquals(
                List.of(),
                HtmlCheck.messages(HtmlWriter.html(WiringSheet.of(plan, "plan.yaml", Document.Paper.LETTER))));
    }

    @Test
    void theCheckerWouldFindAMistake() throws Exception {
        assertEquals(
                2,
                HtmlCheck.messages(
                                "<!DOCTYPE html><html lang=\"en\"><head><title>x</title></head><body><p><b>x</p></body></html>")
                        .size());
    }

    @Test
    void theHtmlTemplateIsInMillimetres() {
        Plan plan = fixture("guards-panel.yaml");
        String html = HtmlWriter.html(WiringSheet.of(plan, "plan.yaml", Document.Paper.A4));
        String plate = html.substring(html.indexOf("<div class=\"plate\">"));
        Matcher svg = Pattern.compile(
                        "<svg [^>]*width=\"([0-9.]+)mm\" height=\"([0-9.]+)mm\" viewBox=\"0 0 ([0-9.]+) ([0-9.]+)\"")
                .matcher(plate);
        assertTrue(svg.find());
        assertEquals(svg.group(1), svg.group(3), "one unit is one millimetre");
        assertEquals(svg.group(2), svg.group(4));
        assertEquals(
                plan.controls().size() * 3,
                Pattern.compile("<circle ").matcher(plate).results().count());
    }

    @Test
    void theSolderSideIsMirrored() {
        Plan plan = fixture("guards-panel.yaml");
        Drawing drawing = BackSide.of(plan, Line.Kind.ROW).orElseThrow().drawing();
        List<Drawing.Text> words = drawing.shapes().stream()
                .filter(Drawing.Text.class::isInstance)
                .map(Drawing.Text.class::cast)
                .toList();
        double open = words.stream()
                .filter(w -> w.text().equals("Open doors"))
                .findFirst()
                .orElseThrow()
                .at()
                .x();
        double buzzer = words.stream()
                .filter(w -> w.text().equals("Buzzer"))
                .findFirst()
                .orElseThrow()
                .at()
                .x();
        assertTrue(buzzer < open, "Open doors is left on the front, so right on the back");
    }

    @Test
    void oneTerminalTakesOneWire() {
        String yaml = """
                ringout: 1
                box: { name: Hat }
                lines: { rows: { R1: 1, R2: 2, R3: 3, R4: 4 }, columns: { C1: 5 } }
                scan: { diodes: %s }
                controls:
                  - { id: h, label: Look, kind: hat4, input: hat 1, up: [R1, C1], right: [R2, C1], down: [R3, C1], left: [R4, C1] }
                """;
        List<CutList.Piece> pieces = CutList.of(plan(yaml.formatted("per-contact")));
        assertEquals(
                List.of("R1", "R2", "R3", "R4", "C1"),
                pieces.stream().map(p -> p.said().text()).toList(),
                "four throws, one common");
        assertEquals("Look common", pieces.get(4).to().text());
        assertEquals("Look up", pieces.get(0).to().text());
        String driven = yaml.replace("diodes: %s", "drive: columns, diodes: per-contact");
        assertEquals(8, CutList.of(plan(driven)).size(), "diodes on the column keep the four legs apart there");
    }

    @Test
    void wireLengthsFollowTheStatedRule() {
        Plan plan = plan("""
                ringout: 1
                box: { name: Two }
                panel: { width: 100 mm, height: 100 mm, board: [10 mm, 50 mm] }
                lines: { direct: { D1: pin 1 }, rows: { R1: pin 2 }, columns: { C1: pin 3, C2: pin 4 } }
                controls:
                  - { id: a, kind: push, at: [R1, C1], input: button 1, place: [40 mm, 10 mm] }
                  - { id: b, kind: push, at: [R1, C2], input: button 2, place: [90 mm, 10 mm] }
                  - { id: c, kind: push, at: D1, input: button 3 }
                """);
        List<CutList.Piece> pieces = CutList.of(plan);
        // 3-4-5 triangle: 50 mm straight; × 1.2 + 40 = 100 mm.
        CutList.Piece first =
                pieces.stream().filter(p -> p.line().equals("R1")).findFirst().orElseThrow();
        assertEquals(Optional.of(100.0), first.cut());
        assertEquals("pin 2", first.from().text());
        assertEquals(
                List.of(Optional.of(100.0), Optional.of(100.0)),
                pieces.stream()
                        .filter(p -> p.line().equals("R1"))
                        .map(CutList.Piece::cut)
                        .toList());
        assertEquals(
                Optional.empty(),
                pieces.stream()
                        .filter(p -> p.line().equals("D1"))
                        .findFirst()
                        .orElseThrow()
                        .cut(),
                "no place, no guess");
        assertEquals(
                List.of("D1", "R1", "R1", "C1", "C2", "ground").stream()
                        .sorted()
                        .toList(),
                pieces.stream().map(p -> p.said().text()).sorted().toList());
        assertEquals(List.of(), CutList.shorter(plan));
        assertEquals(
                1,
                IntStream.range(0, pieces.size())
                        .filter(i -> pieces.get(i).said().text().equals("ground"))
                        .count());
    }
}
