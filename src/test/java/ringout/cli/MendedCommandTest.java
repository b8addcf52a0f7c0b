package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import ringout.bench.Mends;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.KeptCheck;
import ringout.circuit.FaultKind;
import ringout.device.DeviceInfo;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.PlanHash;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

class MendedCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    @TempDir
    private Path folder;

    /** Of a control that gave nothing. */
    static Finding deadBell() {
        return new Finding(
                FindingKind.MISSING,
                List.of("bell"),
                List.of("bell"),
                List.of(),
                List.of(),
                Phrase.verbatim("BELL gave nothing"),
                Optional.empty());
    }

    /** Kept checks with one of the desk that had a finding. */
    static KeptChecks store(Path folder) throws IOException {
        KeptChecks store = new KeptChecks(folder);
        try {
            store.keep(
                    DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw0"),
                    new KeptChecks.Kept(
                            new KeptCheck(
                                    Instant.parse("2026-03-01T10:00:00Z"),
                                    Set.of("bell"),
                                    List.of(deadBell()),
                                    new TreeMap<>(),
                                    new TimingLimits(new Resolution(1_000_000, true), 5_000_000)),
                            "Driver's desk",
                            PlanHash.of(Files.readString(Path.of(DESK))),
                            "",
                            List.of(),
                            List.of(List.of("diode-reversed:bell"), List.of("open:contact:bell")),
                            List.of()));
        } catch (JournalException impossible) {
            throw new IOException(impossible);
        }
        return store;
    }

    private static String run(KeptChecks store, int status, String... arguments) {
        StringWriter out = new StringWriter();
        assertEquals(
                status,
                new CommandLine(new MendedCommand(store))
                        .setOut(new PrintWriter(out))
                        .setExecutionExceptionHandler((problem, line, parsed) -> ExitCode.BAD_INPUT.status())
                        .execute(arguments));
        return out.toString();
    }

    @Test
    void whatWasMendedIsKeptWithTheCheckAndCountsUntilItIsForgotten() throws IOException, JournalException {
        KeptChecks store = store(folder);
        assertTrue(run(store, 0).contains("Nothing was told yet"));
        String told = run(store, 0, "--plan", DESK, "diode-reversed:bell", "diode-reversed:sander");
        assertTrue(
                told.contains("diode the wrong way round: 1 time"),
                "a mistake made twice in one box counts once: " + told);
        assertEquals(
                List.of("diode-reversed:bell", "diode-reversed:sander"),
                store.all().get(0).mended().stream().map(KeptChecks.Mend::fault).toList());
        assertEquals(BuilderRecord.of(List.of(FaultKind.DIODE_REVERSED)), Mends.record(store));
        assertTrue(run(store, 0, "--forget").contains("Nothing was told yet"));
        assertFalse(store.all().get(0).mended().isEmpty(), "what was told is not lost");
    }

    @Test
    void withoutACheckThatFoundSomethingThereIsNothingToKeepItWith() {
        run(new KeptChecks(folder.resolve("none")), 2, "--plan", DESK, "diode-reversed:bell");
    }
}
