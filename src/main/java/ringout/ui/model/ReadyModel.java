package ringout.ui.model;

import java.util.List;
import ringout.check.Readiness;
import ringout.words.Texts;

/** What the page "Ready for play" shows. */
public final class ReadyModel {
    private ReadyModel() {}

    /**
     * @param sentence how many there are
     * @param detail   where it comes from, and in what order
     * @param cards    the gravest first
     * @param limits   of all that is said
     */
    public record Page(String sentence, String detail, List<Card> cards, String limits) {
        public Page {
            cards = List.copyOf(cards);
        }
    }

    /**
     * One thing.
     *
     * @param grave  true where something is missed
     * @param kind   in a word or two
     * @param told   what, with its figure
     * @param change what to change
     */
    public record Card(boolean grave, String kind, String told, String change) {}

    /**
     * The page.
     *
     * @param from where it comes from, in a sentence
     */
    public static Page of(Readiness ready, String from) {
        List<Card> cards = ready.points().stream().map(ReadyModel::card).toList();
        return new Page(
                Texts.say("ready.sentence", cards.size()),
                cards.size() > 1 ? from + " " + Texts.say("ready.gravest") : from,
                cards,
                Texts.say("ready.limits"));
    }

    private static Card card(Readiness.Point point) {
        return new Card(
                point.kind() != Readiness.Kind.LATCHING,
                word(point.kind()),
                point.told().text(),
                point.change().text());
    }

    private static String word(Readiness.Kind kind) {
        return switch (kind) {
            case OUT_OF_REACH -> Texts.say("ready.kind.reach");
            case SHORT_PULSE -> Texts.say("ready.kind.short");
            case MERGING -> Texts.say("ready.kind.merging");
            case RESTLESS -> Texts.say("ready.kind.restless");
            case LATCHING -> Texts.say("ready.kind.latching");
        };
    }
}
