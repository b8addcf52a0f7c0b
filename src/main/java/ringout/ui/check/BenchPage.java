package ringout.ui.check;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.scene.control.Button;
import javafx.scene.control.SplitPane;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.Instruction;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.drawing.FaultSketch;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.files.RecordingOpened;
import ringout.ui.model.FindingsModel;
import ringout.ui.model.Reasoning;
import ringout.ui.model.SinceModel;
import ringout.ui.model.StepModel;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.DrawnBox;
import ringout.ui.sheets.TapePane;
import ringout.words.Texts;

/** The bench at work: panel and loom, the tape under them, and at the right the next step and what was found. */
public final class BenchPage extends BorderPane {
    private final DrawnBox drawn;
    private final StepPane step;
    private final FindingsPane findings;
    private final NoticesPane notices = new NoticesPane();
    private final Docket side;
    private final Consumer<String> hunt;
    private final Button ready;
    private Runnable onReady = () -> {};
    private Optional<Plan> plan = Optional.empty();
    private @Nullable SessionView shown;
    private Optional<Diagnosis> diagnosis = Optional.empty();
    private Optional<Reasoning.Verdict> verdict = Optional.empty();
    private Optional<Reasoning.Next> next = Optional.empty();
    /** Why no explanation is shown beside the findings; empty where one is, or none is to be expected. */
    private String working = "";

    private boolean drawnByHand;

    /**
     * @param hunt is to find out why a control is dead
     * @param fit  is to change the plan so that a box with these faults fits it
     */
    public BenchPage(
            FxLettering lettering,
            Consumer<Instruction> command,
            Runnable again,
            Consumer<ProbeReading> answer,
            Runnable keep,
            Consumer<String> hunt,
            Consumer<List<Fault>> fit) {
        this.hunt = hunt;
        getStyleClass().add("bench");
        setId("bench");
        drawn = new DrawnBox(lettering);
        step = new StepPane(lettering, command, again, answer, keep);
        ready = StepPane.keyed(Texts.say("ready.about"), "Y", Texts.say("ready.about.help"), () -> onReady.run());
        ready.setId("ready");
        StepPane.shown(ready, false);
        step.add(List.of(ready));
        findings = new FindingsPane(
                card -> {
                    drawn.bring(drawn.panel());
                    drawn.panel().point(card.control());
                },
                card -> {
                    drawn.bring(drawn.loom());
                    drawn.loom().point(card.control());
                },
                card -> {
                    drawn.bring(drawn.tape());
                    card.input().ifPresent(drawn.tape()::reveal);
                },
                card -> hunt.accept(card.control()),
                this::drawn,
                fit);
        VBox right = new VBox(step, notices, findings);
        right.getStyleClass().add("docket");
        // As a whole, so that at any size and with large text each of them can be reached and none covers another.
        side = new Docket(right);
        drawn.setMinWidth(0);
        SplitPane all = new SplitPane(drawn, side);
        all.setMinWidth(0);
        all.setDividerPositions(0.69);
        SplitPane.setResizableWithParent(side, false);
        setCenter(all);
    }

    public void setEm(double em) {
        drawn.setEm(em);
        step.setEm(em);
        findings.setEm(em);
    }

    /**
     * Draws a plan, and forgets what was shown of any box.
     *
     * @param plan empty to show the tape alone
     */
    public void setPlan(Optional<Plan> plan) {
        this.plan = plan;
        this.shown = null;
        drawn.setPlan(plan);
        this.diagnosis = Optional.empty();
        this.verdict = Optional.empty();
        this.next = Optional.empty();
        this.working = "";
        this.drawnByHand = false;
        findings.show(List.of(), List.of(), "");
        findings.since(Optional.empty());
        findings.axes(List.of());
        notices.show(List.of());
    }

    /**
     * Shows an explanation of what was observed so far; empty for none.
     *
     * @param probes what a multimeter showed
     */
    public void explain(Optional<Diagnosis> said, List<ProbeResult> probes) {
        diagnosis = said;
        verdict = plan.flatMap(p -> said.flatMap(d -> Reasoning.verdict(p, d)));
        next = plan.flatMap(p -> said.flatMap(d -> Reasoning.next(p, d, probes)));
        working = "";
        drawnByHand = false;
        if (shown != null && plan.isPresent()) {
            reason(shown);
        }
    }

    /**
     * The findings are not explained yet: what was said of others before is not shown beside them.
     *
     * @param words that say so
     */
    void working(String words) {
        if (!working.equals(words)) {
            explain(Optional.empty(), List.of());
            working = words;
            if (shown != null && plan.isPresent()) {
                reason(shown);
            }
        }
    }

    /** The explanation that is shown. */
    Optional<Diagnosis> diagnosis() {
        return diagnosis;
    }

