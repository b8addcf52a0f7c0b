package ringout.ui.settings;

import java.io.IOException;
import java.io.Reader;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Properties;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.files.WholeFile;

/** Where the window's settings are kept: a small properties file in the user's configuration folder. */
public final class SettingsFile {
    private static final Logger LOG = LoggerFactory.getLogger(SettingsFile.class);

    private final Path file;

    public SettingsFile(Path file) {
        this.file = file;
    }

    /** The settings; those of a first start where there are none or they cannot be read. */
    public WindowSettings load() {
        Properties properties = new Properties();
        if (Files.isReadable(file)) {
            try (Reader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
                properties.load(reader);
            } catch (IOException | IllegalArgumentException problem) {
                LOG.warn("cannot read {}: {}", file, problem.toString());
            }
        }
        return WindowSettings.of(properties);
    }

    /** Keeps the settings. */
    public void save(WindowSettings settings) throws IOException {
        StringWriter text = new StringWriter();
        settings.toProperties().store(text, "Ringout's window");
        WholeFile.write(file, WholeFile.Existing.REPLACE, text.toString());
    }
}
