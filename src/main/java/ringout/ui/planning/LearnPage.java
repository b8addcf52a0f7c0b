package ringout.ui.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.BiConsumer;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;
import ringout.learn.Learn;
import ringout.learn.LearnView;
import ringout.learn.LearnView.Candidate;
import ringout.learn.LearnView.Stage;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.ui.model.LearnModel;
import ringout.ui.model.PanelModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Choices;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.ui.sheets.PanelSheet;
import ringout.words.Texts;

/** A box without a plan: each control is worked once and named, and stands on the drawn panel from then on. */
public final class LearnPage extends BorderPane {
    /** What the page can set going. */
    public interface Actions {
        /** Something for the learner. */
        void say(BiConsumer<Learn, Long> what);

        /** Every control was named: a plan, please. */
        void planIt();
    }

    private final Actions actions;
    private final BigSentence sentence;
    private final VBox card;
    private final Label place = new Label();
    private final Label detail = new Label();
    private final TextField name = new TextField();
    private final ComboBox<NewBox.Part> part = new ComboBox<>();
    private final FlowPane naming;
    private final Button take = button("learn-take", Texts.say("learn.take"), Texts.say("learn.take.help"));
    private final Button forget = button("learn-forget", Texts.say("learn.forget"), Texts.say("learn.forget.help"));
    private final Button enough = button("learn-enough", Texts.say("learn.enough"), Texts.say("learn.enough.help"));
    private final Button undo = button("learn-undo", Texts.say("learn.undo"), Texts.say("learn.undo.help"));
    private final Button done = button("learn-done", Texts.say("learn.done"), Texts.say("learn.done.help"));
    private final VBox list = new VBox();
    private final Label listHeading = new Label();
    private final PanelSheet panel;
    private final StackPane left = new StackPane();
    private final VBox nothing;
    private @Nullable LearnView shown;
    private Optional<Candidate> named = Optional.empty();

    public LearnPage(FxLettering lettering, Actions actions) {
        this.actions = actions;
        setId("learn");
        getStyleClass().add("bench");
        sentence = new BigSentence(lettering, 2);
        sentence.setId("learn-sentence");
        place.getStyleClass().add("step-place");
        place.setId("learn-place");
        detail.getStyleClass().add("step-detail");
        detail.setId("learn-detail");
        detail.setWrapText(true);
        detail.setMinHeight(Region.USE_PREF_SIZE);
        name.setId("learn-name");
        name.setPrefColumnCount(14);
        name.setAccessibleText(Texts.say("learn.name"));
        name.setOnAction(event -> take());
        part.setId("learn-part");
        part.setAccessibleText(Texts.say("editor.field.kind"));
        part.setConverter(Choices.said(PropertiesPane::part));
        take.getStyleClass().add("main-button");
        take.setOnAction(event -> take());
        forget.setOnAction(event -> actions.say((learn, now) -> learn.discard(now)));
        enough.setOnAction(event -> actions.say((learn, now) -> learn.enough(now)));
        undo.setOnAction(event -> actions.say((learn, now) -> learn.undo(now)));
        done.setOnAction(event -> actions.planIt());
        naming = new FlowPane(labelled(Texts.say("learn.name"), name), labelled(Texts.say("editor.field.kind"), part));
        naming.getStyleClass().add("field-row");
        FlowPane buttons = new FlowPane(take, forget, enough);
        buttons.getStyleClass().add("editor-bar");
        card = new VBox(place, sentence, detail, naming, buttons);
        card.getStyleClass().add("step");
        listHeading.getStyleClass().add("heading");
        listHeading.setWrapText(true);
        listHeading.setMinHeight(Region.USE_PREF_SIZE);
        list.setId("learned");
        FlowPane after = new FlowPane(done, undo);
        after.getStyleClass().add("editor-bar");
        VBox sheet = new VBox(listHeading, list);
        sheet.getStyleClass().add("start-choices");
        Docket right = new Docket(card, sheet);
        // Below all, where no change of what is asked moves them from under the pointer.
        right.getChildren().add(after);
        right.prefWidthProperty().bind(widthProperty().multiply(0.46));
        setRight(right);
        BorderPane.setMargin(right, new javafx.geometry.Insets(0, 0, 0, 8));
        panel = new PanelSheet(lettering);
        panel.setId("learn-panel");
        Label words = new Label(Texts.say("learn.empty"));
        words.getStyleClass().add("drop-words");
        words.setWrapText(true);
        words.setMinHeight(Region.USE_PREF_SIZE);
        Label more = new Label(Texts.say("learn.empty-detail"));
        more.getStyleClass().add("empty-words");
        more.setWrapText(true);
        more.setMinHeight(Region.USE_PREF_SIZE);
        nothing = new VBox(words, more);
        nothing.getStyleClass().add("drop-zone");
        setCenter(left);
    }

