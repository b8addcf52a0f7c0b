package ringout.ui.start;

import static ringout.ui.parts.Labels.heading;
import static ringout.ui.parts.Labels.words;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javafx.css.PseudoClass;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckBox;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.input.Clipboard;
import javafx.scene.input.ClipboardContent;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.StackPane;
import javafx.scene.layout.VBox;
import javafx.scene.text.Text;
import javafx.scene.text.TextFlow;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.ui.background.WindowThread;
import ringout.ui.files.PlanFile;
import ringout.ui.model.ControlDetail;
import ringout.ui.model.Excerpt;
import ringout.ui.model.Exercise;
import ringout.ui.model.PanelModel;
import ringout.ui.model.StartModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Choices;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.Theme;
import ringout.ui.sheets.LoomSheet;
import ringout.ui.sheets.PanelSheet;
import ringout.words.Texts;

/** Before a check: which box, which plan, and a box to practise on. Never empty, always with the next thing to do. */
public final class StartPage extends BorderPane {
    private static final PseudoClass CHOSEN = PseudoClass.getPseudoClass("chosen");

    /** A loom lower than this, in pixels, cannot be read. */
    private static final double LEAST_PICTURE = 150;
    /** Room that a picture or a panel needs to tell something, in sizes of text. */
    private static final double LEAST_BESIDE = 16;

    /** What the page can set going. */
    public interface Actions {
        void chooseBox(DeviceInfo device);

        /** Of boxes that say the same of themselves, the one that is pressed. */
        void choosePressed();

        /** Goes on with the check that was left. */
        void goBack();

        void openPlan();

        void usePlan(Path file);

        /** Takes a plan off the list. */
        void forgetPlan(Path file);

        void begin();

        /** Find out why one control is dead. */
        void hunt();

        /** How well controls are found without looking. */
        void feel();

        /** Whether the box is ready for play. */
        void ready();

        /** Without a check. */
        void watch();

        /** All boxes that can be read, for as long as wanted. */
        void watchLong();

        /** Whether checks of real boxes are recorded. */
        void record(boolean wanted);

        /** A new box from a few questions. */
        void planNew();

        /** A plan from what the chosen box does. */
        void learn();

        /** Edits the chosen plan. */
        void editPlan();

        /** The chosen plan's wiring sheet. */
        void printSheet();

        /** Proves the board of the chosen box, or of a simulated one, before anything is soldered to it. */
        void bareBoard();

        /** The chosen plan's multimeter checklist. */
        void measurePlan();

        /** Guides the iron along the chosen plan. */
        void solderPlan();

        void practise(Exercise exercise, boolean byItself);
    }

    private final Actions actions;
    private final BigSentence sentence;
    private final Label detail = words("step-detail");
    private final VBox boxes = new VBox();
    private final VBox plans = new VBox();
    private final Label waiting = words("step-detail");
    private final Button goBack = new Button(Texts.say("start.go-back"));
    private final VBox interrupted = new VBox(waiting, goBack);
    private final Button begin = new Button(Texts.say("start.begin"));
    private final Button hunt = new Button(Texts.say("hunt.about"));
    private final Button feel = new Button(Texts.say("start.feel"));
    private final Button ready = new Button(Texts.say("ready.about"));
    private final Button watch = new Button(Texts.say("start.watch"));
    private final Button watchLong = new Button(Texts.say("start.watch-long"));
    private final CheckBox recorded = new CheckBox(Texts.say("start.record"));
    private final Button practise = new Button(Texts.say("start.practise"));
    private final ComboBox<Exercise> exercises = new ComboBox<>();
    private final CheckBox byItself = new CheckBox(Texts.say("start.by-itself"));
    private final Button planNew =
            planButton("plan-new", Texts.say("start.plan-new"), Texts.say("start.plan-new.help"));
    private final Button learn = planButton("learn-box", Texts.say("start.learn"), Texts.say("start.learn.help"));
    private final Button edit = planButton("edit-plan", Texts.say("start.edit"), Texts.say("start.edit.help"));
    private final Button sheet = planButton("print-sheet", Texts.say("editor.sheet"), Texts.say("editor.sheet.help"));
    private final Button board = planButton("bare-board", Texts.say("board.about"), Texts.say("board.about.help"));
    private final Button solder =
            planButton("solder-plan", Texts.say("editor.solder"), Texts.say("editor.solder.help"));
    private final Button meter = planButton("measure", Texts.say("editor.probe"), Texts.say("editor.probe.help"));
    private final Button tryIt = planButton("try-it", Texts.say("start.try"), Texts.say("start.try.help"));
    private final Button planFirst =
            planButton("plan-first", Texts.say("start.plan-new"), Texts.say("start.plan-new.help"));
    private final Label said = words("empty-words");
    /** The plans as they are listed. */
    private final List<Path> listed = new ArrayList<>();

