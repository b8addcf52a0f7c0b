package ringout.ui.board;

import static ringout.ui.parts.Labels.words;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.SplitPane;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;
import ringout.check.BareBoard;
import ringout.check.Instruction;
import ringout.plan.Plan;
import ringout.ui.model.BoardModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.LoomSheet;
import ringout.words.Texts;

/** Cautions first, then two pins at a time, shown on the loom that is to be soldered to them; beside it each pin. */
public final class BoardPage extends BorderPane {
    private final LoomSheet loom;
    private final StepPane step;
    private final BigSentence caution;
    private final VBox before;
    private final Button begin = new Button(Texts.say("board.begin"));
    private final VBox lines = new VBox();
    private final Label said = words("empty-words");
    private final VBox sheet = new VBox();
    private final VBox column = new VBox();
    private Optional<BoardModel.Page> shown = Optional.empty();

    BoardPage(FxLettering lettering, Runnable onBegin, Consumer<Instruction> command, Runnable again) {
        getStyleClass().add("bench");
        setId("board-page");
        loom = new LoomSheet(lettering);
        step = new StepPane(lettering, command, again, reading -> {}, () -> {});
        caution = new BigSentence(lettering, 1);
        caution.setId("board-caution");
        caution.setWords(Texts.say("board.sentence", BareBoard.TOUCH_OHMS));
        begin.setId("board-begin");
        begin.getStyleClass().add("main-button");
        begin.setDefaultButton(true);
        begin.setMinWidth(USE_PREF_SIZE);
        begin.setOnAction(event -> {
            begin.setDisable(true);
            onBegin.run();
        });
        FlowPane doing = new FlowPane(begin);
        doing.getStyleClass().add("start-doing");
        before = new VBox(
                words(Texts.say("board.before"), "step-place"),
                caution,
                words(Texts.say("bare.caution", BareBoard.TOUCH_OHMS), "step-detail"),
                words(Texts.say("board.why", BareBoard.TOUCH_OHMS), "step-detail"),
                doing);
        before.getStyleClass().add("step");
        before.pseudoClassStateChanged(javafx.css.PseudoClass.getPseudoClass("trouble"), true);
        VBox told = new VBox(lines, said);
        told.getStyleClass().add("findings-list");
        lines.setId("board-lines");
        said.setId("board-said");
        sheet.getChildren().add(told);
        sheet.getStyleClass().add("findings");
        column.getStyleClass().add("docket");
        Docket right = new Docket(column);
        SplitPane all = new SplitPane(loom, right);
        all.setDividerPositions(0.55);
        SplitPane.setResizableWithParent(right, false);
        setCenter(all);
    }

    public void setEm(double em) {
        loom.setEm(em);
        step.setEm(em);
        caution.setEm(em);
    }

    /** The cautions, before any box is opened. */
    void begin(Plan plan) {
        shown = Optional.empty();
        loom.setPlan(plan);
        loom.suspect(List.of(), Optional.empty());
        say("");
        begin.setDisable(false);
        column.getChildren().setAll(before);
    }

    /** The keyboard where the next thing to do is. */
    public void focusFirst() {
        // What scrolls is on no scene before it has its style, and is then passed over.
        applyCss();
        begin.requestFocus();
    }

    void show(BoardModel.Page page) {
        if (shown.filter(page::equals).isPresent()) {
            return;
        }
        if (shown.isEmpty()) {
            column.getChildren().setAll(step, sheet);
            requestFocus();
        }
        shown = Optional.of(page);
        step.show(page.card());
        loom.suspect(List.of(), page.tips());
        lines.getChildren()
                .setAll(page.lines().stream()
                        .map(line -> words(line, "finding-evidence"))
                        .toList());
    }

    /** What became of what was kept, or trouble; empty for nothing. */
    void say(String what) {
        said.setText(what);
        said.setVisible(!what.isEmpty());
        said.setManaged(!what.isEmpty());
    }
}
