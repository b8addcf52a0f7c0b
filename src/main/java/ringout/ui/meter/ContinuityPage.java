package ringout.ui.meter;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import javafx.geometry.Pos;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.SplitPane;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;
import ringout.check.Instruction;
import ringout.circuit.Circuit;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.Diagnosis;
import ringout.drawing.FaultSketch;
import ringout.plan.Plan;
import ringout.ui.background.DiagnosisRun;
import ringout.ui.model.ContinuityModel;
import ringout.ui.model.Reasoning;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Docket;
import ringout.ui.parts.ExplanationCard;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.LoomSheet;
import ringout.words.Texts;

/** The multimeter checklist before the first power-on: cautions first, then one probe at a time with its two points on the loom. */
public final class ContinuityPage extends BorderPane {
    /** What the page can set going. */
    public interface Actions {
        /** Every step was done; the readings are evidence. */
        void measured(ContinuityRun.Outcome outcome);

        void leave();

        /** What was found is not explained. */
        void failed(String why);
    }

    private final Actions actions;
    private final LoomSheet loom;
    private final StepPane step;
    private final BigSentence caution;
    private final VBox before = new VBox();
    private final VBox todo = new VBox();
    private final Button begin = new Button(Texts.say("meter.begin"));
    private final Button singly = new Button(Texts.say("meter.long"));
    private final Button goOn = new Button(Texts.say("meter.go-on"));
    private final Button again = new Button(Texts.say("meter.again"));
    private final Button done = new Button(Texts.say("meter.done"));
    private final FlowPane after = new FlowPane(done, again);
    private final Label sweepWords = new Label();
    private final VBox wrong = new VBox();
    private final VBox column = new VBox();
    /** Checklists that were left before their end. */
    private final Map<Plan, ContinuityRun> halfway = new HashMap<>();

    // What is measured: setPlan() takes it, and nothing is shown before.
    @SuppressWarnings("NullAway.Init")
    private Plan plan;

    @SuppressWarnings("NullAway.Init")
    private Circuit circuit;

    @SuppressWarnings("NullAway.Init")
    private ContinuityRun run;

    private Optional<Diagnosis> diagnosis = Optional.empty();
    private @Nullable DiagnosisRun diagnosing;
    private boolean begun;

    public ContinuityPage(FxLettering lettering, Actions actions) {
        this.actions = actions;
        setId("continuity");
        getStyleClass().add("bench");
        loom = new LoomSheet(lettering);
        step = new StepPane(lettering, this::command, () -> {}, this::answer, () -> {});
        caution = new BigSentence(lettering, 1);
        caution.setId("caution");
        caution.setWords(Texts.say("meter.caution"));
        todo.getStyleClass().add("todo");
        begin.setId("begin-measuring");
        begin.getStyleClass().add("main-button");
        begin.setMinWidth(Region.USE_PREF_SIZE);
        begin.setOnAction(event -> begin(ContinuityRun.inSweeps(circuit)));
        singly.setId("begin-singly");
        singly.setMinWidth(Region.USE_PREF_SIZE);
        singly.setOnAction(event -> begin(ContinuityRun.of(circuit)));
        goOn.setId("go-on-measuring");
        goOn.setMinWidth(Region.USE_PREF_SIZE);
        goOn.getStyleClass().add("main-button");
        goOn.setOnAction(event -> begin(run));
        FlowPane ways = new FlowPane(goOn, begin, singly);
        ways.getStyleClass().add("start-doing");
        sweepWords.getStyleClass().add("step-detail");
        sweepWords.setWrapText(true);
        sweepWords.setMinHeight(USE_PREF_SIZE);
        Label place = new Label(Texts.say("meter.before"));
        place.getStyleClass().add("step-place");
        before.getChildren().addAll(place, caution, todo, ways, sweepWords);
        before.getStyleClass().add("step");
        before.pseudoClassStateChanged(javafx.css.PseudoClass.getPseudoClass("trouble"), true);
        again.setId("measure-again");
        again.setMinWidth(Region.USE_PREF_SIZE);
        again.setOnAction(event -> anew());
        done.setId("measure-done");
        done.setMinWidth(Region.USE_PREF_SIZE);
        done.setOnAction(event -> actions.leave());
        after.getStyleClass().add("step-buttons");
        after.setAlignment(Pos.CENTER_LEFT);
        wrong.getStyleClass().add("findings-list");
        wrong.setId("wrong");
        column.getStyleClass().add("docket");
        Docket right = new Docket(column);
        SplitPane split = new SplitPane(loom, right);
        split.setDividerPositions(0.58);
        setCenter(split);
        addEventFilter(KeyEvent.KEY_PRESSED, this::key);
    }

    public void setEm(double em) {
        loom.setEm(em);
        step.setEm(em);
        caution.setEm(em);
    }

    /** Begins a checklist, with the cautions; one of the same plan that was left halfway can be gone on with. */
    public void setPlan(Plan next) {
        if (run != null) {
            halfway.put(plan, run);
        }
        plan = next;
        circuit = Circuit.of(next);
        loom.setPlan(next);
        anew();
        ContinuityRun before = halfway.remove(next);
        if (before != null && before.step().isPresent() && !before.taken().isEmpty()) {
            run = before;
            refresh();
            goOn.requestFocus();
        }
    }

