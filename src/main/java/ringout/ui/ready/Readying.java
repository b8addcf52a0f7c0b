package ringout.ui.ready;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.bench.CheckedBox;
import ringout.bench.PlanInUse;
import ringout.check.Readiness;
import ringout.files.WholeFile;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.report.ReadySheet;
import ringout.ui.background.Background;
import ringout.ui.files.FileQuestions;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.ReadyModel;
import ringout.ui.parts.FxLettering;
import ringout.words.Texts;

/** Says of a box that was checked whether it is ready for play. All methods on the application thread. */
public final class Readying {
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

    private final ReadyPage page;
    private final Background background;
    private final List<KeptChecks> stores;
    private final FileQuestions files;
    private Optional<Answer> shown = Optional.empty();
    /** Counts what was begun, so that news of what was left is passed over. */
    private int begun;

    /** What is said of a box. */
    private record Answer(String box, Readiness ready, String from) {}

    /**
     * @param background where checks are read and pages written
     * @param stores     where the checks of a box may be kept
     * @param onBack     goes to where it was asked for
     */
    public Readying(
            FxLettering lettering,
            Background background,
            List<KeptChecks> stores,
            FileQuestions files,
            Runnable onBack) {
        this.background = background;
        this.stores = List.copyOf(stores);
        this.files = files;
        page = new ReadyPage(lettering, this::save, onBack);
    }

    public ReadyPage page() {
        return page;
    }

    /** Shows what a check says. */
    public void show(CheckedBox check) {
        clear();
        show(of(check));
    }

    /** Shows what the newest check of a box says whose recording is still there, or else what its plan does. */
    public void begin(PlannedBox box) {
        clear();
        int number = begun;
        background.begin(
                progress -> newest(box),
                answer -> {
                    if (number == begun) {
                        show(answer);
                    }
                },
                why -> {
                    if (number == begun) {
                        show(new Answer(
                                box.device().name(), Readiness.of(box.plan().plan()), Texts.say("ready.unread", why)));
                    }
                });
    }

    private void clear() {
        begun++;
        shown = Optional.empty();
        page.begin();
    }

    private void show(Answer answer) {
        shown = Optional.of(answer);
        page.show(ReadyModel.of(answer.ready(), answer.from()));
    }

    private Answer newest(PlannedBox box) throws JournalException {
        PlanInUse plan = box.plan();
        List<KeptChecks.Kept> kept = new ArrayList<>();
        for (KeptChecks store : stores) {
            kept.addAll(store.of(box.device(), plan.hash()).checks());
        }
        Optional<KeptChecks.Kept> newest = kept.stream()
                .filter(k -> k.planHash().equals(plan.hash())
                        && !k.recording().isEmpty()
                        && Files.isReadable(Path.of(k.recording())))
                .max(Comparator.comparing(k -> k.check().when()));
        return newest.isPresent()
                ? of(CheckedBox.measured(Path.of(newest.get().recording()), Optional.of(plan)))
                : new Answer(box.device().name(), Readiness.of(plan.plan()), Texts.say("ready.plan-only"));
    }

    private static Answer of(CheckedBox check) {
        Instant when = check.kept().check().when();
        return new Answer(
                check.header().device().name(),
                Readiness.of(check.plan(), check.figures()),
                Texts.say("ready.measured", MOMENT.format(when.atZone(ZoneId.systemDefault()))));
    }

    private void save() {
        shown.ifPresent(answer -> files.save(
                        Texts.say("ready.save"),
                        Optional.empty(),
                        answer.box().replaceAll("[^\\p{L}\\p{N}]+", "-") + "-ready.html",
                        List.of(".html", ".pdf"))
                .ifPresent(file -> save(answer, file)));
    }

    private void save(Answer answer, Path file) {
        int number = begun;
        background.run(
                () -> write(answer, file),
                () -> about(number, Texts.say("ready.saved", file)),
                why -> about(number, Texts.say("kept.report.failed", file, why)));
    }

    private static void write(Answer answer, Path file) throws IOException {
        Document sheet =
                ReadySheet.of(answer.box(), answer.ready(), answer.from(), Document.Paper.of(Locale.getDefault()));
        DocumentFile.write(sheet, file, WholeFile.Existing.REPLACE);
    }

    private void about(int number, String what) {
        if (number == begun) {
            page.say(what);
        }
    }
}
