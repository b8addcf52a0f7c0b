package ringout.ui.parts;

import static ringout.ui.parts.Labels.words;

import java.util.Collection;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Consumer;
import javafx.css.PseudoClass;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;
import ringout.check.Instruction;
import ringout.circuit.ProbeReading;
import ringout.naming.Ohms;
import ringout.ui.model.StepModel;
import ringout.words.Texts;

/** The next step: one big sentence, how far it is, and what can be said by key. */
public final class StepPane extends VBox {
    private static final int FIGURE_COLUMNS = 8;
    private static final PseudoClass UNREAD = PseudoClass.getPseudoClass("unread");

    private final Label place = new Label();
    private final BigSentence sentence;
    private final Label detail = new Label();
    private final Label proofHeading = words("heading");
    private final Label proofSentence = words("step-proof");
    private final Label proofDetail = words("step-detail");
    private final VBox proof = new VBox(proofHeading, proofSentence, proofDetail);
    private final Ruler ruler = new Ruler();
    private final Label counts = new Label();
    private final Map<Instruction, Button> commands = new EnumMap<>(Instruction.class);
    private final FlowPane buttons = new FlowPane();
    private final Button anew;
    private final Button report;
    private final FlowPane answers = new FlowPane();
    /** A resistance as the meter shows it, beside the ranges. */
    private final TextField figure = new TextField();

    private final Consumer<ProbeReading> answer;
    private StepModel.@Nullable Card card;

    /**
     * @param answer takes what a meter showed
     * @param keep   keeps the report of a finished check
     */
    public StepPane(
            FxLettering lettering,
            Consumer<Instruction> command,
            Runnable again,
            Consumer<ProbeReading> answer,
            Runnable keep) {
        this.answer = answer;
        getStyleClass().add("step");
        setId("step");
        sentence = new BigSentence(lettering, 2);
        sentence.setId("sentence");
        place.getStyleClass().add("step-place");
        place.setWrapText(true);
        place.setMinHeight(USE_PREF_SIZE);
        detail.getStyleClass().add("step-detail");
        detail.setWrapText(true);
        detail.setMinHeight(USE_PREF_SIZE);
        detail.setId("step-detail");
        counts.getStyleClass().add("step-counts");
        counts.setWrapText(true);
        counts.setMinHeight(USE_PREF_SIZE);
        counts.setId("step-counts");
        button(Instruction.SKIP, Texts.say("step.skip"), "S", Texts.say("step.skip.help"), command);
        button(Instruction.REPEAT, Texts.say("step.repeat"), "R", Texts.say("step.repeat.help"), command);
        button(Instruction.UNDO, Texts.say("step.undo"), "U", Texts.say("step.undo.help"), command);
        button(Instruction.WRONG_PRESS, Texts.say("step.wrong"), "W", Texts.say("step.wrong.help"), command);
        button(Instruction.PAUSE, Texts.say("step.pause"), "P", Texts.say("step.pause.help"), command);
        button(Instruction.GO_ON, Texts.say("step.go-on"), "G", Texts.say("step.go-on.help"), command);
        button(Instruction.NOTHING_CAME, Texts.say("step.nothing"), "N", Texts.say("step.nothing.help"), command);
        anew = keyed(Texts.say("step.again"), "A", Texts.say("step.again.help"), again);
        anew.setId("again");
        report = keyed(Texts.say("step.report"), "K", Texts.say("step.report.help"), keep);
        report.setId("report");
        shown(report, false);
        buttons.getChildren().addAll(0, List.of(anew, report));
        buttons.getStyleClass().add("step-buttons");
        answers.getStyleClass().add("step-buttons");
        figure.setId("answer-figure");
        figure.setPromptText(Texts.say("step.figure"));
        figure.setAccessibleText(Texts.say("step.figure.help"));
        figure.setTooltip(new Tooltip(Texts.say("step.figure.help")));
        figure.setPrefColumnCount(FIGURE_COLUMNS);
        figure.setOnAction(event -> typed());
        figure.textProperty().addListener((of, before, now) -> figure.pseudoClassStateChanged(UNREAD, false));
        proof.getStyleClass().add("step-proof-area");
        proofSentence.setId("proof");
        proofDetail.setId("proof-detail");
        getChildren().addAll(place, sentence, detail, proof, answers, ruler, counts, buttons);
    }

