package ringout.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import ringout.drawing.Point;
import ringout.plan.Bundle;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** The inside of the box on the wiring sheet and on the drill template. */
class InsideSheetTest {
    private static final String BOX = """
            ringout: 1
            box: { name: Box }
            panel: { width: 180 mm, height: 120 mm, depth: 60 mm }
            inside:
              board: { place: [90 mm, 100 mm], width: 34 mm, height: 18 mm, tall: 12 mm, connector: down }
              cable: [90 mm, 120 mm]
              keep-outs:
                - { name: Boss, place: [10 mm, 10 mm], round: 9 mm }
                - { name: Lug, place: [90 mm, 60 mm], width: 6 mm, height: 24 mm }
                - { name: Rim, rim: 3 mm, tall: 6 mm, from: panel }
            lines: { rows: { R1: pin 2 }, columns: { C1: pin 3, C2: pin 4 } }
            controls:
              - { id: a, label: Alpha, kind: push, at: [R1, C1], input: button 1, place: [40 mm, 40 mm], hole: 16 mm, nut: 22 mm, depth: 30 mm }
              - { id: b, label: Beta, kind: push, at: [R1, C2], input: button 2, place: [140 mm, 40 mm], hole: 16.2 mm, nut: 22 mm, depth: 25 mm }
            """;

    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "box.yaml").plan().orElseThrow();
    }

    private static String text(Plan plan) throws IOException {
        try (PDDocument pdf = Loader.loadPDF(PdfWriter.pdf(WiringSheet.of(plan, "box.yaml", Document.Paper.A4)))) {
            return new PDFTextStripper().getText(pdf).replaceAll("\\s+", " ");
        }
    }

    @Test
    void whatFitsIsSaidWithDepthsBundlesTiesAndDrills() throws IOException {
        String text = text(plan(BOX));
        for (String said : List.of(
                "Inside the box",
                "Everything behind the panel fits as planned",
                "floor of the box, 60 mm behind the panel",
                "Tie at every fork and at least every 50 mm",
                "Fix each trunk 30 mm from the board",
                "Fix the cable inside the wall",
                "are 100 mm longer than their way",
                "1 × Ø 16 3 mm step drill to 16 mm Alpha",
                "1 × Ø 16.2 3 mm step drill to 16 mm, then reamer or round file to 16.2 mm Beta",
                "do not drill into a boss or a lug")) {
            assertTrue(text.contains(said), () -> said + " in " + text);
        }
    }

    @Test
    void whatDoesNotFitIsOnTheSheet() throws IOException {
        String text = text(plan(BOX.replace("place: [40 mm, 40 mm]", "place: [17 mm, 20 mm]")));
        assertTrue(text.contains("This does not fit; change the plan before you drill"), text);
        assertTrue(text.contains("Alpha is 3.3 mm within Boss behind the panel"), text);
    }

    @Test
    void aPlanWithoutAnInsideHasNoneOfIt() throws IOException {
        String bare = BOX.substring(0, BOX.indexOf("inside:")) + BOX.substring(BOX.indexOf("lines:"));
        String text = text(plan(bare));
        assertTrue(!text.contains("Inside the box") && !text.contains("boss"), text);
        assertTrue(text.contains("longer than the straight way"), text);
    }

    @Test
    void cutListAndPartsFollowTheBundle() {
        Plan plan = plan(BOX);
        Bundle bundle = Bundle.of(plan).orElseThrow();
        List<CutList.Piece> pieces = CutList.of(plan);
        assertEquals(
                List.of(
                        tens(bundle.wireFromBoard("a")),
                        tens(bundle.wireBetween("a", "b")),
                        tens(bundle.wireFromBoard("a")),
                        tens(bundle.wireFromBoard("b"))),
                pieces.stream().map(CutList.Piece::cut).toList());
        long bought = PartsList.of(plan).items().stream()
                .filter(i -> i.kind() == PartsList.Kind.WIRE)
                .mapToLong(PartsList.Item::needed)
                .sum();
        assertEquals(pieces.stream().mapToDouble(p -> p.cut().orElseThrow()).sum(), bought);
        // The rib stands between the two, so that the wire goes around it: more than 100 mm straight, its ends and
        // bends.
        assertTrue(bundle.between("a", "b") >= 100);
    }

    private static Optional<Double> tens(double mm) {
        return Optional.of(Math.ceil((mm + 40) / 10 - 1e-9) * 10);
    }

    @Test
    void theTemplateHasKeepOutsAndBoardAtOneToOne() {
        Drawing plate = DrillTemplate.of(plan(BOX), Document.Paper.A4).get(0).drawing();
        List<Drawing.Circle> circles = plate.shapes().stream()
                .filter(Drawing.Circle.class::isInstance)
                .map(Drawing.Circle.class::cast)
                .toList();
        Drawing.Circle alpha = circle(circles, 8);
        Drawing.Circle boss = circle(circles, 4.5);
        assertEquals(-30, boss.centre().x() - alpha.centre().x(), 1e-6);
        assertEquals(-30, boss.centre().y() - alpha.centre().y(), 1e-6);
        double left = alpha.centre().x() - 40;
        double top = alpha.centre().y() - 40;
        for (double[] side : List.of(
                new double[] {73, 91, 107, 91}, // the board's upper edge
                new double[] {73, 91, 73, 109},
                new double[] {87, 48, 93, 48}, // the lug's
                new double[] {3, 3, 177, 3})) { // the rim's
            assertTrue(
                    plate.shapes().stream()
                            .filter(Drawing.Path.class::isInstance)
                            .map(s -> ((Drawing.Path) s).points())
                            .anyMatch(p -> p.size() == 2
                                    && near(p.get(0), left + side[0], top + side[1])
                                    && near(p.get(1), left + side[2], top + side[3])),
                    () -> java.util.Arrays.toString(side));
        }
    }

    private static boolean near(Point p, double x, double y) {
        return Math.hypot(p.x() - x, p.y() - y) < 1e-6;
    }

    private static Drawing.Circle circle(List<Drawing.Circle> circles, double radius) {
        return circles.stream()
                .filter(c -> Math.abs(c.radius() - radius) < 1e-9)
                .findFirst()
                .orElseThrow();
    }
}
