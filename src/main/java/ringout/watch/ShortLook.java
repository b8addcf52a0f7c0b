package ringout.watch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import ringout.check.Change;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.words.Phrase;

/**
 * A look of a minute in the middle of an event: what a long watch saw get worse is asked, each for at most
 * {@link #ASK_NANOS}, and the answer is to go on, to watch it, or to mend it now. Times are nanoseconds on one scale, never
 * decreasing. Not thread-safe.
 */
public final class ShortLook {
    /** For one control: time for ten presses, and for a hand to find it. */
    public static final long ASK_NANOS = 11_000_000_000L;
    /** So many, the worst first, are a minute. */
    public static final int MOST = 5;

    private static final int PRESSES = 10;
    /** An axis is moved there and back. */
    private static final int SWEEPS = 2;
    /** From below this share of its range to above the rest of it, or back, is a sweep. */
    private static final double NEAR_END = 0.25;
    /** So many of ten presses that bounce are more than a nuisance. Common practice, no source. */
    private static final int BOUNCES = 3;

    private static final long SETTLE_NANOS = 500_000_000L;
    private static final long PRESS_APART_NANOS = 60_000_000L;

    /** What to do. */
    public enum Verdict {
        GO_ON,
        WATCH,
        MEND
    }

    /**
     * One thing to ask.
     *
     * @param kind  what the watch noticed of it
     * @param count how often
     */
    public record Ask(Action action, Phrase named, Input input, WatchEvent.Kind kind, long count) {
        /** True for one that is moved, not pressed. */
        boolean axis() {
            return action.gesture() == Action.Gesture.SWEEP;
        }
    }

    /**
     * What came of one.
     *
     * @param presses seen while it was asked; of an axis, how often it went from one end to the other
     * @param faults  of them
     * @param minutes that mending takes, roughly; 0 where there is nothing to mend
     */
    public record Answer(Ask ask, Verdict verdict, int presses, int faults, int minutes) {
        /** In a sentence. */
        public Phrase said() {
            if (ask.axis() && verdict != Verdict.GO_ON) {
                return verdict == Verdict.WATCH
                        ? Phrase.of("look.watch.axis", ask.named(), ask.kind().said(), ask.count(), presses)
                        : presses == 0
                                ? Phrase.of("look.dead.axis", ask.named(), minutes)
                                : Phrase.of(
                                        "look.mend.axis",
                                        ask.named(),
                                        ask.kind().said(),
                                        minutes);
            }
            return switch (verdict) {
                case GO_ON ->
                    Phrase.of("look.go-on.one", ask.named(), ask.kind().said());
                case WATCH ->
                    Phrase.of("look.watch.one", ask.named(), ask.kind().said(), ask.count(), faults, presses);
                case MEND ->
                    presses == 0
                            ? Phrase.of("look.dead", ask.named(), minutes)
                            : Phrase.of("look.mend.one", ask.named(), ask.kind().said(), faults, presses, minutes);
            };
        }
    }

    private final List<Ask> asks;
    private final InputLayout layout;
    private final Optional<Plan> plan;
    private final List<Answer> answers = new ArrayList<>();
    private final InputState before;
    private int at;
    private long began;
    private long full = Long.MAX_VALUE;
    private long lastChange = Long.MIN_VALUE / 2;
    private boolean read;
    /** The first report had it on: that is a press once it is let go of, and none where it sticks. */
    private boolean underWay;

    private int presses;
    private Watch watch;
    private int faults;
    /** Before the box went away. */
    private int earlier;

    private boolean over;
    /** Of an axis: the end it was near last; 0 for neither yet. */
    private int end;

    private Optional<Long> awaySince = Optional.empty();

    /** @param asks see {@link #asks} */
    public ShortLook(Plan plan, InputLayout layout, List<Ask> asks, long nanos) {
        this.plan = Optional.of(plan);
        this.layout = layout;
        this.asks = List.copyOf(asks);
        before = layout.newState();
        watch = watch(nanos);
        began = nanos;
        over = asks.isEmpty();
    }

