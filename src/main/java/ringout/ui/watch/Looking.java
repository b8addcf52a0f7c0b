package ringout.ui.watch;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.Supplier;
import ringout.bench.BreakLook;
import ringout.bench.LookSession;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.journal.JournalException;
import ringout.ui.background.Background;
import ringout.ui.background.WindowThread;
import ringout.ui.model.LookModel;
import ringout.ui.parts.FxLettering;
import ringout.watch.ShortLook;

/** A look in a break, at one box of a watch after the other, in the window. All methods on the application thread. */
public final class Looking {
    private final LookPage page;
    private final Background background;
    private Optional<Background.Job> opening = Optional.empty();
    private Optional<BreakLook> session = Optional.empty();
    private List<Watching.Subject> left = List.of();
    private final List<ShortLook.Answer> answers = new ArrayList<>();
    /** Counts what was begun, so that news of what was left is passed over. */
    private int begun;

    /**
     * @param background where boxes are opened and closed
     * @param onBack     goes to the watch
     */
    public Looking(FxLettering lettering, Background background, Runnable onBack) {
        this.background = background;
        page = new LookPage(lettering, this::next, onBack);
    }

    public LookPage page() {
        return page;
    }

    /**
     * Finds out what is to be asked, and asks.
     *
     * @param subjects  asked for in the background
     * @param recording where to record a box, asked for in the background; empty for nowhere
     */
    public void begin(
            DeviceSource source,
            Supplier<List<Watching.Subject>> subjects,
            Function<DeviceInfo, Optional<Path>> recording) {
        leave();
        answers.clear();
        page.begin();
        int number = begun;
        opening = Optional.of(background.begin(
                progress -> subjects.get(),
                found -> {
                    if (number == begun) {
                        found.stream()
                                .findFirst()
                                .ifPresent(s -> page.draw(s.plan().plan()));
                        left = found.stream().filter(s -> !s.asks().isEmpty()).toList();
                        box(source, recording);
                    }
                },
                why -> said(number, why)));
    }

    /** The next box, or the answer. */
    private void box(DeviceSource source, Function<DeviceInfo, Optional<Path>> recording) {
        begun++;
        int number = begun;
        if (left.isEmpty()) {
            page.rest();
            page.show(LookModel.over(answers));
            return;
        }
        Watching.Subject subject = left.get(0);
        left = left.subList(1, left.size());
        page.draw(subject.plan().plan());
        opening = Optional.of(background.begin(
                progress -> open(
                        source,
                        subject,
                        recording,
                        view -> WindowThread.soon(() -> show(number, subject, view, source, recording))),
                opened -> {
                    session = Optional.of(opened);
                    show(number, subject, opened.view(), source, recording);
                },
                BreakLook::close,
                why -> said(number, why)));
    }

    /** In a watch that lasts, so that no box is open twice, which some systems and programs refuse; else by itself. */
    private static BreakLook open(
            DeviceSource source,
            Watching.Subject subject,
            Function<DeviceInfo, Optional<Path>> recording,
            Consumer<LookSession.View> listener)
            throws DeviceException, JournalException {
        return subject.live().isPresent()
                ? subject.live().get().look(subject.plan().plan(), subject.asks(), listener)
                : LookSession.open(
                        source,
                        subject.device(),
                        subject.plan(),
                        subject.asks(),
                        recording.apply(subject.device()),
                        listener);
    }

    private void show(
            int number,
            Watching.Subject subject,
            LookSession.View view,
            DeviceSource source,
            Function<DeviceInfo, Optional<Path>> recording) {
        if (number != begun || session.isEmpty()) {
            return;
        }
        if (view.asked().isEmpty() && view.trouble().isEmpty()) {
            answers.addAll(view.answers());
            close();
            box(source, recording);
            return;
        }
        page.show(LookModel.of(view, answers, subject.asks().size()));
        page.show(LookModel.panel(subject.plan().plan(), view));
    }

    private void said(int number, String why) {
        if (number == begun) {
            page.show(LookModel.said(why));
        }
    }

    /** This one was looked at enough. */
    public void next() {
        session.ifPresent(BreakLook::next);
    }

    private void close() {
        session.ifPresent(s -> background.close(s::close));
        session = Optional.empty();
    }

    /** Lets go of the box. */
    public void leave() {
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        close();
        begun++;
    }
}
