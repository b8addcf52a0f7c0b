package ringout.ui.feel;

import static ringout.ui.parts.Labels.words;

import java.util.List;
import javafx.geometry.Insets;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;
import ringout.plan.Plan;
import ringout.ui.model.FeelModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.FxLettering;
import ringout.ui.sheets.PanelSheet;
import ringout.words.Texts;

/** One name, large enough to be read at a glance; beside it the panel, and at the end what the rounds tell. */
public final class FeelPage extends BorderPane {
    private final BigSentence sentence;
    private final Label progress = words("step-detail");
    private final Label last = words("step-counts");
    private final Button pause = new Button();
    private final Button end = new Button(Texts.say("feel.end"));
    private final VBox results = new VBox();
    private final PanelSheet panel;

    FeelPage(FxLettering lettering, Runnable onPause, Runnable onEnd) {
        getStyleClass().add("bench");
        setId("feel-page");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("feel-sentence");
        progress.setId("feel-progress");
        last.setId("feel-last");
        pause.setId("feel-pause");
        pause.setText(Texts.say("feel.rest"));
        pause.setTooltip(new Tooltip(Texts.say("feel.rest.help")));
        pause.setOnAction(event -> onPause.run());
        end.setId("feel-end");
        end.setTooltip(new Tooltip(Texts.say("feel.end.help")));
        end.setOnAction(event -> onEnd.run());
        FlowPane doing = new FlowPane(pause, end);
        doing.getStyleClass().add("start-doing");
        VBox first = new VBox(sentence, progress, last, doing);
        first.getStyleClass().add("step");
        results.getStyleClass().add("problems");
        results.setId("feel-results");
        ScrollPane scroll = new ScrollPane(results);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().addAll("findings-scroll", "start-scroll");
        VBox.setVgrow(scroll, Priority.ALWAYS);
        VBox left = new VBox(first, scroll);
        left.getStyleClass().add("docket");
        left.setMinWidth(0);
        left.prefWidthProperty().bind(widthProperty().multiply(0.45));
        setLeft(left);
        panel = new PanelSheet(lettering);
        setCenter(panel);
        setMargin(panel, new Insets(0, 0, 0, 8));
    }

    public void setEm(double em) {
        sentence.setEm(em);
        panel.setEm(em);
    }

    void begin(Plan plan) {
        panel.setPlan(plan);
        sentence.setWords(Texts.say("feel.opening"));
        progress.setText("");
        last.setText("");
        results.getChildren().clear();
        doing(true);
    }

    private void doing(boolean now) {
        for (Button button : List.of(pause, end)) {
            button.setVisible(now);
            button.setManaged(now);
        }
    }

    void show(FeelModel.Page page) {
        sentence.setWords(page.sentence());
        progress.setText(page.progress());
        last.setText(page.last());
        pause.setDisable(!page.canRest());
    }

    /** It is over: the sentences, and the panel with the pairs that are confused. */
    void results(List<String> lines, FeelModel.Marked marked) {
        doing(false);
        sentence.setWords(lines.get(0));
        progress.setText("");
        last.setText("");
        results.getChildren()
                .setAll(lines.stream()
                        .skip(1)
                        .map(line -> {
                            Label text = words("finding-evidence");
                            text.setText(line);
                            return text;
                        })
                        .toList());
        panel.show(marked.panel());
    }
}
