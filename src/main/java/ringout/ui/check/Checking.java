package ringout.ui.check;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import javafx.scene.input.KeyEvent;
import ringout.bench.Advisor;
import ringout.bench.CheckedBox;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.BareBoard;
import ringout.check.CheckView;
import ringout.check.Instruction;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.ProbeResult;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.naming.FaultWords;
import ringout.plan.Plan;
import ringout.ui.background.Background;
import ringout.ui.files.FileQuestions;
import ringout.ui.files.MeasuredPlans;
import ringout.ui.files.PlanFile;
import ringout.ui.files.PlannedBox;
import ringout.ui.files.RecordedBytes;
import ringout.ui.files.RecordingOpened;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.LinkState;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.StepPane;
import ringout.ui.practice.Hands;
import ringout.ui.practice.Practice;
import ringout.ui.practice.Rig;
import ringout.ui.sound.Sounds;
import ringout.words.Phrase;
import ringout.words.Texts;

/** A box on the bench, watched or checked, or a recording that is looked at there. On the application thread. */
public final class Checking {
    /** Shown before and after a moment on the tape. */
    private static final long MOMENT_NANOS = 1_500_000_000L;

    /** The window around it. */
    public interface Host {
        /** Shows the bench. */
        void show();

        /** Says above it which box it is, and how that is connected. */
        void say(String box, String link, boolean trouble);

        /** The check that was left has moved, or its box has gone. */
        void waits();

        /** A box could not be opened. */
        void failed(String why);

        /**
         * It is to be found out why one control is dead.
         *
         * @param control which; empty to ask
         */
        void hunt(PlannedBox box, Optional<String> control);

        /** It is to be said whether the box of a check is ready for play. */
        void ready(CheckedBox check);

        /** The plan is to be changed so that a box with these faults fits it, with nothing soldered. */
        void fit(PlanFile plan, List<Fault> faults);
    }

    /** A box that is open, and what is opened with it. */
    private record Opened(
            Session session,
            Optional<Hands> hands,
            Optional<Path> recordedTo,
            Optional<PlanInUse> plan,
            List<String> notes) {
        void close() {
            hands.ifPresent(Hands::close);
            session.close();
        }
    }

    private final Host host;
    private final Background boxes;
    private final Practice practice;
    private final Supplier<Optional<PlanFile>> file;
    private final MeasuredPlans measured;
    private final KnownBoxes known;
    private final Sounds sounds;
    private final BenchPage page;
    private final Explaining explaining;
    private final CheckKeeping keeping;
    private final BenchNotices notices = new BenchNotices();
    private final RecordedBytes bytes;

    private Optional<Session> session = Optional.empty();
    private Optional<Hands> hands = Optional.empty();
    private Optional<PlannedBox> box = Optional.empty();
    /** Plug, meter and iron of a box to practise on. */
    private Optional<Rig> rig = Optional.empty();

    private Optional<PlanInUse> plan = Optional.empty();
    /** The check in the recording that is looked at. */
    private Optional<CheckedBox> opened = Optional.empty();

    private Optional<SessionView> seen = Optional.empty();
    private long seenAt;
    private Optional<Background.Job> opening = Optional.empty();
    /** A check waits in the background, paused, to be gone on with. */
    private boolean away;

    private String said = "";

    /**
     * @param boxes where boxes are opened and closed, in order
     * @param disk  where files are read and written
     * @param file  the plan file of now
     */
    public Checking(
            FxLettering lettering,
            Background boxes,
            Background disk,
            Practice practice,
            Supplier<Optional<PlanFile>> file,
            MeasuredPlans measured,
            Sounds sounds,
            KeptChecks store,
            KeptChecks practised,
            KnownBoxes known,
            FileQuestions files,
            Host host) {
        this.host = host;
        this.boxes = boxes;
        this.practice = practice;
        this.file = file;
        this.measured = measured;
        this.known = known;
        this.sounds = sounds;
        page = new BenchPage(
                lettering, this::command, this::again, this::answered, this::report, this::hunt, this::fit);
        bytes = new RecordedBytes(disk, page.tape()::say, this::say);
        page.tape().setBytes(bytes::at);
        explaining = new Explaining(page, this::say);
        keeping = new CheckKeeping(
                new Keeping(store, practised, ZoneId.systemDefault()), disk, files, page::since, this::refresh);
        page.onMended(keeping::mended);
        page.onRemark(keeping::remark);
        page.onReady(this::ready);
    }