    /**
     * What is to be asked: every control with a fault in the watch that is worse than in the check before, or, where there
     * is none to compare with, every one with a fault; the gravest first.
     *
     * @param changes since that check; empty for none
     */
    public static List<Ask> asks(Plan plan, WatchSummary summary, Optional<List<Change>> changes) {
        Names names = new Names(plan);
        Set<String> worse = new HashSet<>();
        changes.ifPresent(all -> all.stream().filter(Change::isWorse).forEach(c -> worse.addAll(c.controls())));
        TreeMap<String, Ask> found = new TreeMap<>();
        for (WatchSummary.Line line : summary.lines()) {
            Optional<Action> owner = line.input().flatMap(names::owner);
            if (owner.isEmpty()
                    || !line.kind().isFault()
                    || changes.isPresent() && !worse.contains(owner.get().control())) {
                continue;
            }
            Ask ask = new Ask(owner.get(), owner.get().words(), line.input().get(), line.kind(), line.count());
            found.merge(owner.get().id(), ask, (a, b) -> grave(a) <= grave(b) ? a : b);
        }
        return found.values().stream()
                .sorted(Comparator.comparingInt(ShortLook::grave)
                        .thenComparing(Comparator.comparingLong(Ask::count).reversed()))
                .limit(MOST)
                .toList();
    }

    private static int grave(Ask ask) {
        return switch (ask.kind()) {
            case STUCK -> 0;
            case DROPPED_OUT -> 1;
            case GHOSTED -> 2;
            case BOUNCED -> 3;
            default -> 4;
        };
    }

    private Watch watch(long nanos) {
        return new Watch(plan, layout, WatchSettings.STANDARD, nanos, this::noticed);
    }

    private void noticed(WatchEvent event) {
        if (at < asks.size()
                && event.kind().isFault()
                && event.inputs().contains(asks.get(at).input())) {
            faults++;
        }
    }

    /** Faults of what is asked until now: of what comes again and again the watch counts all, but does not tell each. */
    private int seen(long nanos) {
        long counted = watch.summary(nanos).lines().stream()
                .filter(line -> line.kind().isFault()
                        && line.input().filter(asks.get(at).input()::equals).isPresent())
                .mapToLong(WatchSummary.Line::count)
                .sum();
        return earlier + Math.toIntExact(Math.max(faults, counted));
    }

    /** A report. */
    public void report(long nanos, InputState state) {
        tick(nanos);
        watch.report(nanos, state);
        if (!over && asks.get(at).axis()) {
            swept(nanos, state);
        } else if (!over) {
            int i = layout.indexOf(asks.get(at).input()).orElse(-1);
            boolean latching = names().control(asks.get(at).action()).latching();
            if (i >= 0 && !read) {
                underWay = state.isOn(i);
            } else if (i >= 0 && state.isOn(i) != before.isOn(i)) {
                // What comes right after another change bounces, at a release as well.
                if ((state.isOn(i) || latching || underWay) && nanos - lastChange > PRESS_APART_NANOS) {
                    presses++;
                    if (presses == PRESSES) {
                        full = nanos;
                    }
                }
                underWay = false;
                lastChange = nanos;
            }
        }
        before.copyFrom(state);
        read = true;
    }

    private void swept(long nanos, InputState state) {
        for (int i = 0; i < layout.axes().size(); i++) {
            InputLayout.Axis axis = layout.axes().get(i);
            if (axis.input().equals(asks.get(at).input())) {
                double share = (state.axis(i) - axis.minimum()) / (double) (axis.maximum() - axis.minimum());
                int now = share < NEAR_END ? -1 : share > 1 - NEAR_END ? 1 : 0;
                if (now != 0 && end != 0 && now != end) {
                    presses++;
                    if (presses == SWEEPS) {
                        full = nanos;
                    }
                }
                end = now == 0 ? end : now;
            }
        }
    }

    /** The box has gone: what is asked waits for it. */
    public void lost(long nanos) {
        tick(nanos);
        awaySince = Optional.of(nanos);
    }

