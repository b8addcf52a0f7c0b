package ringout.cli;

import java.io.PrintWriter;
import java.util.Collection;
import ringout.bench.BareBoards;
import ringout.check.BareBoard;
import ringout.check.CheckView;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.words.Names;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What a check of the bare board proved, and what it did not, in a terminal. */
final class BareBoardText {
    private BareBoardText() {}

    /** @param plan of the box, not of the touches */
    static void print(PrintWriter out, Plan plan, CheckView check) {
        Names names = new Names(plan);
        BareBoard.Proof proof = BareBoards.proof(plan, check);
        out.println(
                proof.lines().isEmpty()
                        ? Texts.say("bare.none")
                        : Texts.say("bare.proved", BareBoards.names(plan, proof.lines())));
        for (Line line : BareBoards.wrong(plan, check)) {
            out.println(
                    Phrase.of("bare.wrong", names.line(line.name())).sentence().text());
        }
        Collection<Line> left = BareBoard.left(plan);
        if (!left.isEmpty()) {
            out.println(Texts.say(
                    "bare.left",
                    BareBoards.names(plan, left.stream().map(Line::name).toList())));
        }
        out.flush();
    }
}
