package ringout.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.files.WholeFile.Existing;

class WholeFileTest {
    @TempDir
    Path folder;

    private List<String> names() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(file -> file.getFileName().toString()).sorted().toList();
        }
    }

    @Test
    void whatFailsHalfwayLeavesWhatWasThereAndNothingElse() throws IOException {
        Path file = folder.resolve("plan.yaml");
        WholeFile.write(file, Existing.REFUSE, "old");
        IOException full = assertThrows(
                IOException.class,
                () -> WholeFile.write(file, Existing.REPLACE, (WholeFile.Content<IOException>) out -> {
                    out.write(new byte[1 << 20]);
                    throw new IOException("no room");
                }));
        assertEquals("no room", full.getMessage());
        assertEquals("old", Files.readString(file));
        assertEquals(List.of("plan.yaml"), names());
        assertThrows(
                IllegalStateException.class,
                () -> WholeFile.write(
                        folder.resolve("new"), Existing.REFUSE, (WholeFile.Content<IllegalStateException>) out -> {
                            throw new IllegalStateException();
                        }));
        assertEquals(List.of("plan.yaml"), names());
    }

    @Test
    void whatIsThereIsRefusedOrReplacedWithItsPermissionsKept() throws IOException {
        Path file = folder.resolve("sheet.pdf");
        WholeFile.write(file, Existing.REFUSE, "one");
        assertThrows(FileAlreadyExistsException.class, () -> WholeFile.write(file, Existing.REFUSE, "two"));
        assertEquals("one", Files.readString(file));
        boolean posix = Files.getFileStore(folder).supportsFileAttributeView("posix");
        if (posix) {
            Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-r-----"));
        }
        WholeFile.write(file, Existing.REPLACE, "two");
        assertEquals("two", Files.readString(file));
        assertEquals(List.of("sheet.pdf"), names());
        if (posix) {
            assertEquals("rw-r-----", PosixFilePermissions.toString(Files.getPosixFilePermissions(file)));
            Path link = Files.createSymbolicLink(folder.resolve("link"), file.getFileName());
            WholeFile.write(link, Existing.REPLACE, "three");
            assertTrue(Files.isSymbolicLink(link));
            assertEquals("three", Files.readString(file));
        }
    }

    @Test
    void aNameAsLongAsTheFileSystemAllowsIsWritten() throws IOException {
        Path file = folder.resolve("n".repeat(251) + ".pdf");
        WholeFile.write(file, Existing.REFUSE, "x");
        assertEquals("x", Files.readString(file));
    }

    @Test
    void aDeviceIsWrittenToAndAFullOneFails() throws IOException {
        assumeTrue(Files.exists(Path.of("/dev/full")), "this system has no /dev/full");
        WholeFile.write(Path.of("/dev/null"), Existing.REFUSE, "gone");
        assertThrows(IOException.class, () -> WholeFile.write(Path.of("/dev/full"), Existing.REPLACE, "no room"));
        assertTrue(Files.exists(Path.of("/dev/full")));
    }

    /** XDG Base Directory Specification 0.8: the defaults, and that relative paths are taken no notice of. POSIX: HOME. */
    @Test
    void placesAreThoseOfTheStandard() {
        Map<String, String> none = Map.of();
        assertEquals(
                new Places(
                        Path.of("/home/u/.config/ringout"),
                        Path.of("/home/u/.local/share/ringout"),
                        Path.of("/home/u/.local/state/ringout")),
                Places.of("Linux", "/home/u", none::get, ""));
        Map<String, String> set =
                Map.of("HOME", "/other", "XDG_CONFIG_HOME", "/c", "XDG_DATA_HOME", "relative/d", "XDG_STATE_HOME", " ");
        assertEquals(
                new Places(
                        Path.of("/c/ringout"),
                        Path.of("/other/.local/share/ringout"),
                        Path.of("/other/.local/state/ringout")),
                Places.of("Linux", "/home/u", set::get, ""));
        assertEquals(
                Path.of("/data"),
                Places.of("Linux", "/home/u", none::get, "/data").data());
        assertEquals(
                Path.of("/home/u/Library/Application Support/Ringout"),
                Places.of("Mac OS X", "/home/u", none::get, "").data());
    }

    @Test
    void longNamesAreCutAndStayApart() {
        String box = "Führerstand ".repeat(40);
        String one = Places.fitting(box + "1", 30);
        String two = Places.fitting(box + "2", 30);
        assertTrue(one.getBytes(java.nio.charset.StandardCharsets.UTF_8).length <= 225);
        assertFalse(one.equals(two));
        assertEquals("desk", Places.fitting("desk", 30));
        assertTrue(Places.fitting("運".repeat(200), 0).getBytes(java.nio.charset.StandardCharsets.UTF_8).length <= 255);
    }
}
