package ringout.bench;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import ringout.check.Check;
import ringout.check.CheckCommand;
import ringout.check.CheckSettings;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.check.Observation;
import ringout.check.Prompt;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.SimulatedConnection;
import ringout.device.Threads;
import ringout.diagnosis.Diagnosis;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.Journal;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;

/**
 * A live box: one thread reads it, one thread decodes, checks and publishes snapshots, and the journal's thread records
 * what came before anything else has seen it. Neither screen nor disk can make the reader wait.
 *
 * <p>Methods may be called from any thread and return at once, except {@link #open} and {@link #close}.
 */
public final class Session implements AutoCloseable {
    /**
     * Time-outs fall due this much late, so that a report taken before the deadline has surely come through: a
     * recording, in which it stands before it, then gives the same result.
     */
    static final long LAG_NANOS = 20_000_000L;
    /** How long a command may wait while nothing else happens. */
    private static final long NAP_NANOS = 20_000_000L;

    private static final int CHUNK = 4096;

    private final long start;
    private final Bench bench;
    private final Optional<Journal> journal;
    private final ReportRing ring = new ReportRing();
    private final ConcurrentLinkedQueue<Runnable> tasks = new ConcurrentLinkedQueue<>();
    private final List<Consumer<SessionView>> listeners = new CopyOnWriteArrayList<>();
    private final DeviceConnection connection;
    private final DeviceReader reader;
    private final Thread thread;
    private volatile SessionView view;
    /** The connection of now: another one after every replug. */
    private DeviceConnection live;

    private Optional<Plan> checked = Optional.empty();
    private volatile boolean closed;
    private long published = -1;
    private Prompt shown;
    private CheckView diagnosed;
    /** Steps asked for from outside, of the check of now. */
    private int others;
    /** Somebody else decides what to ask next, and diagnoses what comes of it. */
    private boolean led;

    private String journalTrouble = "";

