package ringout.ui.ready;

import static ringout.ui.parts.Labels.words;

import java.util.List;
import javafx.css.PseudoClass;
import javafx.geometry.Insets;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import ringout.ui.model.ReadyModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.words.Texts;

/** How many things may not come through, and each with its figure and what to change. */
public final class ReadyPage extends BorderPane {
    private final BigSentence sentence;
    private final Label detail = words("step-detail");
    private final Label said = words("step-counts");
    private final Label limits = words("empty-words");
    private final Button save = new Button(Texts.say("ready.save"));
    private final VBox first;
    private final VBox points = new VBox();

    ReadyPage(FxLettering lettering, Runnable onSave, Runnable onBack) {
        getStyleClass().add("bench");
        setId("ready-page");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("ready-sentence");
        detail.setId("ready-detail");
        said.setId("ready-said");
        limits.setId("ready-limits");
        save.setId("ready-save");
        save.setTooltip(new Tooltip(Texts.say("ready.save.help")));
        save.setOnAction(event -> onSave.run());
        Button back = new Button(Texts.say("ready.back"));
        back.setId("ready-back");
        back.setOnAction(event -> onBack.run());
        FlowPane doing = new FlowPane(back, save);
        doing.getStyleClass().add("start-doing");
        first = new VBox(sentence, detail, doing, said);
        first.getStyleClass().add("step");
        VBox rest = new VBox(limits);
        rest.getStyleClass().add("start-choices");
        Docket left = new Docket(first, rest);
        left.prefWidthProperty().bind(widthProperty().multiply(0.4));
        setLeft(left);
        points.getStyleClass().add("findings-list");
        points.setId("ready-points");
        ScrollPane scroll = new ScrollPane(points);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().addAll("findings-scroll", "start-scroll");
        VBox.setVgrow(scroll, Priority.ALWAYS);
        VBox right = new VBox(words(Texts.say("ready.points"), "caption"), scroll);
        right.getStyleClass().add("findings");
        setCenter(right);
        BorderPane.setMargin(right, new Insets(0, 0, 0, 8));
    }

    public void setEm(double em) {
        sentence.setEm(em);
    }

    /** Nothing is known yet. */
    void begin() {
        sentence.setWords(Texts.say("ready.reading"));
        detail.setText("");
        limits.setText("");
        say("");
        save.setDisable(true);
        points.getChildren().clear();
        tone(false, false);
    }

    void show(ReadyModel.Page page) {
        sentence.setWords(page.sentence());
        detail.setText(page.detail());
        limits.setText(page.limits());
        save.setDisable(false);
        if (page.cards().isEmpty()) {
            points.getChildren().setAll(words(Texts.say("ready.nothing"), "empty-words"));
        } else {
            points.getChildren()
                    .setAll(page.cards().stream().map(ReadyPage::node).toList());
        }
        boolean grave = page.cards().stream().anyMatch(ReadyModel.Card::grave);
        tone(page.cards().isEmpty(), grave);
    }

    private void tone(boolean good, boolean found) {
        first.pseudoClassStateChanged(PseudoClass.getPseudoClass("good"), good);
        first.pseudoClassStateChanged(PseudoClass.getPseudoClass("found"), found);
    }

    /** Says what came of saving; empty for nothing. */
    void say(String what) {
        said.setText(what);
        said.setVisible(!what.isEmpty());
        said.setManaged(!what.isEmpty());
    }

    private static Node node(ReadyModel.Card card) {
        Label kind = new Label((card.grave() ? "✕ " : "● ") + card.kind());
        kind.getStyleClass().add(card.grave() ? "finding-word" : "watch-kind");
        kind.setMinWidth(USE_PREF_SIZE);
        HBox head = new HBox(kind);
        head.getStyleClass().add("finding-head");
        VBox node = new VBox(
                head,
                words(card.told(), "finding-evidence"),
                words(Texts.say("ready.change", card.change()), "finding-evidence"));
        node.getStyleClass().add("finding");
        node.setAccessibleText(String.join(". ", List.of(card.kind(), card.told(), card.change())));
        return node;
    }
}
