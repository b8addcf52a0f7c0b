package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.words.WallClock;

/** What people type, and what they are told. */
class UsageTest {
    private static final String PLAN = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    Path folder;

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "record --seconds soon|--seconds soon: give a number, such as 2.5",
                "record --seconds 1,5|--seconds 1,5: give a number, such as 2.5",
                "record --seconds NaN|--seconds NaN: give a number, such as 2.5",
                "simulate --plan p --out o --rate 1.5|--rate 1.5: give a whole number, such as 5, of at most 9 digits",
                "simulate --plan p --out o --seed 99999999999999999999|--seed 99999999999999999999: give a whole number, such as 5, of at most 18 digits",
                "report r --out o.pdf --paper a3|--paper a3: give one of a4, letter",
                "devices --json=x|--json x: this option takes no value",
                "record --seconds 5 --seconds 6|--seconds is given twice; once is enough",
                "plan a b|\"b\" is one name too many",
                "nonsense|there is no command nonsense",
                "chekc|there is no command chekc; is check meant?",
                "listen --reply x|there is no option --reply here; is --replay meant?",
                "check --plan p|--device D or --replay REC is missing",
                "check --plan p --device d --replay r|of --device and --replay only one can be given",
                "check --plan p --device d --device e|--device is given twice; once is enough",
                "check --plan p --replay=r --replay s|--replay is given twice; once is enough",
                "report|--out FILE and REC are missing",
                "plan|FILE is missing",
                "record --device|--device D is missing",
                "record --device --json|--device D is missing",
            })
    void aMistakeIsToldWithWhatWouldBeRight(String typed, String told) {
        CommandRun run = CommandRun.of(typed.split(" "));
        assertEquals(2, run.status());
        assertTrue(run.err().startsWith("ringout: " + told), run.err());
        assertEquals(2, run.err().lines().count(), run.err());
        for (String programmers : new String[] {"double", "enum", "convert", "index", "Invalid value", "Error:"}) {
            assertFalse(run.err().contains(programmers), run.err());
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"explain --plan p --observations o --force", "check --plan p --replay r --force"})
    void forceWithoutAnythingToWriteIsRefused(String line) {
        CommandRun run = CommandRun.of(line.split(" "));
        assertEquals(2, run.status());
        assertTrue(run.err().contains("--force does nothing without --rewrite-plan"), run.err());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "check --plan PLAN --replay r --out o",
                "check --plan PLAN --replay r --no-record",
                "check --plan PLAN --replay r --prove-diodes",
                "check --plan PLAN --replay r --presses 3",
                "check --plan PLAN --replay r --no-measure",
                "check --plan PLAN --replay r --flex bell",
                "check --plan PLAN --replay r --hunt bell",
                "check --plan PLAN --device sim:desk --hunt bell --flex bell",
                "check --plan PLAN --device sim:desk --hunt bell --rewrite-plan o",
                "check --plan PLAN --device sim:desk --no-record --out o",
                "check --plan PLAN --replay r --json --verbose",
                "listen --replay r --seconds 5",
                "listen --replay r --device d",
                "listen --replay r --out o",
                "listen --no-record --out o",
                "explain --plan PLAN --observations o --json --verbose",
                "plan PLAN --json --ghosts",
                "export r --force",
                "sheet PLAN --firmware f.c --paper letter",
            })
    void anOptionThatDoesNothingHereIsRefused(String typed) {
        CommandRun run = CommandRun.of(typed.replace("PLAN", PLAN).split(" "));
        assertEquals(2, run.status(), run.err());
        assertTrue(run.err().contains(" does nothing with "), run.err());
        assertEquals("", run.out());
    }

    @Test
    void errorsOfAPlanGoToStandardError() throws IOException {
        Path bad = folder.resolve("bad.yaml");
        Files.writeString(bad, "ringout: 1\nbox: { name: Desk }\ncontrols: oops\n");
        CommandRun run = CommandRun.of("plan", bad.toString());
        assertEquals(2, run.status());
        assertEquals("", run.out());
        assertTrue(run.err().contains("bad.yaml:3:"), run.err());
    }

    @Test
    void theVerdictAndWhatToDoStandLastAndFiguresOnlyWhereWanted() {
        String recording = folder.resolve("rec.jsonl").toString();
        CommandRun.of("simulate", "--plan", PLAN, "--fault", "open:R2", "--out", recording);
        String plain =
                CommandRun.of("check", "--plan", PLAN, "--replay", recording).out();
        assertFalse(plain.contains("press bounce"), plain);
        String verbose = CommandRun.of("check", "--plan", PLAN, "--replay", recording, "--verbose")
                .out();
        int figures = verbose.indexOf("press bounce");
        assertTrue(figures > 0, verbose);
        assertTrue(figures < verbose.indexOf("The box does not match its plan."), verbose);
        String last = verbose.strip();
        assertTrue(last.substring(last.lastIndexOf("\n\n")).strip().startsWith("Next:"), verbose);
    }

    /** As an editor of Windows saves. */
    @Test
    void aByteOrderMarkIsReadOverInEveryFileAndInWhatIsTyped() throws IOException {
        String recording = folder.resolve("rec.jsonl").toString();
        CommandRun.of("simulate", "--plan", PLAN, "--out", recording);
        String plan = marked(Path.of(PLAN));
        String marked = marked(Path.of(recording));
        String observations = marked(Path.of("fixtures/observations/dead-row.json"));
        String descriptor = marked(Path.of("fixtures/descriptors/drivers-desk.hex"));
        assertStatus(0, "plan", plan);
        assertStatus(0, "check", "--plan", plan, "--replay", marked);
        assertStatus(0, "timing", marked);
        assertStatus(1, "explain", "--plan", plan, "--observations", observations);
        assertStatus(0, "fields", "--descriptor", descriptor);
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream("\uFEFFq\n".getBytes(StandardCharsets.UTF_8)));
        try {
            CommandRun run = CommandRun.of("continuity", plan);
            assertFalse(run.out().contains("\uFEFF"));
            assertEquals(1, run.out().lines().filter(l -> l.startsWith("1/")).count(), run.out());
        } finally {
            System.setIn(before);
        }
    }

    private String marked(Path file) throws IOException {
        Path copy = folder.resolve("marked-" + file.getFileName());
        Files.writeString(copy, "\uFEFF" + Files.readString(file));
        return copy.toString();
    }

    private static void assertStatus(int status, String... arguments) {
        CommandRun run = CommandRun.of(arguments);
        assertEquals(status, run.status(), String.join(" ", arguments) + "\n" + run.err() + run.out());
    }

    @Test
    void pastMidnightTheDateIsTold() {
        Instant evening = Instant.parse("2026-11-27T23:59:58Z");
        assertEquals("23:59:59.500", WallClock.millis(evening, 1_500_000_000L, ZoneOffset.UTC));
        assertEquals("2026-11-28 00:00:01.000", WallClock.millis(evening, 3_000_000_000L, ZoneOffset.UTC));
        assertEquals("2026-11-28 00:00:01", WallClock.seconds(evening, 3_000_000_000L, ZoneOffset.UTC));
        assertEquals("00:59:59", WallClock.seconds(evening, 1_500_000_000L, ZoneOffset.ofHours(1)));
    }
}
