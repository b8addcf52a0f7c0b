package ringout.ui.watch;

import static ringout.ui.parts.Labels.heading;
import static ringout.ui.parts.Labels.words;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.function.Consumer;
import javafx.css.PseudoClass;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Hyperlink;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.words.Texts;

/** Boxes watched while they are used: how long, how they stand, what was noticed; at the end the summary. */
public final class WatchPage extends BorderPane {
    private static final PseudoClass TROUBLE = PseudoClass.getPseudoClass("trouble");
    /** Events in the list: a screenful is read, an evening's worth is in the summary and on the tape. */
    private static final int KEPT = 300;

    private final BigSentence sentence;
    private final Label since = words("step-detail");
    private final Label advice = words("step-counts");
    private final VBox boxes = new VBox();
    private final VBox events = new VBox();
    private final VBox summary = new VBox();
    private final VBox first;
    private final Label listed = heading("");
    private final Button end = new Button(Texts.say("watch.end"));
    private final Button look = new Button(Texts.say("look.begin"));
    private final Deque<WatchModel.Line> lines = new ArrayDeque<>();
    private final Consumer<WatchModel.Line> onTape;
    private List<WatchModel.Box> shown = List.of();
    private boolean ended;

    public WatchPage(FxLettering lettering, Runnable onEnd, Runnable onLook, Consumer<WatchModel.Line> onTape) {
        this.onTape = onTape;
        getStyleClass().add("bench");
        setId("watch-page");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("watch-sentence");
        since.setId("watch-since");
        end.setId("watch-end");
        end.setTooltip(new Tooltip(Texts.say("watch.end.help")));
        end.setOnAction(event -> onEnd.run());
        look.setId("watch-look");
        look.setTooltip(new Tooltip(Texts.say("look.begin.help")));
        look.setOnAction(event -> onLook.run());
        FlowPane doing = new FlowPane(look, end);
        doing.getStyleClass().add("start-doing");
        boxes.getStyleClass().add("choices");
        boxes.setId("watch-boxes");
        events.getStyleClass().add("findings-list");
        events.setId("watch-events");
        summary.getStyleClass().add("problems");
        summary.setId("watch-summary");
        first = new VBox(sentence, since, advice, doing);
        first.getStyleClass().add("step");
        VBox rest = new VBox(heading(Texts.say("watch.boxes")), boxes, summary);
        rest.getStyleClass().add("start-choices");
        VBox left = new VBox(first, scroll(rest));
        left.getStyleClass().add("docket");
        left.setMinWidth(0);
        left.prefWidthProperty().bind(widthProperty().multiply(0.45));
        setLeft(left);
        VBox noticed = new VBox(listed, scroll(events));
        noticed.getStyleClass().addAll("findings", "watch-noticed");
        setCenter(noticed);
        BorderPane.setMargin(noticed, new javafx.geometry.Insets(0, 0, 0, 8));
    }

    private static ScrollPane scroll(Region content) {
        ScrollPane scroll = new ScrollPane(content);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().addAll("findings-scroll", "start-scroll");
        VBox.setVgrow(scroll, Priority.ALWAYS);
        return scroll;
    }

    /** Offers a look in a break; without a plan it is not known what to press. */
    void offerLook(boolean possible) {
        Greyed.set(look, !possible, Texts.say("look.no-plan"));
    }

    public void setEm(double em) {
        sentence.setEm(em);
    }

    /** A new watch. */
    public void begin() {
        ended = false;
        lines.clear();
        shown = List.of();
        boxes.getChildren().clear();
        summary.getChildren().clear();
        end.setVisible(true);
        end.setManaged(true);
        advice.setText(Texts.say("watch.advice"));
        list();
    }

    /** How it stands, once a second. */
    public void show(List<WatchModel.Box> now, long faults, long nanos) {
        sentence.setWords(WatchModel.sentence(now.size(), faults, ended));
        String span = WatchModel.span(nanos);
        since.setText(ended ? Texts.say("watch.lasted", span) : Texts.say("watch.lasts", span));
        boolean trouble = now.stream().anyMatch(WatchModel.Box::trouble);
        first.pseudoClassStateChanged(TROUBLE, trouble && !ended);
        first.pseudoClassStateChanged(PseudoClass.getPseudoClass("found"), faults > 0);
        first.pseudoClassStateChanged(PseudoClass.getPseudoClass("good"), faults == 0);
        if (!now.equals(shown)) {
            shown = now;
            boxes.getChildren().setAll(now.stream().map(WatchPage::node).toList());
        }
    }

    /** Something was noticed. */
    public void add(WatchModel.Line line) {
        lines.addFirst(line);
        if (lines.size() > KEPT) {
            lines.removeLast();
        }
        list();
    }

    /** The watch has ended. */
    public void end(List<List<String>> summaries) {
        ended = true;
        end.setVisible(false);
        end.setManaged(false);
        advice.setText(Texts.say("watch.ended.advice"));
        List<Node> nodes = new ArrayList<>();
        for (List<String> lines : summaries) {
            nodes.add(heading(Texts.say("watch.summary")));
            for (String line : lines) {
                Label text = words("finding-evidence");
                text.setText(line);
                nodes.add(text);
            }
        }
        summary.getChildren().setAll(nodes);
        list();
    }

    private void list() {
        listed.setText(Texts.say("watch.noticed", lines.size()));
        if (lines.isEmpty()) {
            Label none = words("empty-words");
            none.setText(ended ? Texts.say("watch.nothing") : Texts.say("watch.nothing-yet"));
            events.getChildren().setAll(none);
            return;
        }
        events.getChildren().setAll(lines.stream().map(this::node).toList());
    }

    private static Node node(WatchModel.Box box) {
        Label name = words("choice-name");
        name.setText(box.name());
        Label state = words("link-state");
        state.setText(box.state());
        state.pseudoClassStateChanged(TROUBLE, box.trouble());
        Label detail = words("choice-detail");
        detail.setText(box.detail());
        VBox texts = new VBox(name, state, detail);
        texts.getStyleClass().add("watch-box");
        return texts;
    }

    private Node node(WatchModel.Line line) {
        Label clock = new Label(line.clock());
        clock.getStyleClass().add("watch-clock");
        clock.setMinWidth(USE_PREF_SIZE);
        Label kind = new Label((line.fault() ? "✕ " : "● ") + line.kind());
        kind.getStyleClass().add(line.fault() ? "finding-word" : "watch-kind");
        kind.setMinWidth(USE_PREF_SIZE);
        Label text = words("finding-evidence");
        text.setText(line.words());
        HBox head = new HBox(clock, kind);
        head.getStyleClass().add("finding-head");
        VBox node = new VBox(head, text);
        node.getStyleClass().add("finding");
        if (ended) {
            Hyperlink link = new Hyperlink(Texts.say("watch.on-tape"));
            link.setAccessibleText(Texts.say("watch.on-tape") + ": " + line.words());
            link.setOnAction(event -> onTape.accept(line));
            node.getChildren().add(link);
        }
        return node;
    }
}
