package ringout.bench;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Proof;
import ringout.device.DeviceInfo;
import ringout.diagnosis.BoardVerdict;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.naming.Names;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Boards that are proved before anything is soldered to them; what was proved counts in every later check of the box. */
public final class BareBoards {
    private BareBoards() {}

    /**
     * The plan of the touches of a box, to be checked like any other.
     *
     * @throws IllegalArgumentException where there is nothing to touch, or the plan's text is not known
     */
    public static PlanInUse touches(PlanInUse whole) {
        return plan(whole, BareBoard.touches(whole.plan()));
    }

    /** The same of these touches. */
    static PlanInUse plan(PlanInUse whole, List<BareBoard.Touch> asked) {
        String text = whole.text().orElseThrow(() -> new IllegalArgumentException("a plan without its text"));
        PlanDocument touches =
                BareBoard.plan(PlanDocument.of(text, whole.plan().box().name()), asked);
        return PlanInUse.of(touches.reading().plan().orElseThrow(), touches.text());
    }

    /**
     * What the newest check of the bare board proved; nothing where there was none with the plan as it is now.
     *
     * @param store of bare boards, see {@link KeptChecks#bareBoards}
     * @throws JournalException where it cannot be read
     */
    public static Proof proof(DeviceInfo device, PlanInUse whole, KeptChecks store) throws JournalException {
        if (whole.text().isEmpty() || BareBoard.touches(whole.plan()).isEmpty()) {
            return Proof.NONE;
        }
        Optional<KeptChecks.Kept> newest = Baselines.newest(device, touches(whole), store);
        return newest.map(kept -> BareBoard.proof(
                        whole.plan(), kept.check().answered(), kept.check().findings()))
                .orElse(Proof.NONE);
    }

    /** What touches proved, what is wrong, and what is not proved this way, a sentence each. */
    public static List<String> said(Plan plan, BoardVerdict verdict) {
        List<String> said = new ArrayList<>();
        List<String> proved = verdict.proved().stream().map(Line::name).toList();
        said.add(proved.isEmpty() ? Texts.say("bare.none") : Texts.say("bare.proved", names(plan, proved)));
        verdict.told().forEach(told -> said.add(told.words().text()));
        List<String> left = BareBoard.left(plan).stream().map(Line::name).toList();
        if (!left.isEmpty()) {
            said.add(Texts.say("bare.left", names(plan, left)));
        }
        return said;
    }

    /** That what was proved of the bare board counts in what is told of a box; empty where nothing was. */
    public static Optional<String> counted(PlanInUse whole) {
        Set<String> lines = whole.builder().board().lines();
        return lines.isEmpty()
                ? Optional.empty()
                : Optional.of(Texts.say("bare.counted", listed(whole.plan(), lines, Phrase::verbatim)));
    }

    /** Lines as a list in words, in the order of the plan. */
    public static String names(Plan plan, Collection<String> lines) {
        return listed(plan, lines, new Names(plan)::line);
    }

    private static String listed(Plan plan, Collection<String> lines, Function<String, Phrase> named) {
        return Phrase.and(plan.lines().stream()
                        .map(Line::name)
                        .filter(lines::contains)
                        .map(named)
                        .toList())
                .text();
    }
}
