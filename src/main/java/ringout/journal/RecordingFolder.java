package ringout.journal;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Where recordings go that nobody named a place for: one folder per user, as each system wants it. */
public final class RecordingFolder {
    /** Set to a folder, this overrides the system's habit. */
    public static final String PROPERTY = "ringout.data";

    private static final DateTimeFormatter STAMP = DateTimeFormatter.ofPattern("yyyyMMdd-HHmmss", Locale.ROOT);

    private RecordingFolder() {}

    /**
     * The folder; it need not exist yet.
     *
     * <p>Linux: {@code $XDG_DATA_HOME/ringout/recordings}, by default below {@code ~/.local/share} (XDG Base Directory
     * Specification). macOS: {@code ~/Library/Application Support/Ringout/recordings}. Windows:
     * {@code %APPDATA%\Ringout\recordings}.
     */
    public static Path path() {
        String set = System.getProperty(PROPERTY, "");
        if (!set.isBlank()) {
            return Path.of(set, "recordings");
        }
        String home = System.getProperty("user.home", ".");
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        if (os.contains("win")) {
            String data = System.getenv("APPDATA");
            return data == null || data.isBlank()
                    ? Path.of(home, "Ringout", "recordings")
                    : Path.of(data, "Ringout", "recordings");
        }
        if (os.contains("mac")) {
            return Path.of(home, "Library", "Application Support", "Ringout", "recordings");
        }
        String data = System.getenv("XDG_DATA_HOME");
        return (data == null || data.isBlank() ? Path.of(home, ".local", "share") : Path.of(data))
                .resolve("ringout")
                .resolve("recordings");
    }

    /** A file there that is not taken: the box and the moment in its name. */
    public static Path next(String box, LocalDateTime now) {
        return next(path(), box, now);
    }

    /** A file in a folder that is not taken: the box and the moment in its name, and a number where that is taken. */
    public static Path next(Path folder, String box, LocalDateTime now) {
        String name =
                box.toLowerCase(Locale.ROOT).replaceAll("[^\\p{L}\\p{N}]+", "-").replaceAll("^-|-$", "");
        String base = (name.isEmpty() ? "box" : name) + "-" + STAMP.format(now);
        Path path = folder.resolve(base + ".jsonl");
        for (int i = 2; Files.exists(path); i++) {
            path = folder.resolve(base + "-" + i + ".jsonl");
        }
        return path;
    }
}
