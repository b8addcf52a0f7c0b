package ringout.ui.files;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.function.DoubleConsumer;
import ringout.bench.CheckedBox;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.bench.Replay;
import ringout.bench.SessionView;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.signal.EdgeDetector;
import ringout.ui.model.TapeStore;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * A recording made ready to be looked at.
 *
 * @param file  which
 * @param view  how its bench stands at the end, with the notes of reading it
 * @param store its tape from beginning to end
 * @param plan  what it was checked against; empty where only the inputs are shown
 * @param result the guided check in it, where there is one and it was finished; empty while it is not explained
 * @param left   gives the same once its findings are explained, which may take a while; empty where nothing is left to do
 */
public record RecordingOpened(
        Path file,
        SessionView view,
        TapeStore store,
        Optional<PlanInUse> plan,
        Optional<CheckedBox> result,
        Optional<Left> left) {
    private static final int FIRST_ENTRIES = 100;

    /** What is left to do of a recording that can be looked at already. Not for the application thread. */
    @FunctionalInterface
    public interface Left {
        RecordingOpened explained() throws JournalException;
    }

    /**
     * Reads a recording, once and in bounded memory; a day of it takes a while, so not on the application thread.
     *
     * @param chosen   the plan in use. It counts where the recording was made with it, or holds none itself
     * @param known    of the box, for what its findings mean
     * @param progress told which share is read, 0 to 1, now and then
     * @throws JournalException      where it is none or cannot be read
     * @throws CancellationException thrown by {@code progress} to stop
     */
    public static RecordingOpened read(Path file, Optional<PlanInUse> chosen, KnownBoxes known, DoubleConsumer progress)
            throws JournalException {
        Optional<String> madeWith;
        try (RecordingReader reader = RecordingReader.open(file)) {
            madeWith = reader.header().planHash();
            Optional<Phrase> refusal = firstPlan(reader).flatMap(Roomy::refusal);
            if (refusal.isPresent()) {
                throw new JournalException(refusal.get().text());
            }
        }
        boolean another = chosen.isPresent()
                && madeWith.isPresent()
                && !madeWith.get().equals(chosen.get().hash());
        RecordingOpened opened = read(file, another ? Optional.empty() : chosen, madeWith, known, progress);
        return another && opened.plan().isEmpty() ? read(file, chosen, madeWith, known, progress) : opened;
    }

    /** The plan of the first check; looked for where a recording begins, since a check asks as soon as it is there. */
    private static Optional<Plan> firstPlan(RecordingReader reader) throws JournalException {
        Optional<Entry> entry = reader.next();
        for (int i = 0; i < FIRST_ENTRIES && entry.isPresent(); i++) {
            if (entry.get() instanceof Entry.CheckBegan began) {
                return began.plan()
                        .flatMap(yaml -> PlanReader.read(yaml, "recording").plan());
            }
            entry = reader.next();
        }
        return Optional.empty();
    }

    private static RecordingOpened read(
            Path file, Optional<PlanInUse> plan, Optional<String> hash, KnownBoxes known, DoubleConsumer progress)
            throws JournalException {
        Tape tape = new Tape(file, progress);
        Replay replay = Replay.measure(file, plan, tape);
        return of(file, plan, hash, known, replay, tape);
    }

    private static RecordingOpened of(
            Path file, Optional<PlanInUse> plan, Optional<String> hash, KnownBoxes known, Replay replay, Tape tape)
            throws JournalException {
        List<String> notes = new ArrayList<>(replay.notes());
        SessionView last = replay.bench().view(tape.end);
        SessionView view = new SessionView(
                last.nanos(),
                last.box(),
                SessionView.Link.ENDED,
                Texts.say("recording.opened"),
                last.layout(),
                last.state(),
                last.reports(),
                last.oddReports(),
                last.edges(),
                last.check(),
                last.observations(),
                last.diagnosis(),
                last.figures(),
                notes);
        Optional<PlanInUse> used = plan.or(
                        () -> replay.bench().check().map(check -> new PlanInUse(check.plan(), hash.orElse(""))))
                .map(p -> p.by(replay.builder()));
        if (replay.unexplained()) {
            return new RecordingOpened(file, view, tape.store, used, Optional.empty(), Optional.of(() -> {
                replay.explain(known);
                return of(file, plan, hash, known, replay, tape);
            }));
        }
        Optional<CheckedBox> result =
                view.over() && replay.checked() ? Optional.of(CheckedBox.of(file, plan, replay)) : Optional.empty();
        return new RecordingOpened(file, view, tape.store, used, result, Optional.empty());
    }

    /** Writes every edge and axis value of a recording onto a tape. */
    private static final class Tape implements Replay.Passenger {
        private static final int LINES_PER_WORD = 4096;

        private final DoubleConsumer progress;
        private final ReportDecoder decoder;
        private final InputState state;
        private final EdgeDetector detector;
        private final TapeStore store;
        private final int axes;
        private long end;
        private int lines;

        Tape(Path file, DoubleConsumer progress) throws JournalException {
            this.progress = progress;
            try (RecordingReader reader = RecordingReader.open(file)) {
                decoder =
                        new ReportDecoder(ReportDescriptor.parse(reader.header().descriptor()));
            } catch (DescriptorException malformed) {
                throw new JournalException(
                        Texts.say("recording.malformed", file, String.valueOf(malformed.getMessage())), malformed);
            }
            state = decoder.layout().newState();
            detector = new EdgeDetector(decoder.layout());
            store = new TapeStore(decoder.layout());
            axes = decoder.layout().axes().size();
        }

        @Override
        public void pass(Entry entry, double share) {
            end = Math.max(end, entry.nanos());
            if (entry instanceof Entry.Report report) {
                decoder.decode(report.bytes(), report.bytes().length, state);
                detector.detect(report.nanos(), state, store::add);
                for (int i = 0; i < axes; i++) {
                    store.addAxis(report.nanos(), i, state.axis(i));
                }
            }
            store.reach(end);
            if (++lines % LINES_PER_WORD == 0) {
                progress.accept(share);
            }
        }
    }

    /** True where a file begins like a recording rather than like a plan, or is named as one and may be damaged. */
    public static boolean looksLikeOne(Path file) {
        if (file.getFileName().toString().toLowerCase(Locale.ROOT).endsWith(".jsonl")) {
            return true;
        }
        try (RecordingReader reader = RecordingReader.open(file)) {
            return reader.header() != null;
        } catch (JournalException no) {
            return false;
        }
    }
}
