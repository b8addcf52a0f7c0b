package ringout.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.check.Check;
import ringout.check.CheckSettings;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.check.Figures;
import ringout.check.Instruction;
import ringout.check.Observation;
import ringout.check.Prompt;
import ringout.check.ToggleMeters;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.hid.DescriptorException;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.hid.ReportOutcome;
import ringout.journal.ChangedReports;
import ringout.plan.Plan;
import ringout.signal.Bounce;
import ringout.signal.BoxTiming;
import ringout.signal.EdgeClassifier;
import ringout.signal.EdgeDetector;
import ringout.signal.EdgeHistory;
import ringout.signal.ReportRate;
import ringout.words.Texts;

/**
 * One box on the bench: decodes its reports, keeps its edges, feeds the check. The same for a live box, a simulation in
 * virtual time and a recording; whoever owns it brings the reports and the time.
 *
 * <p>Times are nanoseconds on one scale, never decreasing. Not thread-safe.
 */
public final class Bench {
    /** Edges kept for the strip chart: an hour of one contact bouncing ten times a second, twice over. */
    private static final int EDGES = 1 << 16;

    private static final int NOTES = 20;

    private final String box;
    private final byte[] descriptor;
    private final ReportDecoder decoder;
    private final ChangedReports changed;
    private final InputState state;
    private final EdgeDetector detector;
    private final BoxTiming timing;
    private final ReportRate rate = new ReportRate();
    private final EdgeHistory edges = new EdgeHistory(EDGES);
    private final EdgeDetector.Sink toEdges = edges::add;
    private final long start;
    private long checkStart;
    private final List<String> notes = new ArrayList<>();

    private @Nullable Check check;
    private @Nullable ToggleMeters toggles;
    /** The prompt that was acted upon last, and the switches it told the builder to hold. */
    private @Nullable Prompt followed;

    private final BitSet held = new BitSet();
    private boolean measured;
    private @Nullable CheckView figuresAt;
    private @Nullable Figures figures;
    private @Nullable Diagnosis diagnosis;
    private final List<ProbeResult> readings = new ArrayList<>();
    private SessionView.Link link = SessionView.Link.LIVE;
    private String message = "";
    private boolean foreign;
    private long reports;
    private long oddReports;
    private long news;
    private long version;
    private @Nullable CheckView observedAt;
    private List<Observation> observed = List.of();

    /**
     * @param box        its name
     * @param descriptor its report descriptor
     * @throws DescriptorException where the descriptor cannot be read
     */
    public Bench(String box, byte[] descriptor, long nanos) throws DescriptorException {
        ReportDescriptor parsed = ReportDescriptor.parse(descriptor);
        this.box = box;
        this.descriptor = descriptor.clone();
        decoder = new ReportDecoder(parsed);
        changed = new ChangedReports(parsed.usesReportIds());
        state = decoder.layout().newState();
        detector = new EdgeDetector(decoder.layout());
        timing = new BoxTiming(
                decoder.layout(),
                EdgeClassifier.STANDARD_WINDOW_NANOS,
                CheckSettings.STANDARD.dropoutLimit(),
                new ToToggles());
        start = nanos;
    }

    /** Its name. */
    public String box() {
        return box;
    }

    /** Its inputs. */
    public InputLayout layout() {
        return decoder.layout();
    }

    /** Starts the guided check of that plan, in place of any before. */
    public void startCheck(long nanos, Plan plan, CheckSettings settings) {
        start(nanos, plan, new Check(plan, decoder.layout(), settings, nanos));
    }

    /** Starts a check of these steps alone. */
    public void startSteps(long nanos, Plan plan, CheckSettings settings, List<ExtraStep> steps) {
        start(nanos, plan, Check.of(steps, plan, decoder.layout(), settings, nanos));
    }

    private void start(long nanos, Plan plan, Check started) {
        check = started;
        checkStart = nanos;
        toggles = new ToggleMeters(plan, decoder.layout());
        diagnosis = null;
        readings.clear();
        if (news > 0) {
            check.input(nanos, state);
        }
        follow();
        version++;
    }

    /** Contacts that are to be held are timed as such: a gap in a hold is a drop-out, however the builder's hand is. */
    private void follow() {
        if (check == null || check.prompt() == followed) {
            return;
        }
        followed = check.prompt();
        held.stream().forEach(i -> timing.toldToHold(i, false));
        held.clear();
        if (followed.kind() == Prompt.Kind.HOLD
                || followed.kind() == Prompt.Kind.PUT_ON
                || followed.kind() == Prompt.Kind.FLEX) {
            followed.expected().forEach(input -> layout().indexOf(input).ifPresent(held::set));
        }
        held.stream().forEach(i -> timing.toldToHold(i, true));
    }

    /** When the check began, nanoseconds on the clock of all that comes in; of several in one session the last. */
    public long checkStart() {
        return checkStart;
    }

    /** The check, where one was started. */
    public Optional<Check> check() {
        return Optional.ofNullable(check);
    }

    /**
     * One report as it came; the buffer is the caller's again afterwards. While a box is there that declares other inputs
     * than the one the bench was made for, its reports mean nothing here and are passed over.
     */
    public void report(long nanos, byte[] buffer, int length) {
        if (foreign) {
            return;
        }
        reports++;
        boolean isNew = changed.isNew(buffer, length);
        rate.report(nanos, isNew);
        if (!isNew) {
            return;
        }
        news++;
        version++;
        ReportOutcome outcome = decoder.decode(buffer, length, state);
        if (outcome != ReportOutcome.OK) {
            oddReports++;
        }
        detector.detect(nanos, state, toEdges);
        if (check != null) {
            check.tick(nanos); // What fell due before this report does not depend on it.
            follow();
        }
        timing.report(nanos, state);
        if (check != null) {
            check.input(nanos, state);
            follow();
        }
    }

