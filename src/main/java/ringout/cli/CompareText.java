package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.check.Change;
import ringout.check.CheckView;
import ringout.check.KeptCheck;
import ringout.check.Trend;
import ringout.journal.KeptChecks;
import ringout.signal.Measured;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What has changed at a box, in words and as JSON. */
final class CompareText {
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm", Locale.ROOT);

    private CompareText() {}

    static void print(PrintWriter out, KeptChecks.Kept before, CheckedBox checked, Baselines baselines) {
        KeptChecks.Kept now = checked.kept();
        CheckView check = checked.check();
        out.println(Texts.say("compare.head", now.box(), day(now.check()), day(before.check())));
        baselines.said(checked.plan(), ZoneId.systemDefault()).forEach(said -> out.println(said.text()));
        for (Change change : baselines.changes()) {
            out.println();
            out.println(change.sort().said().text().toUpperCase(Locale.getDefault()) + ": "
                    + change.kind().said());
            out.println("  " + change.words());
        }
        trends(out, baselines.trends());
        out.println();
        if (!check.finished()) {
            out.println(Texts.say("compare.unfinished", check.done(), check.total()));
        }
        out.println(verdict(baselines));
        out.println(now.check().limits().words());
        out.flush();
    }

    private static void trends(PrintWriter out, List<Trend> trends) {
        for (Trend trend : trends) {
            out.println();
            out.println(Texts.say("compare.trend"));
            out.println("  " + trend.words());
        }
    }

    private static String verdict(Baselines baselines) {
        long worse = baselines.worse();
        if (worse > 0) {
            return Texts.say("report.worse", worse);
        }
        return Phrase.sentences(List.of(
                        baselines.changes().isEmpty()
                                ? Phrase.of("report.nothing-changed")
                                : Phrase.of("report.nothing-new"),
                        baselines.trends().isEmpty() ? Phrase.none() : Phrase.of("compare.see-trend")))
                .text();
    }

    private static String day(KeptCheck check) {
        return DAY.format(check.when().atZone(ZoneId.systemDefault()));
    }

    static ObjectNode document(KeptChecks.Kept before, KeptChecks.Kept now, CheckView check, Baselines baselines) {
        ObjectNode document = Json.object()
                .put("box", now.box())
                .put("done", check.finished())
                .put("steps", check.total())
                .put("stepsDone", check.done())
                .put("checksKept", baselines.kept());
        check(document.putObject("baseline"), before);
        check(document.putObject("now"), now);
        RemarkCommand.put(document.putArray("remarks"), baselines.remarks());
        changes(document.putArray("changes"), baselines.changes());
        ArrayNode grows = document.putArray("trends");
        for (Trend trend : baselines.trends()) {
            ObjectNode node = grows.addObject().put("action", trend.action()).put("checks", trend.checks());
            figure(node, "perMonth", Optional.of(trend.perMonth()));
            figure(node, "first", Optional.of(trend.first()));
            figure(node, "last", Optional.of(trend.last()));
            node.put("words", trend.words());
        }
        return document;
    }

    static void changes(ArrayNode list, List<Change> changes) {
        for (Change change : changes) {
            ObjectNode node = list.addObject()
                    .put("sort", change.sort().word())
                    .put("kind", change.kind().word());
            change.controls().forEach(node.putArray("controls")::add);
            figure(node, "before", change.before());
            figure(node, "now", change.now());
            node.put("words", change.words());
        }
    }

    private static void check(ObjectNode node, KeptChecks.Kept kept) {
        Instant when = kept.check().when();
        node.put("when", when.toString())
                .put("recording", kept.recording())
                .put("plan", kept.planHash())
                .put("findings", kept.check().findings().size());
    }

    private static void figure(ObjectNode node, String name, Optional<Measured> figure) {
        if (figure.isEmpty()) {
            node.putNull(name);
        } else {
            FigureText.put(node.putObject(name), figure.get());
        }
    }
}
