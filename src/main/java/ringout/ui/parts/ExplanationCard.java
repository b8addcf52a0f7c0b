package ringout.ui.parts;

import static ringout.ui.parts.Labels.words;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.scene.AccessibleRole;
import javafx.scene.control.Label;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import ringout.circuit.Fault;
import ringout.diagnosis.PlanRewrite;
import ringout.ui.model.Reasoning;
import ringout.words.Texts;

/** One explanation: words first, then how likely; on request its drawing and what speaks for and against it. */
public final class ExplanationCard extends VBox {
    private int drawn;

    public ExplanationCard(Reasoning.Card card, Consumer<List<Fault>> onDraw) {
        this(card, onDraw, Optional.empty());
    }

    /** @param onFit changes the plan so that it fits; offered where a change of the plan makes good any of the faults */
    public ExplanationCard(Reasoning.Card card, Consumer<List<Fault>> onDraw, Optional<Consumer<List<Fault>>> onFit) {
        getStyleClass().addAll("finding", "explanation");
        Label text = words(card.text() + ".", "explanation-text");
        Label chance = new Label(card.chance());
        chance.getStyleClass().add("explanation-chance");
        chance.setMinWidth(0);
        chance.setWrapText(true);
        chance.setMinHeight(USE_PREF_SIZE);
        Region filled = new Region();
        filled.getStyleClass().add("bar-filled");
        StackPane bar = new StackPane(filled);
        bar.getStyleClass().add("bar");
        bar.setAccessibleRole(AccessibleRole.PROGRESS_INDICATOR);
        bar.setAccessibleText(card.chance());
        bar.setMinWidth(0);
        filled.maxWidthProperty().bind(bar.widthProperty().multiply(card.share()));
        StackPane.setAlignment(filled, javafx.geometry.Pos.CENTER_LEFT);
        HBox.setHgrow(bar, Priority.ALWAYS);
        HBox likely = new HBox(chance, bar);
        likely.getStyleClass().add("explanation-likely");
        getChildren().addAll(text, likely);
        LinkRow links = new LinkRow();
        links.add(Texts.say("findings.draw"), () -> {
                    drawn = 0;
                    onDraw.accept(card.drawings().get(0));
                })
                .setAccessibleText(Texts.say("findings.draw") + ": " + card.text());
        if (card.drawings().size() > 1) {
            links.add(Texts.say("findings.draw-other"), () -> {
                drawn = (drawn + 1) % card.drawings().size();
                onDraw.accept(card.drawings().get(drawn));
            });
        }
        List<Fault> faults = card.drawings().get(0);
        onFit.filter(fit -> faults.stream().anyMatch(PlanRewrite::canBePlanned))
                .ifPresent(fit -> links.add(Texts.say("findings.fit"), () -> fit.accept(faults)));
        List<HBox> evidence = new ArrayList<>();
        card.speaksFor().forEach(line -> evidence.add(evidence("+", "for", Texts.say("findings.for"), line)));
        card.speaksAgainst()
                .forEach(line -> evidence.add(evidence("−", "against", Texts.say("findings.against"), line)));
        if (!evidence.isEmpty()) {
            links.add(Texts.say("findings.why"), () -> {
                        if (!getChildren().removeAll(evidence)) {
                            getChildren().addAll(getChildren().indexOf(links), evidence);
                        }
                    })
                    .setAccessibleText(Texts.say("findings.why") + ": " + card.text());
        }
        getChildren().add(links);
        if (!card.alike().isEmpty()) {
            Label alike = words(Texts.say("findings.alike", String.join("; ", card.alike())), "finding-planned");
            links.add(Texts.say("findings.else"), () -> {
                if (!getChildren().remove(alike)) {
                    getChildren().add(alike);
                }
            });
        }
    }

    private static HBox evidence(String sign, String side, String spoken, String line) {
        Label mark = new Label(sign);
        mark.getStyleClass().addAll("evidence-sign", "evidence-" + side);
        mark.setMinWidth(USE_PREF_SIZE);
        mark.setAccessibleText(spoken);
        Label text = words(line, "finding-evidence");
        HBox.setHgrow(text, Priority.ALWAYS);
        HBox row = new HBox(mark, text);
        row.getStyleClass().add("evidence");
        return row;
    }
}
