package ringout.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** The card for the cockpit: one page, with every control on it. */
class CockpitCardTest {
    private static Plan desk() throws IOException {
        return PlanReader.read(Files.readString(Path.of("fixtures/plans/drivers-desk.yaml")), "desk")
                .plan()
                .orElseThrow();
    }

    @Test
    void everyControlHasItsNameInputAndPlace() throws IOException {
        String html = HtmlWriter.html(CockpitCard.of(desk(), Document.Paper.A4));
        for (var control : desk().controls()) {
            assertTrue(html.contains(control.label()), control.label());
        }
        assertTrue(html.contains("buttons 13, 14") && html.contains("axis Z"), html);
        Map<String, String> places = CockpitCard.places(desk());
        assertEquals("row 1 of 3, place 1 of 5", places.get("horn-low"));
        assertEquals("row 2 of 3, place 5 of 5", places.get("notch"));
        assertEquals("row 3 of 3, place 4 of 5", places.get("breaker"));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 6, 20, 40})
    void itIsOnePage(int buttons) throws IOException {
        Plan plan = PlanReader.read(
                        NewBox.yaml(new NewBox.Answers(
                                "Panel",
                                Map.of(NewBox.Part.PUSH, buttons),
                                4,
                                true,
                                true,
                                IntStream.range(2, 30).mapToObj(i -> "pin " + i).toList(),
                                List.of(),
                                Optional.empty())),
                        "panel")
                .plan()
                .orElseThrow();
        for (Document.Paper paper : Document.Paper.values()) {
            try (PDDocument printed = Loader.loadPDF(PdfWriter.pdf(CockpitCard.of(plan, paper)))) {
                assertEquals(1, printed.getNumberOfPages(), paper.toString());
                assertTrue(new PDFTextStripper().getText(printed).contains("Button " + buttons));
            }
        }
    }
}
