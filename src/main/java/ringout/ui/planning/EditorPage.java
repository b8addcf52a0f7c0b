package ringout.ui.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import javafx.beans.property.DoubleProperty;
import javafx.beans.property.SimpleDoubleProperty;
import javafx.geometry.Orientation;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Hyperlink;
import javafx.scene.control.Label;
import javafx.scene.control.MenuButton;
import javafx.scene.control.MenuItem;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.SplitPane;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import ringout.naming.DifferenceWords;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.PlanDifference;
import ringout.ui.background.Background;
import ringout.ui.model.EditorModel;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.Theme;
import ringout.words.Texts;

/** The plan editor: the panel in the middle, its wiring below, what is selected at the side, and what is left to see to. */
public final class EditorPage extends BorderPane {
    /** What the page can set going. */
    public interface Actions {
        void save();

        void sheet();

        void probe();

        /** Guides the iron along the plan. */
        void solder();

        /** Writes the cockpit card. */
        void card();

        /** Asks for the plan of the box before. */
        void compare();

        /** The plan was edited, or another part of it is shown. */
        void edited(EditorModel model);
    }

    /** Room that both drawings need, in sizes of text. */
    private static final double LEAST_HEIGHT = 18;

    private final DoubleProperty least = new SimpleDoubleProperty(LEAST_HEIGHT * Theme.BASE);
    private final Actions actions;
    private final EditorPanel panel;
    private final CrossingSheet crossings;
    private final PropertiesPane properties = new PropertiesPane(this::edit, this::editSlowly);
    private final Background computing;
    private final NoticesPane notices = new NoticesPane();
    private final Label problemsHeading = new Label();
    private final VBox problems = new VBox();
    private final Button undo = button("undo", Texts.say("editor.undo"), Texts.say("editor.undo.help"));
    private final Button redo = button("redo", Texts.say("editor.redo"), Texts.say("editor.redo.help"));
    private final Button save = button("save", Texts.say("editor.save"), Texts.say("editor.save.help"));
    private final VBox difference = new VBox();
    private Optional<Before> before = Optional.empty();
    private Optional<PlanDifference> shownDifference = Optional.empty();
    private Optional<List<EditorModel.Problem>> shownProblems = Optional.empty();
    private List<NoticesPane.Notice> standing = List.of();

    @SuppressWarnings("NullAway.Init") // shown with a plan before anything on it can be touched
    private EditorModel model;

    private Optional<Background.Job> slow = Optional.empty();

    /** The box before, whose assignments are looked after. */
    private record Before(String name, Plan plan) {}

