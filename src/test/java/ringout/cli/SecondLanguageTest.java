package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnosis;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.simulate.Wear;
import ringout.ui.model.FindingsModel;
import ringout.ui.model.Reasoning;
import ringout.words.Texts;

/** One more file of some texts, {@code texts_qaa.properties}, changes those in window, terminal, its help, report and sheet. */
class SecondLanguageTest {
    private static final String PANEL = "fixtures/plans/drivers-desk.yaml";
    private static final Pattern SAID = Pattern.compile("#(\\d+)#");

    @TempDir
    private Path folder;

    private final Locale usual = Locale.getDefault();

    @BeforeEach
    void speakTheOther() {
        Locale.setDefault(new Locale("qaa"));
    }

    @AfterEach
    void speakAsUsual() {
        Locale.setDefault(usual);
    }

    private static Set<Integer> said(String words) {
        Set<Integer> numbers = new TreeSet<>();
        Matcher found = SAID.matcher(words);
        while (found.find()) {
            numbers.add(Integer.valueOf(found.group(1)));
        }
        return numbers;
    }

    @Test
    void theTerminalSpeaksIt() {
        String recording = folder.resolve("a.jsonl").toString();
        CommandRun.of("simulate", "--plan", PANEL, "--out", recording, "--fault", "open:R2");
        CommandRun check = CommandRun.of("check", "--plan", PANEL, "--replay", recording);
        assertEquals(1, check.status(), check.err());
        // Nobody answers: the test's own standard input is not for it.
        InputStream keyboard = System.in;
        System.setIn(new ByteArrayInputStream(new byte[0]));
        CommandRun meter;
        try {
            meter = CommandRun.of("continuity", PANEL);
        } finally {
            System.setIn(keyboard);
        }
        assertEquals(0, meter.status(), meter.err());
        assertEquals(Set.of(1, 2, 3, 4, 5, 6, 10), said(check.out() + meter.out()));
    }

    @Test
    void theHelpSpeaksIt() {
        String check = CommandRun.of("check", "--help").out();
        assertEquals(Set.of(12, 13, 14, 27), said(check));
        assertTrue(check.contains("--plan=#27#"), check);
        // What is a sign to picocli's formatter is none in a text.
        assertTrue(check.contains("#13# 100 %n"), check);
        assertTrue(check.contains("#14# 100 %s"), check);
        assertEquals(Set.of(12, 13, 15), said(CommandRun.of("--help").out()));
        assertEquals(Set.of(16), said(CommandRun.of("check", "--plan", "p").err()));
        assertEquals(
                "ringout: --plan #27# is missing",
                CommandRun.of("predict").err().lines().findFirst().orElse(""));
    }

    @Test
    void whatIsWrongWithAPlanComesInIt() throws IOException {
        Path plan = folder.resolve("twice.yaml");
        String desk = Files.readString(Path.of(PANEL));
        Files.writeString(plan, desk.replaceFirst("input: button 2\\b", "input: button 1"));
        CommandRun run = CommandRun.of("plan", plan.toString());
        assertEquals(2, run.status(), run.err());
        assertEquals(Set.of(11), said(run.out() + run.err()));
        assertEquals(
                Set.of(11),
                said(PlanReader.read(Files.readString(plan), "twice")
                        .problems()
                        .get(0)
                        .message()));
    }

    @Test
    void controlsAndTheirMovementsAreCalledInIt() {
        String on =
                CommandRun.of("predict", "--plan", PANEL, "--hold", "notch.cw").out();
        assertTrue(on.contains("Power notch #28#"), on);
        assertTrue(on.contains("#6# 13"), on);
        String json = CommandRun.of("predict", "--json", "--plan", PANEL, "--hold", "notch.cw")
                .out();
        assertEquals(Set.of(), said(json));
    }

