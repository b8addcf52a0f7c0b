package ringout.files;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** Each system has its own places; what is written here is that system's published convention. */
class PlacesTest {
    private static final Path HOME = Path.of("/home/rika").toAbsolutePath();

    private static Places of(String system, Map<String, String> environment) {
        return Places.of(system, HOME.toString(), environment::get, "");
    }

    /** XDG Base Directory Specification 0.8: defaults, and relative paths are to be ignored. */
    @Test
    void linux() {
        assertEquals(
                new Places(
                        HOME.resolve(".config/ringout"),
                        HOME.resolve(".local/share/ringout"),
                        HOME.resolve(".local/state/ringout")),
                of("Linux", Map.of("XDG_CONFIG_HOME", "relative")));
        assertEquals(
                Path.of("/data/ringout"),
                of("Linux", Map.of("XDG_DATA_HOME", "/data")).data());
    }

    /**
     * Known Folders, Microsoft's documentation of Win32: RoamingAppData is %APPDATA%, LocalAppData %LOCALAPPDATA%; what
     * roams is copied at every logon, so recordings stay out of it.
     */
    @Test
    void windows() {
        Places usual = of("Windows 11", Map.of("APPDATA", "/roaming", "LOCALAPPDATA", "/local", "HOME", "/elsewhere"));
        assertEquals(
                new Places(Path.of("/roaming/Ringout"), Path.of("/local/Ringout"), Path.of("/local/Ringout")), usual);
        Path data = HOME.resolve("AppData");
        assertEquals(
                new Places(
                        data.resolve("Roaming/Ringout"), data.resolve("Local/Ringout"), data.resolve("Local/Ringout")),
                of("Windows 10", Map.of()));
    }

    /** File System Programming Guide, Apple's documentation: Library/Application Support and Library/Logs. */
    @Test
    void macOs() {
        Path library = HOME.resolve("Library");
        Path support = library.resolve("Application Support/Ringout");
        assertEquals(new Places(support, support, library.resolve("Logs/Ringout")), of("Mac OS X", Map.of()));
    }

    @Test
    void theDataFolderCanBeChosen() {
        assertEquals(
                Path.of("/chosen"),
                Places.of("Linux", "/home/rika", name -> null, "/chosen").data());
    }
}