    private final Label practiceHeading = heading(Texts.say("start.practice"));
    private final List<Exercise> offered;
    /** Somebody wants to practise as soon as it is known on what. */
    private boolean practiseThen;

    private final StackPane right = new StackPane();
    private final VBox rest = new VBox();
    private final Docket left;
    private double em = Theme.BASE;
    private final PanelSheet preview;
    private final VBox problems = new VBox();
    private final VBox dropZone = new VBox();
    private StartModel.@Nullable Page page;
    private boolean looking;
    private Optional<DeviceInfo> chosen = Optional.empty();
    private @Nullable Plan previewed;
    private @Nullable Files shownFiles;

    /** What the lists of plans and problems were made from. */
    private record Files(List<Path> recent, Optional<PlanFile> chosen) {}

    public StartPage(FxLettering lettering, Plan desk, List<Exercise> offered, boolean record, Actions actions) {
        this.actions = actions;
        getStyleClass().add("bench");
        setId("start");
        sentence = new BigSentence(lettering, 1);
        sentence.setId("start-sentence");
        detail.setId("start-detail");
        preview = new PanelSheet(lettering);
        preview.setId("preview");
        preview.setDetail(id -> Optional.ofNullable(previewed)
                .flatMap(plan -> plan.control(id).map(c -> ControlDetail.of(plan, c, null)))
                .orElse(List.of()));
        preview.onPick(preview::point);
        boxes.getStyleClass().add("choices");
        plans.getStyleClass().add("choices");
        begin.setId("begin");
        begin.getStyleClass().add("main-button");
        begin.setDefaultButton(true);
        begin.setOnAction(event -> actions.begin());
        hunt.setId("hunt-begin");
        hunt.setTooltip(new Tooltip(Texts.say("hunt.about.help")));
        hunt.setOnAction(event -> actions.hunt());
        hunt.setMinWidth(Region.USE_PREF_SIZE);
        feel.setId("feel");
        feel.setTooltip(new Tooltip(Texts.say("start.feel.help")));
        feel.setOnAction(event -> actions.feel());
        feel.setMinWidth(Region.USE_PREF_SIZE);
        ready.setId("ready-begin");
        ready.setTooltip(new Tooltip(Texts.say("start.ready.help")));
        ready.setOnAction(event -> actions.ready());
        ready.setMinWidth(Region.USE_PREF_SIZE);
        watch.setId("watch");
        watch.setTooltip(new Tooltip(Texts.say("start.watch.help")));
        watch.setOnAction(event -> actions.watch());
        watchLong.setId("watch-long");
        watchLong.setTooltip(new Tooltip(Texts.say("start.watch-long.help")));
        watchLong.setOnAction(event -> actions.watchLong());
        watchLong.setMinWidth(Region.USE_PREF_SIZE);
        recorded.setId("record");
        recorded.setSelected(record);
        recorded.setTooltip(new Tooltip(Texts.say("start.record.help")));
        recorded.setOnAction(event -> actions.record(recorded.isSelected()));
        Button open = new Button(Texts.say("start.open"));
        open.setMinWidth(Region.USE_PREF_SIZE);
        open.setId("open-plan");
        open.setOnAction(event -> actions.openPlan());
        exercises.setId("exercise");
        this.offered = offered;
        offer(offered);
        exercises.setAccessibleText(Texts.say("start.exercise"));
        exercises.setConverter(Choices.said(Exercise::words));
        byItself.setId("by-itself");
        byItself.setSelected(true);
        byItself.setTooltip(new Tooltip(Texts.say("start.by-itself.help")));
        practise.setId("practise");
        practise.setOnAction(event -> {
            if (exercises.getValue() == null) {
                practiseThen = true;
                say(Texts.say("start.exercise.working"));
            } else {
                actions.practise(exercises.getValue(), byItself.isSelected());
            }
        });
        exercises.setPromptText(Texts.say("start.exercise.working"));
        FlowPane practice = new FlowPane(exercises, practise);
        practice.getStyleClass().add("editor-bar");
        // Its longest choice may be wider than the page has room.
        practice.setMinWidth(0);
        exercises.maxWidthProperty().bind(practice.widthProperty());
        practise.setMinWidth(Region.USE_PREF_SIZE);

        tryIt.setOnAction(event -> practise.fire());
        planFirst.setOnAction(event -> actions.planNew());
        tryIt.getStyleClass().add("main-button");
        planFirst.getStyleClass().add("main-button");
        FlowPane doing = new FlowPane(tryIt, planFirst, begin, hunt, feel, ready, watch, watchLong, recorded);
        doing.getStyleClass().add("start-doing");
        begin.setMinWidth(Region.USE_PREF_SIZE);
        watch.setMinWidth(Region.USE_PREF_SIZE);
        goBack.setId("go-back");
        goBack.getStyleClass().add("main-button");
        goBack.setMinWidth(Region.USE_PREF_SIZE);
        goBack.setOnAction(event -> actions.goBack());
        waiting.setId("start-waiting");
        interrupted.getStyleClass().add("start-doing");
        shown(interrupted, false);
        VBox first = new VBox(interrupted, sentence, detail, doing);
        first.getStyleClass().add("step");
        first.pseudoClassStateChanged(PseudoClass.getPseudoClass("ask"), true);
        HBox planHead = new HBox(heading(Texts.say("start.plans")), space(), open);
        planHead.setAlignment(Pos.BOTTOM_LEFT);
        planNew.setOnAction(event -> actions.planNew());
        learn.setOnAction(event -> actions.learn());
        edit.setOnAction(event -> actions.editPlan());
        sheet.setOnAction(event -> actions.printSheet());
        board.setOnAction(event -> actions.bareBoard());
        solder.setOnAction(event -> actions.solderPlan());
        meter.setOnAction(event -> actions.measurePlan());
        FlowPane planning = new FlowPane(planNew, learn, edit, sheet, board, solder, meter);
        planning.getStyleClass().add("editor-bar");
        said.setId("start-said");
        say("");
        rest.getChildren()
                .setAll(
                        heading(Texts.say("start.boxes")),
                        boxes,
                        planHead,
                        plans,
                        planning,
                        said,
                        practiceHeading,
                        practice,
                        byItself);
        rest.getStyleClass().add("start-choices");
        left = new Docket(first, rest);
        left.prefWidthProperty().bind(widthProperty().multiply(0.42));
        setLeft(left);
        setCenter(right);
        BorderPane.setMargin(right, new Insets(0, 0, 0, 8));
        widthProperty().addListener((of, was, is) -> WindowThread.soon(this::arrange));

        Label drop = words("drop-words");
        drop.setText(Texts.say("start.picture"));
        Label dropDetail = words("empty-words");
        dropDetail.setText(Texts.say("start.picture.detail"));
        Label dropHint = words("empty-words");
        dropHint.setText(Texts.say("start.drop.detail"));
        dropZone.getChildren().setAll(drop, dropDetail, picture(lettering, desk), dropHint);
        dropZone.getStyleClass().add("drop-zone");
        problems.getStyleClass().add("problems");
    }

