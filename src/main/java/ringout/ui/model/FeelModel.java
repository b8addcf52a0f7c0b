package ringout.ui.model;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import ringout.feel.FeelResult;
import ringout.feel.FeelView;
import ringout.feel.FeelWords;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What the page for finding by feel shows. */
public final class FeelModel {
    private FeelModel() {}

    /**
     * @param sentence the name, or what to do
     * @param progress how far it is
     * @param last     what the last trial came to, and trouble
     * @param canRest  whether a pause can begin or end
     */
    public record Page(String sentence, String progress, String last, boolean canRest) {}

    /** The panel with the pairs that are confused. */
    public record Marked(PanelModel.State panel) {}

    /**
     * Rounds as they stand.
     *
     * @param trouble    why nothing more will come; empty while reports may
     * @param unrecorded why the recording does not grow; empty while all is well
     */
    public static Page page(FeelView view, FeelWords words, String trouble, String unrecorded) {
        String last = view.trials().isEmpty()
                ? ""
                : words.trial(view.trials().get(view.trials().size() - 1)).text();
        String said = unrecorded.isEmpty() ? last : Texts.say("feel.unrecorded", unrecorded);
        return new Page(
                FeelWords.asked(view).text(),
                FeelWords.progress(view).text(),
                trouble.isEmpty() ? said : trouble,
                view.stage() != FeelView.Stage.AWAY && view.stage() != FeelView.Stage.DONE);
    }

    /** Something went wrong. */
    public static Page said(String why) {
        return new Page(why, "", "", false);
    }

    /** The panel at rest, with what each confused control is taken for, and how far that is. */
    public static Marked marked(Plan plan, FeelResult result) {
        Map<String, String> words = new HashMap<>();
        Map<String, String> far = new HashMap<>();
        for (FeelResult.Confusion pair : result.confusions()) {
            // Under a control there is room for a figure.
            String word = pair.spacing()
                    .map(mm -> Texts.say("feel.apart", Phrase.decimal(mm, 0)))
                    .orElse("");
            far.merge(pair.a(), word, (a, b) -> a + ", " + b);
            far.merge(pair.b(), word, (a, b) -> a + ", " + b);
            mark(words, plan, pair.a(), pair.b(), pair);
            mark(words, plan, pair.b(), pair.a(), pair);
        }
        PanelModel.State idle = PanelModel.idle(plan);
        Map<String, ControlState> controls = new LinkedHashMap<>();
        idle.controls().forEach((id, state) -> {
            String word = words.get(id);
            controls.put(
                    id,
                    word == null
                            ? state
                            : new ControlState(
                                    state.on(),
                                    state.asked(),
                                    state.status(),
                                    state.finding(),
                                    true,
                                    far.getOrDefault(id, ""),
                                    state.turn(),
                                    state.slide(),
                                    state.spoken() + ", " + word));
        });
        return new Marked(new PanelModel.State(controls, idle.extra()));
    }

    private static void mark(Map<String, String> words, Plan plan, String id, String other, FeelResult.Confusion pair) {
        String label = plan.control(other).map(c -> c.label()).orElse(other);
        Phrase spacing = pair.spacing()
                .map(mm -> Phrase.of("feel.spacing", Phrase.decimal(mm, 0)))
                .orElse(Phrase.none());
        words.merge(id, Texts.say("feel.taken-for", label, spacing), (a, b) -> a + "; " + b);
    }
}
