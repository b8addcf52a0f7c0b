package ringout.bench;

import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.check.CheckSettings;
import ringout.check.ExtraStep;
import ringout.circuit.Circuit;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.ProbeResult;
import ringout.hid.DescriptorException;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingHeader;
import ringout.journal.RecordingReader;
import ringout.plan.PlanReader;
import ringout.words.Texts;

/**
 * Plays a recording onto a bench, at once: the check, fed with the same reports and commands at the same times, comes to
 * the same result.
 */
public final class Replay {
    private final RecordingHeader header;
    private final Bench bench;
    private final List<String> notes;
    private final boolean checked;
    private final Optional<PlanInUse> judgedBy;
    private BuilderRecord builder = BuilderRecord.EMPTY;

    private Replay(
            RecordingHeader header, Bench bench, List<String> notes, boolean checked, Optional<PlanInUse> judgedBy) {
        this.header = header;
        this.bench = bench;
        this.notes = new ArrayList<>(notes);
        this.checked = checked;
        this.judgedBy = judgedBy;
    }

    /** The recording's. */
    public RecordingHeader header() {
        return header;
    }

    /** How the bench stands at the end. */
    public Bench bench() {
        return bench;
    }

    /** What the reader of the result should know: damaged lines, gaps, another plan. */
    public List<String> notes() {
        return List.copyOf(notes);
    }

    /** True where the recording holds a guided check. */
    public boolean checked() {
        return checked;
    }

    /**
     * Plays a recording to its end.
     *
     * @param plan what to check against; empty to take the plan that the recording holds, or, where it holds none, to
     *             look at the inputs only
     * @throws JournalException where it cannot be read
     */
    public static Replay of(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return of(recording, plan, KnownBoxes.NONE);
    }

    /** The same, with what is known of the box. */
    public static Replay of(Path recording, Optional<PlanInUse> plan, KnownBoxes known) throws JournalException {
        Replay replay = measure(recording, plan);
        replay.explain(known);
        return replay;
    }

    /** Sees a recording go by while it is played. */
    @FunctionalInterface
    public interface Passenger {
        /**
         * @param entry the next one, after the bench has taken it
         * @param share of the file that is read, 0 to 1
         */
        void pass(Entry entry, double share);

        /** The bench it is played onto, before anything is; to be looked at only. */
        default void begin(Bench bench) {}
    }

    /** True where there is something to {@link #explain}: it may take longer than the playing did. */
    public boolean unexplained() {
        return bench.diagnosis().isEmpty()
                && bench.check().filter(check -> !check.findings().isEmpty()).isPresent();
    }

    /** What was known of the box when its findings were explained; nothing until then. */
    public BuilderRecord builder() {
        return builder;
    }

    /** Works out what its findings mean, where it has some. */
    public void explain(KnownBoxes known) {
        if (unexplained()) {
            PlanInUse plan = known.of(header.device(), header.simulated(), judgedBy.orElseThrow(), notes::add);
            builder = plan.builder();
            BareBoards.counted(plan).ifPresent(notes::add);
            bench.check()
                    .ifPresent(check -> bench.explain(
                            new Advisor(plan.plan(), plan.builder()).diagnose(check.observations(), bench.readings())));
        }
    }

    /** As {@link #of}, without a diagnosis: for what was measured. */
    public static Replay measure(Path recording, Optional<PlanInUse> plan) throws JournalException {
        return measure(recording, plan, (entry, share) -> {});
    }

    /** The same with somebody who needs the entries themselves: a day of them is read only once. */
    public static Replay measure(Path recording, Optional<PlanInUse> plan, Passenger passenger)
            throws JournalException {
        return play(recording, plan, passenger);
    }

    private static Replay play(Path recording, Optional<PlanInUse> plan, Passenger passenger) throws JournalException {
        try (RecordingReader reader = RecordingReader.open(recording)) {
            Bench bench = bench(recording, reader);
            Player player = new Player(bench, plan);
            passenger.begin(bench);
            AsTaken entries = new AsTaken(reader);
            for (Entry entry = entries.next(0); entry != null; entry = entries.next(bench.news())) {
                player.play(entry);
                passenger.pass(entry, reader.share());
            }
            List<String> notes = new ArrayList<>(reader.notes());
            reader.header().device().problem().lines().findFirst().ifPresent(notes::add);
            notes.addAll(player.notes);
            if (!player.ended) {
                notes.add(Texts.say("recording.cut-off", recording));
            }
            return new Replay(reader.header(), bench, notes, player.checked, player.playing);
        }
    }

    private static Bench bench(Path recording, RecordingReader reader) throws JournalException {
        try {
            return new Bench(reader.header().device().name(), reader.header().descriptor(), 0);
        } catch (DescriptorException malformed) {
            throw new JournalException(
                    Texts.say("recording.malformed", recording, String.valueOf(malformed.getMessage())), malformed);
        }
    }

    /** The entries in the order in which the check was given them. */
    private static final class AsTaken {
        /** More than are read while a busy computer keeps the check waiting. */
        private static final int AHEAD = 4096;

        private final RecordingReader reader;
        private final Deque<Entry> entries = new ArrayDeque<>();
        /** Those of them that stand between reports. */
        private final Deque<Entry.Told> told = new ArrayDeque<>();

        private boolean ended;

        AsTaken(RecordingReader reader) {
            this.reader = reader;
        }