    /** It is back, and what is asked goes on; what a plug does as it goes in is no fault of a switch. */
    public void found(long nanos) {
        awaySince.ifPresent(since -> {
            began += nanos - since;
            if (full != Long.MAX_VALUE) {
                full += nanos - since;
            }
        });
        awaySince = Optional.empty();
        if (!over) {
            earlier = seen(nanos);
            faults = 0;
        }
        watch = watch(nanos);
        before.copyFrom(layout.newState());
        read = false;
        underWay = false;
        end = 0;
    }

    /** True while the box is waited for. */
    public boolean away() {
        return awaySince.isPresent();
    }

    private Names names() {
        return new Names(plan.orElseThrow());
    }

    /** Time passed. */
    public void tick(long nanos) {
        if (away()) {
            return;
        }
        watch.tick(nanos);
        if (!over && (nanos >= began + ASK_NANOS || full != Long.MAX_VALUE && nanos >= full + SETTLE_NANOS)) {
            answer(nanos);
        }
    }

    /** The next one: this one was looked at enough. */
    public void next(long nanos) {
        tick(nanos);
        if (!over && !away()) {
            answer(nanos);
        }
    }

    private void answer(long nanos) {
        Ask ask = asks.get(at);
        answers.add(judged(ask, presses, seen(nanos)));
        at++;
        presses = 0;
        faults = 0;
        earlier = 0;
        underWay = false;
        full = Long.MAX_VALUE;
        began = nanos;
        watch = watch(nanos);
        end = 0;
        over = at == asks.size();
    }

    private static Answer judged(Ask ask, int presses, int faults) {
        // An axis that shakes within ten seconds shakes all the time.
        boolean grave = ask.kind() != WatchEvent.Kind.BOUNCED;
        Verdict verdict;
        if (presses == 0 || faults >= (grave ? 1 : BOUNCES)) {
            verdict = Verdict.MEND;
        } else if (faults == 0 && ask.count() == 1) {
            verdict = Verdict.GO_ON;
        } else {
            verdict = Verdict.WATCH;
        }
        return new Answer(ask, verdict, presses, faults, verdict == Verdict.MEND ? minutes(ask, presses) : 0);
    }

    /** How long mending takes at a bench that is set up. Common practice, no source. */
    private static int minutes(Ask ask, int presses) {
        if (presses == 0) {
            return 15; // find the joint or wire, and solder it
        }
        return switch (ask.kind()) {
            case STUCK, BOUNCED, SHAKING -> 20; // another switch, or its track cleaned
            case GHOSTED -> 15; // a diode
            default -> 10; // a joint made anew
        };
    }

    /** What is asked now; empty once it is over. */
    public Optional<Ask> asked() {
        return over ? Optional.empty() : Optional.of(asks.get(at));
    }

    /** How many presses of it were seen. */
    public int presses() {
        return presses;
    }

    /** What came of those that were asked. */
    public List<Answer> answers() {
        return List.copyOf(answers);
    }

    /** The gravest answer of all; to go on where there was nothing to ask. */
    public static Verdict verdict(List<Answer> answers) {
        return answers.stream()
                .map(Answer::verdict)
                .max(Comparator.naturalOrder())
                .orElse(Verdict.GO_ON);
    }

    /** The whole in one sentence. */
    public static Phrase said(List<Answer> answers) {
        int minutes = answers.stream().mapToInt(Answer::minutes).sum();
        return switch (verdict(answers)) {
            case GO_ON -> Phrase.of("look.go-on");
            case WATCH -> Phrase.of("look.watch");
            case MEND -> Phrase.of("look.mend", minutes);
        };
    }

    /** What to do for the one that is asked. */
    public static Phrase asking(Ask ask) {
        if (ask.axis()) {
            return Phrase.of("look.sweep", ask.named());
        }
        return ask.kind() == WatchEvent.Kind.DROPPED_OUT
                ? Phrase.of("look.hold", ask.named())
                : Phrase.of("look.press", ask.named());
    }
}