    public BenchPage page() {
        return page;
    }

    /** What is shown of the box; empty where there is none. */
    public Optional<SessionView> shown() {
        return seen;
    }

    /** What it is judged by. */
    public Optional<PlanInUse> plan() {
        return plan;
    }

    // ---- coming and going

    /**
     * Opens a box in the background and shows it.
     *
     * @param plan to check it by; empty to watch only
     * @param to   where to record, asked in the background; empty to record nothing
     */
    public void open(DeviceSource source, DeviceInfo device, Optional<PlanInUse> plan, Supplier<Optional<Path>> to) {
        stop();
        Optional<PlannedBox> planned = plan.map(p -> new PlannedBox(source, device, p));
        opening = Optional.of(boxes.begin(
                progress -> open(source, device, planned, to.get()),
                opened -> {
                    box = planned;
                    take(opened);
                },
                Opened::close,
                host::failed));
    }

    private Opened open(DeviceSource source, DeviceInfo device, Optional<PlannedBox> planned, Optional<Path> to)
            throws DeviceException, JournalException {
        if (planned.isPresent()) {
            // A hunt may have left it unplugged.
            practice.rig(planned.get()).ifPresent(rig -> rig.plug(true));
        }
        List<String> notes = new ArrayList<>();
        Optional<PlanInUse> judgedBy =
                planned.map(box -> known.of(device, practice.isMade(device), box.plan(), notes::add));
        Session session = Session.open(source, device, judgedBy, to);
        try {
            return new Opened(
                    session,
                    planned.isPresent() ? practice.hands(planned.get()) : Optional.empty(),
                    to,
                    judgedBy,
                    notes);
        } catch (DeviceException problem) {
            session.close();
            throw problem;
        }
    }

    private void take(Opened now) {
        session = Optional.of(now.session());
        hands = now.hands();
        rig = box.flatMap(practice::rig);
        now.plan().ifPresent(p -> now.session().append(Advisor.measuring(p.plan(), 0)));
        begin(now.plan(), now.recordedTo());
        page.setPlan(plan.map(PlanInUse::plan));
        now.notes().forEach(this::say);
        explain();
        page.offerHunt(box.isPresent());
        page.offerFit(planFile().isPresent());
        page.mendBy(rig.isPresent() ? this::mend : null);
        hands.ifPresentOrElse(h -> page.workBy(h::press, h::release), () -> page.workBy(null, null));
        host.show();
    }

    /**
     * Shows a recording, in place of a check that waits.
     *
     * @param moment to show; empty for all of it
     */
    public void show(RecordingOpened recording, Optional<WatchModel.Line> moment) {
        stop();
        begin(recording.plan(), Optional.of(recording.file()));
        opened = recording.result();
        page.offerHunt(false);
        page.mendBy(null);
        page.offerFit(planFile().isPresent());
        seen = Optional.of(recording.view());
        page.show(recording);
        // What a meter showed since belongs to the checks since.
        explaining.begin(plan, List.of());
        if (recording.left().isPresent()) {
            page.working(Texts.say("findings.explaining"));
            opening.ifPresent(Background.Job::cancel);
            opening = Optional.of(
                    boxes.begin(progress -> recording.left().get().explained(), this::explained, this::say));
        } else {
            explaining.follow(recording.view());
        }
        refresh();
        page.offerReport(over().isPresent());
        host.say(
                recording.view().box(),
                Texts.say("recording.place", recording.file().getFileName()),
                false);
        host.show();
        moment.ifPresent(line -> {
            line.input().ifPresent(page.tape()::reveal);
            page.tape().show(line.nanos() - MOMENT_NANOS, line.nanos() + MOMENT_NANOS);
            page.tape().frame(line.nanos(), 0);
        });
    }

    /** The findings of the recording that is shown are explained by now. */
    private void explained(RecordingOpened recording) {
        opened = recording.result();
        plan = recording.plan();
        seen = Optional.of(recording.view());
        explaining.begin(plan, List.of());
        explaining.follow(recording.view());
        page.offerReport(over().isPresent());
    }

