package ringout.ui;

import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/**
 * Where the window keeps its files. Linux and others: the XDG Base Directory Specification; macOS and Windows: the
 * folders the system gives to programs.
 *
 * @param config for settings
 * @param data   for recordings
 */
record Folders(Path config, Path data) {
    private static final DateTimeFormatter STAMP = DateTimeFormatter.ofPattern("uuuu-MM-dd-HHmmss", Locale.ROOT);

    /** The folders of this user. */
    static Folders ofUser() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        Path home = Path.of(System.getProperty("user.home", "."));
        if (os.contains("win") && System.getenv("APPDATA") != null) {
            String local = System.getenv("LOCALAPPDATA");
            return new Folders(Path.of(System.getenv("APPDATA"), "ringout"),
                    Path.of(local == null ? System.getenv("APPDATA") : local, "ringout"));
        }
        if (os.contains("mac")) {
            Path support = home.resolve("Library").resolve("Application Support").resolve("ringout");
            return new Folders(support, support);
        }
        return new Folders(xdg("XDG_CONFIG_HOME", home.resolve(".config")).resolve("ringout"),
                xdg("XDG_DATA_HOME", home.resolve(".local").resolve("share")).resolve("ringout"));
    }

    /** The specification says to take no notice of relative paths. */
    private static Path xdg(String variable, Path otherwise) {
        String value = System.getenv(variable);
        return value != null && !value.isBlank() && Path.of(value).isAbsolute() ? Path.of(value) : otherwise;
    }

    Path settings() {
        return config.resolve("window.properties");
    }

    /** A new recording's file: box and time in its name. */
    Path recording(String box, LocalDateTime now) {
        String name = box.toLowerCase(Locale.ROOT).replaceAll("[^\\p{L}\\p{N}]+", "-").replaceAll("^-|-$", "");
        return data.resolve("recordings").resolve((name.isEmpty() ? "box" : name) + "-" + STAMP.format(now) + ".jsonl");
    }
}
