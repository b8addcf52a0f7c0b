package ringout.bench;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import ringout.check.BareBoard;
import ringout.check.Check;
import ringout.check.CheckSettings;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Observation;
import ringout.check.Prompt;
import ringout.device.DeviceConnection;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.hid.DescriptorException;
import ringout.journal.Entry;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.words.Texts;

/** A box on the bench, watched or checked; a finished check is diagnosed, and what would tell more is asked for. */
final class CheckFollower implements Follower {
    private final Host host;
    private final Bench bench;
    private final Consumer<Prompt> hand;
    private final Consumer<SessionView> listener;
    /** The connection of now: another one after every replug. */
    private DeviceConnection live;

    private final RecordingHeader header;
    private final Optional<Path> recording;
    private SessionView view;
    private Optional<CheckedBox> result = Optional.empty();
    private long published = -1;

    private Optional<Plan> checked = Optional.empty();
    private Optional<PlanInUse> judgedBy = Optional.empty();
    private @Nullable Prompt shown;
    private @Nullable CheckView diagnosed;
    /** Steps asked for from outside, of the check of now. */
    private int others;
    /** Somebody else decides what to ask next, and diagnoses what comes of it. */
    private boolean led;

    /** What it has concluded for a check, and what it wants to ask next. */
    private record Advice(Diagnosis diagnosis, List<ExtraStep> wanted) {}

    /**
     * @param connection as it was opened
     * @param header     what stands at the head of its recording, made or not
     * @param recording  where it is recorded
     * @param hand       shown every prompt, on behalf of whoever works the box
     * @param listener   takes every new snapshot
     */
    CheckFollower(
            DeviceConnection connection,
            RecordingHeader header,
            Optional<Path> recording,
            Host host,
            Consumer<Prompt> hand,
            Consumer<SessionView> listener)
            throws DescriptorException {
        this.header = header;
        this.recording = recording;
        this.host = host;
        this.hand = hand;
        this.listener = listener;
        bench = new Bench(connection.info().name(), connection.descriptor(), 0);
        live = connection;
        noteDetour(connection);
        view = bench.view(0);
    }

    /** Says in one line what is lost by the way a box is read. */
    private void noteDetour(DeviceConnection opened) {
        opened.info().problem().lines().findFirst().ifPresent(bench::note);
    }

    /** The newest snapshot; never null. */
    SessionView view() {
        return view;
    }

    /** The guided check once it is over, to be kept and reported; empty until then. */
    Optional<CheckedBox> result() {
        return result;
    }

    // ---------------------------------------------------------------- what is said

    /** The builder says what a meter showed. */
    void measured(ProbeResult result) {
        host.record(new Entry.Measured(host.now(), result.text()));
        bench.measured(result);
    }

    /** Starts the guided check of a plan, in place of any before. */
    void startCheck(PlanInUse plan) {
        Optional<String> hidden = LiveBox.hidden(live, plan.plan());
        if (hidden.isPresent()) {
            bench.note(hidden.get());
            return;
        }
        long now = host.now();
        host.record(new Entry.CheckBegan(now, plan.hash(), plan.text(), bench.news()));
        others = 0;
        led = false;
        bench.startCheck(now, plan.plan(), CheckSettings.STANDARD);
        checked = Optional.of(plan.plan());
        judgedBy = Optional.of(plan);
        BareBoards.counted(plan).ifPresent(bench::note);
    }

    /**
     * Asks these steps alone, in place of any check before, and leaves it to the caller to make sense of the answers and to
     * {@link #append} more. It is recorded, but not as a guided check: it can be neither replayed as one nor kept.
     */
    void startSteps(Plan plan, List<ExtraStep> steps) {
        long now = host.now();
        host.record(new Entry.Appended(now, steps, bench.news()));
        led = true;
        bench.startSteps(now, plan, CheckSettings.STANDARD, steps);
        checked = Optional.of(plan);
        judgedBy = Optional.empty();
    }

