package ringout.ui.model;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.PinList;
import ringout.plan.Plan;
import ringout.plan.PlanEditException;
import ringout.plan.PlanReader;
import ringout.words.Phrase;
import ringout.words.Texts;

/** The questions for a new box, and the plan that the answers give. */
public final class NewBoxModel {
    private NewBoxModel() {}

    /**
     * The answers as they stand in the form.
     *
     * @param name       of the box
     * @param counts     how many of each part
     * @param style      how to wire
     * @param pins       the board's free digital pins, as written
     * @param analogPins likewise
     * @param width      of the panel in millimetres, as written; blank for one that fits
     * @param height     likewise
     * @param numbering  how the firmware numbers the buttons
     * @param firstButton the lowest number, as written
     */
    public record Form(
            String name,
            Map<NewBox.Part, Integer> counts,
            int positions,
            EditorModel.Style style,
            String pins,
            String analogPins,
            String width,
            String height,
            NumberScheme.Way numbering,
            String firstButton) {
        public Form {
            counts = counts.isEmpty() ? Map.of() : java.util.Collections.unmodifiableMap(new EnumMap<>(counts));
        }

        /** What the form begins with. */
        public static Form first() {
            return new Form(
                    Texts.say("new-box.first-name"),
                    Map.of(),
                    4,
                    EditorModel.Style.MATRIX_WITH_DIODES,
                    "2-10, 14-16",
                    "A0-A3",
                    "",
                    "",
                    NumberScheme.Way.BY_ROWS,
                    "1");
        }
    }

    /**
     * What the answers give.
     *
     * @param yaml    the plan's text; empty where the answers do not give one yet
     * @param plan    the plan in it
     * @param words   what it takes, or what is missing
     * @param missing true where nothing can be planned yet
     * @param apart   true where switches that stay on were kept out of a matrix without diodes
     */
    public record Outcome(Optional<String> yaml, Optional<Plan> plan, String words, boolean missing, boolean apart) {
        static Outcome missing(String words) {
            return new Outcome(Optional.empty(), Optional.empty(), words, true, false);
        }
    }

    public static Outcome of(Form form) {
        int controls =
                form.counts().values().stream().mapToInt(Integer::intValue).sum();
        if (controls == 0) {
            return Outcome.missing(Texts.say("new-box.none"));
        }
        if (form.name().isBlank()) {
            return Outcome.missing(Texts.say("editor.refusal.name"));
        }
        try {
            List<String> pins = PinList.parse(form.pins());
            String yaml = NewBox.yaml(new NewBox.Answers(
                    form.name().strip(),
                    form.counts(),
                    form.positions(),
                    form.style() != EditorModel.Style.DIRECT,
                    form.style() == EditorModel.Style.MATRIX_WITH_DIODES,
                    pins,
                    PinList.parse(form.analogPins()),
                    panel(form),
                    Optional.of(new NumberScheme(form.numbering(), first(form.firstButton())))));
            Plan plan = PlanReader.read(yaml, "new.yaml").plan().orElseThrow();
            Plan.Panel panel = plan.panel().orElseThrow();
            return new Outcome(
                    Optional.of(yaml),
                    Optional.of(plan),
                    Texts.say(
                                    "new-box.takes",
                                    controls,
                                    plan.lines().size(),
                                    pins.size(),
                                    Math.round(panel.width()),
                                    Math.round(panel.height()))
                            + otherwise(form, plan),
                    false,
                    apart(form, plan));
        } catch (PlanEditException cannot) {
            String why = cannot.getMessage();
            return Outcome.missing(Character.toUpperCase(why.charAt(0)) + why.substring(1) + ".");
        }
    }

    /** Where the wiring is another than was chosen, which, and why; empty where it is as chosen. */
    private static String otherwise(Form form, Plan plan) {
        if (form.style() == EditorModel.Style.DIRECT) {
            return "";
        }
        if (plan.lines(Line.Kind.ROW).isEmpty()) {
            return " " + Texts.say("new-box.no-matrix");
        }
        return apart(form, plan) ? " " + Texts.say("new-box.latching") : "";
    }

    private static boolean apart(Form form, Plan plan) {
        return form.style() == EditorModel.Style.MATRIX
                && !plan.lines(Line.Kind.ROW).isEmpty()
                && plan.controls().stream().anyMatch(Control::latching);
    }

    private static Optional<Plan.Panel> panel(Form form) {
        if (form.width().isBlank() && form.height().isBlank()) {
            return Optional.empty();
        }
        return Optional.of(
                new Plan.Panel(length(form.width()), length(form.height()), Optional.empty(), Optional.empty()));
    }

    private static int first(String written) {
        String text = written.strip();
        if (!text.matches("[1-9]\\d{0,2}") || Integer.parseInt(text) > NumberScheme.MOST_FIRST) {
            throw new PlanEditException(Phrase.of("new-box.first", NumberScheme.MOST_FIRST));
        }
        return Integer.parseInt(text);
    }

    private static double length(String written) {
        String text = written.strip().replace(',', '.').replaceAll("\\s*mm$", "");
        if (!text.matches("\\d{2,4}(\\.\\d{1,2})?")) {
            throw new PlanEditException(Phrase.of("new-box.panel"));
        }
        return Double.parseDouble(text);
    }
}
