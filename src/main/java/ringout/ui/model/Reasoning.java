package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Explanation;
import ringout.diagnosis.NextStep;
import ringout.diagnosis.Probe;
import ringout.diagnosis.ProbeResult;
import ringout.naming.Names;
import ringout.naming.Remedies;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** A diagnosis in words, bars and drawings. */
public final class Reasoning {
    /** Explanations rarer than this are not listed. */
    private static final double LEAST = 0.01;

    private static final int MOST = 5;

    private Reasoning() {}

    /** What stands before every step with iron or meter. Common practice of workshops, no source. */
    public static String caution() {
        return Texts.say("reason.caution");
    }

    /**
     * One explanation.
     *
     * @param chance       how likely, in words
     * @param share        how likely, 0 to 1
     * @param text         what is wrong
     * @param alike        what else would look the same from outside, in words; may be empty
     * @param speaksFor    evidence for it
     * @param speaksAgainst evidence against it, and what it takes for granted
     * @param drawings     sets of faults to draw, the likeliest first
     */
    public record Card(
            String chance,
            double share,
            String text,
            List<String> alike,
            List<String> speaksFor,
            List<String> speaksAgainst,
            List<List<Fault>> drawings) {
        public Card {
            alike = List.copyOf(alike);
            speaksFor = List.copyOf(speaksFor);
            speaksAgainst = List.copyOf(speaksAgainst);
            drawings = drawings.stream().map(List::copyOf).toList();
        }
    }

    /** The explanations worth showing; none where all is well. */
    public static List<Card> cards(Diagnosis diagnosis) {
        if (diagnosis.explanations().isEmpty()
                || diagnosis.explanations().get(0).healthy()) {
            return List.of();
        }
        return diagnosis.explanations().stream()
                .filter(e -> e.probability() >= LEAST && !e.healthy())
                .limit(MOST)
                .map(Reasoning::card)
                .toList();
    }

    private static Card card(Explanation e) {
        List<String> against = new ArrayList<>(Phrase.texts(e.evidenceAgainst()));
        e.assumed().forEach(a -> against.add(Texts.say("reason.assumed", a)));
        return new Card(
                e.chance().text(),
                e.probability(),
                e.likeliest().text(),
                Phrase.texts(e.alike()),
                Phrase.texts(e.evidenceFor()),
                against,
                e.alternatives());
    }

    /** From here on one cause stands out, and is what a finished check says first. */
    private static final double STANDS_OUT = 0.5;

    /**
     * What a finished check says first.
     *
     * @param cause  what is wrong
     * @param chance how likely, in words
     * @param remedy what to do about it
     */
    public record Verdict(String cause, String chance, String remedy) {}

    /** The cause that stands out; empty where none does. */
    public static Optional<Verdict> verdict(Plan plan, Diagnosis diagnosis) {
        return cards(diagnosis).stream()
                .limit(1)
                .filter(card -> !diagnosis.unexplained() && card.share() >= STANDS_OUT)
                .map(card -> new Verdict(
                        card.text(),
                        card.chance(),
                        (card.alike().isEmpty()
                                        ? ""
                                        : Texts.say("reason.alike", card.alike().size()) + " ")
                                + Remedies.of(plan, card.drawings().get(0))))
                .findFirst();
    }

    /**
     * What to do to be certain.
     *
     * @param sentence the big one
     * @param detail   under it
     * @param probe    the probe itself
     * @param answers  what the meter may show
     */
    public record Next(String sentence, String detail, Probe probe, List<MeterAnswer> answers) {}

    /**
     * The best probe to be certain; empty where none is worth it, as where it would only tell how bad a joint is that has to be
     * made anew. Presses and chords are asked for by the check itself.
     *
     * @param done what was probed already: nobody is asked for it twice
     */
    public static Optional<Next> next(Plan plan, Diagnosis diagnosis, List<ProbeResult> done) {
        return diagnosis.next().stream()
                .filter(step -> step.purpose() != NextStep.Purpose.GRADE)
                .flatMap(step -> step.probe().stream())
                .filter(probe -> done.stream().noneMatch(d -> d.answers(probe)))
                .findFirst()
                .map(probe -> next(plan, probe));
    }

    /** How a probe is asked for. */
    public static Next next(Plan plan, Probe probe) {
        String detail = Stream.of(
                        Texts.say("reason.unplug"),
                        switch (probe.mode()) {
                            case CONTINUITY -> Texts.say("reason.continuity");
                            case DIODE -> Texts.say("reason.diode");
                            case RESISTANCE -> Texts.say("reason.resistance");
                        },
                        probe.hold().isEmpty() ? "" : Texts.say("reason.hold", names(plan, probe.hold())),
                        probe.bad().text())
                .filter(sentence -> !sentence.isEmpty())
                .collect(Collectors.joining(" "));
        return new Next(
                Texts.say(
                        "reason.probe",
                        Names.node(probe.pointA()),
                        Names.node(probe.pointB()),
                        MeterAnswer.should(probe.mode(), probe.good())),
                detail,
                probe,
                MeterAnswer.of(probe.mode()));
    }

    private static String names(Plan plan, List<String> actions) {
        return String.join(
                " " + Texts.say("reason.and") + " ",
                actions.stream()
                        .map(id -> plan.action(id).map(a -> a.words().text()).orElse(id))
                        .toList());
    }
}