    /** @param computing where edits are made that take a while */
    public EditorPage(FxLettering lettering, Background computing, Actions actions) {
        this.computing = computing;
        this.actions = actions;
        setId("editor");
        getStyleClass().addAll("bench", "editor");
        panel = new EditorPanel(lettering, this::edit);
        crossings = new CrossingSheet(lettering, this::edit);
        MenuButton add = new MenuButton(Texts.say("editor.add"));
        add.setId("add");
        add.setMinWidth(Region.USE_PREF_SIZE);
        for (NewBox.Part part : NewBox.Part.values()) {
            MenuItem item = new MenuItem(PropertiesPane.part(part));
            item.setId("add-" + part.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
            item.setOnAction(event -> {
                edit(m -> m.add(part));
                model.control().map(Control::id).ifPresent(panel::focus);
            });
            add.getItems().add(item);
        }
        undo.setOnAction(event -> edit(EditorModel::undo));
        redo.setOnAction(event -> edit(EditorModel::redo));
        save.setOnAction(event -> actions.save());
        Button sheet = button("sheet", Texts.say("editor.sheet"), Texts.say("editor.sheet.help"));
        sheet.setOnAction(event -> actions.sheet());
        Button probe = button("probe", Texts.say("editor.probe"), Texts.say("editor.probe.help"));
        probe.setOnAction(event -> actions.probe());
        Button solder = button("solder-along", Texts.say("editor.solder"), Texts.say("editor.solder.help"));
        solder.setOnAction(event -> actions.solder());
        Button card = button("card", Texts.say("editor.card"), Texts.say("editor.card.help"));
        card.setOnAction(event -> actions.card());
        Button compare = button("compare", Texts.say("editor.compare"), Texts.say("editor.compare.help"));
        compare.setOnAction(event -> actions.compare());
        FlowPane bar = new FlowPane(save, add, undo, redo, sheet, solder, probe, card, compare);
        bar.getStyleClass().add("editor-bar");

        Button shortWires = line("short-wires", Texts.say("editor.short-wires"), EditorModel::shortWires);
        shortWires.setOnAction(event -> editSlowly(EditorModel::shortWires));
        FlowPane lines = new FlowPane(
                line("add-row", Texts.say("editor.add-row"), m -> m.addLine(Line.Kind.ROW)),
                line("add-column", Texts.say("editor.add-column"), m -> m.addLine(Line.Kind.COLUMN)),
                line("add-pin", Texts.say("editor.add-pin"), m -> m.addLine(Line.Kind.DIRECT)),
                shortWires);
        lines.getStyleClass().add("lines-bar");
        crossings.setBottom(lines);
        SplitPane drawings = new SplitPane(panel, crossings);
        drawings.setOrientation(Orientation.VERTICAL);
        drawings.setDividerPositions(0.56);

        problemsHeading.getStyleClass().add("heading");
        problemsHeading.setId("problems-heading");
        problemsHeading.setWrapText(true);
        problemsHeading.setMinHeight(Region.USE_PREF_SIZE);
        problems.setId("problems");
        VBox seeTo = new VBox(problemsHeading, problems);
        seeTo.getStyleClass().add("see-to");
        difference.setId("difference");
        difference.getStyleClass().add("see-to");
        VBox side = new VBox(difference, properties, seeTo);
        side.getStyleClass().add("editor-side");
        Docket right = new Docket(notices, side);
        SplitPane split = new SplitPane(drawings, right);
        split.setDividerPositions(0.66);
        VBox whole = new VBox(bar, split);
        whole.getStyleClass().add("docket");
        VBox.setVgrow(split, Priority.ALWAYS);
        bar.setMinHeight(Region.USE_PREF_SIZE);
        // In a low window with large text there is no room for both drawings: then all of it scrolls.
        ScrollPane scroll = new ScrollPane(whole);
        scroll.setFitToWidth(true);
        scroll.setFitToHeight(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.setFocusTraversable(false);
        scroll.getStyleClass().add("findings-scroll");
        drawings.minHeightProperty().bind(least);
        split.minHeightProperty().bind(least);
        setCenter(scroll);
        addEventHandler(KeyEvent.KEY_PRESSED, this::key);
    }

    private Button line(String id, String words, UnaryOperator<EditorModel> action) {
        Button button = button(id, words, words);
        button.getStyleClass().add("small-button");
        button.setOnAction(event -> edit(action));
        return button;
    }

    private static Button button(String id, String words, String help) {
        Button button = new Button(words);
        button.setId(id);
        button.setTooltip(new Tooltip(help));
        button.setMinWidth(Region.USE_PREF_SIZE);
        return button;
    }

    private void key(KeyEvent event) {
        if (!event.isShortcutDown()) {
            return;
        }
        if (event.getCode() == KeyCode.S) {
            actions.save();
        } else if (event.getCode() == KeyCode.Z && !event.isShiftDown()) {
            edit(EditorModel::undo);
        } else if (event.getCode() == KeyCode.Y || event.getCode() == KeyCode.Z) {
            edit(EditorModel::redo);
        } else {
            return;
        }
        event.consume();
    }

    public void setEm(double em) {
        least.set(LEAST_HEIGHT * em);
        panel.setEm(em);
        crossings.setEm(em);
    }

    public EditorModel model() {
        return model;
    }

    /** Makes an edit and shows what comes of it. */
    public void edit(UnaryOperator<EditorModel> edit) {
        show(edit.apply(model));
        actions.edited(model);
    }

    /** An edit that may take longer than a frame; made once more where another came in between. */
    private void editSlowly(UnaryOperator<EditorModel> edit) {
        EditorModel before = model;
        slow = Optional.of(computing.begin(
                progress -> edit.apply(before),
                after -> {
                    if (model == before) {
                        edit(m -> after);
                    } else {
                        editSlowly(edit);
                    }
                },
                why -> setNotices(List.of(NoticesPane.Notice.of(why)))));
    }

    /** Shows another plan, and drops what is not done of the one before. */
    void open(EditorModel other) {
        before = Optional.empty();
        slow.ifPresent(Background.Job::cancel);
        properties.anew();
        show(other);
    }

    /** Notices that stand until others are set; a refused edit is said above them. */
    void setNotices(List<NoticesPane.Notice> next) {
        standing = List.copyOf(next);
        notice();
    }

    private void notice() {
        List<NoticesPane.Notice> all = new ArrayList<>();
        if (!model.refusal().isEmpty()) {
            all.add(NoticesPane.Notice.of(model.refusal()));
        }
        all.addAll(standing);
        notices.show(all);
    }

    public void show(EditorModel next) {
        model = next;
        panel.show(next);
        crossings.show(next);
        properties.show(next);
        Greyed.set(undo, !next.canUndo(), Texts.say("grey.undo"));
        Greyed.set(redo, !next.canRedo(), Texts.say("grey.redo"));
        Greyed.set(save, !next.unsaved(), Texts.say("grey.save"));
        notice();
        compared();
        List<EditorModel.Problem> found = next.problems();
        if (shownProblems.filter(found::equals).isEmpty()) {
            shownProblems = Optional.of(found);
            problemsHeading.setText(Texts.say("editor.problems", found.size()));
            problems.getChildren().setAll(found.stream().map(this::problem).toList());
        }
    }

    /** Shows from now on what every edit does to the assignments made for the box before. */
    void compareWith(String name, Plan plan) {
        before = Optional.of(new Before(name, plan));
        shownDifference = Optional.empty();
        compared();
    }

    private void compared() {
        difference.setVisible(before.isPresent());
        difference.setManaged(before.isPresent());
        before.ifPresent(box -> {
            PlanDifference now = PlanDifference.between(box.plan(), model.plan());
            if (shownDifference.equals(Optional.of(now))) {
                return;
            }
            shownDifference = Optional.of(now);
            difference.getChildren().clear();
            Label heading = new Label(Texts.say("difference.heading", box.name()));
            heading.getStyleClass().add("heading");
            heading.setWrapText(true);
            heading.setMinHeight(Region.USE_PREF_SIZE);
            difference.getChildren().add(heading);
            DifferenceWords.summary(now)
                    .forEach(said -> difference.getChildren().add(told(said.text(), Optional.empty())));
            now.changes()
                    .forEach(fate -> difference
                            .getChildren()
                            .add(told(
                                    DifferenceWords.fate(fate).text(),
                                    fate.now().flatMap(a -> model.plan().control(a.control())))));
            if (now.changes().isEmpty()) {
                difference.getChildren().add(told(Texts.say("difference.same"), Optional.empty()));
            }
            Hyperlink end = new Hyperlink(Texts.say("editor.compare.end"));
            end.setId("compare-end");
            end.setOnAction(event -> {
                before = Optional.empty();
                compared();
            });
            difference.getChildren().add(end);
        });
    }

    private Node problem(EditorModel.Problem problem) {
        return told(
                (problem.error() ? "✕ " : "! ") + problem.text(),
                problem.control().flatMap(model.plan()::control));
    }

    private VBox told(String said, Optional<Control> control) {
        Label text = new Label(said);
        text.setWrapText(true);
        text.setMinHeight(Region.USE_PREF_SIZE);
        text.getStyleClass().add("finding-evidence");
        VBox box = new VBox(text);
        box.getStyleClass().add("finding");
        control.ifPresent(c -> {
            Hyperlink link = new Hyperlink(Texts.say("editor.problem.show", c.label()));
            link.setOnAction(event -> {
                edit(m -> m.select(new EditorModel.Selection.OfControl(c.id())));
                panel.focus(c.id());
            });
            box.getChildren().add(link);
        });
        return box;
    }
}