    /** The builder said something. */
    void command(Instruction command) {
        long now = host.now();
        host.record(new Entry.Said(now, command, bench.news()));
        bench.command(now, command);
    }

    /** Somebody asks for more steps. */
    void append(List<ExtraStep> steps) {
        others += steps.size();
        ask(steps);
    }

    private void ask(List<ExtraStep> steps) {
        long now = host.now();
        host.record(new Entry.Appended(now, steps, bench.news()));
        bench.append(now, steps);
    }

    // ---------------------------------------------------------------- what is fed

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        bench.report(nanos, buffer, length);
    }

    @Override
    public void lost(long nanos, String message) {
        bench.lost(nanos, message);
    }

    @Override
    public void found(long nanos, DeviceConnection again, String warning) {
        live = again;
        Optional<String> hidden = checked.flatMap(plan -> LiveBox.hidden(again, plan));
        if (hidden.isPresent()) {
            bench.lost(nanos, hidden.get());
            return;
        }
        noteDetour(again);
        bench.found(nanos, again.descriptor(), warning);
    }

    @Override
    public void dropped(long nanos, long count) {
        bench.note(Texts.say("live.dropped", String.valueOf(count)));
    }

    @Override
    public void ended(long nanos, String message) {
        bench.ended(message);
    }

    @Override
    public void recording(String trouble) {
        bench.note(trouble.isEmpty() ? Texts.say("live.recording-again") : Texts.say("live.unwritten", trouble));
    }

    @Override
    public void tick(long nanos) {
        bench.tick(nanos);
        bench.check().ifPresent(this::show);
        bench.check().ifPresent(this::diagnose);
    }

    @Override
    public long deadline() {
        return bench.deadline();
    }

    @Override
    public void tell(long now) {
        if (bench.version() != published) {
            published = bench.version();
            view = bench.view(now);
            // Anew with everything that comes after the end, too: the last release may still be bouncing.
            result = view.over()
                    ? judgedBy.map(plan -> CheckedBox.of(header, bench, plan.hash(), recording, view.notes()))
                    : Optional.empty();
            listener.accept(view);
        }
    }

    @Override
    public void close(long now) {
        bench.measure();
    }

    /** Records a new prompt, and shows it to whoever works the box. */
    private void show(Check check) {
        Prompt prompt = check.prompt();
        if (prompt != shown) {
            shown = prompt;
            host.record(
                    new Entry.Asked(host.now(), prompt.kind(), prompt.sentence(), prompt.actions(), prompt.attempt()));
            hand.accept(prompt);
        }
    }

    /**
     * Has a finished check diagnosed, once: it may take a second. Then asks the steps that would tell more; what they show
     * is diagnosed again.
     */
    private void diagnose(Check check) {
        if (!check.finished()) {
            diagnosed = null;
            return;
        }
        if (led || check.view() == diagnosed || check.findings().isEmpty()) {
            return;
        }
        CheckView finished = check.view();
        diagnosed = finished;
        Plan plan = check.plan();
        List<Observation> observations = check.observations();
        int askedByOthers = others;
        BuilderRecord builder = judgedBy.map(PlanInUse::builder).orElse(BuilderRecord.EMPTY);
        host.think(
                () -> {
                    Advisor advisor = new Advisor(plan, builder);
                    Diagnosis diagnosis = advisor.diagnose(observations);
                    // One resistor holds no chords.
                    return new Advice(
                            diagnosis,
                            BareBoard.isOfTouches(plan)
                                    ? List.of()
                                    : advisor.wanted(finished, diagnosis, askedByOthers));
                },
                advice -> {
                    // Meanwhile the builder may have undone a step, or begun another check.
                    if (diagnosed == finished) {
                        if (advice.wanted().isEmpty()) {
                            bench.explain(advice.diagnosis());
                        } else {
                            ask(advice.wanted());
                        }
                    }
                });
    }
}
