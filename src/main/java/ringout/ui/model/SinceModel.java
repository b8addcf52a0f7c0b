package ringout.ui.model;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.bench.Mends;
import ringout.check.Change;
import ringout.check.Trend;
import ringout.circuit.Fault;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.naming.FaultWords;
import ringout.words.Texts;

/** What has changed at a box since its last check that was kept. */
public final class SinceModel {
    private SinceModel() {}

    /**
     * @param heading with the date of the check before
     * @param lines   empty where there is nothing to tell but the heading
     * @param choices what may have been mended since; empty where nobody is asked
     * @param subjects what a remark can be about; empty where none can be kept
     */
    public record Card(String heading, List<Line> lines, List<Choice> choices, List<Subject> subjects) {
        public Card {
            lines = List.copyOf(lines);
            choices = List.copyOf(choices);
            subjects = List.copyOf(subjects);
        }

        /** Where nothing can be remarked. */
        public Card(String heading, List<Line> lines, List<Choice> choices) {
            this(heading, lines, choices, List.of());
        }

        /** The same when it was said what it was. */
        public Card told() {
            return new Card(heading, lines, List.of(), subjects);
        }

        Card(String heading, List<Line> lines) {
            this(heading, lines, List.of());
        }
    }

    /**
     * What a remark can be about.
     *
     * @param id    of a control; empty for the whole box
     * @param words what it is called
     */
    public record Subject(String id, String words) {}

    /** A remark as it was written: "spare fitted". */
    public record Said(String text, String control, boolean replaced) {
        /** As it is kept, said at that moment. */
        public KeptChecks.Remark at(Instant when) {
            return new KeptChecks.Remark(
                    when,
                    control.isEmpty() ? List.of() : List.of(control),
                    text.strip(),
                    replaced && !control.isEmpty());
        }
    }

    /**
     * One thing that may have been mended.
     *
     * @param words  what it was
     * @param check  the kept check that found it
     * @param faults what is kept with that check
     */
    public record Choice(String words, KeptChecks.Kept check, List<Fault> faults) {
        public Choice {
            faults = List.copyOf(faults);
        }
    }

    /**
     * One difference.
     *
     * @param word  {@code new}, {@code worse}, …
     * @param words in whole sentences
     * @param worse true for what needs attention
     */
    public record Line(String word, String words, boolean worse) {}

    /**
     * Compares a check that has just been recorded with the ones kept of its box, and keeps it. Reads files: not on the
     * application thread.
     *
     * @return empty where it is not kept: it is not finished, or does not belong there
     * @throws JournalException where the kept ones cannot be read or this one cannot be kept
     */
    public static Optional<Card> keep(CheckedBox now, KeptChecks store, ZoneId zone) throws JournalException {
        Baselines baselines = Baselines.of(now, Optional.empty(), store, zone);
        return now.keep(store).map(kept -> {
            Card card = card(baselines, zone, store.practice());
            // What was mended in practice says nothing of how somebody solders.
            return new Card(
                    card.heading(),
                    Stream.concat(
                                    baselines.said(now.plan(), zone).stream()
                                            .map(said -> new Line(Texts.say("since.note"), said.text(), false)),
                                    card.lines().stream())
                            .toList(),
                    store.practice() ? List.of() : choices(baselines, now),
                    Stream.concat(
                                    Stream.of(new Subject("", Texts.say("remark.whole"))),
                                    now.plan().controls().stream()
                                            .map(control -> new Subject(control.id(), control.label())))
                            .toList());
        });
    }

    private static List<Choice> choices(Baselines baselines, CheckedBox now) {
        FaultWords words = new FaultWords(now.plan());
        return baselines.before().flatMap(before -> Mends.between(before, now)).stream()
                .flatMap(mends -> mends.choices().stream()
                        .map(faults -> new Choice(words.set(faults).sentence().toString(), mends.check(), faults)))
                .toList();
    }

    static Card card(Baselines baselines, ZoneId zone, boolean practice) {
        if (baselines.before().isEmpty()) {
            return new Card(practice ? Texts.say("since.practice.first") : Texts.say("since.first"), List.of());
        }
        ZonedDateTime when = baselines.before().get().check().when().atZone(zone);
        String date = when.toLocalDate().toString();
        List<Line> lines = new ArrayList<>();
        for (Change change : baselines.changes()) {
            lines.add(new Line(change.sort().said().text(), change.words(), change.isWorse()));
        }
        for (Trend trend : baselines.trends()) {
            lines.add(new Line(Texts.say("since.trend"), trend.words(), true));
        }
        for (String note : baselines.notes()) {
            lines.add(new Line(Texts.say("since.note"), note, false));
        }
        return new Card(
                practice
                        ? Texts.say(
                                "since.practice.heading",
                                // Two of practice are minutes apart.
                                date + " " + when.toLocalTime().truncatedTo(ChronoUnit.SECONDS),
                                baselines.worse())
                        : Texts.say("since.heading", date, baselines.worse(), baselines.kept()),
                lines);
    }

    /** Where it could not be kept or compared. */
    public static Card failed(String why) {
        return new Card(Texts.say("since.failed", why), List.of());
    }
}
