package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RecordingFolderTest {
    private static final LocalDateTime NOW = LocalDateTime.of(2026, 3, 1, 10, 0, 7);

    @TempDir
    private Path folder;

    private String next(String box) {
        return RecordingFolder.next(folder, box, NOW).getFileName().toString();
    }

    @Test
    void aNameTellsBoxAndMomentInWhateverScript() {
        assertEquals("driver-s-desk-20260301-100007.jsonl", next("Driver's desk"));
        assertEquals("führerpult-2-20260301-100007.jsonl", next("(Führerpult 2)"));
        assertEquals("пульт-20260301-100007.jsonl", next("Пульт"));
        assertEquals("box-20260301-100007.jsonl", next("../.."));
    }

    @Test
    void aNameThatIsTakenGetsANumber() throws Exception {
        Files.createFile(folder.resolve(next("Desk")));
        Files.createFile(folder.resolve(next("Desk")));
        assertEquals("desk-20260301-100007-3.jsonl", next("Desk"));
    }
}
