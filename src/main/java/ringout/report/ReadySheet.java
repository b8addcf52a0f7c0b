package ringout.report;

import java.util.ArrayList;
import java.util.List;
import ringout.check.Readiness;
import ringout.words.Texts;

/** What of a box may not come through to a program that uses it, to be kept and printed. */
public final class ReadySheet {
    private ReadySheet() {}

    /**
     * The sheet.
     *
     * @param box  its name
     * @param from where it comes from, in a sentence
     */
    public static Document of(String box, Readiness ready, String from, Document.Paper paper) {
        List<Document.Block> blocks = new ArrayList<>();
        blocks.add(new Document.Text(
                ready.points().isEmpty()
                        ? Texts.say("ready.nothing")
                        : Texts.say("ready.head", ready.points().size())));
        for (Readiness.Point point : ready.points()) {
            blocks.add(new Document.Items(
                    point.told().text(), List.of(point.change().text())));
        }
        blocks.add(new Document.Text(Texts.say("ready.limits")));
        return new Document(Texts.say("ready.of", box), from, paper, blocks);
    }
}