    /** A recording says that so many reports had come by then; it leaves out those that repeat the one before. */
    public void beat(long nanos, long count) {
        rate.beat(nanos, count);
    }

    /** Everything measured so far. */
    public Figures figures() {
        return check == null || toggles == null
                ? Figures.of(rate.summary(), timing)
                : Figures.of(rate.summary(), timing, check, toggles);
    }

    /** How its contacts behave, judged by the reports that said something new. */
    public BoxTiming timing() {
        return timing;
    }

    /** Number of reports that said something new. */
    public long news() {
        return news;
    }

    /** Time passed. */
    public void tick(long nanos) {
        timing.tick(nanos);
        if (check != null) {
            Prompt before = check.prompt();
            check.tick(nanos);
            follow();
            version += check.prompt() == before ? 0 : 1;
        }
    }

    /** When {@link #tick} must be called at the latest; {@link Check#NEVER} where nothing falls due. */
    public long deadline() {
        return check == null ? Check.NEVER : check.deadline();
    }

    /** The builder said something; nothing where no check runs. */
    public void command(long nanos, Instruction command) {
        if (check != null) {
            check.command(nanos, command);
            follow();
            diagnosis = null;
            version++;
        }
    }

    /** Asks for more steps. */
    public void append(long nanos, List<ExtraStep> steps) {
        if (check != null) {
            check.append(nanos, steps);
            follow();
            diagnosis = null;
            version++;
        }
    }

    /** Keeps what the check means, until it goes on. */
    public void explain(Diagnosis what) {
        diagnosis = what;
        version++;
    }

    /** The builder said what a meter showed; what was said of these points before is taken back. */
    public void measured(ProbeResult result) {
        readings.removeIf(r -> r.samePlace(result));
        if (result.reading() != ProbeReading.UNCERTAIN) {
            readings.add(result);
        }
        version++;
    }

    /** What a meter showed in this check. */
    List<ProbeResult> readings() {
        return List.copyOf(readings);
    }

    /** What the check means; empty until that is known. */
    Optional<Diagnosis> diagnosis() {
        return Optional.ofNullable(diagnosis);
    }

    /** The box went away. */
    public void lost(long nanos, String why) {
        link = SessionView.Link.LOST;
        message = why;
        timing.interrupted(nanos);
        rate.interrupted();
        if (check != null) {
            check.lost(nanos, why);
            follow();
        }
        version++;
    }

    /**
     * It is back.
     *
     * @param descriptorNow its descriptor; where it differs from before, the box is not taken, and the check stays paused
     * @param warning       why it may be another box; empty where nothing suggests so
     */
    public void found(long nanos, byte[] descriptorNow, String warning) {
        changed.forget();
        if (!warning.isEmpty()) {
            note(warning);
        }
        foreign = !Arrays.equals(descriptor, descriptorNow);
        if (foreign) {
            message = Texts.say("live.foreign");
            version++;
            return;
        }
        link = SessionView.Link.LIVE;
        message = "";
        if (check != null) {
            check.found(nanos);
            follow();
        }
        version++;
    }

    /** Nothing more will come. */
    public void ended(String why) {
        link = SessionView.Link.ENDED;
        message = why;
        version++;
    }

    /** Adds something worth knowing; the oldest notes go where there are too many. */
    public void note(String note) {
        if (notes.contains(note)) {
            return;
        }
        if (notes.size() == NOTES) {
            notes.remove(0);
        }
        notes.add(note);
        version++;
    }

    /** Grows with everything that {@link #view} shows. */
    public long version() {
        return version;
    }

    /** Made anew only where the check has moved: snapshots are made for every report. */
    private List<Observation> observations() {
        if (check == null) {
            return List.of();
        }
        if (check.view() != observedAt) {
            observedAt = check.view();
            observed = check.observations();
        }
        return observed;
    }

    /** Nothing more will be asked or read: the figures are part of what there is to show from now on. */
    public void measure() {
        measured = true;
        version++;
    }

    /** Made anew only where the check has moved. */
    private Optional<Figures> figuresOnceOver() {
        if (check == null || !check.finished() && !measured) {
            return Optional.empty();
        }
        if (figuresAt != check.view()) {
            figuresAt = check.view();
            figures = figures();
        }
        return Optional.ofNullable(figures);
    }

    private final class ToToggles implements BoxTiming.Listener {
        @Override
        public void pressed(int switchIndex, long nanos, Bounce bounce) {
            if (toggles != null) {
                toggles.pressed(switchIndex, nanos, bounce);
            }
        }

        @Override
        public void released(int switchIndex, long nanos, Bounce bounce) {
            if (toggles != null) {
                toggles.released(switchIndex, nanos, bounce);
            }
        }
    }

    /** What there is to show now. */
    public SessionView view(long nanos) {
        return new SessionView(
                nanos - start,
                box,
                link,
                message,
                decoder.layout(),
                state.copy(),
                reports,
                oddReports,
                edges.snapshot(),
                check().map(Check::view),
                observations(),
                Optional.ofNullable(diagnosis),
                figuresOnceOver(),
                notes);
    }
}