        /**
         * Nothing at the end.
         *
         * @param given so many reports so far
         */
        @Nullable
        Entry next(long given) throws JournalException {
            if (entries.isEmpty() || told.isEmpty()) {
                fill();
            }
            Entry.Told early = told.peek();
            if (early != null
                    && (entries.peek() == early || early.after() == given && entries.peek() instanceof Entry.Report)) {
                entries.removeFirstOccurrence(told.remove());
                return early;
            }
            return entries.poll();
        }

        private void fill() throws JournalException {
            while (!ended && entries.size() < AHEAD) {
                Entry read = reader.next().orElse(null);
                if (read == null) {
                    ended = true;
                    return;
                }
                entries.add(read);
                // Nearly all are reports; asking an object for an interface that it has not is slow.
                if (!(read instanceof Entry.Report) && read instanceof Entry.Told one) {
                    told.add(one);
                }
            }
        }
    }

    private static final class Player {
        private final Bench bench;
        private final Optional<PlanInUse> plan;
        private final List<String> notes = new ArrayList<>();
        private Optional<PlanInUse> playing = Optional.empty();
        private boolean checked;
        private boolean ended;

        Player(Bench bench, Optional<PlanInUse> plan) {
            this.bench = bench;
            this.plan = plan;
        }

        void play(Entry entry) {
            long t = entry.nanos();
            ended = false;
            if (entry instanceof Entry.Report report) {
                bench.report(t, report.bytes(), report.bytes().length);
                return;
            }
            if (entry instanceof Entry.Told told) {
                inOrder(told.after());
            }
            if (entry instanceof Entry.CheckBegan began) {
                begin(t, began);
            } else if (entry instanceof Entry.Said said) {
                bench.command(t, said.command());
            } else if (entry instanceof Entry.Appended appended) {
                List<ExtraStep> known = known(appended.steps());
                if (known.size() < appended.steps().size()) {
                    notes.add(Texts.say("plan-changed.steps", appended.steps().size() - known.size()));
                }
                if (!known.isEmpty()) {
                    bench.append(t, known);
                }
            } else if (entry instanceof Entry.Measured measured) {
                measured(measured);
            } else if (entry instanceof Entry.Lost lost) {
                bench.lost(t, lost.message());
            } else if (entry instanceof Entry.Found found) {
                bench.found(t, found.descriptor(), found.warning());
            } else if (entry instanceof Entry.Dropped dropped) {
                notes.add(Texts.say("recording.dropped", String.valueOf(dropped.count()), seconds(t)));
            } else if (entry instanceof Entry.Gap gap) {
                notes.add(Texts.say("recording.gap", String.valueOf(gap.lines()), seconds(t)));
            } else if (entry instanceof Entry.Ended end) {
                ended = true;
                bench.tick(t - LiveBox.LAG_NANOS);
                if (!end.message().isEmpty()) {
                    notes.add(Texts.say("recording.ended", end.message()));
                }
            } else if (entry instanceof Entry.Beat beat) {
                bench.beat(t, beat.reports());
                bench.tick(t - LiveBox.LAG_NANOS);
            }
        }

        private void measured(Entry.Measured measured) {
            try {
                playing.map(p -> Circuit.of(p.plan()))
                        .ifPresent(circuit -> bench.measured(
                                ProbeResult.parse(measured.reading(), circuit, (mode, word) -> Optional.empty())));
            } catch (IllegalArgumentException unknown) {
                notes.add(Texts.say("recording.meter", String.valueOf(unknown.getMessage())));
            }
        }

        private void begin(long t, Entry.CheckBegan began) {
            checked = true;
            Optional<PlanInUse> then = recorded(began);
            Optional<PlanInUse> used = plan.or(() -> then);
            if (plan.isPresent() && !began.planHash().equals(plan.get().hash())) {
                used = Optional.of(changed(plan.get(), then));
            }
            used.ifPresent(p -> bench.startCheck(t, p.plan(), CheckSettings.of(began.rules())));
            playing = used;
        }

        /** The plan to go on with where it was edited since: the one of then where the check asked for other things. */
        private PlanInUse changed(PlanInUse now, Optional<PlanInUse> then) {
            if (then.isEmpty()) {
                notes.add(Texts.say("plan-changed.unknown"));
                return now;
            }
            PlanChanges changes = PlanChanges.between(then.get().plan(), now.plan());
            notes.addAll(changes.notes());
            notes.add(
                    changes.sameActions()
                            ? Texts.say("plan-changed.judged-now")
                            : Texts.say("plan-changed.judged-then"));
            return changes.sameActions() ? now : then.get();
        }

        /** Steps of then that the plan can still ask for. */
        private List<ExtraStep> known(List<ExtraStep> steps) {
            return steps.stream()
                    .filter(step -> playing.isPresent()
                            && step.actions().stream()
                                    .allMatch(id ->
                                            playing.get().plan().action(id).isPresent()))
                    .toList();
        }

        private Optional<PlanInUse> recorded(Entry.CheckBegan began) {
            return began.plan()
                    .flatMap(text -> PlanReader.read(text, Texts.say("recording.plan"))
                            .plan()
                            .map(then -> PlanInUse.of(then, text)));
        }

        private void inOrder(long after) {
            if (after != Entry.CheckBegan.UNKNOWN && after != bench.news()) {
                notes.add(Texts.say("recording.order"));
            }
        }

        private static String seconds(long nanos) {
            return String.format(java.util.Locale.ROOT, "%.3f s", nanos / 1e9);
        }
    }
}
