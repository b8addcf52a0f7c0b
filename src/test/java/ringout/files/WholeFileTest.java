package ringout.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.files.WholeFile.Existing;

class WholeFileTest {
    static final String TEXT = "all of it\n";

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

    @Test
    void troubleIsToldOfTheFileThatWasToBe() {
        Path file = folder.resolve("desk.html");
        FileSystemException told = assertThrows(
                FileSystemException.class,
                () -> WholeFile.make(file, WholeFile.Existing.REPLACE, (WholeFile.File<IOException>) Files::delete));
        assertEquals(file.toString(), told.getFile());
        assertInstanceOf(NoSuchFileException.class, told, "whose sentence depends on its kind");
    }

    @Test
    void missingFoldersAreMade() throws IOException {
        Path file = folder.resolve("a/b/plan.yaml");
        WholeFile.write(file, Existing.REFUSE, "x");
        assertEquals("x", Files.readString(file));
        WholeFile.tryPlace(folder.resolve("c/plan.yaml"));
        assertTrue(Files.isDirectory(folder.resolve("c")));
        assertThrows(
                NotDirectoryException.class,
                () -> WholeFile.write(file.resolve("in/a/file"), Existing.REPLACE, "no folder"));
        if (Files.getFileStore(folder).supportsFileAttributeView("posix")) {
            Path link = Files.createSymbolicLink(folder.resolve("link"), folder.resolve("c"));
            WholeFile.write(link.resolve("through.yaml"), Existing.REFUSE, "x");
            assertTrue(Files.exists(folder.resolve("c/through.yaml")));
        }
    }

    /**
     * A program that writes all the time is ended by SIGTERM at moments of chance: nothing half is left, hidden or not, and
     * what it writes at its end is there. {@code -Dringout.kills=200} ends it that often.
     */
    @Test
    void aSignalLeavesNoPart() throws Exception {
        assumeFalse(System.getProperty("os.name").startsWith("Windows"), "signals of POSIX");
        int kills = Integer.getInteger("ringout.kills", 5);
        Random random = new Random(kills);
        for (int kill = 0; kill < kills; kill++) {
            Path at = Files.createDirectory(folder.resolve("kill" + kill));
            Process writer = new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-XX:TieredStopAtLevel=1",
                            "-Xmx64m",
                            "-cp",
                            System.getProperty("java.class.path"),
                            BusyWriter.class.getName(),
                            at.toString())
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            try {
                while (!Files.exists(at.resolve("file3"))) {
                    assertTrue(writer.isAlive());
                    Thread.sleep(5);
                }
                Thread.sleep(random.nextInt(100));
                writer.destroy();
                assertTrue(writer.waitFor(60, TimeUnit.SECONDS));
            } finally {
                writer.destroyForcibly();
            }
            assertEquals(128 + 15, writer.exitValue());
            try (Stream<Path> files = Files.list(at)) {
                for (Path file : files.toList()) {
                    assertFalse(file.toString().endsWith(".part"), "kill " + kill + ": " + file);
                    assertEquals(TEXT, Files.readString(file), file.toString());
                }
            }
            assertTrue(Files.exists(at.resolve("last")));
        }
        System.out.println(kills + " programs ended while they wrote, nothing left");
    }

    @Test
    void whatAKillLeftIsTakenAwayADayLater() throws IOException {
        Path stale = Files.writeString(folder.resolve(".ringout-1a-2b.part"), "half");
        Path fresh = Files.writeString(folder.resolve(".ringout-1a-2c.part"), "half");
        Path other = Files.writeString(folder.resolve(".ringout-mine.part"), "not ours");
        FileTime longAgo = FileTime.from(Instant.now().minus(Duration.ofHours(25)));
        Files.setLastModifiedTime(stale, longAgo);
        Files.setLastModifiedTime(other, longAgo);
        WholeFile.write(folder.resolve("plan.yaml"), Existing.REFUSE, "x");
        assertFalse(Files.exists(stale));
        assertTrue(Files.exists(fresh));
        assertTrue(Files.exists(other));
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
