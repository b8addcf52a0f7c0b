package ringout.check;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import ringout.hid.Input;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Limits;
import ringout.plan.Plan;
import ringout.signal.AxisMeter;
import ringout.signal.PulseTiming;
import ringout.words.Phrase;

/**
 * What of a box that matches its plan may still not come through to a program that uses it: each with its figure and what
 * to change. From what the box declares and what a check measured.
 *
 * @param points by kind, the gravest first; pulses and axes by how much of them is at stake, else in the order of the plan
 * @param pulses of every encoder that gave any, whether there is a point about it or not
 */
public record Readiness(List<Point> points, List<Turned> pulses) {
    /** Frames a second that programs commonly look at their controls in. */
    public static final List<Integer> RATES = List.of(30, 60, 90, 120);

    /** Less than this share of what is missed or merged is no matter: once in a hundred clicks. */
    private static final double LEAST_SHARE = 0.01;
    /** A program that waits for a control to be moved takes the first axis that moves farther than this: no source. */
    private static final double TAKES_OVER = 0.02;

    /** What may not come through, the gravest first: what never comes, what comes at times, what is in the way. */
    public enum Kind {
        /** The number of a button is beyond what some programs see. */
        OUT_OF_REACH("out of reach"),
        /** A pulse may be over before a program looks. */
        SHORT_PULSE("short pulse"),
        /** Two pulses may look like one. */
        MERGING("merging"),
        /** An axis moves by itself, and may be taken where another control is meant. */
        RESTLESS("restless"),
        /** An input stays on while its control stays over. */
        LATCHING("latching");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** As in JSON. */
        public String word() {
            return word;
        }
    }

    /**
     * One thing.
     *
     * @param controls ids
     * @param inputs   what it is about
     * @param told     what, with its figure
     * @param change   what to change
     */
    public record Point(Kind kind, List<String> controls, List<Input> inputs, Phrase told, Phrase change) {
        public Point {
            controls = List.copyOf(controls);
            inputs = List.copyOf(inputs);
        }
    }

    /** The pulses of one input of an encoder. */
    public record Turned(String control, Input input, PulseTiming.Summary timing) {}

    public Readiness {
        points = List.copyOf(points);
        pulses = List.copyOf(pulses);
    }

    /** What a check of a box with that plan says. */
    public static Readiness of(Plan plan, Figures figures) {
        List<Point> points = new ArrayList<>(of(plan).points());
        List<Turned> pulses = pulses(plan, figures);
        encoders(plan, pulses, points);
        axes(plan, figures, points);
        points.sort(Comparator.comparing(Point::kind));
        return new Readiness(points, pulses);
    }

    /** What the plan alone says, where nothing was measured: nothing of pulses and of axes. */
    public static Readiness of(Plan plan) {
        List<Point> points = new ArrayList<>();
        for (int reach : new int[] {Limits.OLD_BUTTONS, Limits.MOST_BUTTONS}) {
            outOfReach(plan, reach, points);
        }
        latching(plan, points);
        return new Readiness(points, List.of());
    }

    private static void outOfReach(Plan plan, int reach, List<Point> points) {
        List<Action> beyond = plan.actions().stream()
                .filter(a -> a.input().orElse(null) instanceof Input.Button button
                        && Limits.reach(button.number()).equals(OptionalInt.of(reach)))
                .toList();
        if (!beyond.isEmpty()) {
            points.add(new Point(
                    Kind.OUT_OF_REACH,
                    beyond.stream().map(Action::control).distinct().toList(),
                    beyond.stream().flatMap(a -> a.input().stream()).toList(),
                    Phrase.of(
                            "ready.reach",
                            reach,
                            Phrase.and(beyond.stream().map(Action::words).toList())),
                    reach == Limits.MOST_BUTTONS
                            ? Phrase.of("ready.reach.most.change")
                            : Phrase.of("ready.reach.change", reach)));
        }
    }

    private static void latching(Plan plan, List<Point> points) {
        for (Control control : plan.controls()) {
            if (control.latching()) {
                List<Input> inputs = control.contacts().stream()
                        .flatMap(c -> c.input().stream())
                        .toList();
                boolean selector = control instanceof Control.Selector;
                points.add(new Point(
                        Kind.LATCHING,
                        List.of(control.id()),
                        inputs,
                        selector
                                ? Phrase.of("ready.selector", Names.label(control), Names.inputs(inputs))
                                : Phrase.of("ready.toggle", Names.label(control), Names.inputs(inputs), inputs.size()),
                        Phrase.of("ready.latching.change")));
            }
        }
    }