    private void button(Instruction what, String words, String key, String help, Consumer<Instruction> command) {
        Button button = keyed(words, key, help, () -> command.accept(what));
        button.setId("command-" + what.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
        commands.put(what, button);
        buttons.getChildren().add(button);
    }

    /** Puts more buttons before those of the card. */
    public void add(Collection<Button> more) {
        buttons.getChildren().addAll(0, more);
    }

    /** A button with its key on it. */
    public static Button keyed(String words, String key, String help, Runnable action) {
        Label cap = new Label(key);
        cap.getStyleClass().add("key-cap");
        Button button = new Button(words, cap);
        button.setTooltip(new Tooltip(Texts.say("step.key", help, key)));
        button.setAccessibleText(Texts.say("step.key.spoken", words, help, key));
        button.setOnAction(event -> action.run());
        button.setMinWidth(USE_PREF_SIZE);
        return button;
    }

    public void setEm(double em) {
        sentence.setEm(em);
    }

    /** What that key says, by the letter on its button; empty where it says nothing. */
    public static Optional<Instruction> instruction(KeyCode key) {
        return Optional.ofNullable(
                switch (key) {
                    case S -> Instruction.SKIP;
                    case R -> Instruction.REPEAT;
                    case U -> Instruction.UNDO;
                    case W -> Instruction.WRONG_PRESS;
                    case P -> Instruction.PAUSE;
                    case G -> Instruction.GO_ON;
                    case N -> Instruction.NOTHING_CAME;
                    default -> null;
                });
    }

    /** The answer whose number, from 1, that key is; empty where there is none. */
    public Optional<ProbeReading> answer(KeyEvent event) {
        if (card == null || !event.getCode().isDigitKey() || event.getText().isEmpty()) {
            return Optional.empty();
        }
        int number = event.getText().charAt(0) - '0';
        return number < 1 || number > card.answers().size()
                ? Optional.empty()
                : Optional.of(card.answers().get(number - 1).reading());
    }

    /** Offers to keep a report, or not. */
    public void offerReport(boolean possible) {
        shown(report, possible);
    }

    public static void shown(Button button, boolean visible) {
        button.setVisible(visible);
        button.setManaged(visible);
    }

    /** What was typed is the answer; marked where it is no resistance. */
    private void typed() {
        OptionalDouble ohms = Ohms.parse(figure.getText());
        figure.pseudoClassStateChanged(UNREAD, ohms.isEmpty());
        ohms.ifPresent(value -> answer.accept(ProbeReading.ofOhms(value)));
    }

    public void show(StepModel.Card next) {
        if (next.equals(card)) {
            return;
        }
        card = next;
        place.setText(next.place());
        sentence.setWords(next.sentence());
        detail.setText(next.detail());
        proof.setVisible(next.proof().isPresent());
        proof.setManaged(next.proof().isPresent());
        next.proof().ifPresent(step -> {
            proofHeading.setText(step.heading());
            proofSentence.setText(step.sentence());
            proofDetail.setText(step.detail());
        });
        ruler.show(next.ruler(), next.counts());
        ruler.setVisible(!next.ruler().isEmpty());
        ruler.setManaged(!next.ruler().isEmpty());
        counts.setText(next.counts());
        commands.forEach((command, button) -> shown(button, next.commands().contains(command)));
        shown(anew, next.again());
        answers.getChildren().clear();
        for (int i = 0; i < next.answers().size(); i++) {
            ProbeReading reading = next.answers().get(i).reading();
            Button button = keyed(
                    next.answers().get(i).words(),
                    String.valueOf(i + 1),
                    next.answers().get(i).spoken(),
                    () -> answer.accept(reading));
            button.setId("answer-"
                    + reading.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
            answers.getChildren().add(button);
        }
        if (next.answers().stream().anyMatch(a -> a.reading() == ProbeReading.BELOW_10K)) {
            figure.clear();
            answers.getChildren().add(figure);
        }
        answers.setVisible(!next.answers().isEmpty());
        answers.setManaged(!next.answers().isEmpty());
        for (StepModel.Tone tone : StepModel.Tone.values()) {
            pseudoClassStateChanged(
                    PseudoClass.getPseudoClass(tone.name().toLowerCase(java.util.Locale.ROOT)), tone == next.tone());
        }
    }
}