    private void begin(Optional<PlanInUse> judgedBy, Optional<Path> recordedTo) {
        plan = judgedBy;
        bytes.of(recordedTo);
        opened = Optional.empty();
        keeping.begin();
    }

    /** Takes the bench down; a box is closed in the background. */
    public void stop() {
        session.ifPresent(s -> boxes.close(s::close));
        hands.ifPresent(h -> boxes.close(h::close));
        clear();
    }

    /**
     * Leaves a check where it is: one that is not over is paused, the box stays open, and {@link #back} goes on with it.
     *
     * @return false where there is no such check
     */
    public boolean leave() {
        if (session.isEmpty() || waiting().isEmpty()) {
            return false;
        }
        if (!finished()) {
            command(Instruction.PAUSE);
        }
        away = true;
        return true;
    }

    private boolean finished() {
        return seen.flatMap(SessionView::check).filter(CheckView::finished).isPresent();
    }

    /** How far the check is that was left, or what it came to; empty where there is none to go back to. */
    public Optional<String> waiting() {
        return session.isEmpty()
                ? Optional.empty()
                : seen.filter(view -> view.link() != SessionView.Link.ENDED)
                        .flatMap(SessionView::check)
                        .map(check -> check.finished()
                                ? Texts.say(
                                        "start.finished",
                                        plan.map(p -> p.plan().box().name()).orElse(""),
                                        check.findings().size())
                                : Texts.say(
                                        "start.waiting",
                                        plan.map(p -> p.plan().box().name()).orElse(""),
                                        check.step(),
                                        check.total()));
    }

    /** Goes on with the check that was left, where it was. */
    public void back() {
        if (away) {
            away = false;
            if (!finished()) {
                command(Instruction.GO_ON);
            }
            seen.ifPresent(this::place);
            host.show();
        }
    }

    private void clear() {
        away = false;
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        session = Optional.empty();
        hands = Optional.empty();
        box = Optional.empty();
        rig = Optional.empty();
        explaining.close();
        sounds.begin();
        begin(Optional.empty(), Optional.empty());
        said = "";
        seen = Optional.empty();
    }

    // ---- at work

    /** Shows the newest snapshot; called once per frame. */
    public void frame() {
        if (session.isEmpty()) {
            // A recording stands still, but its tape is zoomed and moved.
            seen.ifPresent(view -> page.tape().frame(view.nanos(), 0));
            return;
        }
        SessionView view = session.get().view();
        boolean news = seen.isEmpty() || seen.get() != view;
        if (news) {
            seen = Optional.of(view);
            seenAt = System.nanoTime();
        }
        long now = view.link() == SessionView.Link.ENDED ? view.nanos() : view.nanos() + System.nanoTime() - seenAt;
        if (away) {
            if (news) {
                host.waits();
            }
            return;
        }
        page.show(view, now);
        if (news) {
            view.check().ifPresent(sounds::follow);
            explaining.follow(view);
            refresh();
            page.offerReport(over().isPresent());
            over().ifPresent(keeping::keep);
            place(view);
        }
    }

    /** True where the box is one to practise on. */
    private boolean practising() {
        return rig.isPresent();
    }

    private void place(SessionView view) {
        host.say(
                view.box(),
                LinkState.words(view.link(), practising(), session.get().recording()),
                view.link() != SessionView.Link.LIVE);
    }

    /** Says anew what there is to say above the next step. */
    public void refresh() {
        List<NoticesPane.Notice> all = new ArrayList<>();
        seen.map(BenchNotices::ofSession).ifPresent(all::addAll);
        if (session.isPresent() && seen.isPresent() && plan.isPresent() && !practising()) {
            file.get()
                    .ifPresent(f ->
                            all.addAll(notices.ofPlan(plan.get(), f, seen.get().layout(), this::again)));
        }
        if (session.isEmpty() && seen.isPresent() && plan.isEmpty()) {
            all.add(NoticesPane.Notice.of(Texts.say("recording.no-plan")));
        }
        List.of(said, keeping.note()).stream()
                .filter(note -> !note.isEmpty())
                .map(NoticesPane.Notice::of)
                .forEach(all::add);
        page.setNotices(all);
    }

    /** Says what came of something. */
    public void say(String what) {
        said = what;
        refresh();
    }