    /** The picture or the plan beside the choices; under them where there is no room for both. */
    private void arrange() {
        boolean room = getWidth() - left.minWidth(-1) >= LEAST_BESIDE * em;
        if (room == (getCenter() == right)) {
            return;
        }
        if (room) {
            rest.getChildren().remove(right);
            right.setMinHeight(USE_COMPUTED_SIZE);
            setCenter(null);
            left.prefWidthProperty().bind(widthProperty().multiply(0.42));
            setLeft(left);
            setCenter(right);
        } else {
            left.prefWidthProperty().unbind();
            left.setPrefWidth(USE_COMPUTED_SIZE);
            setLeft(null);
            setCenter(left);
            right.setMinHeight(LEAST_BESIDE * em);
            rest.getChildren().add(right);
        }
    }

    private void offer(List<Exercise> now) {
        exercises.getItems().setAll(now);
        exercises.getSelectionModel().selectFirst();
    }

    /**
     * Offers to practise on a plan.
     *
     * @param own what it lets one practise; empty for the desk
     */
    public void offerPractice(Optional<List<Exercise>> own) {
        practiceHeading.setText(own.isPresent() ? Texts.say("start.practice.own") : Texts.say("start.practice"));
        tryIt.setText(own.isPresent() ? Texts.say("start.try-own") : Texts.say("start.try"));
        offer(own.orElse(offered));
        if (practiseThen) {
            practiseThen = false;
            say("");
            practise.fire();
        }
    }

