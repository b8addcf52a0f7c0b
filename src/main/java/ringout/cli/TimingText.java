package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringout.check.Figures;
import ringout.signal.AxisMeter;
import ringout.signal.AxisSpot;
import ringout.signal.ContactTiming;
import ringout.signal.EdgeTiming;
import ringout.signal.EncoderMeter;
import ringout.signal.IntervalMeter;
import ringout.signal.Measured;
import ringout.signal.ReportRate;
import ringout.signal.TimingLimits;
import ringout.signal.ToggleTiming;

/** What was measured of a box, in words and as JSON. */
final class TimingText {
    private static final String NONE = "-";

    private TimingText() {}

    // ---------------------------------------------------------------- words

    static void print(PrintWriter out, Figures figures) {
        out.println(reports(figures.reports()));
        out.println(figures.limits().words());
        contacts(out, figures);
        toggles(out, figures);
        encoders(out, figures);
        axes(out, figures);
        out.flush();
    }

    private static String reports(ReportRate.Summary reports) {
        if (reports.leftOut() > 0) {
            return String.format(
                    Locale.ROOT,
                    "Reports %s: %d, %.1f a second; the recording leaves out the %d that repeat, so pauses "
                            + "between reports cannot be told.",
                    reports.habit().words(),
                    reports.count(),
                    reports.perSecond(),
                    reports.leftOut());
        }
        return reports.intervals().habit() == IntervalMeter.Habit.UNKNOWN
                ? "Too few reports came to tell how often the box sends them."
                : "Reports " + habit(reports.intervals()) + ".";
    }

    /** When a box reports, with the figures that mean something for such a box. */
    static String habit(IntervalMeter.Summary intervals) {
        String gaps = intervals.gaps() == 0
                ? ", no gap"
                : ", " + intervals.gaps() + (intervals.gaps() == 1 ? " gap" : " gaps") + " of up to "
                        + interval(intervals.longestGap());
        return switch (intervals.habit()) {
            case CONSTANT ->
                intervals.habit().words() + ": half of the intervals are up to " + interval(intervals.median())
                        + ", 99 % up to " + interval(intervals.p99()) + ", jitter " + interval(intervals.jitter())
                        + gaps;
            case REPEATING ->
                intervals.habit().words() + ": half of the intervals are up to " + interval(intervals.median()) + gaps;
            case ON_CHANGE, UNKNOWN -> intervals.habit().words();
        };
    }

    /** Known as well as the histogram has it; the clock itself is far finer. */
    private static String interval(long nanos) {
        return new Measured(
                        nanos / 1e6, Measured.Unit.MILLISECONDS, Math.max(1, nanos) * IntervalMeter.ERROR / 1e6, true)
                .text();
    }

    private static void contacts(PrintWriter out, Figures figures) {
        if (figures.contacts().isEmpty()) {
            return;
        }
        TimingLimits limits = figures.limits();
        List<String[]> rows = new ArrayList<>();
        rows.add(new String[] {
            "contact",
            "input",
            "presses",
            "press bounce",
            "settles in",
            "releases",
            "release bounce",
            "settles in",
            "drop-outs"
        });
        for (Figures.Contact contact : figures.contacts()) {
            ContactTiming.Summary t = contact.timing();
            rows.add(new String[] {
                contact.name(),
                contact.input().text(),
                String.valueOf(t.press().edges()),
                worst(t.press(), limits),
                settle(t.press(), limits),
                String.valueOf(t.release().edges()),
                worst(t.release(), limits),
                settle(t.release(), limits),
                t.dropouts() == 0
                        ? NONE
                        : t.dropouts() + " ×, up to "
                                + limits.time(t.longestDropout()).text()
            });
        }
        out.println();
        TextTable.align(rows).forEach(out::println);
        out.println(NONE + ": " + limits.none()
                + ". Settles in: mean and standard deviation from the first edge to the last.");
    }

    private static String worst(EdgeTiming.Summary edge, TimingLimits limits) {
        return edge.bounced() == 0
                ? NONE
                : edge.worst().transitions() + " over "
                        + limits.time(edge.worst().spanNanos()).text();
    }