    /** Offers to keep a report of the check, or not. */
    void offerReport(boolean possible) {
        step.offerReport(possible);
        StepPane.shown(ready, possible);
    }

    /** Offers to find out why a control is dead, or not. */
    void offerHunt(boolean possible) {
        drawn.panel().onHunt(possible ? hunt : null);
        findings.offerHunt(possible);
    }

    /** Offers to change the plan where that makes good what was found, or not. */
    void offerFit(boolean possible) {
        findings.offerFit(possible);
    }

    /** The control on the panel that the keyboard is at. */
    Optional<String> focused() {
        return drawn.focused();
    }

    /** What an answer of the meter would be about. */
    Optional<Reasoning.Next> next() {
        return next;
    }

    /** The answer on the card whose number that key is. */
    Optional<ProbeReading> answer(KeyEvent event) {
        return step.answer(event);
    }

    /** Card, findings and the corrections on the loom, from snapshot and diagnosis. */
    private void reason(SessionView view) {
        boolean done = view.check().map(CheckView::finished).orElse(false);
        drawn.loom().mendable(done);
        step.show(StepModel.of(view, diagnosis, verdict, next));
        List<Reasoning.Card> reasons = diagnosis.map(Reasoning::cards).orElse(List.of());
        findings.show(
                view.check()
                        .map(check -> FindingsModel.of(plan.orElseThrow(), check.findings()))
                        .orElse(List.of()),
                reasons,
                diagnosis.filter(Diagnosis::unexplained).isPresent() && !done
                        ? Texts.say("findings.unexplained")
                        : working);
        findings.axes(done ? view.figures().map(FindingsModel::axes).orElse(List.of()) : List.of());
        if (!drawnByHand) {
            Optional<FaultSketch.Tips> probing = done
                    ? next.map(Reasoning.Next::probe).map(probe -> new FaultSketch.Tips(probe.pointA(), probe.pointB()))
                    : Optional.empty();
            drawn.loom()
                    .suspect(
                            reasons.isEmpty()
                                    ? List.of()
                                    : reasons.get(0).drawings().get(0),
                            probing);
        }
    }

    private void drawn(List<Fault> faults) {
        drawnByHand = true;
        drawn.bring(drawn.loom());
        drawn.loom().suspect(faults, Optional.empty());
    }

    /** Another check of the same plan begins: nothing that was chosen in the one before stays so. */
    void begin() {
        side.toTop();
        drawn.unpoint();
    }

    /** @param told takes what somebody says to have mended */
    void onMended(Consumer<SinceModel.Choice> told) {
        findings.onMended(told);
    }

    /** @param said takes what somebody wants to be remembered */
    void onRemark(Consumer<SinceModel.Said> said) {
        findings.onRemark(said);
    }

    /** @param asked is to say whether the box is ready for play */
    void onReady(Runnable asked) {
        onReady = asked;
    }

    /** What has changed since an earlier check. */
    void since(Optional<SinceModel.Card> card) {
        findings.since(card);
    }

    /** What to say under the next step; once the check is over, what is new there is brought in sight, since it answers a click. */
    public void setNotices(List<NoticesPane.Notice> list) {
        if (notices.show(list)
                && shown != null
                && shown.check().map(CheckView::finished).orElse(true)) {
            side.reveal(notices);
        }
    }

    /** Lets the pointer work the drawn panel; nulls for not. */
    void workBy(@Nullable Consumer<Action> press, @Nullable Consumer<Action> release) {
        drawn.panel().onWork(press, release);
    }

    /** Lets a click on the loom mend a box to practise on, once its check is over: takes the place; null for not. */
    void mendBy(@Nullable Consumer<String> mend) {
        drawn.loom().onMend(mend);
    }

    TapePane tape() {
        return drawn.tape();
    }

    /**
     * Shows a snapshot; called once per frame.
     *
     * @param now nanoseconds on the snapshot's scale; later than its own time where nothing has happened since
     */
    public void show(SessionView view, long now) {
        drawn.show(view, now);
        words(view);
    }

    /** Shows a recording, standing still. */
    public void show(RecordingOpened recording) {
        setPlan(recording.plan().map(PlanInUse::plan));
        drawn.show(recording.view(), recording.store());
        words(recording.view());
    }

    /** Card and findings; only where there is news. */
    private void words(SessionView view) {
        if (!isNews(view)) {
            return;
        }
        boolean moved = shown == null
                || !view.check().equals(shown.check())
                || !view.diagnosis().equals(shown.diagnosis())
                || view.link() != shown.link()
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

    /** Whether a snapshot says anything but that time has passed. */
    private boolean isNews(SessionView view) {
        return shown == null
                || view.reports() != shown.reports()
                || view.link() != shown.link()
                || !view.message().equals(shown.message())
                || !view.notes().equals(shown.notes())
                || !view.check().equals(shown.check())
                || !view.diagnosis().equals(shown.diagnosis());
    }
}