    /** Another plan is chosen, and it is not known yet what it lets one practise: nothing that belongs to another is offered. */
    public void awaitPractice() {
        practiseThen = false;
        exercises.getItems().clear();
        exercises.setValue(null);
    }

    /** What cannot be used yet is not offered. */
    private static void shown(Region node, boolean visible) {
        node.setVisible(visible);
        node.setManaged(visible);
    }

    /** What Ringout does, in one picture: the loom of the desk to practise on, and the wire that is off. */
    private static Node picture(FxLettering lettering, Plan desk) {
        LoomSheet loom = new LoomSheet(lettering);
        loom.setPlan(desk);
        loom.suspect(List.of(Fault.parse("open:R2", desk)), Optional.empty());
        loom.setId("start-picture");
        loom.setMouseTransparent(true);
        loom.setFocusTraversable(false);
        VBox.setVgrow(loom, Priority.ALWAYS);
        // With large text in a small window there is no room for a picture that says anything.
        loom.visibleProperty().bind(loom.heightProperty().greaterThan(LEAST_PICTURE));
        return loom;
    }

    private static Button planButton(String id, String words, String help) {
        Button button = new Button(words);
        button.setId(id);
        button.setTooltip(new Tooltip(help));
        button.setMinWidth(Region.USE_PREF_SIZE);
        return button;
    }

    /** Says what came of something that was started here; empty for nothing. */
    public void say(String words) {
        said.setText(words);
        said.setVisible(!words.isEmpty());
        said.setManaged(!words.isEmpty());
    }

    public void setEm(double em) {
        sentence.setEm(em);
        preview.setEm(em);
        this.em = em;
        arrange();
    }

    /**
     * Offers to go on with a check that was left.
     *
     * @param words how far it is; empty where there is none
     */
    public void offerBack(Optional<String> words) {
        words.ifPresent(waiting::setText);
        shown(interrupted, words.isPresent());
    }

    /** Puts the keyboard where the next thing to do is. */
    public void focusFirst() {
        if (interrupted.isVisible()) {
            goBack.requestFocus();
        } else if (begin.isDisabled()) {
            (tryIt.isVisible() ? tryIt : practise).requestFocus();
        } else {
            begin.requestFocus();
        }
    }

    /** Whether it is not known yet which boxes there are. */
    public void looking(boolean now) {
        if (looking != now) {
            looking = now;
            page = null;
        }
    }

