package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.Thorough;

/**
 * A program that records at full rate is killed, as by kill -9, at a moment of chance: at most the last second may be
 * missing, and nothing may be damaged. {@code -Dringout.kills=200} kills it that often.
 */
class KilledTest {
    private static final long SECOND = 1_000_000_000;

    @TempDir
    private Path folder;

    @ParameterizedTest
    @ValueSource(strings = {"whole", "thinned"})
    void whatWasRecordedSurvives(String kind) throws IOException, InterruptedException, JournalException {
        int kills = Integer.getInteger("ringout.kills", Thorough.of(1, 3));
        Random random = new Random(kills);
        long worst = 0;
        for (int kill = 0; kill < kills; kill++) {
            Path recording = folder.resolve(kind + kill + ".jsonl");
            Path note = folder.resolve(kind + kill + ".note");
            Process victim = new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-Xmx128m",
                            "-cp",
                            System.getProperty("java.class.path"),
                            Victim.class.getName(),
                            recording.toString(),
                            note.toString(),
                            kind)
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.INHERIT)
                    .start();
            while (count(note) == 0 || time(note) <= SECOND) {
                assertTrue(victim.isAlive(), "it runs until it is killed");
                Thread.sleep(10);
            }
            Thread.sleep(200 + random.nextInt(1300));
            victim.destroyForcibly();
            assertTrue(victim.waitFor(30, TimeUnit.SECONDS));

            Tapes.Read read = Tapes.read(recording);
            List<Entry.Report> reports = read.reports();
            String where = kind + ", kill " + kill + ": ";
            assertTrue(read.notes().size() <= 2, where + read.notes());
            assertTrue(read.notes().stream().allMatch(n -> n.contains("torn off")), where + read.notes());
            for (int i = 0; i < reports.size(); i++) {
                assertEquals(i, Tapes.number(reports.get(i)), where + "no report in between is missing");
            }
            long fed = time(note);
            // Only a recording that holds something is a kept one.
            assertFalse(reports.isEmpty(), where + "nothing was kept");
            long last = reports.get(reports.size() - 1).nanos();
            worst = Math.max(worst, fed - last);
            assertTrue(
                    fed - last <= SECOND, where + (fed - last) / 1_000_000 + " ms are missing of " + fed / 1_000_000);
        }
        System.out.printf("%s: %d kills, at most %d ms lost%n", kind, kills, worst / 1_000_000);
    }

    private static long count(Path note) throws IOException {
        return Files.exists(note) && Files.size(note) == 16
                ? ByteBuffer.wrap(Files.readAllBytes(note)).getLong(0)
                : 0;
    }

    private static long time(Path note) throws IOException {
        return ByteBuffer.wrap(Files.readAllBytes(note)).getLong(8);
    }
}