    private static List<Turned> pulses(Plan plan, Figures figures) {
        List<Turned> pulses = new ArrayList<>();
        for (Figures.Encoder turned : figures.encoders()) {
            if (plan.control(turned.control()).orElse(null) instanceof Control.Encoder encoder) {
                pulses.add(new Turned(encoder.id(), encoder.cw(), turned.clockwise()));
                pulses.add(new Turned(encoder.id(), encoder.ccw(), turned.anticlockwise()));
            }
        }
        pulses.removeIf(t -> t.timing().pulses() == 0);
        return pulses;
    }

    private static void encoders(Plan plan, List<Turned> pulses, List<Point> points) {
        List<Turned> shortestFirst = pulses.stream()
                .sorted(Comparator.comparingLong(t -> t.timing().shortest()))
                .toList();
        for (String id : shortestFirst.stream().map(Turned::control).distinct().toList()) {
            Control control = plan.control(id).orElseThrow();
            List<PulseTiming.Summary> own = pulses.stream()
                    .filter(t -> t.control().equals(id))
                    .map(Turned::timing)
                    .toList();
            if (!(control instanceof Control.Encoder encoder)) {
                continue;
            }
            long shortest =
                    own.stream().mapToLong(PulseTiming.Summary::shortest).min().orElseThrow();
            List<Phrase> missed = shares(shortest, true);
            String name = Names.label(control);
            List<Input> inputs = List.of(encoder.cw(), encoder.ccw());
            long slowest = 1_000_000_000L / RATES.get(0) + 1_000_000;
            if (!missed.isEmpty()) {
                points.add(new Point(
                        Kind.SHORT_PULSE,
                        List.of(control.id()),
                        inputs,
                        Phrase.of("ready.pulse", name, FigureWords.milliseconds(shortest), Phrase.and(missed)),
                        Phrase.of("ready.pulse.change", FigureWords.milliseconds(slowest))));
            }
            own.stream()
                    .filter(t -> t.gaps() > 0)
                    .mapToLong(PulseTiming.Summary::shortestGap)
                    .min()
                    .ifPresent(gap -> {
                        List<Phrase> merged = shares(gap, false);
                        double most = 1e9 / (shortest + gap);
                        if (!merged.isEmpty()) {
                            points.add(new Point(
                                    Kind.MERGING,
                                    List.of(control.id()),
                                    inputs,
                                    Phrase.of(
                                            "ready.gap",
                                            name,
                                            FigureWords.milliseconds(gap),
                                            Phrase.and(merged),
                                            Phrase.decimal(most, 1)),
                                    Phrase.of(
                                            "ready.gap.change",
                                            FigureWords.milliseconds(slowest),
                                            Phrase.decimal(1e9 / (2.0 * slowest), 1),
                                            Phrase.decimal(1e9 / (2.0 * slowest) / encoder.detents(), 1))));
                        }
                    });
        }
    }

    /** By rate the share that is missed, where it matters. */
    private static List<Phrase> shares(long nanos, boolean pulse) {
        List<Phrase> shares = new ArrayList<>();
        for (int rate : RATES) {
            double share = PulseTiming.missed(nanos, rate);
            if (share >= LEAST_SHARE) {
                long percent = Math.round(100 * share);
                shares.add(
                        pulse
                                ? Phrase.of("ready.share.missed", percent, rate)
                                : Phrase.of("ready.share.merged", percent, rate));
            }
        }
        return shares;
    }

    private static void axes(Plan plan, Figures figures, List<Point> points) {
        List<Figures.Axis> restlessFirst = figures.axes().stream()
                .sorted(Comparator.comparingDouble(a -> -share(a.meter())))
                .toList();
        for (Figures.Axis axis : restlessFirst) {
            AxisMeter.Summary meter = axis.meter();
            double share = share(meter);
            if (meter.restNanos() > 0 && share >= TAKES_OVER) {
                points.add(new Point(
                        Kind.RESTLESS,
                        List.of(axis.control()),
                        List.of(axis.input()),
                        Phrase.of(
                                "ready.axis",
                                plan.control(axis.control()).map(Names::label).orElse(axis.name()),
                                meter.restSpan(),
                                meter.range(),
                                Phrase.decimal(100 * share, 1)),
                        Phrase.of("ready.axis.change", FigureWords.of(meter.deadZone()))));
            }
        }
    }

    /** Of its range what an axis moves by itself. */
    private static double share(AxisMeter.Summary meter) {
        return meter.restSpan() / (double) meter.range();
    }
}
