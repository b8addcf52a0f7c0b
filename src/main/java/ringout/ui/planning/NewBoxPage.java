package ringout.ui.planning;

import static ringout.ui.parts.Labels.heading;

import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.ui.background.Background;
import ringout.ui.background.Newest;
import ringout.ui.background.WindowThread;
import ringout.ui.model.EditorModel;
import ringout.ui.model.NewBoxModel;
import ringout.ui.model.NewBoxModel.Form;
import ringout.ui.model.PanelModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Choices;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.Theme;
import ringout.ui.sheets.PanelSheet;
import ringout.words.Texts;

/** A new box from a few questions, with the panel that comes of the answers beside them. */
public final class NewBoxPage extends BorderPane {
    private static final int MOST = 100;
    /** Width in which a drawing tells something, in sizes of text. */
    private static final double LEAST_DRAWING = 12;

    private final BigSentence sentence;
    private final Label words = new Label();
    private final Button plan = new Button(Texts.say("new-box.plan"));
    private final Button withDiodes = new Button(Texts.say("new-box.with-diodes"));
    private final PanelSheet preview;
    private final StackPane right = new StackPane();
    private final Label empty = new Label(Texts.say("new-box.empty"));
    private final Map<NewBox.Part, Label> counts = new EnumMap<>(NewBox.Part.class);
    private final TextField name = new TextField();
    private final TextField pins = new TextField();
    private final TextField analog = new TextField();
    private final TextField width = new TextField();
    private final TextField height = new TextField();
    private final ComboBox<EditorModel.Style> style = new ComboBox<>();
    private final ComboBox<NumberScheme.Way> numbering = new ComboBox<>();
    private final TextField first = new TextField();
    private Form form = Form.first();
    private double em = Theme.BASE;
    private final Newest<NewBoxModel.Outcome> outcomes;
    private final Consumer<String> planned;
    private Optional<NewBoxModel.Outcome> outcome = Optional.empty();
    /** The plan is wanted as soon as it is there. */
    private boolean wanted;

    /**
     * @param computing where it is found out what comes of the answers
     * @param planned   takes the new plan's text
     */
    public NewBoxPage(FxLettering lettering, Background computing, Consumer<String> planned) {
        this.planned = planned;
        outcomes = new Newest<NewBoxModel.Outcome>(computing, this::show, words::setText);
        setId("new-box");
        getStyleClass().add("bench");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("new-box-sentence");
        sentence.setWords(Texts.say("new-box.sentence"));
        words.setId("new-box-words");
        words.getStyleClass().add("step-detail");
        words.setWrapText(true);
        words.setMinHeight(Region.USE_PREF_SIZE);
        plan.setId("plan-it");
        plan.getStyleClass().add("main-button");
        plan.setMinWidth(Region.USE_PREF_SIZE);
        plan.setOnAction(event -> {
            wanted = true;
            plan();
        });
        withDiodes.setId("with-diodes");
        withDiodes.setMinWidth(Region.USE_PREF_SIZE);
        withDiodes.setTooltip(new Tooltip(Texts.say("new-box.with-diodes.help")));
        withDiodes.setOnAction(event -> style.setValue(EditorModel.Style.MATRIX_WITH_DIODES));
        VBox top = new VBox(sentence, words, withDiodes, plan);
        top.getStyleClass().add("step");
        top.pseudoClassStateChanged(javafx.css.PseudoClass.getPseudoClass("ask"), true);

        FlowPane parts = new FlowPane();
        parts.getStyleClass().add("part-rows");
        for (NewBox.Part part : NewBox.Part.values()) {
            parts.getChildren().add(part(part));
        }
        style.setId("new-style");
        style.getItems().setAll(EditorModel.Style.values());
        style.setAccessibleText(Texts.say("editor.field.style"));
        style.setConverter(Choices.said(PropertiesPane::style));
        style.setValue(form.style());
        style.valueProperty().addListener((o, was, is) -> answer());
        numbering.setId("new-numbering");
        numbering.getItems().setAll(NumberScheme.Way.values());
        numbering.setAccessibleText(Texts.say("editor.field.numbering"));
        numbering.setTooltip(new Tooltip(Texts.say("editor.field.numbering.help")));
        numbering.setConverter(Choices.said(PropertiesPane::numbering));
        numbering.setValue(form.numbering());
        numbering.valueProperty().addListener((o, was, is) -> answer());
        VBox rest = new VBox(
                labelled(
                        Texts.say("editor.field.box-name"),
                        text(name, "new-name", 18, form.name(), Texts.say("editor.field.box-name"))),
                heading(Texts.say("new-box.controls")),
                parts,
                heading(Texts.say("new-box.wiring")),
                row(
                        labelled(Texts.say("editor.field.style"), style),
                        labelled(
                                Texts.say("editor.field.pins"),
                                text(pins, "new-pins", 14, form.pins(), Texts.say("editor.field.pins"))),
                        labelled(
                                Texts.say("new-box.analog"),
                                text(analog, "new-analog", 8, form.analogPins(), Texts.say("new-box.analog")))),
                row(
                        labelled(Texts.say("editor.field.numbering"), numbering),
                        labelled(
                                Texts.say("editor.field.first"),
                                text(first, "new-first", 3, form.firstButton(), Texts.say("editor.field.first")))),
                heading(Texts.say("new-box.panel-size")),
                row(
                        labelled(
                                Texts.say("editor.field.width"),
                                text(width, "new-width", 5, "", Texts.say("editor.field.width"))),
                        labelled(
                                Texts.say("editor.field.height"),
                                text(height, "new-height", 5, "", Texts.say("editor.field.height")))));
        pins.setTooltip(new Tooltip(Texts.say("editor.field.pins.help")));
        rest.getStyleClass().add("start-choices");
        Docket left = new Docket(top, rest);
        left.prefWidthProperty().bind(widthProperty().multiply(0.46));
        setLeft(left);
        widthProperty().addListener((of, was, is) -> WindowThread.soon(() -> arrange(left)));
        preview = new PanelSheet(lettering);
        preview.setId("new-box-preview");
        empty.getStyleClass().add("drop-words");
        empty.setWrapText(true);
        empty.setMinHeight(Region.USE_PREF_SIZE);
        setCenter(right);
        BorderPane.setMargin(right, new javafx.geometry.Insets(0, 0, 0, 8));
        show();
    }

