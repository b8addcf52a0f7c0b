package ringout.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.Advisor;
import ringout.bench.BareBoardRun;
import ringout.bench.BareBoards;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.HuntSession;
import ringout.bench.KnownBoxes;
import ringout.bench.Mailbox;
import ringout.bench.Mends;
import ringout.bench.PlanInUse;
import ringout.bench.Replay;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.BareBoard;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.BoardVerdict;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFolder;
import ringout.naming.FaultWords;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Runs the guided check of a box, or of a recording of one. */
@Command(name = "check", mixinStandardHelpOptions = true, description = "help.check", footer = "help.check.more")
final class CheckCommand implements Callable<Integer> {
    @ParentCommand
    private Ringout root;

    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.plan")
    private Path plan;

    @ArgGroup(multiplicity = "1")
    private What what;

    /** One of the two. */
    private static final class What {
        @Option(
                names = "--device",
                paramLabel = "${bundle:label.box}",
                required = true,
                descriptionKey = "help.check.device")
        private String device;

        @Option(
                names = "--replay",
                paramLabel = "${bundle:label.recording}",
                required = true,
                descriptionKey = "help.option.recorded-check")
        private Path replay;
    }

    @Option(names = "--out", paramLabel = "${bundle:label.recording}", descriptionKey = "help.check.out")
    private Path out;

    @Option(names = "--no-record", descriptionKey = "help.option.no-record")
    private boolean noRecord;

    @Option(names = "--prove-diodes", descriptionKey = "help.check.prove-diodes")
    private boolean proveDiodes;

    @Mixin
    private MeasureOptions measure;

    @Option(names = "--flex", paramLabel = "${bundle:label.id}", descriptionKey = "help.check.flex")
    private List<String> flex = List.of();

    @Option(names = "--hunt", paramLabel = "${bundle:label.id}", descriptionKey = "help.check.hunt")
    private String hunt;

    @Option(names = "--bare-board", descriptionKey = "help.check.bare-board")
    private boolean bareBoard;

    @Option(names = "--verbose", descriptionKey = "help.check.verbose")
    private boolean verbose;

    @Mixin
    private RewrittenPlan rewritten;

    @Mixin
    private JsonOutput output;

    private Optional<BareBoardRun> bare = Optional.empty();
    private volatile Optional<SessionView> beforeParting = Optional.empty();
    private volatile Optional<CheckedBox> fewestTouches = Optional.empty();
    private @Nullable Path recorded;
    private String unwritten = "";

    @Override
    public Integer call() throws DeviceException {
        if (what.replay != null) {
            output.refuse(
                    "--replay",
                    "--out",
                    "--no-record",
                    "--prove-diodes",
                    "--no-measure",
                    "--presses",
                    "--flex",
                    "--hunt");
        } else if (hunt != null) {
            output.refuse(
                    "--hunt", "--prove-diodes", "--no-measure", "--presses", "--flex", "--rewrite-plan", "--verbose");
        }
        if (bareBoard) {
            output.refuse(
                    "--bare-board",
                    "--prove-diodes",
                    "--no-measure",
                    "--presses",
                    "--flex",
                    "--hunt",
                    "--rewrite-plan");
        }
        if (noRecord) {
            output.refuse("--no-record", "--out");
        }
        if (output.asJson()) {
            output.refuse("--json", "--verbose");
        }
        rewritten.prepare(plan, what.replay);
        PlanInUse inUse = PlanOption.inUse(plan);
        output.tellSize(inUse.plan());
        if (hunt != null) {
            return hunt(inUse);
        }
        if (bareBoard) {
            return bareBoard(inUse);
        }
        SessionView result = what.replay != null ? replay(inUse) : live(inUse, view -> print(inUse, view));
        CheckView check = result.check().orElseThrow();
        print(inUse, result);
        OutFile.requireWhole(unwritten);
        return CheckText.exitCode(check).status();
    }

    private int bareBoard(PlanInUse whole) throws DeviceException {
        BareBoardRun run;
        try {
            run = new BareBoardRun(whole);
        } catch (IllegalArgumentException nothing) {
            throw new BadInput(
                    Texts.say("usage.option", "--bare-board", String.valueOf(nothing.getMessage())), nothing);
        }
        if (what.replay == null) {
            output.note(Texts.say("bare.caution", BareBoard.TOUCH_OHMS));
        }
        PlanInUse touches = run.plan();
        if (what.replay != null) {
            return replayTouches(whole, touches.plan());
        }
        bare = Optional.of(run);
        SessionView result = live(touches, view -> print(run, touches.plan(), view));
        print(run, touches.plan(), result);
        OutFile.requireWhole(unwritten);
        return CheckText.exitCode(fewest(result)).status();
    }

