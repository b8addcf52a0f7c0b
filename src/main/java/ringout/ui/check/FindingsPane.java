package ringout.ui.check;

import static ringout.ui.parts.Labels.heading;
import static ringout.ui.parts.Labels.words;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import ringout.check.FindingKind;
import ringout.circuit.Fault;
import ringout.drawing.Area;
import ringout.drawing.Marks;
import ringout.ui.model.FindingsModel;
import ringout.ui.model.Reasoning;
import ringout.ui.model.SinceModel;
import ringout.ui.parts.Choices;
import ringout.ui.parts.ExplanationCard;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.LinkRow;
import ringout.ui.parts.Theme;
import ringout.ui.sheets.Inking;
import ringout.words.Texts;

/** What was found so far, one card each, newest first in sight. */
final class FindingsPane extends VBox {
    private final VBox list = new VBox();
    private final Label title = new Label(Texts.say("findings.title", 0));
    private final Consumer<FindingsModel.Card> onPanel;
    private final Consumer<FindingsModel.Card> onLoom;
    private final Consumer<FindingsModel.Card> onTape;
    private final Consumer<FindingsModel.Card> onHunt;
    private final Consumer<List<Fault>> onDraw;
    private final Consumer<List<Fault>> onFit;
    private Consumer<SinceModel.Choice> onMended = choice -> {};
    private Consumer<SinceModel.Said> onRemark = said -> {};
    private List<SinceModel.Subject> remarkable = List.of();
    private VBox remarks = new VBox();
    private boolean huntable;
    private boolean fittable;
    private List<FindingsModel.Card> cards = List.of();
    private List<Reasoning.Card> explained = List.of();
    private String working = "";
    private Optional<SinceModel.Card> since = Optional.empty();
    private List<String> axes = List.of();
    private double em = Theme.BASE;

    FindingsPane(
            Consumer<FindingsModel.Card> onPanel,
            Consumer<FindingsModel.Card> onLoom,
            Consumer<FindingsModel.Card> onTape,
            Consumer<FindingsModel.Card> onHunt,
            Consumer<List<Fault>> onDraw,
            Consumer<List<Fault>> onFit) {
        this.onHunt = onHunt;
        this.onDraw = onDraw;
        this.onFit = onFit;
        this.onPanel = onPanel;
        this.onLoom = onLoom;
        this.onTape = onTape;
        getStyleClass().add("findings");
        setId("findings");
        title.getStyleClass().add("caption");
        list.getStyleClass().add("findings-list");
        getChildren().addAll(title, list);
        list();
    }

    /** @param told takes what somebody says to have mended */
    void onMended(Consumer<SinceModel.Choice> told) {
        onMended = told;
    }

    /** @param said takes what somebody wants to be remembered */
    void onRemark(Consumer<SinceModel.Said> said) {
        onRemark = said;
    }

    void setEm(double em) {
        this.em = em;
    }

    /** Offers to find out why a missing control is dead, or not. */
    void offerHunt(boolean possible) {
        if (huntable != possible) {
            huntable = possible;
            list();
        }
    }

    /** Offers to change the plan where that makes good what was found, or not. */
    void offerFit(boolean possible) {
        if (fittable != possible) {
            fittable = possible;
            list();
        }
    }

    /** What has changed since an earlier check; empty for nothing to tell. */
    void since(Optional<SinceModel.Card> card) {
        if (!card.equals(since)) {
            since = card;
            list();
        }
    }

    /** What was measured of each axis; empty while the check runs. */
    void axes(List<String> measured) {
        if (!measured.equals(axes)) {
            axes = measured;
            list();
        }
    }

    /**
     * @param reasons explanations, the likeliest first; empty where there are none (yet)
     * @param why     there are none yet; empty where there are, or none is to be expected
     */
    void show(List<FindingsModel.Card> next, List<Reasoning.Card> reasons, String why) {
        if (next.equals(cards) && reasons.equals(explained) && why.equals(working)) {
            return;
        }
        working = why;
        cards = next;
        explained = reasons;
        list();
    }

    private void list() {
        List<FindingsModel.Card> next = cards;
        List<Reasoning.Card> reasons = explained;
        title.setText(Texts.say("findings.title", next.size()));
        List<Node> nodes = new ArrayList<>();
        if (reasons.isEmpty() && !working.isEmpty()) {
            nodes.add(heading(Texts.say("findings.reasons")));
            Label words = words(working, "empty-words");
            words.setId("findings-working");
            nodes.add(words);
            nodes.add(heading(Texts.say("findings.found")));
        }
        if (!reasons.isEmpty()) {
            nodes.add(heading(reasons.size() == 1 ? Texts.say("findings.reason") : Texts.say("findings.reasons")));
            reasons.forEach(card ->
                    nodes.add(new ExplanationCard(card, onDraw, fittable ? Optional.of(onFit) : Optional.empty())));
            nodes.add(heading(Texts.say("findings.found")));
        }
        if (next.isEmpty()) {
            Label none = new Label(Texts.say("findings.none"));
            none.getStyleClass().add("empty-words");
            none.setWrapText(true);
            none.setMinHeight(USE_PREF_SIZE);
            nodes.add(none);
        }
        next.forEach(card -> nodes.add(node(card)));
        if (!axes.isEmpty()) {
            nodes.add(heading(Texts.say("findings.axes")));
            axes.forEach(axis -> nodes.add(words(axis, "finding-evidence")));
        }
        since.ifPresent(card -> {
            // A whole sentence is no heading.
            nodes.add(card.lines().isEmpty() ? words(card.heading(), "finding-evidence") : heading(card.heading()));
            card.lines().forEach(line -> nodes.add(node(line)));
            if (!card.choices().isEmpty()) {
                nodes.add(heading(Texts.say("since.mended")));
                card.choices().forEach(choice -> nodes.add(node(choice)));
            }
            if (!card.subjects().isEmpty()) {
                nodes.add(heading(Texts.say("remark.heading")));
                nodes.add(remarking(card.subjects()));
            }
        });
        list.getChildren().setAll(nodes);
    }

