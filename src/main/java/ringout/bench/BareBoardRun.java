package ringout.bench;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Collectors;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Touch;
import ringout.check.BareBoard.Touched;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.check.Observation;
import ringout.diagnosis.BoardVerdict;
import ringout.hid.Input;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.words.Texts;

/**
 * The touches of one bare board: first the fewest that take in every line, then those that part the two pins of what failed.
 * Each of the two is a check of its own, on one session and in one recording. Not for several threads at once.
 */
public final class BareBoardRun {
    private final PlanInUse whole;
    private List<Touch> asked;
    private PlanInUse plan;
    private final List<Touched> before = new ArrayList<>();
    private boolean parting;

    /**
     * @param whole plan of the box
     * @throws IllegalArgumentException where there is nothing to touch, or the plan's text is not known
     */
    public BareBoardRun(PlanInUse whole) {
        this.whole = whole;
        asked = BareBoard.touches(whole.plan());
        plan = BareBoards.touches(whole);
    }

    /** Of the whole box. */
    public PlanInUse whole() {
        return whole;
    }

    /** The touches that are asked now, as a plan to check. */
    public PlanInUse plan() {
        return plan;
    }

    /** The touches that are asked now. */
    public List<Touch> asked() {
        return asked;
    }

    /** True once the touches are asked that part what failed. */
    public boolean parting() {
        return parting;
    }

    /**
     * The check of {@link #plan} is over: goes on to what parts the failed touches.
     *
     * @return false where nothing is left to be parted; nothing has changed then
     */
    public boolean next(SessionView over) {
        return over.check().isPresent() && next(over.check().get(), over.observations());
    }

    private boolean next(CheckView over, List<Observation> observations) {
        List<Touched> touched = touched(over, observations);
        List<Touch> next = parting ? List.of() : BareBoard.parting(whole.plan(), touched);
        if (next.isEmpty()) {
            return false;
        }
        before.addAll(touched);
        asked = next;
        plan = BareBoards.plan(whole, next);
        parting = true;
        return true;
    }

    /** What was answered, in all. */
    public List<Touched> touched(SessionView now) {
        return now.check().map(c -> touched(c, now.observations())).orElse(List.copyOf(before));
    }

    private List<Touched> touched(CheckView check, List<Observation> observations) {
        List<Touched> all = new ArrayList<>(before);
        asked.stream()
                .filter(t -> check.answered().contains(t.id()))
                .forEach(t -> all.add(new Touched(t, last(observations, t))));
        return all;
    }

    /** True for a check of the touches that are asked now. */
    public boolean asks(CheckView check) {
        Set<String> ids = asked.stream().map(Touch::id).collect(Collectors.toSet());
        return check.steps().stream().filter(s -> !s.actions().isEmpty()).allMatch(s -> ids.containsAll(s.actions()));
    }

    /**
     * A recording of touches.
     *
     * @param run    as it stood at the end
     * @param fewest the check of the fewest touches
     */
    public record Recorded(BareBoardRun run, Replay replay, CheckView fewest) {
        /** What all of it tells. */
        public BoardVerdict verdict() {
            return run.verdict(replay.bench().view(0));
        }
    }

    /**
     * Plays a recording of touches; of several runs in it the last one counts.
     *
     * @throws JournalException where it cannot be read, or holds no guided check
     */
    public static Recorded replay(Path recording, PlanInUse whole) throws JournalException {
        PlanInUse touches = BareBoards.touches(whole);
        Optional<String> madeWith;
        try (RecordingReader reader = RecordingReader.open(recording)) {
            madeWith = reader.header().planHash();
        }
        List<Check> checks = new ArrayList<>();
        Replay replay = Replay.measure(
                recording,
                madeWith.filter(touches.hash()::equals).isPresent() ? Optional.empty() : Optional.of(touches),
                new Replay.Passenger() {
                    @SuppressWarnings("NullAway.Init") // begin() comes first
                    private Bench bench;

                    @Override
                    public void begin(Bench played) {
                        bench = played;
                    }

                    @Override
                    public void pass(Entry entry, double share) {
                        bench.check()
                                .filter(c -> checks.isEmpty() || checks.get(checks.size() - 1) != c)
                                .ifPresent(checks::add);
                    }
                });
        if (checks.isEmpty()) {
            throw new JournalException(Texts.say("recording.no-check", recording));
        }
        BareBoardRun run = new BareBoardRun(whole);
        CheckView fewest = checks.get(0).view();
        for (Check check : checks) {
            if (!run.asks(check.view())) {
                run = new BareBoardRun(whole);
            }
            if (!run.parting()) {
                fewest = check.view();
            }
            if (check != checks.get(checks.size() - 1)) {
                run.next(check.view(), check.observations());
            }
        }
        return new Recorded(run, replay, fewest);
    }

    /** The last answer counts: a touch that failed is asked for again. */
    private static SortedSet<Input> last(List<Observation> observations, Touch touch) {
        return observations.stream()
                .filter(o -> o.held().size() == 1 && o.held().contains(touch.id()))
                .reduce((first, second) -> second)
                .map(Observation::on)
                .orElseGet(TreeSet::new);
    }

    /** What all of it tells. */
    public BoardVerdict verdict(SessionView now) {
        return BoardVerdict.of(whole.plan(), touched(now));
    }
}
