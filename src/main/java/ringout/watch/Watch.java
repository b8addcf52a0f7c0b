package ringout.watch;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.AxisJitter;
import ringout.signal.Bounce;
import ringout.signal.BoxTiming;
import ringout.signal.EdgeClassifier;
import ringout.signal.Measured;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

/**
 * The long watch over a box in use: nobody is asked to press anything, and what should not happen is told as it happens:
 * stuck inputs, bounce, drop-outs, ghosts, axes that shake, pauses in the reports, the box going away and coming back.
 *
 * <p>With a plan, toggles and selectors may stay on for hours, an encoder's pulses are not taken for bounce, and ghosts
 * are known by the wiring. Without one, every input is taken for a push button.
 *
 * <p>A pure state machine in constant memory: it is fed input states and the passing of time, never asks the clock, and
 * allocates nothing per report unless there is something to tell. Not thread-safe.
 */
public final class Watch {
    /** {@link #deadline()} while nothing falls due. */
    public static final long NEVER = EdgeClassifier.NEVER;

    /** Number of reports between two looks at the report interval. */
    private static final int REFRESH = 1024;

    private static final long NOT = Long.MIN_VALUE;

    /** Receives what there is to tell, in the order it became known. */
    @FunctionalInterface
    public interface Sink {
        /** Something happened. */
        void event(WatchEvent event);
    }

    private static final class Tally {
        long count;

        @Nullable
        Measured worst;

        long first;
        long last;
    }

    private final Optional<Plan> plan;
    private final InputLayout layout;
    private final WatchSettings settings;
    private final Optional<Names> names;
    private final Sink sink;
    private final @Nullable Rectangles rectangles;
    private final BoxTiming timing;
    private final long stuckAfter;
    private final Tally[][] tallies;
    private final long started;

    /** One for each axis that has a position; null for the others. */
    private final AxisJitter[] jitters;
    /** When each axis was last seen shaking. */
    private final long[] shookLast;

    private final boolean[] comesBack;
    private final boolean[] pulses;
    private final boolean[] on;
    private final boolean[] toldStuck;
    private final long[] onSince;
    /** The same with bounce and drop-outs left out, known a bounce window later. */
    private final boolean[] held;

    private final long[] heldSince;
    private final long[] freeSince;
    private final long[] ghostSince;
    private final Rectangles.Corners[] ghostCorners;
    private final int[] ghosts;

    private Resolution resolution = Resolution.ASSUMED;
    private long slack;
    private long reports;
    private long nextStuck = NEVER;
    private int candidates;
    private boolean heard;
    private boolean away;
    private long awaySince;
    private String awayWords = "";
    private long awayNanos;
    private long now;

    /**
     * @param layout inputs the box declares; may lack planned ones
     * @param nanos  now
     */
    public Watch(Optional<Plan> plan, InputLayout layout, WatchSettings settings, long nanos, Sink sink) {
        this.plan = plan;
        this.layout = layout;
        this.settings = settings;
        this.sink = sink;
        names = plan.map(Names::new);
        stuckAfter = plan.flatMap(Plan::stuckAfterNanos).orElse(settings.stuckAfter());
        started = nanos;
        now = nanos;
        int switches = layout.switches().size();
        int axes = layout.axes().size();
        tallies = new Tally[WatchEvent.Kind.values().length][switches + axes + 1];
        jitters = new AxisJitter[axes];
        shookLast = new long[axes];
        Arrays.fill(shookLast, NOT);
        for (int a = 0; a < axes; a++) {
            InputLayout.Axis axis = layout.axes().get(a);
            jitters[a] = axis.relative() ? null : new AxisJitter(axis.maximum() - axis.minimum());
        }
        comesBack = new boolean[switches];
        pulses = new boolean[switches];
        on = new boolean[switches];
        toldStuck = new boolean[switches];
        onSince = new long[switches];
        held = new boolean[switches];
        heldSince = new long[switches];
        freeSince = new long[switches];
        ghostSince = new long[switches];
        ghostCorners = new Rectangles.Corners[switches];
        ghosts = new int[switches];
        Arrays.fill(ghostSince, NOT);
        for (int i = 0; i < switches; i++) {
            Action owner = owner(i);
            comesBack[i] = owner == null || !names.orElseThrow().control(owner).latching();
            pulses[i] = owner != null && names.orElseThrow().control(owner) instanceof Control.Encoder;
        }
        rectangles = plan.map(p -> new Rectangles(p, layout)).orElse(null);
        timing = new BoxTiming(layout, settings.bounceWindow(), new Noticer());
        refresh();
    }

    private @Nullable Action owner(int i) {
        return names.flatMap(n -> n.owner(layout.switches().get(i))).orElse(null);
    }

