package ringout.ui;

import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Locale;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFolder;

/**
 * Where the window keeps its files. Linux and others: the XDG Base Directory Specification; macOS and Windows: the
 * folders the system gives to programs.
 *
 * @param config for settings
 * @param data   for recordings and for the checks that later ones are compared with
 */
record Folders(Path config, Path data) {
    /** The folders of this user; recordings and checks are where the command line has them. */
    static Folders ofUser() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        Path home = Path.of(System.getProperty("user.home", "."));
        // The command line's own, so that both compare with the same earlier checks.
        Path data = RecordingFolder.path().getParent();
        if (os.contains("win") && System.getenv("APPDATA") != null) {
            return new Folders(Path.of(System.getenv("APPDATA"), "ringout"), data);
        }
        if (os.contains("mac")) {
            Path support =
                    home.resolve("Library").resolve("Application Support").resolve("ringout");
            return new Folders(support, data);
        }
        return new Folders(xdg("XDG_CONFIG_HOME", home.resolve(".config")).resolve("ringout"), data);
    }

    /** The specification says to take no notice of relative paths. */
    private static Path xdg(String variable, Path otherwise) {
        String value = System.getenv(variable);
        return value != null && !value.isBlank() && Path.of(value).isAbsolute() ? Path.of(value) : otherwise;
    }

    Path settings() {
        return config.resolve("window.properties");
    }

    /** The checks kept of every box. */
    KeptChecks checks() {
        return new KeptChecks(data.resolve("checks"));
    }

    /** A new recording's file. */
    Path recording(String box, LocalDateTime now) {
        return RecordingFolder.next(data.resolve("recordings"), box, now);
    }
}