    private int replayTouches(PlanInUse whole, Plan touches) {
        try {
            BareBoardRun.Recorded recorded = output.working(() -> BareBoardRun.replay(what.replay, whole));
            recorded.replay().notes().forEach(output::note);
            print(whole.plan(), touches, recorded.fewest(), recorded.verdict());
            return CheckText.exitCode(recorded.fewest()).status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    /** The check of the fewest touches; what parts those that failed comes after it. */
    private CheckView fewest(SessionView last) {
        return beforeParting.orElse(last).check().orElseThrow();
    }

    private void print(BareBoardRun run, Plan touches, SessionView result) {
        print(run.whole().plan(), touches, fewest(result), run.verdict(result));
    }

    private void print(Plan whole, Plan touches, CheckView check, BoardVerdict verdict) {
        if (output.asJson()) {
            output.print(CheckText.document(touches, check, Optional.empty()));
        } else {
            CheckText.print(output.out(), touches, check, Optional.empty());
            BareBoards.said(whole, verdict).forEach(output.out()::println);
            output.out().flush();
        }
    }

    /** Goes on to the touches that part what failed; false where none are left to ask. */
    private boolean parts(SessionView over, Session session) {
        if (bare.isPresent() && !bare.get().asks(over.check().orElseThrow())) {
            // It has begun, and this is still from before.
            return true;
        }
        if (bare.filter(run -> run.next(over)).isPresent()) {
            beforeParting = Optional.of(over);
            fewestTouches = session.result();
            session.startCheck(bare.orElseThrow().plan());
            return true;
        }
        return false;
    }

    private void print(PlanInUse inUse, SessionView result) {
        CheckView check = result.check().orElseThrow();
        PrintWriter print = output.out();
        if (output.asJson()) {
            output.print(CheckText.document(inUse.plan(), check, result.diagnosis(), result.figures()));
        } else {
            CheckText.print(
                    print,
                    inUse.plan(),
                    check,
                    result.diagnosis(),
                    result.figures().filter(f -> verbose));
        }
        result.diagnosis().ifPresent(d -> rewritten.write(plan, d, output.asJson()));
    }

    private SessionView replay(PlanInUse inUse) {
        try {
            Replay replay = output.working(() -> Replay.of(what.replay, Optional.of(inUse), KnownBoxes.ofUser()));
            replay.notes().forEach(output::note);
            if (!replay.checked()) {
                throw new BadInput(Texts.say("check.no-guide", what.replay));
            }
            SessionView view = output.working(() -> {
                replay.bench().measure();
                return replay.bench().view(0);
            });
            noteReport(what.replay);
            return view;
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private void noteReport(Path recording) {
        output.note(Texts.say("check.then", recording));
    }

    private SessionView live(PlanInUse planned, Consumer<SessionView> print) throws DeviceException {
        List<ExtraStep> measured = bareBoard ? List.of() : measure.steps(planned.plan());
        List<ExtraStep> flexed =
                flex.stream().map(id -> flex(planned.plan(), id)).toList();
        DeviceCatalog catalog = root.boxes();
        boolean played = bareBoard && what.device.startsWith(SimulatedSource.PREFIX);
        DeviceInfo device =
                ChosenBox.of(catalog, played ? SimulatedSource.bare(what.device) : what.device, output::note);
        PlanInUse inUse = bareBoard ? planned : known(device, planned);
        Terminal terminal = new Terminal(output.talk());
        Mailbox<Boolean> over = new Mailbox<>(root.time());
        try (Session session = open(catalog, device, Optional.of(inUse))) {
            Runnable ended = () -> {
                session.close();
                terminal.end();
                if (session.view().check().isPresent()) {
                    print.accept(session.view());
                }
            };
            try (OnSignal signal = OnSignal.run(ended)) {
                session.listen(view -> {
                    terminal.show(view);
                    if (view.link() == SessionView.Link.ENDED
                            || view.over() && !parts(view, session)
                            || output.lost()) {
                        over.accept(true);
                    }
                });
                session.append(measured);
                if (proveDiodes) {
                    session.append(Advisor.diodeProof(inUse.plan()));
                }
                if (!flexed.isEmpty()) {
                    session.append(flexed);
                }
                terminal.commands(session::command, () -> over.accept(true));
                over.take();
            }
            session.close();
            terminal.end();
            SessionView last = session.view();
            last.notes().forEach(output::note);
            Optional<CheckedBox> checked = fewestTouches.or(session::result);
            if (checked.isPresent()) {
                keep(checked.get(), terminal);
            }
            unwritten = session.trouble();
            if (last.over() && recorded != null && session.recording()) {
                noteReport(recorded);
            }
            if (last.link() == SessionView.Link.ENDED && !last.message().isEmpty()) {
                throw new DeviceException(DeviceException.Reason.IO, last.message());
            }
            return last;
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
    }

    private int hunt(PlanInUse inUse) throws DeviceException {
        List<Action> actions;
        try {
            actions = HuntSession.actions(inUse.plan(), hunt);
        } catch (IllegalArgumentException unknown) {
            throw new BadInput(
                    Texts.say("usage.option", "--hunt " + hunt, String.valueOf(unknown.getMessage())), unknown);
        }
        DeviceCatalog catalog = root.boxes();
        DeviceInfo device = ChosenBox.of(catalog, what.device, output::note);
        try (Session session = open(catalog, device, Optional.empty())) {
            PlanInUse known = known(device, inUse);
            BareBoards.counted(known).ifPresent(output::note);
            HuntRun run = new HuntRun(known, hunt, actions, output, root.time());
            return run.run(session, simulated(device) ? Optional.empty() : baseline(device, inUse))
                    .status();
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
    }

    private static boolean simulated(DeviceInfo device) {
        return device.path().startsWith(SimulatedSource.PREFIX);
    }

    private Optional<KeptChecks.Kept> baseline(DeviceInfo device, PlanInUse inUse) {
        try {
            return Baselines.newest(device, inUse, KeptChecks.ofUser());
        } catch (JournalException problem) {
            output.note(Texts.say("check.no-earlier", String.valueOf(problem.getMessage())));
            return Optional.empty();
        }
    }

    private static ExtraStep flex(Plan plan, String id) {
        Action action = plan.action(id)
                .orElseThrow(() -> new BadInput(Texts.say(
                        "check.flex.unknown",
                        id,
                        Phrase.commas(plan.actions().stream().map(Action::id).toList()))));
        boolean held = action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH;
        if (!held || action.input().isEmpty()) {
            throw new BadInput(Texts.say("check.flex.not-held", id));
        }
        return new ExtraStep(List.of(id), new TreeSet<>(List.of(action.input().get())), true);
    }

    private PlanInUse known(DeviceInfo device, PlanInUse inUse) {
        return KnownBoxes.ofUser().of(device, simulated(device), inUse, output::note);
    }

    /** The check is done whatever becomes of this. */
    private void keep(CheckedBox checked, Terminal terminal) throws InterruptedException {
        KeptChecks store = KeptChecks.ofUser();
        try {
            Optional<Mends> mended = checked.header().simulated() || bareBoard
                    ? Optional.empty()
                    : Baselines.of(checked, Optional.empty(), store, ZoneId.systemDefault())
                            .before()
                            .flatMap(before -> Mends.between(before, checked));
            Baselines.keep(checked, store, ZoneId.systemDefault())
                    .ifPresent(how -> output.note(
                            checked.recording().isPresent()
                                    ? Texts.say("check.kept.recorded", how, String.valueOf(recorded))
                                    : Texts.say("check.kept", how)));
            if (mended.isPresent()) {
                askWhatItWas(mended.get(), checked.plan(), terminal);
            }
        } catch (JournalException problem) {
            output.note(Texts.say("check.not-compared", String.valueOf(problem.getMessage())));
        }
    }

    /** One key says what it was; nothing, or anything else, says nothing. */
    private void askWhatItWas(Mends mends, Plan planned, Terminal terminal)
            throws InterruptedException, JournalException {
        FaultWords words = new FaultWords(planned);
        output.note(Texts.say(
                "check.gone",
                mends.check()
                        .check()
                        .when()
                        .atZone(ZoneId.systemDefault())
                        .toLocalDate()
                        .toString(),
                plan));
        if (!Keyboard.present() || mends.choices().isEmpty()) {
            return;
        }
        for (int i = 0; i < mends.choices().size(); i++) {
            terminal.say("  " + (i + 1) + "  " + words.set(mends.choices().get(i)));
        }
        String typed = terminal.answer(Texts.say("check.what-was-it") + " ");
        for (int i = 0; i < mends.choices().size(); i++) {
            if (typed.equals(String.valueOf(i + 1))) {
                Mends.tell(KeptChecks.ofUser(), mends.check(), mends.choices().get(i));
                output.note(Texts.say("check.told"));
            }
        }
    }

    private Session open(DeviceCatalog catalog, DeviceInfo device, Optional<PlanInUse> inUse) throws DeviceException {
        Optional<Path> recording = noRecord
                ? Optional.empty()
                : Optional.of(out != null ? out : RecordingFolder.next(device.name(), LocalDateTime.now()));
        try {
            Session session = Session.open(catalog, device, inUse, recording);
            recording.ifPresent(path -> {
                recorded = path;
                output.note(Texts.say("check.recording", path));
            });
            return session;
        } catch (JournalException problem) {
            if (out != null) {
                throw OutFile.failure(problem);
            }
            output.note(Texts.say("check.no-recording", String.valueOf(problem.getMessage())));
            return openUnrecorded(catalog, device, inUse);
        }
    }

    private static Session openUnrecorded(DeviceCatalog catalog, DeviceInfo device, Optional<PlanInUse> inUse)
            throws DeviceException {
        try {
            return Session.open(catalog, device, inUse, Optional.empty());
        } catch (JournalException impossible) {
            throw new IllegalStateException("nothing is recorded", impossible);
        }
    }
}
