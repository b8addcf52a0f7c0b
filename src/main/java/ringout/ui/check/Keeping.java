package ringout.ui.check;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Locale;
import java.util.Optional;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.Mends;
import ringout.diagnosis.BuilderRecord;
import ringout.files.WholeFile;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.report.CheckReport;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.ui.model.SinceModel;

/**
 * Keeps finished checks: among the checks that later ones are compared with, and as reports. Not for the application
 * thread.
 */
final class Keeping {
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
    Optional<SinceModel.Card> keep(CheckedBox checked) throws JournalException {
        return SinceModel.keep(checked, store, zone);
    }

    /** What is known of who builds the boxes. */
    BuilderRecord builder() throws JournalException {
        return Mends.record(store);
    }

    /** Keeps with an earlier check what it was. */
    void mended(SinceModel.Choice choice) throws JournalException {
        Mends.tell(store, choice.check(), choice.faults());
    }

    /**
     * Writes the report of a check.
     *
     * @param file where to; {@link DocumentFile#knows} its name
     */
    void report(CheckedBox checked, Path file) throws JournalException, IOException {
        Optional<Baselines> baselines = checked.header().simulated()
                ? Optional.empty()
                : Optional.of(Baselines.of(checked, Optional.empty(), store, zone));
        DocumentFile.write(
                CheckReport.of(checked, baselines, zone, Document.Paper.of(Locale.getDefault())),
                file,
                WholeFile.Existing.REPLACE);
    }
}