    private void explain() {
        explaining.begin(
                plan,
                // The checklist measured the builder's own box.
                plan.filter(p -> !practising())
                        .<List<ProbeResult>>map(p -> measured.of(p.hash()))
                        .orElse(List.of()));
    }

    // ---- what the builder says

    /** Passes on what the builder said. */
    void command(Instruction command) {
        session.ifPresent(s -> s.command(command));
    }

    private void answered(ProbeReading reading) {
        explaining.measured(reading).ifPresent(result -> session.ifPresent(s -> s.measured(result)));
    }

    /** Begins the whole check again, with the plan file as it stands now. */
    public void again() {
        if (session.isEmpty() || plan.isEmpty()) {
            return;
        }
        PlanInUse now =
                practising() ? plan.get() : file.get().flatMap(PlanFile::inUse).orElse(plan.get());
        if (now.plan() != plan.get().plan()) {
            page.setPlan(Optional.of(now.plan()));
        }
        // Of a board whose plan was changed since, nothing is proved any more.
        BuilderRecord builder = plan.get().builder();
        now = now.by(now.hash().equals(plan.get().hash()) ? builder : builder.proving(BareBoard.Proof.NONE));
        plan = Optional.of(now);
        sounds.begin();
        // Whoever checks again has mended something, so that what a meter showed before need not hold.
        measured.forget(now.hash());
        page.begin();
        explain();
        session.get().startCheck(now);
        session.get().append(Advisor.measuring(now.plan(), 0));
        refresh();
    }

    /** Mends a box to practise on at a place of its loom, and says what was wrong there. */
    private void mend(String place) {
        Plan now = plan.orElseThrow().plan();
        rig.ifPresent(iron -> {
            List<Fault> mended = iron.mend(now, place);
            FaultWords words = new FaultWords(now);
            say(
                    mended.isEmpty()
                            ? Texts.say("practice.nothing")
                            : Texts.say(
                                    "practice.mended",
                                    Phrase.and(mended.stream().map(words::fault).toList())
                                            .sentence()));
        });
    }

    /** True where a hunt can begin: a box is there, and its plan. */
    public boolean huntable() {
        return box.isPresent();
    }

    /**
     * Goes on to find out why one control of the box is dead.
     *
     * @param control which; empty for the one that the keyboard is at, or else to ask
     */
    public void hunt(Optional<String> control) {
        box.ifPresent(b -> host.hunt(
                plan.map(p -> new PlannedBox(b.source(), b.device(), p)).orElse(b), control.or(page::focused)));
    }

    private void fit(List<Fault> faults) {
        planFile().ifPresent(now -> host.fit(now, faults));
    }

    /** The file of the plan that is checked by, where it is the chosen one and still says the same. */
    private Optional<PlanFile> planFile() {
        return file.get()
                .filter(now -> plan.filter(p -> p.hash().equals(now.hash())).isPresent());
    }

    private void hunt(String control) {
        hunt(Optional.of(control));
    }

    /** The check, once it is over. */
    private Optional<CheckedBox> over() {
        return session.isPresent() ? session.get().result() : opened;
    }

    private void report() {
        over().ifPresent(over -> keeping.report(over, explaining.measured()));
    }

    private void ready() {
        over().ifPresent(host::ready);
    }

    /** Writes the report of the finished check there. */
    public void report(Path to) {
        keeping.report(over().orElseThrow(), explaining.measured(), to);
    }

    /** Takes what was said by key; false where that key says nothing. */
    public boolean key(KeyEvent event) {
        boolean finished =
                seen.flatMap(SessionView::check).map(CheckView::finished).orElse(false);
        Optional<Instruction> said = StepPane.instruction(event.getCode());
        if (said.isPresent()) {
            command(said.get());
            return true;
        }
        switch (event.getCode()) {
            case A -> {
                if (!finished) {
                    return false;
                }
                again();
            }
            case D -> {
                if (box.isEmpty()) {
                    return false;
                }
                hunt(Optional.empty());
            }
            case Y -> {
                if (over().isEmpty()) {
                    return false;
                }
                ready();
            }
            case K -> {
                if (over().isEmpty()) {
                    return false;
                }
                report();
            }
            default -> {
                Optional<ProbeReading> answer = page.answer(event);
                answer.ifPresent(this::answered);
                return answer.isPresent();
            }
        }
        return true;
    }
}
