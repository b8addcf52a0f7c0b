package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.ByteArrayInputStream;
import java.util.Optional;

/** Fuzzed with coverage as the guide, see DEVELOPERS.md; in an ordinary run, the inputs kept so far. */
class RecordingFuzzTest {

    /** Whatever the file holds: no recording, or entries and notes of what was skipped; what was read can be written. */
    @FuzzTest(maxDuration = "5m")
    void recording(byte[] bytes) throws Exception {
        RecordingText text = new RecordingText();
        try (RecordingReader reader = new RecordingReader(new ByteArrayInputStream(bytes), "fuzz")) {
            reader.header();
            int lines = 0;
            for (byte b : bytes) {
                lines += b == '\n' ? 1 : 0;
            }
            int entries = 0;
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                byte[] line = text.entry(entry.get());
                assertArrayEquals(line, text.entry(text.entry(line, line.length - 1)));
                entries++;
            }
            assertTrue(entries <= lines, entries + " entries in " + lines + " lines after the first");
        } catch (JournalException none) {
            assertTrue(
                    none.getMessage().startsWith("fuzz ") || none.getMessage().contains(" of fuzz "),
                    none.getMessage());
        }
    }
}