    // ---------------------------------------------------------------- what is fed

    /**
     * A report showed this state. All reports are wanted, unchanged ones too: without those, pauses go unnoticed.
     *
     * @param nanos when it was taken; times never decrease
     * @param state of the layout given at the start; only read
     */
    public void report(long nanos, InputState state) {
        tick(nanos);
        if (++reports % REFRESH == 0 || Long.bitCount(reports) == 1) {
            refresh();
        }
        long gap = timing.report(nanos, state);
        if (gap > 0) {
            refresh();
            tell(
                    WatchEvent.Kind.REPORT_GAP,
                    nanos,
                    List.of(),
                    gap,
                    Phrase.of(
                            "noticed.gap",
                            FigureWords.of(time(gap)),
                            FigureWords.of(time(timing.intervals().percentile(0.5)))));
        }
        if (!heard) {
            firstReport(nanos, state);
        }
        for (int a = 0; a < jitters.length; a++) {
            double noise = jitters[a] == null ? AxisJitter.NONE : jitters[a].sample(nanos, state.axis(a));
            if (noise != AxisJitter.NONE) {
                shakes(nanos, a, noise);
            }
        }
    }

    /** One that goes on shaking is told once, and again after it was still for a while. */
    private void shakes(long nanos, int axis, double steps) {
        boolean again = shookLast[axis] == NOT || nanos - shookLast[axis] > settings.stuckAfter();
        shookLast[axis] = nanos;
        if (again) {
            Measured noise = Measured.steps(steps, jitters[axis].error(steps));
            Input input = layout.axes().get(axis).input();
            tell(
                    WatchEvent.Kind.SHAKING,
                    nanos,
                    layout.switches().size() + axis,
                    List.of(input),
                    Optional.of(noise),
                    Phrase.of("noticed.shakes", name(input), FigureWords.of(noise)));
        }
    }

    /** Time passed. What fell due meanwhile is told now. */
    public void tick(long nanos) {
        now = Math.max(now, nanos);
        timing.tick(nanos);
        if (nextStuck <= nanos) {
            stuck(nanos);
        }
        if (candidates > 0) {
            judgeGhosts(nanos);
        }
    }

    /** When {@link #tick} has something to tell; {@link #NEVER} for not at all. */
    public long deadline() {
        return Math.min(nextStuck, timing.deadline());
    }

    /** The box went away. */
    public void lost(long nanos, String message) {
        tick(nanos);
        if (away) {
            if (!message.isEmpty() && !message.equals(awayWords)) {
                awayWords = message;
                outage(nanos, Phrase.verbatim(message));
            }
            return;
        }
        away = true;
        awayWords = message;
        awaySince = nanos;
        timing.interrupted(nanos);
        interruptAxes();
        nextStuck = NEVER;
        candidates = 0;
        Arrays.fill(ghostSince, NOT);
        tell(
                WatchEvent.Kind.LOST,
                nanos,
                List.of(),
                -1,
                message.isEmpty() ? Phrase.of("noticed.away") : Phrase.verbatim(message));
    }

    /**
     * The box is back, with the same inputs.
     *
     * @param warning why it may be another box; empty where nothing suggests so
     */
    public void found(long nanos, String warning) {
        tick(nanos);
        if (!away) {
            return;
        }
        away = false;
        heard = false;
        awayNanos += nanos - awaySince;
        long length = nanos - awaySince;
        tell(
                WatchEvent.Kind.FOUND,
                nanos,
                List.of(),
                length,
                Phrase.sentences(
                        List.of(Phrase.of("noticed.back", FigureWords.of(time(length))), Phrase.verbatim(warning))));
    }

    /** This program missed reports because it was too slow. */
    public void dropped(long nanos, long count) {
        tick(nanos);
        timing.interrupted(nanos);
        interruptAxes();
        heard = false;
        tell(WatchEvent.Kind.OVERRUN, nanos, List.of(), -1, Phrase.of("noticed.overrun", count));
    }

    /** What other boxes tell of why this one went: {@link Outages}. */
    public void outage(long nanos, Phrase said) {
        tick(nanos);
        tell(WatchEvent.Kind.OUTAGE, nanos, List.of(), -1, said);
    }

    private void interruptAxes() {
        for (AxisJitter jitter : jitters) {
            if (jitter != null) {
                jitter.interrupted();
            }
        }
    }

    // ---------------------------------------------------------------- what is told

