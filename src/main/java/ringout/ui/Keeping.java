package ringout.ui;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Locale;
import java.util.Optional;
import ringout.bench.Baselines;
import ringout.bench.CheckedRecording;
import ringout.bench.PlanInUse;
import ringout.diagnosis.Diagnosis;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.report.CheckReport;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.ui.model.SinceModel;

/**
 * Keeps finished checks, from their recordings: among the checks that later ones are compared with, and as reports. Not
 * for the application thread.
 */
final class Keeping {
    /** A recording that is still written lags behind by a second at most; tried again for three. */
    private static final int TRIES = 12;

    private static final long PAUSE_MILLIS = 250;

    private final KeptChecks store;
    private final ZoneId zone;

    /** @param zone of the dates in what is said */
    Keeping(KeptChecks store, ZoneId zone) {
        this.store = store;
        this.zone = zone;
    }

    /**
     * Keeps a check for comparison.
     *
     * @return how it compares with the one before; empty where it is not kept: it is not finished, or the box was simulated
     */
    Optional<SinceModel.Card> keep(Path recording, PlanInUse plan) throws JournalException {
        return SinceModel.keep(awaitEnd(recording, plan), store, zone);
    }

    /**
     * Writes the report of a check.
     *
     * @param diagnosis one that knows more than the recording: what a multimeter showed
     * @param file      where to; {@link DocumentFile#knows} its name
     */
    void report(Path recording, PlanInUse plan, Optional<Diagnosis> diagnosis, Path file)
            throws JournalException, IOException {
        awaitEnd(recording, plan);
        CheckedRecording checked = CheckedRecording.of(recording, Optional.of(plan));
        CheckedRecording explained = diagnosis.map(checked::explained).orElse(checked);
        Optional<Baselines> baselines = checked.header().simulated()
                ? Optional.empty()
                : Optional.of(Baselines.of(checked, Optional.empty(), store, zone));
        DocumentFile.write(CheckReport.of(explained, baselines, zone, Document.Paper.of(Locale.getDefault())), file);
    }

    /** The check as it stands in the recording when its end is there, or when that is long in coming. */
    private static CheckedRecording awaitEnd(Path recording, PlanInUse plan) throws JournalException {
        CheckedRecording checked = CheckedRecording.measured(recording, Optional.of(plan));
        try {
            for (int i = 0; i < TRIES && !checked.finished(); i++) {
                Thread.sleep(PAUSE_MILLIS);
                checked = CheckedRecording.measured(recording, Optional.of(plan));
            }
        } catch (InterruptedException closing) {
            Thread.currentThread().interrupt();
        }
        return checked;
    }
}