    private Session(
            DeviceSource source,
            DeviceConnection connection,
            Optional<RecordingFile> file,
            boolean usesReportIds,
            long start)
            throws DescriptorException {
        this.start = start;
        this.connection = connection;
        bench = new Bench(connection.info().name(), connection.descriptor(), 0);
        live = connection;
        noteDetour(connection);
        view = bench.view(0);
        journal = file.map(f -> Journal.start(f, usesReportIds, start, System::nanoTime));
        ReportSink sink = journal.<ReportSink>map(j -> ReportSink.both(j, ring)).orElse(ring);
        reader = DeviceReader.start(source, connection, sink);
        thread = new Thread(this::run, "ringout-session");
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Opens a box and starts reading it.
     *
     * @param plan      whose guided check begins at once; empty to watch only
     * @param recording where to record; empty to record nothing
     * @throws DeviceException  where the box cannot be opened, or declares nothing that can be read
     * @throws JournalException where the recording cannot be made
     */
    public static Session open(
            DeviceSource source, DeviceInfo device, Optional<PlanInUse> plan, Optional<Path> recording)
            throws DeviceException, JournalException {
        DeviceConnection connection = source.open(device);
        try {
            ReportDescriptor descriptor = ReportDescriptor.parse(connection.descriptor());
            Optional<String> hidden = plan.flatMap(p -> hidden(connection, p.plan()));
            if (hidden.isPresent()) {
                throw new DeviceException(DeviceException.Reason.NO_PERMISSION, hidden.get());
            }
            Optional<RecordingFile> file = Optional.empty();
            if (recording.isPresent()) {
                file = Optional.of(RecordingFile.create(
                        recording.get(),
                        new RecordingHeader(
                                Instant.now(),
                                connection.info(),
                                connection.descriptor(),
                                plan.map(PlanInUse::hash),
                                connection instanceof SimulatedConnection)));
            }
            Session session = new Session(source, connection, file, descriptor.usesReportIds(), System.nanoTime());
            plan.ifPresent(session::startCheck);
            return session;
        } catch (DescriptorException malformed) {
            connection.close();
            throw new DeviceException(
                    DeviceException.Reason.IO,
                    "The report descriptor of " + device.describe() + " is malformed: " + malformed.getMessage()
                            + ". The board's firmware needs mending.",
                    malformed);
        } catch (DeviceException | JournalException | RuntimeException problem) {
            connection.close();
            throw problem;
        }
    }

    /** Why a plan cannot be checked the way a box is read, and what to do; empty where it can. */
    private static Optional<String> hidden(DeviceConnection connection, Plan plan) {
        Set<Input> hidden = connection.unseen();
        String needed = plan.actions().stream()
                .flatMap(action -> action.input().stream())
                .filter(hidden::contains)
                .map(Input::text)
                .distinct()
                .collect(Collectors.joining(", "));
        return needed.isEmpty()
                ? Optional.empty()
                : Optional.of("The plan has inputs that do not show the way "
                        + connection.info().name() + " is read here, and would seem to be missing: " + needed + ".\n"
                        + connection.info().problem());
    }

    /** Says in one line what is lost by the way a box is read. */
    private void noteDetour(DeviceConnection opened) {
        opened.info().problem().lines().findFirst().ifPresent(bench::note);
    }

    /** The newest snapshot; never null. */
    public SessionView view() {
        return view;
    }

    /** Has every new snapshot handed over, on the session's thread; must return quickly. */
    public void listen(Consumer<SessionView> listener) {
        listeners.add(listener);
    }

    /** Starts the guided check of a plan, in place of any before. */
    public void startCheck(PlanInUse plan) {
        tasks.add(() -> {
            Optional<String> hidden = hidden(live, plan.plan());
            if (hidden.isPresent()) {
                bench.note(hidden.get());
                return;
            }
            long now = now();
            record(new Entry.CheckBegan(now, plan.hash(), plan.text()));
            others = 0;
            led = false;
            bench.startCheck(now, plan.plan(), CheckSettings.STANDARD);
            checked = Optional.of(plan.plan());
        });
    }

    /**
     * Asks these steps alone, in place of any check before, and leaves it to the caller to make sense of the answers and to
     * {@link #append} more. It is recorded, but not as a guided check: it can be neither replayed as one nor kept.
     */
    void startSteps(Plan plan, List<ExtraStep> steps) {
        tasks.add(() -> {
            long now = now();
            record(new Entry.Appended(now, steps, bench.news()));
            led = true;
            bench.startSteps(now, plan, CheckSettings.STANDARD, steps);
            checked = Optional.of(plan);
        });
    }

    /** Passes on what the builder said. */
    public void command(CheckCommand command) {
        tasks.add(() -> {
            long now = now();
            record(new Entry.Said(now, command, bench.news()));
            bench.command(now, command);
        });
    }

    /** Asks for more steps. */
    public void append(List<ExtraStep> steps) {
        tasks.add(() -> {
            others += steps.size();
            ask(steps);
        });
    }

    /** True where it is being recorded. */
    public boolean recording() {
        return journal.isPresent();
    }

    private long now() {
        return System.nanoTime() - start;
    }

    private void record(Entry entry) {
        journal.ifPresent(j -> j.add(entry));
    }

    private void run() {
        while (!closed) {
            long untilDue = bench.deadline() == Check.NEVER ? NAP_NANOS : bench.deadline() + LAG_NANOS - now();
            ring.await(Math.max(0, Math.min(NAP_NANOS, untilDue)));
            pass();
        }
        reader.close();
        pass();
        journal.ifPresent(Journal::close);
        bench.measure();
        publish();
    }

    private void pass() {
        while (ring.drain(toBench, CHUNK) == CHUNK) {
            publish();
        }
        for (Runnable task = tasks.poll(); task != null; task = tasks.poll()) {
            task.run();
        }
        bench.tick(now() - LAG_NANOS);
        bench.check().ifPresent(this::show);
        bench.check().ifPresent(this::diagnose);
        journal.map(Journal::trouble).filter(t -> !t.equals(journalTrouble)).ifPresent(t -> {
            journalTrouble = t;
            bench.note(
                    t.isEmpty()
                            ? "Recording again."
                            : "The recording cannot be written (" + t
                                    + "). What was recorded is safe; the check goes on. Make room on the disk.");
        });
        publish();
    }

    /** Records a new prompt, and shows it to the scripted builder of a simulated box. */
    private void show(Check check) {
        Prompt prompt = check.prompt();
        if (prompt != shown) {
            shown = prompt;
            record(new Entry.Asked(now(), prompt.kind(), prompt.sentence(), prompt.actions(), prompt.attempt()));
            if (connection instanceof SimulatedConnection simulated && simulated.hasBuilder()) {
                simulated.builder(builder -> builder.see(System.nanoTime(), prompt));
            }
        }
    }

    /**
     * Has a finished check diagnosed, once, on a thread of its own: it may take a second. Then asks the steps that would
     * tell more; what they show is diagnosed again.
     */
    private void diagnose(Check check) {
        if (!check.finished()) {
            diagnosed = null;
            return;
        }
        if (led || check.view() == diagnosed || check.findings().isEmpty()) {
            return;
        }
        CheckView view = check.view();
        diagnosed = view;
        Plan plan = check.plan();
        List<Observation> observations = check.observations();
        int askedByOthers = others;
        Thread advising = new Thread(
                () -> {
                    Advisor advisor = new Advisor(plan);
                    Diagnosis diagnosis = advisor.diagnose(observations);
                    List<ExtraStep> wanted = advisor.wanted(view, diagnosis, askedByOthers);
                    tasks.add(() -> {
                        // Meanwhile the builder may have undone a step, or begun another check.
                        if (diagnosed == view) {
                            if (wanted.isEmpty()) {
                                bench.explain(diagnosis);
                            } else {
                                ask(wanted);
                            }
                        }
                    });
                },
                "ringout-advisor");
        advising.setDaemon(true);
        advising.start();
    }

    private void ask(List<ExtraStep> steps) {
        long now = now();
        record(new Entry.Appended(now, steps, bench.news()));
        bench.append(now, steps);
    }

    private void publish() {
        if (bench.version() != published) {
            published = bench.version();
            view = bench.view(now());
            listeners.forEach(listener -> listener.accept(view));
        }
    }

    private final ReportSink toBench = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            bench.report(nanos - start, buffer, length);
        }

        @Override
        public void lost(long nanos, String message) {
            bench.lost(nanos - start, message);
        }

        @Override
        public void found(long nanos, DeviceConnection again, String warning) {
            live = again;
            Optional<String> hidden = checked.flatMap(plan -> hidden(again, plan));
            if (hidden.isPresent()) {
                bench.lost(nanos - start, hidden.get());
                return;
            }
            noteDetour(again);
            bench.found(nanos - start, again.descriptor(), warning);
        }

        @Override
        public void dropped(long nanos, long count) {
            bench.note(count + " reports were lost because this computer was too busy.");
        }

        @Override
        public void ended(long nanos, String message) {
            if (!closed) {
                bench.ended(message);
            }
        }
    };

    /** Stops reading, finishes the recording and closes the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        Threads.join(thread);
    }
}
