package ringout.ui.model;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.bench.BareBoardRun;
import ringout.bench.BareBoards;
import ringout.bench.SessionView;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Touch;
import ringout.check.CheckView;
import ringout.check.Prompt;
import ringout.circuit.NodeName;
import ringout.diagnosis.BoardVerdict;
import ringout.drawing.FaultSketch;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.ui.model.StepModel.Card;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What the page of the bare board shows. */
public final class BoardModel {
    private static final Pattern PIN = Pattern.compile("(.*?)(\\d{1,6})");

    private BoardModel() {}

    /**
     * @param card  the touch that is asked for, or what it came to
     * @param tips  the two pins, on the loom; empty where none are touched now
     * @param lines how each pin stands, or, once it is over, what all of it tells
     */
    public record Page(Card card, Optional<FaultSketch.Tips> tips, List<String> lines) {
        public Page {
            lines = List.copyOf(lines);
        }
    }

    /**
     * The touches as they stand.
     *
     * @param verdict once they are over; it takes a moment to be worked out
     */
    public static Page of(BareBoardRun run, SessionView view, Optional<BoardVerdict> verdict) {
        Card card = StepModel.of(view);
        Set<Line> proved = BareBoard.proved(run.touched(view));
        Optional<CheckView> check = view.check().filter(run::asks);
        if (check.isEmpty()) {
            return new Page(card, Optional.empty(), lines(run, proved, Set.of()));
        }
        if (check.get().finished() && view.over() && verdict.isPresent()) {
            return over(run, card, verdict.get());
        }
        Prompt prompt = check.get().prompt();
        Optional<Touch> now = run.asked().stream()
                .filter(t -> prompt.actions().contains(t.id()))
                .findFirst();
        if (now.isEmpty()) {
            return new Page(card, Optional.empty(), lines(run, proved, Set.of()));
        }
        Touch touch = now.get();
        boolean away = prompt.kind() == Prompt.Kind.LET_GO;
        String sentence = away
                ? Texts.say("board.take")
                : Texts.say("board.touch", BoardVerdict.name(touch.row()), BoardVerdict.name(touch.column()));
        List<String> detail = new ArrayList<>();
        // What is expected is said in words of its own below; why it is asked again, or what comes of waiting, is not.
        if (!card.detail().isEmpty() && (away || prompt.attempt() > 1)) {
            detail.add(card.detail());
        }
        if (!away) {
            String input = touch.input().text();
            detail.add(run.parting() ? Texts.say("board.part", input) : Texts.say("board.means", input));
            List<Line> beside = beside(run.whole().plan(), touch);
            if (!beside.isEmpty()) {
                detail.add(Texts.say(
                        "board.beside",
                        Phrase.and(beside.stream().map(BoardVerdict::name).toList())));
            }
        }
        return new Page(
                with(card, sentence, String.join(" ", detail), card.tone()),
                Optional.of(new FaultSketch.Tips(pad(touch.row()), pad(touch.column()), true)),
                lines(run, proved, Set.of(touch.row(), touch.column())));
    }

    private static Page over(BareBoardRun run, Card card, BoardVerdict verdict) {
        List<String> said = BareBoards.said(run.whole().plan(), verdict);
        boolean good = verdict.told().isEmpty();
        String sentence = verdict.proved().isEmpty() && good
                ? Texts.say("bare.none")
                : good ? Texts.say("board.good") : verdict.told().get(0).words().text();
        return new Page(
                with(
                        card,
                        sentence,
                        good ? Texts.say("board.good.detail") : Texts.say("board.wrong.detail"),
                        good ? StepModel.Tone.GOOD : StepModel.Tone.FOUND),
                Optional.empty(),
                // The first of what is wrong is the large sentence.
                said.stream().filter(s -> !s.equals(sentence)).toList());
    }

    private static Card with(Card card, String sentence, String detail, StepModel.Tone tone) {
        return new Card(
                card.place(),
                sentence,
                detail,
                tone,
                card.counts(),
                card.ruler(),
                card.commands(),
                card.again(),
                List.of());
    }

    private static NodeName pad(Line line) {
        return new NodeName.Pin(line.name(), line.pin());
    }

    /** Line by line. */
    private static List<String> lines(BareBoardRun run, Set<Line> proved, Set<Line> now) {
        Set<Line> lines = new LinkedHashSet<>();
        BareBoard.touches(run.whole().plan()).forEach(t -> lines.addAll(List.of(t.row(), t.column())));
        return run.whole().plan().lines().stream()
                .filter(lines::contains)
                .map(line -> proved.contains(line)
                        ? Texts.say("board.line.proved", BoardVerdict.name(line))
                        : now.contains(line)
                                ? Texts.say("board.line.now", BoardVerdict.name(line))
                                : Texts.say("board.line.open", BoardVerdict.name(line)))
                .toList();
    }

    /** Pins of the plan whose number is one more or less: where a resistor slips to. */
    private static List<Line> beside(Plan plan, Touch touch) {
        List<Line> two = List.of(touch.row(), touch.column());
        return plan.lines().stream()
                .filter(l -> !two.contains(l) && two.stream().anyMatch(t -> beside(t.pin(), l.pin())))
                .toList();
    }

    private static boolean beside(String one, String other) {
        Matcher a = PIN.matcher(one);
        Matcher b = PIN.matcher(other);
        return a.matches()
                && b.matches()
                && a.group(1).equals(b.group(1))
                && Math.abs(Integer.parseInt(a.group(2)) - Integer.parseInt(b.group(2))) == 1;
    }
}
