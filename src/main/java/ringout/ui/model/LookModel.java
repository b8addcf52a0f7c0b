package ringout.ui.model;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import ringout.bench.LookSession;
import ringout.plan.Plan;
import ringout.watch.ShortLook;
import ringout.words.Texts;

/** What the page of a look in a break shows. */
public final class LookModel {
    private LookModel() {}

    /** How it is dressed. */
    public enum Tone {
        ASK,
        TROUBLE,
        GOOD,
        FOUND,
        /** Nothing to be alarmed at, but not good either. */
        PLAIN
    }

    /**
     * @param sentence what to do
     * @param progress how far it is
     * @param lines    what came of what was asked
     * @param asking   true while something can be said to be enough
     */
    public record Page(Tone tone, String sentence, String progress, List<String> lines, boolean asking) {
        public Page {
            lines = List.copyOf(lines);
        }
    }

    /**
     * A look as it stands.
     *
     * @param before what came of the boxes before this one
     * @param of     how many are asked of this one
     */
    public static Page of(LookSession.View view, List<ShortLook.Answer> before, int of) {
        List<String> lines = lines(before, view.answers());
        if (!view.trouble().isEmpty()) {
            return new Page(Tone.TROUBLE, view.trouble(), "", lines, false);
        }
        if (view.away()) {
            return new Page(Tone.TROUBLE, Texts.say("look.away"), "", lines, false);
        }
        String progress = Texts.say("look.progress", view.answers().size() + 1, of, view.presses());
        return view.asked()
                .map(ask -> new Page(
                        Tone.ASK,
                        ShortLook.asking(ask).text(),
                        view.unrecorded().isEmpty()
                                ? progress
                                : progress + " " + Texts.say("look.unrecorded", view.unrecorded()),
                        lines,
                        true))
                .orElseGet(() -> over(join(before, view.answers())));
    }

    /** The answer. */
    public static Page over(List<ShortLook.Answer> answers) {
        Tone tone = switch (ShortLook.verdict(answers)) {
            case GO_ON -> Tone.GOOD;
            case WATCH -> Tone.PLAIN;
            case MEND -> Tone.FOUND;
        };
        if (answers.isEmpty()) {
            return new Page(tone, Texts.say("look.nothing"), "", List.of(), false);
        }
        int minutes = answers.stream().mapToInt(ShortLook.Answer::minutes).sum();
        String said = ShortLook.said(answers).text();
        return new Page(
                tone,
                tone == Tone.FOUND ? Texts.say("look.mend.short", minutes) : said,
                tone == Tone.FOUND ? said : "",
                lines(answers, List.of()),
                false);
    }

    /** Something went wrong. */
    public static Page said(String why) {
        return new Page(Tone.TROUBLE, why, "", List.of(), false);
    }

    private static List<ShortLook.Answer> join(List<ShortLook.Answer> a, List<ShortLook.Answer> b) {
        List<ShortLook.Answer> all = new ArrayList<>(a);
        all.addAll(b);
        return all;
    }

    private static List<String> lines(List<ShortLook.Answer> a, List<ShortLook.Answer> b) {
        return join(a, b).stream().map(answer -> answer.said().text()).toList();
    }

    /** The panel, with what is asked ringed. */
    public static PanelModel.State panel(Plan plan, LookSession.View view) {
        PanelModel.State idle = PanelModel.idle(plan);
        Set<String> asked = new HashSet<>();
        view.asked().ifPresent(ask -> asked.add(ask.action().control()));
        Map<String, ControlState> controls = new LinkedHashMap<>();
        idle.controls()
                .forEach((id, was) -> controls.put(
                        id,
                        !asked.contains(id)
                                ? was
                                : new ControlState(
                                        was.on(),
                                        Set.of(view.asked()
                                                .orElseThrow()
                                                .action()
                                                .id()),
                                        was.status(),
                                        was.finding(),
                                        was.suspect(),
                                        was.word(),
                                        was.turn(),
                                        was.slide(),
                                        was.spoken())));
        return new PanelModel.State(controls, idle.extra());
    }
}