    private static String settle(EdgeTiming.Summary edge, TimingLimits limits) {
        if (edge.bounced() == 0) {
            return NONE;
        }
        return limits.time(edge.settle()).text()
                + (edge.edges() < 2 ? "" : ", s " + limits.time(edge.spread()).text());
    }

    private static void toggles(PrintWriter out, Figures figures) {
        if (figures.toggles().isEmpty()) {
            return;
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(new String[] {"switch", "positions", "bounce into", "bounce out of"});
        for (Figures.Toggle toggle : figures.toggles()) {
            ToggleTiming.Summary t = toggle.timing();
            rows.add(new String[] {
                toggle.name(), positions(t), worst(t.into(), figures.limits()), worst(t.outOf(), figures.limits())
            });
        }
        out.println();
        TextTable.align(rows).forEach(out::println);
    }

    private static String positions(ToggleTiming.Summary t) {
        return (t.complete() ? "all reached and left" : "not all reached and left")
                + (t.together() == 0 ? "" : ", two at once " + t.together() + " ×");
    }

    private static String worst(List<EdgeTiming.Summary> edges, TimingLimits limits) {
        return edges.stream()
                .filter(e -> e.bounced() > 0)
                .max((a, b) -> Long.compare(a.worst().spanNanos(), b.worst().spanNanos()))
                .map(e -> worst(e, limits))
                .orElse(NONE);
    }

    private static void encoders(PrintWriter out, Figures figures) {
        if (figures.encoders().isEmpty()) {
            return;
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(new String[] {
            "encoder",
            "clicks asked",
            "pulses",
            "skipped",
            "doubled",
            "other way",
            "direction",
            "too quick",
            "pulses a click"
        });
        for (Figures.Encoder encoder : figures.encoders()) {
            EncoderMeter.Summary t = encoder.turned();
            rows.add(new String[] {
                encoder.name(),
                String.valueOf(t.asked()),
                String.valueOf(t.right()),
                String.valueOf(t.skipped()),
                String.valueOf(t.doubled()),
                String.valueOf(t.wrong()),
                t.reversed() == 0 ? "right" : "reversed",
                String.valueOf(t.quick()),
                String.valueOf(t.perDetent())
            });
        }
        out.println();
        TextTable.align(rows).forEach(out::println);
    }

    private static void axes(PrintWriter out, Figures figures) {
        if (figures.axes().isEmpty()) {
            return;
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(new String[] {
            "axis", "reached", "rests at", "dead zone needed", "noise RMS", "passes", "spikes", "monotone", "places"
        });
        for (Figures.Axis axis : figures.axes()) {
            AxisMeter.Summary m = axis.meter();
            rows.add(new String[] {
                axis.name(),
                m.passes() == 0 ? NONE : m.least() + " to " + m.most() + " of " + m.range() + " ± 1",
                m.restNanos() == 0 ? NONE : Measured.steps(m.restMean(), 1).text(),
                m.restNanos() == 0 ? NONE : "± " + m.deadZone().text(),
                m.restNanos() == 0 ? NONE : m.noise().text(),
                String.valueOf(m.passes()),
                m.spikes() == 0
                        ? NONE
                        : m.spikes() + " ×, up to "
                                + Measured.steps(m.worstSpike(), 1).text(),
                m.passes() < 3 ? "too few passes" : m.monotone() ? "yes" : "no",
                m.spots().isEmpty() ? NONE : places(m.spots())
            });
        }
        out.println();
        TextTable.align(rows).forEach(out::println);
    }

    private static String places(List<AxisSpot> spots) {
        return String.join(
                "; ",
                spots.stream()
                        .map(s -> s.kind().words() + " " + s.from() + " to " + s.to())
                        .toList());
    }

    // ---------------------------------------------------------------- JSON

    static ObjectNode document(Figures figures) {
        ObjectNode node = Json.object();
        ReportRate.Summary reports = figures.reports();
        reports(node.putObject("reports"), reports.intervals())
                .put("count", reports.count())
                .put("changed", reports.changed())
                .put("leftOut", reports.leftOut())
                .put("habit", reports.habit().words());
        if (reports.leftOut() > 0) {
            node.withObject("/reports").put("perSecond", reports.perSecond());
        }
        limits(node.putObject("limits"), figures.limits());
        ArrayNode contacts = node.putArray("contacts");
        for (Figures.Contact contact : figures.contacts()) {
            ContactTiming.Summary t = contact.timing();
            ObjectNode one = contacts.addObject()
                    .put("action", contact.action().orElse(null))
                    .put("input", contact.input().text());
            edge(one.putObject("press"), t.press());
            edge(one.putObject("release"), t.release());
            one.put("dropouts", t.dropouts()).put("longestDropoutMs", t.longestDropout() / 1e6);
        }
        ArrayNode toggles = node.putArray("toggles");
        for (Figures.Toggle toggle : figures.toggles()) {
            ToggleTiming.Summary t = toggle.timing();
            ObjectNode one = toggles.addObject()
                    .put("control", toggle.control())
                    .put("complete", t.complete())
                    .put("together", t.together());
            ArrayNode into = one.putArray("into");
            t.into().forEach(e -> edge(into.addObject(), e));
            ArrayNode outOf = one.putArray("outOf");
            t.outOf().forEach(e -> edge(outOf.addObject(), e));
        }
        ArrayNode encoders = node.putArray("encoders");
        for (Figures.Encoder encoder : figures.encoders()) {
            EncoderMeter.Summary t = encoder.turned();
            encoders.addObject()
                    .put("control", encoder.control())
                    .put("asked", t.asked())
                    .put("right", t.right())
                    .put("wrong", t.wrong())
                    .put("skipped", t.skipped())
                    .put("doubled", t.doubled())
                    .put("reversed", t.reversed())
                    .put("quick", t.quick())
                    .put("perDetent", t.perDetent());
        }
        ArrayNode axes = node.putArray("axes");
        for (Figures.Axis axis : figures.axes()) {
            AxisMeter.Summary m = axis.meter();
            ObjectNode one = axes.addObject()
                    .put("control", axis.control())
                    .put("input", axis.input().text())
                    .put("range", m.range())
                    .put("least", m.least())
                    .put("most", m.most())
                    .put("reached", m.reached())
                    .put("restSpan", m.restSpan())
                    .put("restRms", m.restRms())
                    .put("restMean", m.restMean())
                    .put("deadZone", m.deadZone().value())
                    .put("leapsDown", m.leapsDown())
                    .put("leapsUp", m.leapsUp())
                    .put("restRmsResolution", m.noise().resolution())
                    .put("restMs", m.restNanos() / 1e6)
                    .put("resolution", 1)
                    .put("passes", m.passes())
                    .put("spikes", m.spikes())
                    .put("worstSpike", m.worstSpike())
                    .put("monotone", m.monotone());
            ArrayNode spots = one.putArray("spots");
            m.spots()
                    .forEach(s -> spots.addObject()
                            .put("kind", s.kind().words())
                            .put("from", s.from())
                            .put("to", s.to())
                            .put("seen", s.seen()));
        }
        return node;
    }

    private static void edge(ObjectNode node, EdgeTiming.Summary edge) {
        node.put("edges", edge.edges())
                .put("bounced", edge.bounced())
                .put("transitions", edge.transitions())
                .put("worstTransitions", edge.worst().transitions())
                .put("worstMs", edge.worst().spanNanos() / 1e6)
                .put("settleMs", edge.settle() / 1e6)
                .put("spreadMs", edge.spread() / 1e6);
    }

    static ObjectNode reports(ObjectNode node, IntervalMeter.Summary intervals) {
        return node.put("count", intervals.reports())
                .put("habit", intervals.habit().words())
                .put("medianMs", intervals.median() / 1e6)
                .put("p99Ms", intervals.p99() / 1e6)
                .put("jitterMs", intervals.jitter() / 1e6)
                .put("gaps", intervals.gaps())
                .put("longestGapMs", intervals.longestGap() / 1e6);
    }

    static void limits(ObjectNode node, TimingLimits limits) {
        node.put("resolutionMs", limits.resolution().nanos() / 1e6)
                .put("resolutionMeasured", limits.resolution().measured())
                .put("debounceMs", limits.debounceNanos() / 1e6)
                .put("text", limits.words().text());
    }
}
