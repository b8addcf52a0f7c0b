package ringout.report;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.bench.Advisor;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.check.Finding;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Control;
import ringout.plan.PlanReader;
import ringout.simulate.Wear;

class CheckReportTest {
    private static final Instant MARCH = Instant.parse("2026-03-01T10:00:00Z");
    private static final String DESK = "drivers-desk";
    private static final String ODD = """
            ringout: 1
            box: { name: "No <places> & \\"no\\" panel" }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3 }, shift: { S1: { pin: pin 9, registers: 2 } } }
            controls:
              - { id: a, label: "Λάμπα 灯 & <b>", kind: push, at: D1, input: button 1 }
              - { id: t, label: Mode, kind: toggle, up: { at: D2, input: button 2 }, down: { at: D3, input: button 3 } }
              - { id: s, kind: selector, positions: [ { at: [S1, 1, 0], input: button 5 }, { at: [S1, 1, 1], input: button 6 }] }
              - { id: x, kind: axis, input: axis X }
              - { id: u, kind: push, input: button 9 }
            """;

    /** The same check serves several tests: making one takes a second. */
    private static final Map<String, CheckedBox> MADE = new HashMap<>();

    @TempDir
    private Path folder;

    private static String yaml(String name) {
        try {
            return name.contains("\n") ? name : Files.readString(Path.of("fixtures/plans", name + ".yaml"));
        } catch (IOException missing) {
            throw new AssertionError(missing);
        }
    }

