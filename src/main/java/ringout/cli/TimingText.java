package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.List;
import ringout.check.Figures;
import ringout.naming.FigureWords;
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
import ringout.words.Phrase;
import ringout.words.Texts;

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
            return Texts.say(
                    "timing.reports.left-out",
                    reports.habit().said(),
                    String.valueOf(reports.count()),
                    Phrase.decimal(reports.perSecond(), 1),
                    String.valueOf(reports.leftOut()));
        }
        return reports.intervals().habit() == IntervalMeter.Habit.UNKNOWN
                ? Texts.say("timing.reports.few")
                : Texts.say("timing.reports", habit(reports.intervals()));
    }

    /** When a box reports, with the figures that mean something for such a box. */
    static Phrase habit(IntervalMeter.Summary intervals) {
        Phrase gaps = intervals.gaps() == 0
                ? Phrase.of("timing.no-gap")
                : Phrase.of("timing.gaps", intervals.gaps(), interval(intervals.longestGap()));
        return switch (intervals.habit()) {
            case CONSTANT ->
                Phrase.of(
                        "timing.constant",
                        intervals.habit().said(),
                        interval(intervals.median()),
                        interval(intervals.p99()),
                        interval(intervals.jitter()),
                        gaps);
            case REPEATING ->
                Phrase.of("timing.repeating", intervals.habit().said(), interval(intervals.median()), gaps);
            case ON_CHANGE, UNKNOWN -> intervals.habit().said();
        };
    }

    /** Known as well as the histogram has it; the clock itself is far finer. */
    private static Phrase interval(long nanos) {
        return FigureWords.of(new Measured(
                nanos / 1e6, Measured.Unit.MILLISECONDS, Math.max(1, nanos) * IntervalMeter.ERROR / 1e6, true));
    }

    private static void contacts(PrintWriter out, Figures figures) {
        if (figures.contacts().isEmpty()) {
            return;
        }
        TimingLimits limits = figures.limits();
        List<String[]> rows = new ArrayList<>();
        rows.add(TextTable.heading(Texts.say("timing.contacts")));
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
                        : Texts.say("timing.up-to", t.dropouts(), FigureWords.of(limits.time(t.longestDropout())))
            });
        }
        out.println();
        TextTable.align(rows).forEach(out::println);
        out.println(Texts.say("timing.contacts.legend", NONE, limits.none()));
    }

    private static String worst(EdgeTiming.Summary edge, TimingLimits limits) {
        return edge.bounced() == 0
                ? NONE
                : Texts.say(
                        "timing.over",
                        edge.worst().transitions(),
                        FigureWords.of(limits.time(edge.worst().spanNanos())));
    }

    private static String settle(EdgeTiming.Summary edge, TimingLimits limits) {
        if (edge.bounced() == 0) {
            return NONE;
        }
        Phrase mean = FigureWords.of(limits.time(edge.settle()));
        return edge.edges() < 2
                ? mean.text()
                : Texts.say("timing.spread", mean, FigureWords.of(limits.time(edge.spread())));
    }

    private static void toggles(PrintWriter out, Figures figures) {
        if (figures.toggles().isEmpty()) {
            return;
        }
        List<String[]> rows = new ArrayList<>();
        rows.add(TextTable.heading(Texts.say("timing.toggles")));
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
        return t.complete()
                ? Texts.say("timing.positions.all", t.together())
                : Texts.say("timing.positions.some", t.together());
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
        rows.add(TextTable.heading(Texts.say("timing.encoders")));
        for (Figures.Encoder encoder : figures.encoders()) {
            EncoderMeter.Summary t = encoder.turned();
            rows.add(new String[] {
                encoder.name(),
                String.valueOf(t.asked()),
                String.valueOf(t.right()),
                String.valueOf(t.skipped()),
                String.valueOf(t.doubled()),
                String.valueOf(t.wrong()),
                t.reversed() == 0 ? Texts.say("timing.right") : Texts.say("timing.reversed"),
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
        rows.add(TextTable.heading(Texts.say("timing.axes")));
        for (Figures.Axis axis : figures.axes()) {
            AxisMeter.Summary m = axis.meter();
            rows.add(new String[] {
                axis.name(),
                m.passes() == 0
                        ? NONE
                        : Texts.say(
                                "timing.reached",
                                String.valueOf(m.least()),
                                String.valueOf(m.most()),
                                String.valueOf(m.range())),
                m.restNanos() == 0
                        ? NONE
                        : FigureWords.of(Measured.steps(m.restMean(), 1)).text(),
                m.restNanos() == 0 ? NONE : "± " + FigureWords.of(m.deadZone()),
                m.restNanos() == 0 ? NONE : FigureWords.of(m.noise()).text(),
                String.valueOf(m.passes()),
                m.spikes() == 0
                        ? NONE
                        : Texts.say("timing.up-to", m.spikes(), FigureWords.of(Measured.steps(m.worstSpike(), 1))),
                m.passes() < 3
                        ? Texts.say("timing.few-passes")
                        : m.monotone() ? Texts.say("timing.yes") : Texts.say("timing.no"),
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
                        .map(s -> Texts.say(
                                "timing.spot",
                                FigureWords.of(s.kind()),
                                String.valueOf(s.from()),
                                String.valueOf(s.to())))
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
                .put("habit", reports.habit().word());
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
                            .put("kind", s.kind().word())
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
                .put("habit", intervals.habit().word())
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