    /** Shows what there is. */
    public void show(
            StartModel.Page next, Optional<DeviceInfo> chosenBox, List<Path> recent, Optional<PlanFile> planFile) {
        boolean otherRows = page == null || !next.rows().equals(page.rows()) || !chosenBox.equals(chosen);
        page = next;
        chosen = chosenBox;
        sentence.setWords(next.sentence());
        detail.setText(next.detail());
        // The large sentence says what is missing.
        String missing = Texts.say("grey.not-yet", next.sentence());
        Greyed.set(begin, !next.ready(), missing);
        Greyed.set(hunt, !next.ready(), missing);
        // Without any box it is tried on a simulated one.
        Greyed.set(
                board,
                !next.rows().isEmpty() && !next.ready()
                        || planFile.filter(f -> f.reading().plan().isEmpty()).isPresent(),
                missing);
        Greyed.set(feel, !next.ready(), missing);
        Greyed.set(ready, !next.ready(), missing);
        Greyed.set(watch, !next.openable(), missing);
        Greyed.set(watchLong, next.rows().stream().noneMatch(row -> row.device().readable()), Texts.say("grey.no-box"));
        Greyed.set(learn, !next.openable(), missing);
        boolean nothing = next.rows().isEmpty();
        shown(tryIt, nothing);
        boolean anew = nothing && recent.isEmpty() && planFile.isEmpty();
        shown(planFirst, anew);
        shown(planNew, !anew);
        shown(begin, !nothing);
        shown(hunt, !nothing);
        shown(feel, !nothing);
        shown(ready, !nothing);
        shown(watch, !nothing);
        shown(watchLong, !nothing);
        shown(recorded, !nothing);
        shown(learn, !nothing);
        // Of which plan, nobody could tell.
        shown(board, !nothing || planFile.isPresent());
        if (otherRows) {
            boxes.getChildren().setAll(boxNodes(next.rows()));
        }
        Files files = new Files(List.copyOf(recent), planFile);
        if (files.equals(shownFiles)) {
            return;
        }
        shownFiles = files;
        plans.getChildren().setAll(planNodes(recent, planFile.map(f -> f.file().toAbsolutePath())));
        Optional<Plan> plan = planFile.flatMap(f -> f.reading().plan());
        List.of(edit, sheet, solder, meter).forEach(button -> {
            Greyed.set(button, plan.isEmpty(), Texts.say("grey.bad-plan"));
            shown(button, planFile.isPresent());
        });
        if (planFile.isEmpty()) {
            right.getChildren().setAll(dropZone);
            return;
        }
        List<PlanProblem> found = planFile.get().reading().problems();
        problems.getChildren().setAll(problemNodes(planFile.get()));
        VBox column = new VBox();
        column.getStyleClass().add("docket");
        if (plan.isPresent()) {
            if (plan.get() != previewed) {
                previewed = plan.get();
                preview.setPlan(plan.get());
                preview.show(PanelModel.idle(plan.get()));
            }
            VBox.setVgrow(preview, Priority.ALWAYS);
            column.getChildren().add(preview);
        }
        if (!found.isEmpty()) {
            ScrollPane scroll = new ScrollPane(problems);
            scroll.setFitToWidth(true);
            scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
            scroll.getStyleClass().addAll("findings-scroll", "start-scroll");
            if (plan.isEmpty()) {
                VBox.setVgrow(scroll, Priority.ALWAYS);
            } else {
                scroll.setPrefHeight(Math.min(3, found.size()) * 70 + 50);
            }
            column.getChildren().add(scroll);
        }
        right.getChildren().setAll(column);
    }

    private List<Node> boxNodes(List<StartModel.Row> rows) {
        List<Node> nodes = new ArrayList<>();
        if (rows.isEmpty()) {
            Label none = words("empty-words");
            none.setId(looking ? "looking" : "no-box");
            none.setText(looking ? Texts.say("start.looking") : Texts.say("start.no-box"));
            nodes.add(none);
        }
        for (StartModel.Row row : rows) {
            boolean on = chosen.isPresent() && chosen.get().equals(row.device());
            nodes.add(choice(
                    row.name(),
                    row.planned() ? Texts.say("start.box.planned", row.detail()) : row.detail(),
                    on,
                    () -> actions.chooseBox(row.device())));
            if (!row.problem().isEmpty()) {
                Label problem = words("box-problem");
                problem.setText(row.problem());
                Button copy = new Button(Texts.say("start.copy"));
                copy.getStyleClass().add("small-button");
                copy.setOnAction(event -> {
                    ClipboardContent content = new ClipboardContent();
                    content.putString(row.problem());
                    Clipboard.getSystemClipboard().setContent(content);
                });
                VBox box = new VBox(problem, copy);
                box.getStyleClass().add("box-problem-area");
                nodes.add(box);
            }
        }
        if (page != null && page.alike()) {
            Button press = new Button(Texts.say("start.by-press"));
            press.setId("choose-pressed");
            press.getStyleClass().add("small-button");
            press.setTooltip(new Tooltip(Texts.say("start.by-press.help")));
            press.setOnAction(event -> actions.choosePressed());
            nodes.add(press);
        }
        return nodes;
    }