    /** The recording of a check of a real box, as far as it tells. */
    private Path record(String name, Wear wear, boolean proveDiodes, int day, String... faults)
            throws JournalException {
        PlanInUse plan = PlanInUse.of(PlanReader.read(yaml(name), "x").plan().orElseThrow(), yaml(name));
        List<Fault> wrong =
                Stream.of(faults).map(f -> Fault.parse(f, plan.plan())).toList();
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan.plan(), wrong, wear, 1000, 0, 5));
        Path path = folder.resolve("check-" + day + ".jsonl");
        DeviceInfo box = DeviceInfo.joystick(plan.plan().box().name(), 0x1209, 1, "BOX-01", "test:box");
        try (RecordingFile file = RecordingFile.create(
                path,
                new RecordingHeader(
                        MARCH.plusSeconds(86_400L * day),
                        box,
                        rehearsal.descriptor(),
                        Optional.of(plan.hash()),
                        false))) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, plan);
            rehearsal.listen(recorder);
            rehearsal.start();
            if (proveDiodes) {
                rehearsal.append(Advisor.diodeProof(plan.plan()));
            }
            rehearsal.runAdvised();
            recorder.end(rehearsal.time());
        }
        return path;
    }

    private CheckedBox check(String name, String... faults) throws JournalException {
        String key = name + String.join(" ", faults);
        if (!MADE.containsKey(key)) {
            MADE.put(key, CheckedBox.of(record(name, Wear.NONE, false, 0, faults), Optional.empty()));
        }
        return MADE.get(key);
    }

    private static Document report(CheckedBox checked, Document.Paper paper) {
        return CheckReport.of(checked, Optional.empty(), ZoneOffset.UTC, paper);
    }

    private static String html(CheckedBox checked) {
        return HtmlWriter.html(report(checked, Document.Paper.A4));
    }

    /** The visible words, one space between them. */
    private static String words(String html) {
        return html.substring(html.indexOf("<body>"))
                .replaceAll("<[^>]*>", " ")
                .replace("&lt;", "<")
                .replace("&gt;", ">")
                .replace("&quot;", "\"")
                .replace("&amp;", "&")
                .replaceAll("\\s+", " ");
    }

    static Stream<Arguments> checks() {
        return Stream.of(
                Arguments.of(DESK, new String[] {}),
                Arguments.of(DESK, new String[] {"open:R2"}),
                Arguments.of(DESK, new String[] {"exchange:horn-low,bell"}),
                Arguments.of(DESK, new String[] {"diode-reversed:look.up"}),
                Arguments.of("guards-panel", new String[] {"short:R1,R2"}),
                Arguments.of("guards-panel", new String[] {"closed:contact:buzzer"}),
                Arguments.of("lamp-switches", new String[] {"phases:dimmer"}),
                Arguments.of(ODD, new String[] {"open:D1"}));
    }

    @ParameterizedTest
    @MethodSource("checks")
    @DisplayName("WHATWG HTML and W3C CSS: the Nu checker finds neither error nor warning")
    void theHtmlIsValid(String name, String[] faults) throws Exception {
        assertEquals(List.of(), HtmlCheck.messages(html(check(name, faults))));
    }

    @ParameterizedTest
    @MethodSource("checks")
    void theHtmlNeedsNoScriptAndNoOtherFile(String name, String[] faults) throws Exception {
        String html = html(check(name, faults)).replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for (String outside :
                List.of("http:", "https:", "//", "src=", "href=", "url(", "@import", "<script", "<link", "<iframe")) {
            assertFalse(html.replaceAll(">[^<]*<", "><").contains(outside), outside);
        }
        assertFalse(Pattern.compile("<[a-z]+ [^>]*\\bon[a-z]+=").matcher(html).find(), "something to run on an event");
    }

    @ParameterizedTest
    @MethodSource("checks")
    void whoCannotSeeItIsToldWhatThePicturesShow(String name, String[] faults) throws Exception {
        CheckedBox checked = check(name, faults);
        String html = html(checked);
        long pictures = Pattern.compile("<svg ").matcher(html).results().count();
        assertEquals(
                pictures,
                Pattern.compile("<svg [^>]*role=\"img\" aria-label=\"[^\"]+\"")
                        .matcher(html)
                        .results()
                        .count());
        assertEquals(checked.check().findings().isEmpty() || checked.diagnosis().isEmpty() ? 2 : 3, pictures);
        assertEquals(
                Pattern.compile("<table>").matcher(html).results().count(),
                Pattern.compile("<caption>").matcher(html).results().count());
        assertFalse(
                Pattern.compile("<th(?! scope=\"(col|row)\")[ >]")
                        .matcher(html.replace("<thead>", ""))
                        .find(),
                "every heading says what it heads");
        for (Finding finding : checked.check().findings()) {
            for (String control : finding.controls()) {
                String label = checked.plan().control(control).orElseThrow().label();
                String panel = html.replaceAll("(?s).*aria-label=\"(Panel of [^\"]*)\".*", "$1");
                assertTrue(
                        panel.contains(finding.said().text())
                                && panel.contains(label.replace("&", "&amp;")
                                        .replace("<", "&lt;")
                                        .replace(">", "&gt;")),
                        panel);
            }
        }
    }

    @ParameterizedTest
    @MethodSource("checks")
    @DisplayName("PDFBox reads every control and every finding back, from at most two pages of A4 or Letter")
    void thePdfHoldsEverythingOnTwoPages(String name, String[] faults) throws Exception {
        CheckedBox checked = check(name, faults);
        for (Document.Paper paper : Document.Paper.values()) {
            try (PDDocument pdf = Loader.loadPDF(PdfWriter.pdf(report(checked, paper)))) {
                assertTrue(pdf.getNumberOfPages() <= 2, () -> paper + ": " + pdf.getNumberOfPages() + " pages");
                assertEquals(paper.width(), pdf.getPage(0).getMediaBox().getWidth() / 72 * 25.4, 0.01);
                assertEquals(paper.height(), pdf.getPage(0).getMediaBox().getHeight() / 72 * 25.4, 0.01);
                String text = new PDFTextStripper().getText(pdf).replaceAll("\\s+", " ");
                for (Control control : checked.plan().controls()) {
                    assertTrue(text.contains(control.label().replace("灯", "?")), control.label());
                    control.actions()
                            .forEach(a -> a.input().ifPresent(i -> assertTrue(text.contains(i.text()), i.text())));
                }
                for (Finding finding : checked.check().findings()) {
                    assertTrue(text.contains(finding.said().text()), text);
                }
                assertTrue(text.contains(checked.check().verdict()), text);
            }
        }
    }

    @ParameterizedTest
    @MethodSource("checks")
    void everyActionHasItsRow(String name, String[] faults) throws Exception {
        CheckedBox checked = check(name, faults);
        Document.Table table = tables(report(checked, Document.Paper.A4)).stream()
                .filter(t -> t.columns().contains("Planned"))
                .findFirst()
                .orElseThrow();
        assertEquals(
                checked.plan().actions().stream().map(a -> a.words().text()).toList(),
                table.rows().stream().map(r -> r.get(0)).toList());
    }

    private static List<Document.Table> tables(Document document) {
        return document.blocks().stream()
                .filter(Document.Table.class::isInstance)
                .map(Document.Table.class::cast)
                .toList();
    }

    private static List<String> row(Document report, String control) {
        return tables(report).stream()
                .filter(t -> t.columns().contains("Planned"))
                .findFirst()
                .orElseThrow()
                .rows()
                .stream()
                .filter(r -> r.get(0).equals(control))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void aGoodBoxIsCalledGoodAndWhatWasNotProvedIsSaid() throws Exception {
        Document report = report(check(DESK), Document.Paper.A4);
        String words = words(HtmlWriter.html(report));
        assertTrue(words.contains("The box matches its plan."), words);
        assertEquals(
                List.of("Horn low", "button 1", "as planned"),
                row(report, "Horn low").subList(0, 3));
        assertTrue(
                row(report, "Power notch clockwise").get(2).matches("as planned; [0-9]+ clicks?, none skipped"),
                row(report, "Power notch clockwise").get(2));
        assertEquals("as planned", row(report, "Power notch anticlockwise").get(2));
        assertTrue(
                row(report, "Brake lever").get(2).startsWith("as planned; reaches 100 %, rests within 1 step"),
                row(report, "Brake lever").get(2));
        assertTrue(words.contains("None of the 16 diodes was proved to block"), words);
        assertTrue(words.contains("The firmware debounces for 5.0 ms"), words);
        assertFalse(words.contains("What explains it"), words);
        assertFalse(words.contains("Compared with"), words);
        String proved = words(html(CheckedBox.of(record(DESK, Wear.NONE, true, 1), Optional.empty())));
        assertTrue(proved.contains("The box matches its plan."), proved);
        assertFalse(proved.contains("proved to block"), proved);
    }

    @Test
    void aFaultIsNamedDrawnAndReasoned() throws Exception {
        CheckedBox checked = check(DESK, "open:R2");
        Document report = report(checked, Document.Paper.A4);
        String words = words(HtmlWriter.html(report));
        assertTrue(words.contains("The box does not match its plan."), words);
        assertTrue(
                words.contains(
                        "Almost certain, over 99 % with what looks the same: The row wire R2 is open between pin 5 and SANDER."),
                words);
        assertTrue(words.contains("All four controls on row R2 give nothing"), words);
        assertTrue(words.contains("To be certain USB and second supply unplugged, never mains. Meter on"), words);
        assertTrue(words.contains("Unplug USB before you open, probe or solder"), words);
        assertEquals("gives nothing", row(report, "Sander").get(2));
        assertEquals("as planned", row(report, "Horn low").get(2));
        Drawing loom = report.blocks().stream()
                .filter(Document.Beside.class::isInstance)
                .map(b -> ((Document.Beside) b).figure().drawing())
                .filter(d -> d.title().startsWith("Loom"))
                .findFirst()
                .orElseThrow();
        List<String> red = new ArrayList<>();
        loom.shapes().forEach(s -> {
            if (s instanceof Drawing.Text w && w.colour().equals(Document.Tone.FAULT.colour())) {
                red.add(w.text());
            }
        });
        assertEquals(List.of("Sander", "Doors left", "Headlight", "Doors right", "open"), red);
    }

    @Test
    void anExchangeSaysWhatEachGave() throws Exception {
        Document report = report(check(DESK, "exchange:horn-low,bell"), Document.Paper.A4);
        assertEquals("exchanged: gave button 3", row(report, "Horn low").get(2));
        assertEquals("exchanged: gave button 1", row(report, "Bell").get(2));
    }

    @Test
    void bounceIsGivenWithItsResolution() throws Exception {
        Wear wear = Wear.NONE.bouncing("buzzer", 20_000_000L);
        Document report =
                report(CheckedBox.of(record("guards-panel", wear, false, 0), Optional.empty()), Document.Paper.A4);
        List<String> row = row(report, "Buzzer");
        assertTrue(row.get(2).contains("bouncing"), row.toString());
        double ms = Double.parseDouble(row.get(3).replaceAll(" ms.*", ""));
        assertEquals(20, ms, 2, row.toString());
        String words = words(HtmlWriter.html(report));
        assertTrue(words.contains("± 1.0 ms at best"), words);
        assertTrue(words.contains("The wiring need not be at fault"), words);
        assertFalse(words.contains("To be certain"), words);
    }

    /** Cut off in the middle: nothing claims the box is good, and what was not asked is named. */
    @Test
    void anUnfinishedCheckClaimsNothing() throws Exception {
        Path whole = record("guards-panel", Wear.NONE, false, 0);
        List<String> lines = Files.readAllLines(whole);
        Files.write(whole, lines.subList(0, lines.size() / 2));
        CheckedBox checked = CheckedBox.of(whole, Optional.empty());
        assertFalse(checked.finished());
        Document report = report(checked, Document.Paper.A4);
        String words = words(HtmlWriter.html(report));
        assertTrue(words.contains("Nothing wrong so far, but the check is not finished."), words);
        assertFalse(words.contains("matches its plan"), words);
        assertEquals("not asked", row(report, "Hazard").get(2));
        assertTrue(words.contains("Hazard (not asked)"), words);
        assertTrue(words.contains("From the recording:") && words.contains("no proper end"), words);
        assertEquals(List.of(), HtmlCheck.messages(HtmlWriter.html(report)));
    }

    @Test
    void whatIsNewSinceTheLastCheckStandsOut() throws Exception {
        KeptChecks store = new KeptChecks(folder.resolve("checks"));
        CheckedBox first =
                CheckedBox.of(record("guards-panel", Wear.NONE, false, 0, "open:contact:hazard"), Optional.empty());
        String alone = words(HtmlWriter.html(CheckReport.of(
                first,
                Optional.of(Baselines.of(first, Optional.empty(), store, ZoneOffset.UTC)),
                ZoneOffset.UTC,
                Document.Paper.A4)));
        assertTrue(alone.contains("No earlier finished check of this box is kept"), alone);
        assertTrue(first.keep(store).isPresent());
        CheckedBox second = CheckedBox.of(
                record("guards-panel", Wear.NONE, false, 30, "open:contact:hazard", "open:contact:saloon"),
                Optional.empty());
        Document report = CheckReport.of(
                second,
                Optional.of(Baselines.of(second, Optional.empty(), store, ZoneOffset.UTC)),
                ZoneOffset.UTC,
                Document.Paper.LETTER);
        String words = words(HtmlWriter.html(report));
        assertTrue(words.contains("Compared with the check of 2026-03-01"), words);
        assertTrue(words.contains("1 thing is new or worse."), words);
        Document.Table changes = tables(report).stream()
                .filter(t -> t.columns().contains("Change"))
                .findFirst()
                .orElseThrow();
        assertEquals(List.of("new", "gives nothing"), changes.rows().get(0).subList(0, 2));
        assertTrue(changes.marked().contains(0));
        assertTrue(words.contains("1 finding is as on 2026-03-01."), words);
    }

    @Test
    void theSameCheckGivesTheSameBytes() throws Exception {
        CheckedBox checked = check("lamp-switches", "open:D1");
        assertEquals(html(checked), html(checked));
        assertArrayEquals(
                PdfWriter.pdf(report(checked, Document.Paper.A4)), PdfWriter.pdf(report(checked, Document.Paper.A4)));
    }
}