    private void anew() {
        close();
        begun = false;
        diagnosis = Optional.empty();
        diagnosing = new DiagnosisRun(plan, this::said, actions::failed);
        run = ContinuityRun.inSweeps(circuit);
        sweepWords.setText(Texts.say("meter.begin.help", run.sweeps().size()) + ". "
                + Texts.say("meter.long") + ": "
                + Texts.say("meter.long.help", run.steps().size()) + ".");
        todo.getChildren()
                .setAll(Continuity.preparation(plan).stream()
                        .map(todo -> item(todo.text()))
                        .toList());
        refresh();
        begin.requestFocus();
    }

    private static Label item(String words) {
        Label label = new Label("–  " + words);
        label.setWrapText(true);
        label.setMinHeight(USE_PREF_SIZE);
        label.getStyleClass().add("step-detail");
        return label;
    }

    /** Ends what runs behind the page. */
    public void close() {
        if (diagnosing != null) {
            diagnosing.close();
            diagnosing = null;
        }
    }

    public ContinuityRun run() {
        return run;
    }

    private void begin(ContinuityRun from) {
        run = from;
        begun = true;
        refresh();
        // The card's own keys answer; focus must not stay on a button that is gone.
        requestFocus();
    }

    private void answer(ProbeReading reading) {
        change(r -> r.sweep().filter(s -> reading != s.steps().get(0).good()).isPresent()
                ? r.oneByOne()
                : r.answer(reading));
    }

    private void command(Instruction command) {
        change(
                command == Instruction.UNDO
                        ? ContinuityRun::back
                        : command == Instruction.SKIP ? ContinuityRun::skip : r -> r);
    }

    private void change(UnaryOperator<ContinuityRun> change) {
        boolean ended = run.step().isEmpty();
        run = change.apply(run);
        diagnosis = Optional.empty();
        if (run.step().isEmpty() && !ended) {
            ContinuityRun.Outcome outcome = run.outcome();
            if (outcome.toExplain() && diagnosing != null) {
                diagnosing.explain(List.of(), outcome.evidence(), true);
            }
            actions.measured(outcome);
        }
        refresh();
        requestFocus();
    }

    private void said(Diagnosis said) {
        if (run.step().isEmpty()) {
            diagnosis = Optional.of(said);
            refresh();
        }
    }

    private void refresh() {
        column.getChildren().clear();
        if (!begun) {
            boolean left = !run.taken().isEmpty();
            goOn.setVisible(left);
            goOn.setManaged(left);
            begin.getStyleClass().removeAll("main-button");
            if (!left) {
                begin.getStyleClass().add("main-button");
            }
            column.getChildren().add(before);
            loom.suspect(List.of(), Optional.empty());
            return;
        }
        step.show(ContinuityModel.card(run, diagnosis));
        column.getChildren().add(step);
        boolean ended = run.step().isEmpty();
        loom.suspect(List.of(), run.step().map(s -> new FaultSketch.Tips(s.red(), s.black())));
        List<ContinuityRun.Wrong> found = run.outcome().wrong();
        if (ended) {
            // What comes next stands out: measuring again after a mistake was mended, else going on.
            Button next = found.isEmpty() ? done : again;
            Button other = found.isEmpty() ? again : done;
            next.getStyleClass().remove("main-button");
            other.getStyleClass().remove("main-button");
            next.getStyleClass().add("main-button");
            after.getChildren().setAll(next, other);
            column.getChildren().add(after);
        }
        wrong.getChildren().clear();
        if (ended) {
            diagnosis
                    .map(Reasoning::cards)
                    .orElse(List.of())
                    .forEach(card -> wrong.getChildren()
                            .add(new ExplanationCard(card, faults -> loom.suspect(faults, Optional.empty()))));
            diagnosis
                    .map(Reasoning::cards)
                    .filter(c -> !c.isEmpty() && !c.get(0).drawings().isEmpty())
                    .ifPresent(c -> loom.suspect(c.get(0).drawings().get(0), Optional.empty()));
        }
        if (!found.isEmpty()) {
            Label heading = new Label(Texts.say("meter.wrong"));
            heading.getStyleClass().add("heading");
            wrong.getChildren().add(heading);
            found.forEach(w -> wrong.getChildren().add(item(w.text() + ".")));
        }
        if (!wrong.getChildren().isEmpty()) {
            VBox sheet = new VBox(wrong);
            sheet.getStyleClass().add("findings");
            column.getChildren().add(sheet);
        }
    }

    private void key(KeyEvent event) {
        if (!begun || event.isShortcutDown() || event.isAltDown()) {
            return;
        }
        switch (event.getCode()) {
            case S -> command(Instruction.SKIP);
            case U -> command(Instruction.UNDO);
            default -> {
                Optional<ProbeReading> reading = step.answer(event);
                if (reading.isEmpty()) {
                    return;
                }
                answer(reading.get());
            }
        }
        event.consume();
    }
}
