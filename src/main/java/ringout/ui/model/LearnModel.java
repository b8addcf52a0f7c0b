package ringout.ui.model;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.learn.LearnView;
import ringout.naming.Names;
import ringout.plan.Control;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What was learned of a box, as a list and as a plan to draw. */
public final class LearnModel {
    private LearnModel() {}

    /**
     * One control that was learned.
     *
     * @param detail what it is, what it reports, and what is not certain
     */
    public record Row(String label, String detail) {}

    /** In the order learned. */
    public static List<Row> rows(LearnView view) {
        return view.learned().stream()
                .map(c -> new Row(c.label(), detail(c, view.remarks().getOrDefault(c.id(), ""))))
                .toList();
    }

    private static String detail(Control control, String remark) {
        List<Phrase> inputs = control.actions().stream()
                .flatMap(a -> a.input().stream())
                .map(Input::words)
                .toList();
        return Names.part(NewBox.Part.of(control)) + ": " + Phrase.commas(inputs)
                + (remark.isEmpty() ? "" : ". " + Texts.say("learn.mind", remark));
    }

    /** The controls as a plan without places or wiring; empty where there is none yet. */
    public static Optional<Plan> plan(LearnView view) {
        return view.learned().isEmpty()
                ? Optional.empty()
                : Optional.of(new Plan(
                        new Plan.Box("", Optional.empty(), Optional.empty(), Optional.empty()),
                        Optional.empty(),
                        List.of(),
                        new Scan(Scan.Drive.ROWS, Scan.Active.LOW, Scan.DirectTo.GROUND, 0),
                        view.learned()));
    }
}
