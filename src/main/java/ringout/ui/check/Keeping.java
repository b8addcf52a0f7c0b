package ringout.ui.check;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.Mends;
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
    private final KeptChecks practised;
    private final ZoneId zone;

    /**
     * @param store     of real boxes
     * @param practised of boxes to practise on
     * @param zone      of the dates in what is said
     */
    Keeping(KeptChecks store, KeptChecks practised, ZoneId zone) {
        this.store = store;
        this.practised = practised;
        this.zone = zone;
    }

    private KeptChecks storeOf(CheckedBox checked) {
        return checked.header().simulated() ? practised : store;
    }

    /**
     * Keeps a check for comparison.
     *
     * @return how it compares with the one before; empty where it is not kept: it is not finished
     */
    Optional<SinceModel.Card> keep(CheckedBox checked) throws JournalException {
        return SinceModel.keep(checked, storeOf(checked), zone);
    }

    /** Keeps a remark with the newest check that is kept of that box. */
    void remark(CheckedBox checked, KeptChecks.Remark remark) throws JournalException {
        KeptChecks to = storeOf(checked);
        List<KeptChecks.Kept> checks =
                to.of(checked.header().device(), checked.kept().planHash()).checks();
        if (!checks.isEmpty()) {
            to.remark(checks.get(checks.size() - 1), remark);
        }
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
        Baselines baselines = Baselines.of(checked, Optional.empty(), storeOf(checked), zone);
        DocumentFile.write(
                CheckReport.of(checked, Optional.of(baselines), zone, Document.Paper.of(Locale.getDefault())),
                file,
                WholeFile.Existing.REPLACE);
    }
}