    /** The same form through every change of the list, so that nothing half written is lost. */
    private Node remarking(List<SinceModel.Subject> subjects) {
        if (subjects.equals(remarkable)) {
            return remarks;
        }
        remarkable = subjects;
        TextField text = new TextField();
        text.setId("remark-text");
        text.setPromptText(Texts.say("remark.what"));
        text.setAccessibleText(Texts.say("remark.heading"));
        ComboBox<SinceModel.Subject> about = new ComboBox<>();
        about.setId("remark-about");
        about.setAccessibleText(Texts.say("remark.of"));
        about.setConverter(Choices.said(SinceModel.Subject::words));
        about.getItems().setAll(subjects);
        about.setValue(subjects.get(0));
        about.setMaxWidth(Double.MAX_VALUE);
        CheckBox part = new CheckBox(Texts.say("remark.part"));
        part.setId("remark-part");
        part.setWrapText(true);
        part.setTooltip(new Tooltip(Texts.say("remark.part.help")));
        Button keep = new Button(Texts.say("remark.keep"));
        keep.setId("remark-keep");
        keep.setMinWidth(Region.USE_PREF_SIZE);
        Runnable state = () -> {
            boolean whole = about.getValue().id().isEmpty();
            Greyed.set(part, whole, Texts.say("grey.remark-part"));
            Greyed.set(keep, text.getText().isBlank(), Texts.say("grey.remark"));
        };
        text.textProperty().addListener((of, was, is) -> state.run());
        about.valueProperty().addListener((of, was, is) -> state.run());
        state.run();
        keep.setOnAction(click -> {
            onRemark.accept(new SinceModel.Said(text.getText(), about.getValue().id(), part.isSelected()));
            text.clear();
        });
        remarks = new VBox(text, about, part, keep);
        remarks.getStyleClass().add("field");
        return remarks;
    }

    private Node node(SinceModel.Choice choice) {
        Button was = new Button(choice.words());
        was.setWrapText(true);
        was.setMinHeight(USE_PREF_SIZE);
        was.setMaxWidth(Double.MAX_VALUE);
        was.setOnAction(click -> onMended.accept(choice));
        return was;
    }

    private static Node node(SinceModel.Line line) {
        Label word = new Label((line.worse() ? "✕ " : "● ") + line.word());
        word.getStyleClass().add(line.worse() ? "finding-word" : "watch-kind");
        word.setMinHeight(USE_PREF_SIZE);
        Label words = new Label(line.words());
        words.getStyleClass().add("finding-evidence");
        words.setWrapText(true);
        words.setMinHeight(USE_PREF_SIZE);
        VBox box = new VBox(word, words);
        box.getStyleClass().add("finding");
        return box;
    }

    private Node node(FindingsModel.Card card) {
        double side = em * 1.35;
        Group mark = new Group(Inking.nodes(Marks.of(card.kind(), new Area(0, 0, side, side), "mark-fault")));
        Label word = new Label(card.word());
        word.getStyleClass().add("finding-word");
        word.setMinWidth(Region.USE_PREF_SIZE);
        Label what = new Label(card.what());
        what.getStyleClass().add("finding-what");
        what.setWrapText(true);
        what.setMinHeight(USE_PREF_SIZE);
        HBox.setHgrow(what, Priority.ALWAYS);
        HBox head = new HBox(mark, word, what);
        head.getStyleClass().add("finding-head");
        Label planned = new Label(card.planned());
        planned.getStyleClass().add("finding-planned");
        planned.setWrapText(true);
        planned.setMinHeight(USE_PREF_SIZE);
        Label evidence = new Label(card.evidence());
        evidence.getStyleClass().add("finding-evidence");
        evidence.setWrapText(true);
        evidence.setMinHeight(USE_PREF_SIZE);
        LinkRow links = new LinkRow();
        if (!card.control().isEmpty()) {
            link(links, Texts.say("findings.on-panel"), card, onPanel);
            link(links, Texts.say("findings.on-loom"), card, onLoom);
        }
        card.input().ifPresent(input -> link(links, Texts.say("findings.on-tape"), card, onTape));
        if (huntable && card.kind() == FindingKind.MISSING && !card.control().isEmpty()) {
            link(links, Texts.say("findings.hunt"), card, onHunt);
        }
        VBox box = new VBox(head);
        if (!card.planned().isEmpty()) {
            box.getChildren().add(planned);
        }
        box.getChildren().addAll(evidence, links);
        box.getStyleClass().add("finding");
        return box;
    }

    private static void link(
            LinkRow links, String words, FindingsModel.Card card, Consumer<FindingsModel.Card> action) {
        links.add(words, () -> action.accept(card)).setAccessibleText(words + ": " + card.what());
    }
}
