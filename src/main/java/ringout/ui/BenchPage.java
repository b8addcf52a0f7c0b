package ringout.ui;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.geometry.Orientation;
import javafx.scene.control.SplitPane;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.check.CheckCommand;
import ringout.check.CheckView;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.model.ControlDetail;
import ringout.ui.model.Dials;
import ringout.ui.model.FindingsModel;
import ringout.ui.model.LoomModel;
import ringout.ui.model.PanelModel;
import ringout.ui.model.Reasoning;
import ringout.ui.model.SinceModel;
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
    private final NoticesView notices = new NoticesView();
    private final SplitPane drawings;
    private final SplitPane left;
    private Optional<Plan> plan = Optional.empty();
    private Dials dials;
    private PanelModel panelModel;
    private TapeStore store;
    private SessionView shown;
    private List<String> lastAsked = List.of();
    private Optional<Diagnosis> diagnosis = Optional.empty();
    private Optional<Reasoning.Next> next = Optional.empty();
    private boolean drawnByHand;

    BenchPage(FxLettering lettering, Consumer<CheckCommand> command, Runnable again, Consumer<ProbeReading> answer, Runnable keep) {
        getStyleClass().add("bench");
        setId("bench");
        panel = new PanelView(lettering);
        loom = new LoomView(lettering);
        tape = new TapeView(lettering);
        step = new StepView(lettering, command, again, answer, keep);
        findings = new FindingsView(card -> panel.point(card.control()), card -> loom.point(card.control()),
                card -> card.input().ifPresent(tape::reveal), this::drawn);
        panel.setDetail(id -> plan.flatMap(p -> p.control(id).map(c -> ControlDetail.of(p, c, store))).orElse(List.of()));
        panel.onPick(this::pick);
        loom.onPick(this::pick);
        drawings = new SplitPane(panel, loom);
        drawings.setDividerPositions(0.5);
        drawings.getStyleClass().add("drawings");
        left = new SplitPane(drawings, tape);
        left.setOrientation(Orientation.VERTICAL);
        left.setDividerPositions(0.68);
        SplitPane.setResizableWithParent(tape, false);
        VBox right = new VBox(notices, step, findings);
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

    /**
     * Draws a plan, and forgets what was shown of any box.
     *
     * @param plan empty to show the tape alone
     */
    void setPlan(Optional<Plan> plan) {
        this.plan = plan;
        this.dials = null;
        this.store = null;
        this.shown = null;
        this.lastAsked = List.of();
        left.getItems().setAll(plan.isPresent() ? List.of(drawings, tape) : List.of(tape));
        left.setDividerPositions(0.68);
        plan.ifPresent(panel::setPlan);
        panelModel = plan.map(PanelModel::new).orElse(null);
        plan.ifPresent(loom::setPlan);
        tape.clear();
        this.diagnosis = Optional.empty();
        this.next = Optional.empty();
        this.drawnByHand = false;
        findings.show(List.of(), List.of());
        findings.since(Optional.empty());
        notices.show(List.of());
    }

    /**
     * Shows an explanation of what was observed so far; empty for none.
     *
     * @param probes what a multimeter showed
     */
    void explain(Optional<Diagnosis> said, List<ProbeResult> probes) {
        diagnosis = said;
        next = plan.isPresent() ? said.flatMap(d -> Reasoning.next(plan.get(), d, probes)) : Optional.empty();
        drawnByHand = false;
        if (shown != null && plan.isPresent()) {
            reason(shown);
        }
    }

    /** The explanation that is shown. */
    Optional<Diagnosis> diagnosis() {
        return diagnosis;
    }

    /** Offers to keep a report of the check, or not. */
    void offerReport(boolean possible) {
        step.offerReport(possible);
    }

    /** What an answer of the meter would be about. */
    Optional<Reasoning.Next> next() {
        return next;
    }

    /** The answer with that number on the card, from 1. */
    Optional<ProbeReading> answer(int number) {
        return step.answer(number);
    }

    /** Card, findings and the corrections on the loom, from snapshot and diagnosis. */
    private void reason(SessionView view) {
        boolean done = view.check().map(CheckView::finished).orElse(false);
        step.show(StepModel.of(view, diagnosis, next));
        List<Reasoning.Card> reasons = diagnosis.map(Reasoning::cards).orElse(List.of());
        findings.show(view.check().map(check -> FindingsModel.of(plan.orElseThrow(), check.findings())).orElse(List.of()), reasons);
        if (!drawnByHand) {
            Optional<LoomView.Probing> probing = done ? next.map(Reasoning.Next::probe)
                    .map(probe -> new LoomView.Probing(probe.pointA(), probe.pointB())) : Optional.empty();
            loom.suspect(reasons.isEmpty() ? List.of() : reasons.get(0).drawings().get(0), probing);
        }
    }

    private void drawn(List<Fault> faults) {
        drawnByHand = true;
        loom.suspect(faults, Optional.empty());
    }

    /** What has changed since an earlier check. */
    void since(Optional<SinceModel.Card> card) {
        findings.since(card);
    }

    /** What to say above the next step. */
    void setNotices(List<NoticesView.Notice> list) {
        notices.show(list);
    }

    /** Lets the pointer work the drawn panel; nulls for not. */
    void workBy(Consumer<Action> press, Consumer<Action> release) {
        panel.onWork(press, release);
    }

    TapeView tape() {
        return tape;
    }

    /**
     * Shows a snapshot; called once per frame.
     *
     * @param now nanoseconds on the snapshot's scale; later than its own time where nothing has happened since
     */
    void show(SessionView view, long now) {
        if (store == null || store.layout() != view.layout()) {
            store = new TapeStore(view.layout());
            tape.open(store, TapeRow.of(plan, view.layout()));
        }
        words(view);
        store.follow(view.edges(), view.state(), now);
        tape.frame(now, view.edges().dropped() + view.edges().size());
    }

    /** Shows a recording, standing still. */
    void show(RecordingOpened recording) {
        setPlan(recording.plan().map(PlanInUse::plan));
        store = recording.store();
        tape.open(store, TapeRow.of(plan, store.layout()));
        words(recording.view());
        tape.showAll();
        tape.frame(store.to(), 0);
    }

    /** Everything but the tape; only where there is news. */
    private void words(SessionView view) {
        if (!isNews(view)) {
            return;
        }
        if (plan.isPresent()) {
            if (dials == null) {
                dials = new Dials(plan.get(), view.layout());
            }
            dials.follow(view.edges());
            panel.show(panelModel.now(Optional.of(view.state()), view.check(), dials));
            if (shown == null || !sameSwitches(view.state(), shown.state())) {
                loom.show(LoomModel.of(plan.get(), view.state()));
            }
            view.check().ifPresent(check -> {
                List<String> asked = check.prompt().actions();
                if (!asked.equals(lastAsked)) {
                    lastAsked = asked;
                    asked.stream().findFirst().flatMap(plan.get()::action).flatMap(Action::input).ifPresent(tape::follow);
                }
            });
        }
        boolean moved = shown == null || !view.check().equals(shown.check()) || !view.diagnosis().equals(shown.diagnosis()) || view.link() != shown.link()
                || !view.message().equals(shown.message());
        shown = view;
        if (plan.isPresent() && view.check().isPresent()) {
            if (moved) {
                reason(view);
            }
        } else {
            step.show(StepModel.of(view));
        }
    }

    private static boolean sameSwitches(InputState one, InputState other) {
        if (one.layout() != other.layout()) {
            return false;
        }
        for (int i = 0; i < one.words(); i++) {
            if (one.word(i) != other.word(i)) {
                return false;
            }
        }
        return true;
    }

    /** Whether a snapshot says anything but that time has passed. */
    private boolean isNews(SessionView view) {
        return shown == null || view.reports() != shown.reports() || view.link() != shown.link()
                || !view.message().equals(shown.message()) || !view.notes().equals(shown.notes())
                || !view.check().equals(shown.check()) || !view.diagnosis().equals(shown.diagnosis());
    }

    private void pick(String control) {
        panel.point(control);
        loom.point(control);
        Optional<Input> input = plan.flatMap(p -> p.control(control)).stream().flatMap(c -> c.actions().stream()).flatMap(a -> a.input().stream()).findFirst();
        input.ifPresent(tape::reveal);
    }
}