    /** What is refused deep below, where nobody knows a language: it comes up as data and is said here. */
    @Test
    void whyADescriptorIsRefusedComesInIt() {
        assertEquals(
                Set.of(17),
                said(CommandRun.of("fields", "--descriptor", "05 01 C0").err()));
        assertEquals(
                Set.of(18),
                said(CommandRun.of("fields", "--descriptor", "05 0g").err()));
        String bare = "15 00 25 7F 75 08 95 02 81 02";
        CommandRun warned = CommandRun.of("fields", "--descriptor", "05 09 19 03 " + bare);
        assertEquals(0, warned.status(), warned.err());
        assertEquals(Set.of(19), said(warned.out() + warned.err()));
        CommandRun json = CommandRun.of("fields", "--json", "--descriptor", "05 09 19 03 " + bare);
        assertEquals(Set.of(19), said(json.out()));
    }

    @Test
    void whyWearOrASimulatedBoxIsRefusedComesInIt() {
        String out = folder.resolve("w.jsonl").toString();
        assertEquals(
                Set.of(20),
                said(CommandRun.of("simulate", "--plan", PANEL, "--out", out, "--bounce", "horn-low=x")
                        .err()));
        assertEquals(
                Set.of(21),
                said(CommandRun.of("simulate", "--plan", PANEL, "--out", out, "--bounce", "nobody=5")
                        .err()));
        assertEquals(
                Set.of(20, 22),
                said(CommandRun.of("record", "--device", "sim:desk?bounce=bell=x", "--out", out)
                        .err()));
    }

    @Test
    void whyAReadingOfTheMeterIsRefusedComesInIt() {
        String rows = "fixtures/observations/dead-row.json";
        assertEquals(
                Set.of(23),
                said(CommandRun.of(
                                "explain",
                                "--plan",
                                PANEL,
                                "--observations",
                                rows,
                                "--reading",
                                "continuity,pin:R2,x,open")
                        .err()));
    }

    @Test
    void whatIsWrongWithARecordingComesInIt() throws IOException {
        Path recording = folder.resolve("a.jsonl");
        CommandRun.of("simulate", "--plan", PANEL, "--out", recording.toString());
        Files.writeString(
                recording, "{\"t\":1,\"event\":\"command\",\"command\":\"jump\"}\n", StandardOpenOption.APPEND);
        assertEquals(
                Set.of(24, 25),
                said(CommandRun.of(
                                "export",
                                recording.toString(),
                                "--out",
                                folder.resolve("a.csv").toString())
                        .err()));
        Files.writeString(recording, "nothing\n");
        assertEquals(
                Set.of(26), said(CommandRun.of("timing", recording.toString()).err()));
    }

    @Test
    void theReportSpeaksIt() throws IOException {
        String recording = folder.resolve("a.jsonl").toString();
        Path report = folder.resolve("a.html");
        CommandRun.of("simulate", "--plan", PANEL, "--out", recording, "--fault", "open:R2");
        CommandRun run = CommandRun.of("report", recording, "--out", report.toString());
        assertEquals(0, run.status(), run.err());
        assertEquals(Set.of(1), said(run.out()));
        assertEquals(Set.of(1, 2, 3, 4, 5, 6, 28), said(Files.readString(report)));
    }

    @Test
    void theSheetSpeaksIt() throws IOException {
        Path sheet = folder.resolve("sheet.html");
        assertEquals(0, CommandRun.of("sheet", PANEL, "--out", sheet.toString()).status());
        assertEquals(Set.of(6, 7, 8), said(Files.readString(sheet)));
    }

    @Test
    void theWindowSpeaksIt() throws IOException {
        Plan plan =
                PlanReader.read(Files.readString(Path.of(PANEL)), PANEL).plan().orElseThrow();
        Rehearsal rehearsal =
                new Rehearsal(new Rehearsal.Setup(plan, List.of(Fault.parse("open:R2", plan)), Wear.NONE, 1000, 0, 5));
        Check started = rehearsal.start();
        Diagnosis diagnosis = rehearsal.runAdvised();
        CheckView check = started.view();
        StringBuilder shown = new StringBuilder(Texts.say("step.report"));
        FindingsModel.of(plan, check.findings()).forEach(shown::append);
        Reasoning.cards(diagnosis).forEach(shown::append);
        assertEquals(Set.of(2, 3, 4, 5, 6, 9), said(shown.toString()));
    }

    @Test
    void whatItLacksComesInEnglish() {
        assertFalse(Texts.say("step.skip").isEmpty());
        assertEquals("Skip", Texts.say("step.skip"));
    }
}