    /** What it has come to so far. */
    public WatchSummary summary(long nanos) {
        refresh();
        List<WatchSummary.Line> lines = new ArrayList<>();
        for (WatchEvent.Kind kind : WatchEvent.Kind.values()) {
            for (int i = 0; i < tallies[kind.ordinal()].length; i++) {
                Tally t = tallies[kind.ordinal()][i];
                if (t != null) {
                    Optional<Input> input = inputOf(i);
                    lines.add(new WatchSummary.Line(
                            kind,
                            input,
                            input.map(this::name).orElse(Phrase.none()),
                            t.count,
                            Optional.ofNullable(t.worst).map(this::resolved),
                            t.first,
                            t.last));
                }
            }
        }
        return new WatchSummary(
                nanos - started,
                awayNanos + (away ? nanos - awaySince : 0),
                lines,
                timing.intervals().summary(),
                limits());
    }

    /** How each contact behaved. */
    public BoxTiming timing() {
        return timing;
    }

    /** What cannot be seen. */
    public TimingLimits limits() {
        return new TimingLimits(
                resolution, plan.map(p -> p.scan().debounceNanos()).orElse(0L));
    }

    private Optional<Input> inputOf(int tally) {
        int switches = layout.switches().size();
        return tally < switches
                ? Optional.of(layout.switches().get(tally))
                : tally < switches + jitters.length
                        ? Optional.of(layout.axes().get(tally - switches).input())
                        : Optional.empty();
    }

    /** A length of time is known as well as the box' reports are by now. */
    private Measured resolved(Measured figure) {
        return switch (figure.unit()) {
            case MILLISECONDS -> time(Math.round(figure.value() * 1e6));
            case SECONDS -> time(Math.round(figure.value() * 1e9));
            default -> figure;
        };
    }

    private void tell(WatchEvent.Kind kind, long nanos, List<Integer> switches, long length, Phrase sentence) {
        tell(
                kind,
                nanos,
                switches.isEmpty() ? tallies[0].length - 1 : switches.get(0),
                switches.stream().map(layout.switches()::get).toList(),
                length < 0 ? Optional.empty() : Optional.of(time(length)),
                sentence);
    }

    private void tell(
            WatchEvent.Kind kind, long nanos, int i, List<Input> inputs, Optional<Measured> figure, Phrase sentence) {
        Tally[] ofKind = tallies[kind.ordinal()];
        Tally t = ofKind[i];
        if (t == null) {
            t = new Tally();
            t.first = nanos;
            ofKind[i] = t;
        }
        t.count++;
        t.last = nanos;
        if (figure.isPresent() && (t.worst == null || Measured.SIZE.compare(figure.get(), t.worst) > 0)) {
            t.worst = figure.get();
        }
        if (t.count <= settings.tellFirst() || Long.bitCount(t.count) == 1) {
            sink.event(new WatchEvent(kind, nanos, inputs, figure, t.count, sentence));
        }
    }

    private Phrase name(int i) {
        return name(layout.switches().get(i));
    }

    private Phrase name(Input input) {
        return names.map(n -> n.owned(input)).orElse(input.words()).sentence();
    }

    private Measured time(long nanos) {
        return Measured.time(nanos, resolution);
    }

    private void refresh() {
        resolution = timing.intervals().resolution();
        slack = settings.ghostSlack() + 2 * resolution.nanos();
    }

    // ---------------------------------------------------------------- stuck

    private void firstReport(long nanos, InputState state) {
        heard = true;
        nextStuck = NEVER;
        for (int i = 0; i < on.length; i++) {
            boolean wasOn = on[i];
            on[i] = state.isOn(i);
            onSince[i] = nanos;
            held[i] = on[i];
            heldSince[i] = nanos;
            freeSince[i] = nanos;
            toldStuck[i] &= wasOn && on[i];
            expect(i);
        }
    }

    private void expect(int i) {
        if (on[i] && comesBack[i] && !toldStuck[i]) {
            nextStuck = Math.min(nextStuck, onSince[i] + stuckAfter);
        }
    }

    private void stuck(long nanos) {
        nextStuck = NEVER;
        for (int i = 0; i < on.length; i++) {
            if (on[i] && comesBack[i] && !toldStuck[i] && nanos - onSince[i] >= stuckAfter) {
                toldStuck[i] = true;
                tell(
                        WatchEvent.Kind.STUCK,
                        onSince[i],
                        List.of(i),
                        stuckAfter,
                        Phrase.of("noticed.stuck", name(i), FigureWords.of(time(stuckAfter))));
            }
            expect(i);
        }
    }

    // ---------------------------------------------------------------- ghosts

    /** A ghost comes with the last of the three presses that make it. */
    private void suspectGhosts(Rectangles lines, long pressed) {
        for (int x = 0; x < held.length; x++) {
            if (held[x] && ghostSince[x] == NOT && Math.abs(pressed - heldSince[x]) <= slack) {
                for (Rectangles.Corners c : lines.of(x)) {
                    if (held[c.sameRow()]
                            && held[c.sameColumn()]
                            && held[c.opposite()]
                            && Math.abs(heldSince[x] - last(c)) <= slack) {
                        ghostSince[x] = heldSince[x];
                        ghostCorners[x] = c;
                        candidates++;
                        break;
                    }
                }
            }
        }
    }