    private static Button button(String id, String words, String help) {
        Button button = new Button(words);
        button.setId(id);
        button.setTooltip(new Tooltip(help));
        button.setMinWidth(Region.USE_PREF_SIZE);
        return button;
    }

    private static VBox labelled(String words, Region field) {
        Label label = new Label(words);
        label.getStyleClass().add("field-label");
        label.setLabelFor(field);
        label.setMinWidth(Region.USE_PREF_SIZE);
        VBox both = new VBox(label, field);
        both.getStyleClass().add("field");
        return both;
    }

    public void setEm(double em) {
        sentence.setEm(em);
        panel.setEm(em);
    }

    private void take() {
        named.ifPresent(candidate -> {
            String label = name.getText();
            NewBox.Part chosen = part.getValue();
            actions.say((learn, now) -> learn.name(now, label, chosen));
        });
    }

    /**
     * Shows where it stands.
     *
     * @param trouble why nothing more will come, or empty
     * @param unkept  why what was named last is not on the disk, or empty
     */
    public void show(LearnView next, String trouble, String unkept) {
        boolean news = shown == null || !next.learned().equals(shown.learned());
        place.setText(Texts.say("learn.place", next.learned().size()));
        sentence.setWords(
                next.stage() == Stage.LOST && !trouble.isEmpty()
                        ? Texts.say("learn.ended")
                        : next.sentence().text());
        String words = trouble.isEmpty() ? next.detail().text() : trouble;
        detail.setText(unkept.isEmpty() ? words : Texts.say("learn.unkept", unkept) + " " + words);
        boolean asking = next.stage() == Stage.NAME;
        shown(naming, asking);
        shown(take, asking);
        shown(forget, asking);
        shown(enough, next.stage() == Stage.WORKING);
        card.pseudoClassStateChanged(
                javafx.css.PseudoClass.getPseudoClass("ask"),
                next.stage() == Stage.WORK || next.stage() == Stage.WORKING || asking);
        card.pseudoClassStateChanged(javafx.css.PseudoClass.getPseudoClass("wait"), next.stage() == Stage.HANDS_OFF);
        card.pseudoClassStateChanged(javafx.css.PseudoClass.getPseudoClass("trouble"), next.stage() == Stage.LOST);
        if (!Objects.equals(named, next.candidate())) {
            named = next.candidate();
            named.ifPresent(candidate -> {
                name.setText(candidate.label().text());
                part.getItems().setAll(candidate.parts());
                part.setValue(candidate.part());
                name.requestFocus();
                name.selectAll();
            });
        }
        if (news) {
            listed(next);
        }
        Greyed.set(undo, next.learned().isEmpty(), Texts.say("grey.learn"));
        Greyed.set(done, next.learned().isEmpty(), Texts.say("grey.learn"));
        shown = next;
    }

    private void listed(LearnView next) {
        listHeading.setText(Texts.say("learn.learned", next.learned().size()));
        List<Node> rows = new ArrayList<>();
        LearnModel.rows(next).forEach(row -> {
            Label head = new Label(row.label());
            head.getStyleClass().add("choice-name");
            head.setWrapText(true);
            head.setMinHeight(Region.USE_PREF_SIZE);
            Label small = new Label(row.detail());
            small.getStyleClass().add("choice-detail");
            small.setWrapText(true);
            small.setMinHeight(Region.USE_PREF_SIZE);
            VBox box = new VBox(head, small);
            box.getStyleClass().add("finding");
            rows.add(0, box);
        });
        list.getChildren().setAll(rows);
        Optional<Plan> plan = LearnModel.plan(next);
        plan.ifPresent(p -> {
            panel.setPlan(p);
            panel.show(PanelModel.idle(p));
        });
        left.getChildren().setAll(plan.isPresent() ? panel : nothing);
    }

    private static void shown(Node node, boolean visible) {
        node.setVisible(visible);
        node.setManaged(visible);
    }
}