    /** Where the questions leave no room for a drawing that tells something, there is none. */
    private void arrange(Docket left) {
        boolean room = getWidth() - left.minWidth(-1) >= LEAST_DRAWING * em;
        if (room == (getCenter() == right)) {
            return;
        }
        setCenter(null);
        setLeft(room ? left : null);
        setCenter(room ? right : left);
    }

    public void setEm(double em) {
        sentence.setEm(em);
        this.em = em;
        preview.setEm(em);
    }

    /** Begins anew. */
    void reset() {
        form = Form.first();
        name.setText(form.name());
        pins.setText(form.pins());
        analog.setText(form.analogPins());
        width.clear();
        height.clear();
        style.setValue(form.style());
        numbering.setValue(form.numbering());
        first.setText(form.firstButton());
        show();
        name.requestFocus();
        name.selectAll();
    }

    private HBox part(NewBox.Part part) {
        String id = part.name().toLowerCase(Locale.ROOT).replace('_', '-');
        String what = PropertiesPane.part(part);
        Label count = new Label("0");
        count.getStyleClass().add("part-count");
        count.setId("count-" + id);
        count.setMinWidth(Region.USE_PREF_SIZE);
        counts.put(part, count);
        BiConsumer<Button, Integer> step = (button, by) -> {
            button.getStyleClass().add("small-button");
            button.setMinWidth(Region.USE_PREF_SIZE);
            button.setOnAction(event -> {
                Map<NewBox.Part, Integer> next = new EnumMap<>(NewBox.Part.class);
                next.putAll(form.counts());
                next.merge(part, by, (a, b) -> Math.max(0, Math.min(MOST, a + b)));
                next.computeIfPresent(part, (p, n) -> Math.max(0, n));
                form = new Form(
                        form.name(),
                        next,
                        form.positions(),
                        form.style(),
                        form.pins(),
                        form.analogPins(),
                        form.width(),
                        form.height(),
                        form.numbering(),
                        form.firstButton());
                show();
            });
        };
        Button less = new Button("−");
        less.setId("less-" + id);
        less.setAccessibleText(Texts.say("new-box.less", what));
        step.accept(less, -1);
        Button more = new Button("+");
        more.setId("more-" + id);
        more.setAccessibleText(Texts.say("new-box.more", what));
        step.accept(more, 1);
        Label label = new Label(what);
        label.setMinWidth(0);
        label.setWrapText(true);
        label.setMinHeight(Region.USE_PREF_SIZE);
        HBox.setHgrow(label, Priority.ALWAYS);
        label.setMaxWidth(Double.MAX_VALUE);
        HBox row = new HBox(less, count, more, label);
        row.getStyleClass().add("part-row");
        return row;
    }

    private TextField text(TextField field, String id, int columns, String value, String accessible) {
        field.setId(id);
        field.setPrefColumnCount(columns);
        field.setText(value);
        field.setAccessibleText(accessible);
        field.textProperty().addListener((o, was, is) -> answer());
        return field;
    }

    private void answer() {
        form = new Form(
                name.getText(),
                form.counts(),
                form.positions(),
                style.getValue(),
                pins.getText(),
                analog.getText(),
                width.getText(),
                height.getText(),
                numbering.getValue(),
                first.getText());
        show();
    }

    private void show() {
        counts.forEach(
                (part, label) -> label.setText(String.valueOf(form.counts().getOrDefault(part, 0))));
        Form now = form;
        outcomes.ask(() -> NewBoxModel.of(now));
    }

    private void plan() {
        if (wanted && !outcomes.busy()) {
            wanted = false;
            outcome.flatMap(NewBoxModel.Outcome::yaml).ifPresent(planned);
        }
    }

    private void show(NewBoxModel.Outcome next) {
        outcome = Optional.of(next);
        words.setText(next.words());
        withDiodes.setVisible(next.apart());
        withDiodes.setManaged(next.apart());
        Greyed.set(plan, next.missing(), next.words());
        show(next.plan());
        plan();
    }

    private void show(Optional<Plan> drawn) {
        if (drawn.isPresent()) {
            Plan next = drawn.get();
            preview.setPlan(next);
            preview.show(PanelModel.idle(next));
            right.getChildren().setAll(preview);
        } else {
            VBox nothing = new VBox(empty);
            nothing.getStyleClass().add("drop-zone");
            right.getChildren().setAll(nothing);
        }
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

    private static FlowPane row(Region... fields) {
        FlowPane row = new FlowPane(fields);
        row.getStyleClass().add("field-row");
        return row;
    }
}