    private List<Node> planNodes(List<Path> recent, Optional<Path> planFile) {
        List<Node> nodes = new ArrayList<>();
        // In the order in which they came here: what is chosen stays under the pointer.
        List<Path> shown = listed;
        shown.retainAll(recent);
        for (int i = recent.size() - 1; i >= 0; i--) {
            if (!shown.contains(recent.get(i))) {
                shown.add(0, recent.get(i));
            }
        }
        planFile.filter(file -> !shown.contains(file)).ifPresent(file -> shown.add(0, file));
        if (shown.isEmpty()) {
            Label none = words("empty-words");
            none.setText(Texts.say("start.no-plan"));
            nodes.add(none);
        }
        for (Path file : shown) {
            boolean on = planFile.isPresent() && planFile.get().equals(file);
            Path folder = file.toAbsolutePath().getParent();
            Node choice = choice(
                    String.valueOf(file.getFileName()),
                    folder == null ? "" : folder.toString(),
                    on,
                    () -> actions.usePlan(file));
            HBox.setHgrow(choice, Priority.ALWAYS);
            Button forget = new Button("×");
            forget.getStyleClass().add("small-button");
            forget.setMinWidth(Region.USE_PREF_SIZE);
            forget.setTooltip(new Tooltip(Texts.say("start.forget.help")));
            forget.setAccessibleText(Texts.say("start.forget", file.getFileName()));
            forget.setId("forget-" + file.getFileName());
            forget.setOnAction(event -> actions.forgetPlan(file));
            HBox row = new HBox(choice, forget);
            row.getStyleClass().add("plan-row");
            row.setAlignment(Pos.CENTER_LEFT);
            nodes.add(row);
        }
        return nodes;
    }

    /** One of several things to choose: a filled or hollow mark, a name, and details. */
    private Node choice(String name, String detail, boolean on, Runnable choose) {
        Region mark = new Region();
        mark.getStyleClass().add("choice-mark");
        Label title = new Label(name);
        title.getStyleClass().add("choice-name");
        Label small = words("choice-detail");
        small.setText(detail);
        VBox texts = new VBox(title, small);
        texts.setMinWidth(0);
        HBox.setHgrow(texts, Priority.ALWAYS);
        HBox button = new HBox(mark, texts);
        button.getStyleClass().add("choice");
        button.pseudoClassStateChanged(CHOSEN, on);
        button.setFocusTraversable(true);
        button.setAccessibleRole(AccessibleRole.RADIO_BUTTON);
        button.setAccessibleText(on ? Texts.say("start.chosen", name, detail) : name + ", " + detail);
        button.setOnMouseClicked(event -> {
            button.requestFocus();
            choose.run();
        });
        button.addEventHandler(KeyEvent.KEY_PRESSED, event -> {
            if (event.getCode() == KeyCode.SPACE || event.getCode() == KeyCode.ENTER) {
                choose.run();
                event.consume();
            }
        });
        return button;
    }

    private static List<Node> problemNodes(PlanFile plan) {
        List<Node> nodes = new ArrayList<>();
        nodes.add(heading(Texts.say("start.problems", plan.file().getFileName())));
        for (PlanProblem problem : plan.reading().problems()) {
            boolean error = problem.severity() == PlanProblem.Severity.ERROR;
            Label head = new Label(
                    error
                            ? Texts.say("start.problem.error", problem.line(), problem.column())
                            : Texts.say("start.problem.warning"));
            head.getStyleClass().addAll("problem-head", error ? "problem-error" : "problem-warning");
            Label text = words("finding-evidence");
            text.setText(problem.message());
            VBox box = new VBox(head, text);
            // Whoever planned in the window knows no lines of a file. An error only comes of a file changed by hand.
            if (error) {
                Excerpt.of(plan.text(), problem.line(), problem.column())
                        .ifPresent(excerpt -> box.getChildren().add(excerpt(excerpt)));
            }
            box.getStyleClass().add("finding");
            nodes.add(box);
        }
        return nodes;
    }

    /** The line of the file, with the words in question underlined. */
    private static TextFlow excerpt(Excerpt excerpt) {
        Text at = new Text(excerpt.at());
        at.getStyleClass().addAll("excerpt-at", "excerpt-error");
        TextFlow line = new TextFlow(new Text(excerpt.before()), at, new Text(excerpt.after()));
        line.getStyleClass().add("excerpt");
        return line;
    }

    private static Region space() {
        Region space = new Region();
        HBox.setHgrow(space, Priority.ALWAYS);
        return space;
    }
}
