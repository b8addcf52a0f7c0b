package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import ringout.check.Change;
import ringout.hid.Input;
import ringout.naming.FigureWords;
import ringout.signal.IntervalMeter;
import ringout.signal.Measured;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;
import ringout.words.Texts;
import ringout.words.WallClock;

/** What a long watch noticed, in words and as JSON. */
final class WatchText {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

    private final ZoneId zone = ZoneId.systemDefault();

    private String clock(Instant began, long nanos) {
        return WallClock.millis(began, nanos, zone);
    }

    /** One line as it happens. */
    String line(String box, Instant began, WatchEvent event) {
        return clock(began, event.nanos()) + "  " + box + ": "
                + (event.nth() > 1
                        ? Texts.say("listen.again-so-far", event.said(), String.valueOf(event.nth()))
                        : event.words());
    }

    /** The summary at the end. */
    void print(PrintWriter out, String box, Instant began, WatchSummary summary, List<Change> changes) {
        IntervalMeter.Summary intervals = summary.intervals();
        out.println(
                summary.awayNanos() > 0
                        ? Texts.say(
                                "listen.head-away",
                                box,
                                DAY.format(began.atZone(zone)),
                                span(summary.watchedNanos()),
                                String.valueOf(intervals.reports()),
                                span(summary.awayNanos()))
                        : Texts.say(
                                "listen.head",
                                box,
                                DAY.format(began.atZone(zone)),
                                span(summary.watchedNanos()),
                                String.valueOf(intervals.reports())));
        if (intervals.habit() != IntervalMeter.Habit.UNKNOWN) {
            out.println(Texts.say("listen.reports", TimingText.habit(intervals)));
        }
        out.println();
        if (summary.lines().isEmpty()) {
            out.println(Texts.say("listen.clean"));
        } else {
            List<String[]> rows = new ArrayList<>();
            rows.add(TextTable.heading(Texts.say("listen.columns")));
            for (WatchSummary.Line line : summary.lines()) {
                rows.add(new String[] {
                    line.kind().said().text(),
                    line.name(),
                    String.valueOf(line.count()),
                    line.worst().map(worst -> FigureWords.of(worst).text()).orElse(""),
                    clock(began, line.first()),
                    clock(began, line.last())
                });
            }
            TextTable.align(rows).forEach(out::println);
        }
        if (!changes.isEmpty()) {
            out.println();
            out.println(Texts.say("watch.summary.compared"));
            changes.forEach(change -> out.println("  " + change.sort().said() + ": " + change.words()));
        }
        out.println();
        out.println(summary.limits().words());
        out.flush();
    }

    private static String span(long nanos) {
        long seconds = nanos / 1_000_000_000L;
        if (seconds < 60) {
            return Texts.say("span.seconds", Phrase.decimal(nanos / 1e9, 1));
        }
        long minutes = seconds / 60;
        return minutes < 60
                ? Texts.say("span.minutes", minutes, seconds % 60)
                : Texts.say("span.hours", minutes / 60, minutes % 60);
    }

    /** One box' part of the JSON document. */
    ObjectNode document(
            String box, Instant began, List<WatchEvent> events, WatchSummary summary, List<Change> changes) {
        ObjectNode node = Json.object();
        node.put("box", box)
                .put("began", began.truncatedTo(ChronoUnit.MILLIS).toString())
                .put("seconds", summary.watchedNanos() / 1e9)
                .put("awaySeconds", summary.awayNanos() / 1e9)
                .put("clean", summary.clean());
        IntervalMeter.Summary intervals = summary.intervals();
        TimingText.reports(node.putObject("reports"), intervals);
        TimingText.limits(node.putObject("limits"), summary.limits());
        ArrayNode list = node.putArray("events");
        for (WatchEvent event : events) {
            ObjectNode item = list.addObject()
                    .put("kind", event.kind().word())
                    .put("seconds", event.nanos() / 1e9)
                    .put(
                            "time",
                            began.plusNanos(event.nanos())
                                    .truncatedTo(ChronoUnit.MILLIS)
                                    .toString());
            ArrayNode inputs = item.putArray("inputs");
            event.inputs().forEach(input -> inputs.add(input.text()));
            figure(item, event.figure().orElse(null));
            item.put("nth", event.nth()).put("words", event.words());
        }
        ArrayNode lines = node.putArray("summary");
        for (WatchSummary.Line line : summary.lines()) {
            ObjectNode item = lines.addObject()
                    .put("kind", line.kind().word())
                    .put("input", line.input().map(Input::text).orElse(null))
                    .put("count", line.count());
            figure(item, line.worst().orElse(null));
            item.put("firstSeconds", line.first() / 1e9).put("lastSeconds", line.last() / 1e9);
        }
        CompareText.changes(node.putArray("changes"), changes);
        return node;
    }

    private static void figure(ObjectNode node, @Nullable Measured figure) {
        if (figure == null) {
            node.putNull("ms").putNull("resolutionMs");
            return;
        }
        FigureText.put(node, figure);
    }
}
