package ringout.ui.model;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.check.Change;
import ringout.hid.Input;
import ringout.naming.FigureWords;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSummary;
import ringout.words.Texts;
import ringout.words.WallClock;

/** A long watch in words. */
public final class WatchModel {
    private static final long SECOND = 1_000_000_000L;

    private WatchModel() {}

    /**
     * A box being watched.
     *
     * @param name    of the box
     * @param state   with a shape: {@code ● watching}
     * @param trouble true where that needs somebody
     * @param detail  plan, reports, tape
     */
    public record Box(String name, String state, boolean trouble, String detail) {}

    /**
     * Something that was noticed.
     *
     * @param clock when, as a clock on the wall shows it
     * @param kind  in a word
     * @param words in a sentence, with the box' name where there are several
     * @param fault false for what is only worth knowing
     * @param box   which of the boxes, from 0
     * @param nanos since that box' watch began
     * @param input what to show on the tape
     */
    public record Line(
            String clock, String kind, String words, boolean fault, int box, long nanos, Optional<Input> input) {}

    /** The line for an event. */
    public static Line line(int box, String name, boolean several, Instant began, WatchEvent event, ZoneId zone) {
        String words = event.nth() > 1 ? Texts.say("watch.event.again", event.words(), event.nth()) : event.words();
        return new Line(
                WallClock.seconds(began, event.nanos(), zone),
                event.kind().said().text(),
                several ? Texts.say("watch.event.of", name, words) : words,
                event.kind().isFault(),
                box,
                event.nanos(),
                event.inputs().stream().findFirst());
    }

    /**
     * How a box stands while it is watched.
     *
     * @param ended why nothing more comes; empty while something may
     */
    public static Box box(
            String name,
            Optional<String> plan,
            WatchSummary summary,
            boolean away,
            Optional<String> ended,
            String trouble,
            Optional<String> recording) {
        List<String> detail = new ArrayList<>();
        detail.add(plan.map(p -> Texts.say("watch.box.plan", p)).orElseGet(() -> Texts.say("watch.box.no-plan")));
        detail.add(Texts.say("watch.box.reports", summary.intervals().reports()));
        detail.add(
                trouble.isEmpty()
                        ? recording
                                .map(file -> Texts.say("watch.box.tape", file))
                                .orElseGet(() -> Texts.say("watch.box.no-tape"))
                        : Texts.say("watch.box.tape-trouble", trouble));
        if (ended.isPresent()) {
            return new Box(name, ended.get(), false, String.join(" ", detail));
        }
        return new Box(
                name,
                away ? Texts.say("watch.box.away") : Texts.say("watch.box.live"),
                away || !trouble.isEmpty(),
                String.join(" ", detail));
    }

    /**
     * The big sentence.
     *
     * @param faults how many events that are faults
     * @param ended  true for the summary
     */
    public static String sentence(int boxes, long faults, boolean ended) {
        return ended ? Texts.say("watch.sentence.ended", faults) : Texts.say("watch.sentence", boxes, faults);
    }

    /** A length of time as people say it. */
    public static String span(long nanos) {
        long seconds = nanos / SECOND;
        return seconds < 60
                ? Texts.say("watch.span.seconds", seconds)
                : seconds < 3600
                        ? Texts.say("watch.span.minutes", seconds / 60, seconds % 60)
                        : Texts.say("watch.span.hours", seconds / 3600, seconds / 60 % 60);
    }

    /** The summary of one box, a sentence a line: what was noticed how often, then what has changed since the last check. */
    public static List<String> summary(
            String name, Instant began, WatchSummary summary, List<Change> changes, ZoneId zone) {
        List<String> lines = new ArrayList<>();
        lines.add(
                summary.awayNanos() > 0
                        ? Texts.say(
                                "watch.summary.head-away",
                                name,
                                span(summary.watchedNanos()),
                                summary.intervals().reports(),
                                span(summary.awayNanos()))
                        : Texts.say(
                                "watch.summary.head",
                                name,
                                span(summary.watchedNanos()),
                                summary.intervals().reports()));
        if (summary.lines().isEmpty()) {
            lines.add(Texts.say("watch.summary.clean"));
        }
        for (WatchSummary.Line line : summary.lines()) {
            lines.add(Texts.say(
                    "watch.summary.line",
                    line.kind().said().text(),
                    line.name().isEmpty() ? Texts.say("watch.summary.box") : line.name(),
                    line.count(),
                    WallClock.seconds(began, line.first(), zone),
                    WallClock.seconds(began, line.last(), zone),
                    line.worst()
                            .map(f -> FigureWords.of(f).text())
                            .map(worst -> Texts.say("watch.summary.worst", worst))
                            .orElse("")));
        }
        if (!changes.isEmpty()) {
            lines.add(Texts.say("watch.summary.compared"));
            changes.forEach(change -> lines.add(change.sort().said() + ": " + change.words()));
        }
        lines.add(summary.limits().words().text());
        return lines;
    }
}
