package ringout.journal;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import ringout.files.Places;

/** Where recordings go that nobody named a place for: one folder per user, as each system wants it. */
public final class RecordingFolder {
    private static final DateTimeFormatter STAMP = DateTimeFormatter.ofPattern("yyyyMMdd-HHmmss", Locale.ROOT);

    /** Bytes of moment, count and endings behind the box' name. */
    private static final int BEHIND = 48;

    private RecordingFolder() {}

    /** The folder, see {@link Places}; it need not exist yet. */
    public static Path path() {
        return Places.ofUser().data().resolve("recordings");
    }

    /** A file there that is not taken: the box and the moment in its name. */
    public static Path next(String box, LocalDateTime now) {
        return next(path(), box, now);
    }

    /** A file in a folder that is not taken: the box and the moment in its name, and a number where that is taken. */
    public static Path next(Path folder, String box, LocalDateTime now) {
        String name =
                box.toLowerCase(Locale.ROOT).replaceAll("[^\\p{L}\\p{N}]+", "-").replaceAll("^-|-$", "");
        String base = Places.fitting(name.isEmpty() ? "box" : name, BEHIND) + "-" + STAMP.format(now);
        Path path = folder.resolve(base + ".jsonl");
        for (int i = 2; Files.exists(path); i++) {
            path = folder.resolve(base + "-" + i + ".jsonl");
        }
        return path;
    }
}
