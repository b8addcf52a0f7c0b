package ringout.ui;

import java.io.IOException;
import java.io.Reader;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Locale;
import java.util.Properties;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.ui.model.Settings;

/** Where the window's settings are kept: a small properties file in the user's configuration folder. */
final class SettingsFile {
    private static final Logger LOG = LoggerFactory.getLogger(SettingsFile.class);

    private final Path file;

    SettingsFile(Path file) {
        this.file = file;
    }

    /**
     * The file of this user. Linux and others: the XDG Base Directory Specification's configuration home; macOS and
     * Windows: the folder the system gives to programs for it.
     */
    static SettingsFile ofUser() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        Path home = Path.of(System.getProperty("user.home", "."));
        Path base;
        if (os.contains("win") && System.getenv("APPDATA") != null) {
            base = Path.of(System.getenv("APPDATA"));
        } else if (os.contains("mac")) {
            base = home.resolve("Library").resolve("Application Support");
        } else {
            String xdg = System.getenv("XDG_CONFIG_HOME");
            base = xdg != null && !xdg.isBlank() && Path.of(xdg).isAbsolute() ? Path.of(xdg) : home.resolve(".config");
        }
        return new SettingsFile(base.resolve("ringout").resolve("window.properties"));
    }

    /** The settings; those of a first start where there are none or they cannot be read. */
    Settings load() {
        Properties properties = new Properties();
        if (Files.isReadable(file)) {
            try (Reader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
                properties.load(reader);
            } catch (IOException | IllegalArgumentException problem) {
                LOG.warn("cannot read {}: {}", file, problem.toString());
            }
        }
        return Settings.of(properties);
    }

    /** Keeps the settings. Where that fails, a line in the log says so: nothing else depends on it. */
    void save(Settings settings) {
        try {
            Files.createDirectories(file.getParent());
            Path next = file.resolveSibling(file.getFileName() + ".new");
            try (Writer writer = Files.newBufferedWriter(next, StandardCharsets.UTF_8)) {
                settings.toProperties().store(writer, "Ringout's window");
            }
            Files.move(next, file, StandardCopyOption.REPLACE_EXISTING);
        } catch (IOException problem) {
            LOG.warn("cannot keep settings in {}: {}", file, problem.toString());
        }
    }
}
