package ringout.ui.hunt;

import static ringout.ui.parts.Labels.words;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.SplitPane;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.VBox;
import org.jspecify.annotations.Nullable;
import ringout.bench.SessionView;
import ringout.check.Instruction;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.model.HuntModel;
import ringout.ui.model.Reasoning;
import ringout.ui.parts.Docket;
import ringout.ui.parts.ExplanationCard;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.DrawnBox;
import ringout.words.Texts;

/** A hunt for why one control is dead: the drawn box with what is suspected, and at the right the next step and the reasons. */
public final class HuntPage extends BorderPane {
    /** What the page can set going. */
    public interface Actions {
        /** This control is dead. */
        void hunt(String control);

        void command(Instruction command);

        void answer(ProbeReading reading);

        /** What the page's own buttons do. */
        void act(Act act);
    }

    /** What can be said or done besides commands and answers, each with its key. */
    public enum Act {
        /** The box is unplugged, though it is not seen to go. */
        UNPLUGGED("N", "hunt-unplugged"),
        /** The simulated box's plug. */
        PULL("N", "hunt-pull"),
        PUSH("N", "hunt-push"),
        /** The simulated box's meter. */
        MEASURE("M", "hunt-measure"),
        CANNOT("S", "hunt-cannot"),
        CHECK("A", "hunt-check"),
        ANOTHER("D", "hunt-another");

        final String key;
        private final String id;

        Act(String key, String id) {
            this.key = key;
            this.id = id;
        }

        private String words() {
            return switch (this) {
                case UNPLUGGED -> Texts.say("hunt.unplugged");
                case PULL -> Texts.say("hunt.pull");
                case PUSH -> Texts.say("hunt.push");
                case MEASURE -> Texts.say("hunt.measure");
                case CANNOT -> Texts.say("hunt.cannot");
                case CHECK -> Texts.say("hunt.check");
                case ANOTHER -> Texts.say("hunt.another");
            };
        }

        private String help() {
            return switch (this) {
                case UNPLUGGED -> Texts.say("hunt.unplugged.help");
                case PULL -> Texts.say("hunt.pull.help");
                case PUSH -> Texts.say("hunt.push.help");
                case MEASURE -> Texts.say("hunt.measure.help");
                case CANNOT -> Texts.say("hunt.cannot.help");
                case CHECK -> Texts.say("hunt.check.help");
                case ANOTHER -> Texts.say("hunt.another.help");
            };
        }
    }

    private final Actions actions;
    private final DrawnBox drawn;
    private final StepPane step;
    private final NoticesPane notices = new NoticesPane();
    private final Map<Act, Button> acts = new EnumMap<>(Act.class);
    private final VBox reasons = new VBox();
    private final ScrollPane scroll;
    private String start = "";
    private Optional<HuntModel.Page> shown = Optional.empty();

    public HuntPage(FxLettering lettering, Actions actions) {
        this.actions = actions;
        getStyleClass().add("bench");
        setId("hunt");
        drawn = new DrawnBox(lettering);
        step = new StepPane(lettering, actions::command, () -> {}, actions::answer, () -> {});
        for (Act act : Act.values()) {
            Button button = StepPane.keyed(act.words(), act.key, act.help(), () -> actions.act(act));
            button.setId(act.id);
            acts.put(act, button);
        }
        step.add(acts.values());
        reasons.getStyleClass().add("findings-list");
        VBox sheet = new VBox(reasons);
        sheet.getStyleClass().add("findings");
        VBox column = new VBox(notices, step, sheet);
        column.getStyleClass().add("docket");
        Docket right = new Docket(column);
        scroll = right.scroll();
        SplitPane all = new SplitPane(drawn, right);
        all.setDividerPositions(0.66);
        SplitPane.setResizableWithParent(right, false);
        setCenter(all);
    }

    public void setEm(double em) {
        drawn.setEm(em);
        step.setEm(em);
    }

    /**
     * Draws a box, of which nothing is suspected yet.
     *
     * @param from what the hunt starts from, in a sentence
     */
    public void setPlan(Plan plan, String from) {
        shown = Optional.empty();
        start = from;
        drawn.setPlan(Optional.of(plan));
        drawn.panel().point("");
        drawn.loom().point("");
        setNotices(List.of());
    }

    /** What to say above the next step. */
    void setNotices(List<NoticesPane.Notice> list) {
        notices.show(list);
    }

    /** Lets the pointer work the drawn panel; nulls for not. */
    void workBy(@Nullable Consumer<Action> press, @Nullable Consumer<Action> release) {
        drawn.panel().onWork(press, release);
    }

    /** Moves the column at the right by so many windows of it, down where positive. */
    void scroll(double windows) {
        double hidden = scroll.getContent().getLayoutBounds().getHeight()
                - scroll.getViewportBounds().getHeight();
        if (hidden > 0) {
            scroll.setVvalue(
                    scroll.getVvalue() + windows * scroll.getViewportBounds().getHeight() / hidden);
        }
    }

    /** What is shown. */
    public Optional<HuntModel.Page> shown() {
        return shown;
    }

    /** The answer on the card whose number that key is. */
    Optional<ProbeReading> answer(KeyEvent event) {
        return step.answer(event);
    }

    /**
     * Shows the box as it is now; called once per frame.
     *
     * @param now nanoseconds on the snapshot's scale
     */
    public void show(SessionView view, long now) {
        drawn.show(view, now);
    }

    /**
     * Shows where the hunt stands.
     *
     * @param offered what can be done now besides commands and answers
     */
    public void show(HuntModel.Page page, List<Act> offered) {
        acts.forEach((act, button) -> StepPane.shown(button, offered.contains(act)));
        if (shown.filter(page::equals).isPresent()) {
            return;
        }
        if (shown.filter(s -> s.stage() == page.stage()).isEmpty()) {
            scroll.setVvalue(0);
        }
        shown = Optional.of(page);
        step.show(page.card());
        drawn.onPick(page.stage() == HuntModel.Stage.CHOOSE ? actions::hunt : drawn::point);
        drawn.suspect(page.controls(), page.drawn(), page.certain(), page.tips());
        reasons(page);
    }

    private void reasons(HuntModel.Page page) {
        List<Node> nodes = new ArrayList<>();
        if (!page.meanings().isEmpty()) {
            nodes.add(words(Texts.say("hunt.meanings"), "heading"));
            page.meanings().forEach(meaning -> {
                VBox box =
                        new VBox(words(meaning.answer(), "meaning-answer"), words(meaning.words(), "finding-evidence"));
                box.getStyleClass().add("meaning");
                nodes.add(box);
            });
        }
        List<Reasoning.Card> suspects = page.suspects();
        if (!suspects.isEmpty()) {
            nodes.add(words(
                    page.stage() == HuntModel.Stage.FOUND
                            ? Texts.say("hunt.found", suspects.size())
                            : Texts.say("hunt.suspects", suspects.size()),
                    "heading"));
            suspects.forEach(card -> nodes.add(new ExplanationCard(card, this::draw)));
        }
        nodes.add(words(start, "empty-words"));
        reasons.getChildren().setAll(nodes);
    }

    private void draw(List<Fault> faults) {
        drawn.loom().suspect(faults, shown.flatMap(HuntModel.Page::tips));
    }
}
