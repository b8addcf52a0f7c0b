package ringout.ui.watch;

import static ringout.ui.parts.Labels.words;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import javafx.css.PseudoClass;
import javafx.geometry.Insets;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;
import ringout.plan.Plan;
import ringout.ui.model.LookModel;
import ringout.ui.model.PanelModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.PanelSheet;
import ringout.words.Texts;

/** What to press now, large, and the panel with it ringed; at the end the answer. */
public final class LookPage extends BorderPane {
    private final BigSentence sentence;
    private final Label progress = words("step-detail");
    private final Button next;
    private final VBox first;
    private final VBox lines = new VBox();
    private final PanelSheet panel;
    private Optional<Plan> drawn = Optional.empty();

    LookPage(FxLettering lettering, Runnable onNext, Runnable onBack) {
        getStyleClass().add("bench");
        setId("look-page");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("look-sentence");
        progress.setId("look-progress");
        next = StepPane.keyed(Texts.say("look.next"), "N", Texts.say("look.next.help"), onNext);
        next.setId("look-next");
        Button back = new Button(Texts.say("look.back"));
        back.setId("look-back");
        back.setMinWidth(USE_PREF_SIZE);
        back.setTooltip(new Tooltip(Texts.say("look.back.help")));
        back.setOnAction(event -> onBack.run());
        FlowPane doing = new FlowPane(next, back);
        doing.getStyleClass().add("start-doing");
        first = new VBox(sentence, progress, doing);
        first.getStyleClass().add("step");
        lines.getStyleClass().add("problems");
        lines.setId("look-answers");
        Docket left = new Docket(first, lines);
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

    void draw(Plan plan) {
        drawn = Optional.of(plan);
        panel.setPlan(plan);
        rest();
    }

    /** Nothing is asked. */
    void rest() {
        drawn.ifPresent(plan -> panel.show(PanelModel.idle(plan)));
    }

    void show(PanelModel.State state) {
        panel.show(state);
    }

    void begin() {
        show(new LookModel.Page(LookModel.Tone.PLAIN, Texts.say("look.opening"), "", List.of(), false));
    }

    void show(LookModel.Page page) {
        sentence.setWords(page.sentence());
        progress.setText(page.progress());
        StepPane.shown(next, page.asking());
        lines.getChildren()
                .setAll(page.lines().stream()
                        .map(line -> words(line, "finding-evidence"))
                        .toList());
        for (LookModel.Tone tone : LookModel.Tone.values()) {
            first.pseudoClassStateChanged(
                    PseudoClass.getPseudoClass(tone.name().toLowerCase(Locale.ROOT)), tone == page.tone());
        }
    }
}
