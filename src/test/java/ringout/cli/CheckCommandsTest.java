package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.device.Time;

/** The commands simulate, check, record and demo, as a script calls them. */
class CheckCommandsTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";
    private static final String GUARD = "fixtures/plans/guards-panel.yaml";

    @TempDir
    Path folder;

    private String out;
    private String err;

    private int run(String... arguments) {
        CommandRun run = CommandRun.of(arguments);
        out = run.out();
        err = run.err();
        return run.status();
    }

    private String rec() {
        return folder.resolve("rec.jsonl").toString();
    }

    private JsonNode simulateAndCheck(String plan, String... more) throws Exception {
        List<String> simulate = new ArrayList<>(List.of("simulate", "--plan", plan, "--out", rec()));
        simulate.addAll(Arrays.asList(more));
        assertEquals(0, run(simulate.toArray(String[]::new)), () -> err);
        int status = run("check", "--plan", plan, "--replay", rec(), "--json");
        JsonNode document = new ObjectMapper().readTree(out);
        assertEquals(document.path("findings").isEmpty() ? 0 : 1, status);
        return document;
    }

    @Test
    void healthyBoxMatchesItsPlan() throws Exception {
        JsonNode document = simulateAndCheck(DESK);
        assertEquals(
                new TreeSet<>(
                        List.of("ringout", "version", "box", "steps", "done", "findings", "explanations", "timing")),
                names(document));
        assertEquals("Driver's desk", document.path("box").asText());
        assertEquals(23, document.path("steps").asInt());
        assertEquals(23, document.path("done").asInt());
        assertTrue(document.path("findings").isEmpty());
        assertTrue(document.path("explanations").isEmpty());
        assertEquals(0, run("check", "--plan", DESK, "--replay", rec()));
        assertTrue(out.contains("The box matches its plan."), out);
    }

    @Test
    void findingsHaveTheirShape() throws Exception {
        JsonNode document = simulateAndCheck(DESK, "--fault", "exchange:horn-low,bell", "--seed", "7");
        JsonNode finding = document.path("findings").path(0);
        assertEquals(new TreeSet<>(List.of("kind", "controls", "expected", "actual", "evidence")), names(finding));
        assertEquals("swapped", finding.path("kind").asText());
        assertEquals("[\"horn-low\",\"bell\"]", finding.path("controls").toString());
        assertEquals("[\"button 1\",\"button 3\"]", finding.path("expected").toString());
        assertEquals("[\"button 3\",\"button 1\"]", finding.path("actual").toString());
        JsonNode explanation = document.path("explanations").path(0);
        assertEquals(new TreeSet<>(List.of("faults", "probability", "text", "for", "against")), names(explanation));
        assertEquals(
                "[\"exchange:horn-low,bell\"]",
                explanation.path("faults").path(0).toString());
    }

    private static TreeSet<String> names(JsonNode node) {
        TreeSet<String> names = new TreeSet<>();
        node.fieldNames().forEachRemaining(names::add);
        return names;
    }

    @ParameterizedTest
    @CsvSource({
        "fixtures/plans/drivers-desk.yaml, open:R2, missing",
        "fixtures/plans/guards-panel.yaml, short:R1,ghosted",
        "fixtures/plans/guards-panel.yaml, closed:contact:buzzer, stuck",
        "fixtures/plans/lamp-switches.yaml, open:D1, missing",
        "fixtures/plans/lamp-switches.yaml, phases:dimmer, reversed"
    })
    void faultsAreReported(String plan, String fault, String kind) throws Exception {
        JsonNode findings = simulateAndCheck(plan, "--fault", fault.equals("short:R1") ? "short:R1,R2" : fault)
                .path("findings");
        assertTrue(findings.size() > 0);
        findings.forEach(f -> assertEquals(kind, f.path("kind").asText()));
    }

    @Test
    void wearIsReported() throws Exception {
        JsonNode findings = simulateAndCheck(
                        DESK,
                        "--bounce",
                        "horn-low=20",
                        "--dropout",
                        "bell",
                        "--latching",
                        "wiper",
                        "--momentary",
                        "headlight",
                        "--rate",
                        "500")
                .path("findings");
        assertEquals(
                "[[\"horn-low\"],bouncing, [\"bell\"],dropping out, [\"wiper\"],wrong kind, [\"headlight\"],wrong kind]",
                java.util.stream.StreamSupport.stream(findings.spliterator(), false)
                        .map(f -> f.path("controls") + "," + f.path("kind").asText())
                        .toList()
                        .toString());
    }

    /** A bridged diode shows in no single press, but in the chords that prove diodes. */
    @Test
    void bridgedDiodeShowsWhereDiodesAreProved() throws Exception {
        assertTrue(simulateAndCheck(DESK, "--fault", "diode-short:bell")
                .path("findings")
                .isEmpty());
        JsonNode document = simulateAndCheck(DESK, "--fault", "diode-short:bell", "--prove-diodes");
        assertEquals("ghosted", document.path("findings").path(0).path("kind").asText());
        assertTrue(document.path("steps").asInt() > 23);
        assertTrue(simulateAndCheck(DESK, "--prove-diodes").path("findings").isEmpty());
    }

    @Test
    void bounceThatDebounceHidesIsSaidSo() {
        assertEquals(0, run("simulate", "--plan", DESK, "--bounce", "horn-low=4", "--out", rec()));
        assertTrue(err.contains("--bounce horn-low=4 may not show"), err);
    }

    @Test
    void sameSeedGivesTheSameReports() throws Exception {
        assertEquals(0, run("simulate", "--plan", DESK, "--seed", "3", "--slip", "0.2", "--out", rec()));
        List<String> first = Files.readAllLines(Path.of(rec()));
        assertEquals(0, run("simulate", "--plan", DESK, "--seed", "3", "--slip", "0.2", "--out", rec()));
        List<String> second = Files.readAllLines(Path.of(rec()));
        assertEquals(first.subList(1, first.size()), second.subList(1, second.size()));
    }

    @Test
    void onlySimulationsAreReplaced() throws Exception {
        Files.writeString(Path.of(rec()), "my notes\n");
        assertEquals(2, run("simulate", "--plan", DESK, "--out", rec()));
        assertEquals("my notes\n", Files.readString(Path.of(rec())));
    }

    /** Cut off in the middle: what was checked until then stands, and nothing claims the box is good. */
    @Test
    void tornRecordingGivesWhatThereIs() throws Exception {
        assertEquals(0, run("simulate", "--plan", DESK, "--out", rec()));
        byte[] whole = Files.readAllBytes(Path.of(rec()));
        Files.write(Path.of(rec()), Arrays.copyOf(whole, whole.length / 5));
        assertEquals(1, run("check", "--plan", DESK, "--replay", rec(), "--json"));
        JsonNode document = new ObjectMapper().readTree(out);
        assertTrue(document.path("done").asInt() > 3 && document.path("done").asInt() < 20, out);
        assertTrue(document.path("findings").isEmpty(), out);
        assertTrue(err.contains("no proper end"), err);
        assertEquals(1, run("check", "--plan", DESK, "--replay", rec()));
        assertTrue(out.contains("the check is not finished"), out);
    }

    @Test
    void changedPlanIsSaid() throws Exception {
        assertEquals(0, run("simulate", "--plan", DESK, "--out", rec()));
        Path other = folder.resolve("other.yaml");
        Files.writeString(other, Files.readString(Path.of(DESK)) + "# a comment\n");
        assertEquals(0, run("check", "--plan", other.toString(), "--replay", rec()));
        assertTrue(err.contains("The plan was edited"), err);
    }

    @Test
    void recordingWithoutACheckIsRefused() throws Exception {
        assertEquals(
                0,
                run("record", "--device", "sim:" + GUARD + "?hands=off", "--out", rec(), "--seconds", "0.3", "--json"),
                () -> err);
        assertEquals(1, new ObjectMapper().readTree(out).path("reports").asInt());
        assertEquals(2, run("check", "--plan", GUARD, "--replay", rec()));
        assertTrue(err.contains("holds no guided check"), err);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "check --plan fixtures/plans/drivers-desk.yaml",
                "check --plan fixtures/plans/drivers-desk.yaml --device x --replay y",
                "check --plan none.yaml --replay y",
                "check --plan fixtures/plans/drivers-desk.yaml --replay none.jsonl",
                "check --plan fixtures/plans/drivers-desk.yaml --replay fixtures/plans/drivers-desk.yaml",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --fault open:R9",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --bounce horn-low",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --bounce horn-low=x",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --bounce horn-low=-1",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --bounce none=9",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --dropout none",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --rate 0",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out OUT --slip 2",
                "simulate --plan fixtures/plans/drivers-desk.yaml --out /proc/none/rec.jsonl",
                "record --device sim:desk --out OUT --seconds -1"
            })
    void badInputEndsWithTwo(String line) {
        assertEquals(2, run(line.replace("OUT", rec()).split(" ")), () -> out + err);
        assertTrue(err.length() > 10);
        assertFalse(err.contains("Exception"), err);
        assertEquals("", out);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "no such box anywhere",
                "sim:none.yaml",
                "sim:desk?fault=open:R9",
                "sim:desk?colour=red",
                "sim:desk?speed=0",
                "sim:desk?bounce=x"
            })
    void missingBoxEndsWithThree(String device) {
        assertEquals(3, run("check", "--plan", DESK, "--device", device));
        assertFalse(err.contains("Exception:"), err);
    }

    @Test
    void demoFindsItsTwoFaultsInTheTerminal() throws Exception {
        assertEquals(0, run("demo"));
        assertTrue(out.startsWith("no window in this test; the same check runs here in the terminal."), out);
        assertTrue(out.contains("Hidden were: "), out);
        assertEquals(0, run("demo", "--json"));
        assertTrue(new ObjectMapper().readTree(out).path("findings").size() >= 2, out);
    }

    @Test
    void demoTakesFaultsByNameAndRefusesThoseThatDoNotExist() {
        assertEquals(0, run("demo", "--fault", "open:R2"));
        assertTrue(out.contains("Its faults were: open:R2."), out);
        assertEquals(2, run("demo", "--fault", "open:R99"));
        assertFalse(err.contains("Exception:"), err);
    }

    @Test
    void demoTellsTheWindowWhatToHide() {
        List<List<String>> opened = new ArrayList<>();
        assertEquals(
                0,
                Ringout.commandLine(
                                arguments -> {
                                    opened.add(arguments);
                                    return Optional.empty();
                                },
                                Time.OURS)
                        .execute("demo", "--seed", "7", "--fault", "open:R2", "--fault", "short:R1,C2"));
        assertEquals(List.of(List.of("--demo", "--seed=7", "--fault=open:R2", "--fault=short:R1,C2")), opened);
    }
}
