package ringout.ui;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.geometry.Orientation;
import javafx.scene.control.SplitPane;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import ringout.bench.SessionView;
import ringout.check.CheckCommand;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.model.Dials;
import ringout.ui.model.FindingsModel;
import ringout.ui.model.LoomModel;
import ringout.ui.model.PanelModel;
import ringout.ui.model.StepModel;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;

/** The bench at work: panel and loom, the tape under them, and at the right the next step and what was found. */
final class BenchPage extends BorderPane {
    private final PanelView panel;
    private final LoomView loom;
    private final TapeView tape;
    private final StepView step;
    private final FindingsView findings;
    private Plan plan;
    private Dials dials;
    private TapeStore store;
    private SessionView shown;
    private List<String> lastAsked = List.of();

    BenchPage(FxLettering lettering, Consumer<CheckCommand> command) {
        getStyleClass().add("bench");
        setId("bench");
        panel = new PanelView(lettering);
        loom = new LoomView(lettering);
        tape = new TapeView(lettering);
        step = new StepView(lettering, command);
        findings = new FindingsView(card -> panel.point(card.control()), card -> loom.point(card.control()),
                card -> card.input().ifPresent(tape::reveal));
        panel.onPick(this::pick);
        loom.onPick(this::pick);
        SplitPane drawings = new SplitPane(panel, loom);
        drawings.setDividerPositions(0.5);
        drawings.getStyleClass().add("drawings");
        SplitPane left = new SplitPane(drawings, tape);
        left.setOrientation(Orientation.VERTICAL);
        left.setDividerPositions(0.68);
        SplitPane.setResizableWithParent(tape, false);
        VBox right = new VBox(step, findings);
        right.getStyleClass().add("docket");
        VBox.setVgrow(findings, Priority.ALWAYS);
        right.setMinWidth(0);
        SplitPane all = new SplitPane(left, right);
        all.setDividerPositions(0.69);
        SplitPane.setResizableWithParent(right, false);
        setCenter(all);
    }

    void setEm(double em) {
        panel.setEm(em);
        loom.setEm(em);
        tape.setEm(em);
        step.setEm(em);
        findings.setEm(em);
    }

    /** Draws a plan, and forgets what was shown of any box. */
    void setPlan(Plan plan) {
        this.plan = plan;
        this.dials = null;
        this.store = null;
        this.shown = null;
        panel.setPlan(plan);
        loom.setPlan(plan);
        tape.clear();
        findings.show(List.of());
    }

    /** Lets the pointer work the drawn panel; nulls for not. */
    void workBy(Consumer<Action> press, Consumer<Action> release) {
        panel.onWork(press, release);
    }

    TapeView tape() {
        return tape;
    }

    /** Shows a snapshot; called once per frame. */
    void show(SessionView view) {
        if (plan == null) {
            return;
        }
        if (store == null || store.layout() != view.layout()) {
            store = new TapeStore(view.layout());
            dials = new Dials(plan, view.layout());
            tape.open(store, TapeRow.of(plan, view.layout()));
        }
        boolean news = isNews(view);
        if (news) {
            dials.follow(view.edges());
            panel.show(PanelModel.of(plan, Optional.of(view.state()), view.check(), dials));
            loom.show(LoomModel.of(plan, view.state()));
            step.show(StepModel.of(view));
            view.check().ifPresent(check -> {
                findings.show(FindingsModel.of(plan, check.findings()));
                List<String> asked = check.prompt().actions();
                if (!asked.equals(lastAsked)) {
                    lastAsked = asked;
                    asked.stream().findFirst().flatMap(plan::action).flatMap(Action::input).ifPresent(tape::follow);
                }
            });
            shown = view;
        }
        store.follow(view.edges(), view.state(), view.nanos());
        tape.frame(view.nanos(), view.edges().dropped() + view.edges().size());
    }

    /** Whether a snapshot says anything but that time has passed. */
    private boolean isNews(SessionView view) {
        return shown == null || view.reports() != shown.reports() || view.link() != shown.link()
                || !view.message().equals(shown.message()) || !view.notes().equals(shown.notes())
                || !view.check().equals(shown.check());
    }

    private void pick(String control) {
        panel.point(control);
        loom.point(control);
        Optional<Input> input = plan.control(control).stream().flatMap(c -> c.actions().stream()).flatMap(a -> a.input().stream()).findFirst();
        input.ifPresent(tape::reveal);
    }
}
