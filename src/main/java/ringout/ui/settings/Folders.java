package ringout.ui.settings;

import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Optional;
import ringout.bench.KnownBoxes;
import ringout.files.Places;
import ringout.journal.KeptChecks;
import ringout.journal.KeptRounds;
import ringout.journal.RecordingFolder;

/**
 * Where the window keeps its files, see {@link Places}.
 *
 * @param config for settings
 * @param data   for recordings, for the checks that later ones are compared with, and for what is being learned
 */
public record Folders(Path config, Path data) {
    /** The folders of this user; recordings and checks are where the command line has them. */
    public static Folders ofUser() {
        Places places = Places.ofUser();
        return new Folders(places.config(), places.data());
    }

    public Path settings() {
        return config.resolve("window.properties");
    }

    /** The checks kept of every box. */
    public KeptChecks checks() {
        return new KeptChecks(data.resolve("checks"));
    }

    /** The checks kept of boxes to practise on, apart from those. */
    public KeptChecks practised() {
        return KeptChecks.ofPractice(data.resolve("practice"));
    }

    /** What those tell of a box beforehand. */
    public KnownBoxes known() {
        return new KnownBoxes(Optional.of(checks()), Optional.of(practised()));
    }

    /** The rounds of finding by feel kept of every box. */
    public KeptRounds felt() {
        return new KeptRounds(data.resolve("feel"));
    }

    /** Those of boxes to practise on, apart from them. */
    public KeptRounds feltInPractice() {
        return new KeptRounds(data.resolve("practice-feel"));
    }

    /** Boxes that are being learned. */
    public Path learned() {
        return data.resolve("learned");
    }

    /** A new recording's file. */
    public Path recording(String box, LocalDateTime now) {
        return RecordingFolder.next(data.resolve("recordings"), box, now);
    }
}