    private long last(Rectangles.Corners c) {
        return Math.max(heldSince[c.sameRow()], Math.max(heldSince[c.sameColumn()], heldSince[c.opposite()]));
    }

    /** And it goes with the first of them that is let go; what a release was is known only some time after it. */
    private void judgeGhosts(long nanos) {
        long patience = slack + 2 * settings.bounceWindow();
        for (int x = 0; x < held.length; x++) {
            if (ghostSince[x] != NOT) {
                Rectangles.Corners c = ghostCorners[x];
                int gone = !held[c.sameRow()]
                        ? c.sameRow()
                        : !held[c.sameColumn()] ? c.sameColumn() : !held[c.opposite()] ? c.opposite() : -1;
                if (!held[x] && gone >= 0 && Math.abs(freeSince[x] - freeSince[gone]) <= slack) {
                    ghost(x, c);
                } else if (!held[x] && nanos - freeSince[x] > patience
                        || gone >= 0 && nanos - freeSince[gone] > patience) {
                    ghostSince[x] = NOT;
                    candidates--;
                }
            }
        }
    }

    private void ghost(int x, Rectangles.Corners c) {
        long since = ghostSince[x];
        List<Integer> corners = List.of(x, c.sameRow(), c.sameColumn(), c.opposite());
        for (int i : corners) {
            candidates -= ghostSince[i] == NOT ? 0 : 1;
            ghostSince[i] = NOT;
        }
        // Through a blocked rectangle it takes a failed diode; once may be two fingers.
        if (!c.open() && ++ghosts[x] < 2) {
            return;
        }
        int with = corners.stream()
                .skip(1)
                .min(Comparator.comparingLong(i -> Math.abs(heldSince[i] - since)))
                .orElseThrow();
        tell(
                WatchEvent.Kind.GHOSTED,
                since,
                corners,
                Math.max(0, freeSince[x] - since),
                Phrase.sentences(List.of(
                        Phrase.of(
                                "noticed.ghost",
                                name(x),
                                name(with),
                                Phrase.and(corners.stream()
                                        .filter(i -> i != x && i != with)
                                        .map(this::name)
                                        .toList())),
                        c.open()
                                ? Phrase.of("noticed.ghost.open")
                                : Phrase.of("noticed.ghost.diode", name(c.opposite())))));
    }

    // ---------------------------------------------------------------- edges

    private final class Noticer implements BoxTiming.Listener {
        @Override
        public void edge(long nanos, int i, boolean nowOn) {
            on[i] = nowOn;
            if (nowOn) {
                onSince[i] = nanos;
                expect(i);
                return;
            }
            if (toldStuck[i]) {
                toldStuck[i] = false;
                long length = nanos - onSince[i];
                tell(
                        WatchEvent.Kind.FREED,
                        nanos,
                        List.of(i),
                        length,
                        Phrase.of("noticed.freed", name(i), FigureWords.of(time(length))));
            }
        }

        @Override
        public void pressed(int i, long nanos, Bounce bounce) {
            held[i] = true;
            heldSince[i] = nanos;
            if (rectangles != null && rectangles.any()) {
                suspectGhosts(rectangles, nanos);
            }
            bounced(i, nanos, bounce, true);
        }

        @Override
        public void released(int i, long nanos, Bounce bounce) {
            held[i] = false;
            freeSince[i] = nanos;
            bounced(i, nanos, bounce, false);
        }

        private void bounced(int i, long nanos, Bounce bounce, boolean press) {
            if (!pulses[i] && bounce.spanNanos() > settings.bounceLimit() + resolution.nanos()) {
                tell(
                        WatchEvent.Kind.BOUNCED,
                        nanos,
                        List.of(i),
                        bounce.spanNanos(),
                        press
                                ? Phrase.of(
                                        "noticed.bounced.press",
                                        name(i),
                                        bounce.transitions(),
                                        FigureWords.of(time(bounce.spanNanos())))
                                : Phrase.of(
                                        "noticed.bounced.release",
                                        name(i),
                                        bounce.transitions(),
                                        FigureWords.of(time(bounce.spanNanos()))));
            }
        }

        @Override
        public void droppedOut(int i, long nanos, long lengthNanos) {
            if (!pulses[i]) {
                tell(
                        WatchEvent.Kind.DROPPED_OUT,
                        nanos,
                        List.of(i),
                        lengthNanos,
                        Phrase.of("noticed.drop-out", name(i), FigureWords.of(time(lengthNanos))));
            }
        }
    }
}
