package ringout.ui.sheets;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import javafx.css.PseudoClass;
import javafx.geometry.Dimension2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.control.ContextMenu;
import javafx.scene.control.Label;
import javafx.scene.control.MenuItem;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseEvent;
import javafx.scene.layout.VBox;
import javafx.scene.shape.Rectangle;
import javafx.scene.text.Text;
import javafx.scene.transform.Rotate;
import org.jspecify.annotations.Nullable;
import ringout.check.CheckView.Status;
import ringout.check.Finding;
import ringout.drawing.Ink;
import ringout.drawing.Marks;
import ringout.drawing.PanelDrawing;
import ringout.drawing.PanelDrawing.Figure;
import ringout.drawing.PanelDrawing.Motion;
import ringout.drawing.PanelDrawing.Part;
import ringout.drawing.PanelDrawing.When;
import ringout.drawing.PanelLayout;
import ringout.drawing.Point;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.ui.background.WindowThread;
import ringout.ui.model.ControlState;
import ringout.ui.model.PanelModel;
import ringout.ui.parts.FxLettering;
import ringout.words.Texts;

/** The panel itself, drawn to scale and lit live. */
public final class PanelSheet extends Sheet {
    private static final PseudoClass ON = PseudoClass.getPseudoClass("on");
    private static final PseudoClass ASKED = PseudoClass.getPseudoClass("asked");
    private static final PseudoClass FAULTY = PseudoClass.getPseudoClass("faulty");
    private static final PseudoClass GOOD = PseudoClass.getPseudoClass("good");
    private static final PseudoClass SUSPECT = PseudoClass.getPseudoClass("suspect");
    private static final PseudoClass EMPTY = PseudoClass.getPseudoClass("empty");
    private static final PseudoClass SHOWN = PseudoClass.getPseudoClass("shown");
    /** Enough for the largest caps to stay drawn rather than swollen, in pixels per millimetre. */
    private static final double MOST = 4.5;

    private static final double LETTERING = 0.93;
    /** Height of a sheet that has room for a hint under the drawing, in sizes of text. */
    private static final double LEAST_HEIGHT = 14;
    /** From a control to the frame around it when it is chosen, in pixels: less than to its lettering. */
    private static final double FRAME = 3.5;

    /** From one try of a larger drawing to the next. */
    private static final double LARGER = 1.2;

    private final FxLettering lettering;
    private final Map<String, ControlNode> nodes = new HashMap<>();
    private @Nullable Plan plan;
    private PanelModel.State state = new PanelModel.State(Map.of(), List.of());
    private Consumer<String> picked = id -> {};
    private final Label footer = new Label();
    private Function<String, List<String>> detail = id -> List.of();
    private Optional<Consumer<Action>> press = Optional.empty();
    private Optional<Consumer<Action>> release = Optional.empty();
    private Optional<Consumer<String>> hunt = Optional.empty();
    private String shown = "";
    private int nameless;
    private boolean numbered;
    private final PanelKey key = new PanelKey(id -> picked.accept(id));

    public PanelSheet(FxLettering lettering) {
        super("panel", Texts.say("panel.caption"));
        this.lettering = lettering;
        footer.getStyleClass().add("sheet-footer");
        footer.setId("panel-detail");
        footer.setWrapText(true);
        footer.setMaxWidth(Double.MAX_VALUE);
        footer.setMinHeight(USE_PREF_SIZE);
        // Its room is kept, so that a click moves nothing.
        footer.setText(Texts.say("panel.detail"));
        footer.pseudoClassStateChanged(EMPTY, true);
        // However large the text: most of the room is the drawing's.
        key.maxHeightProperty().bind(heightProperty().multiply(PanelKey.SHARE));
        setBottom(new VBox(key, footer));
        heightProperty().addListener((of, was, is) -> WindowThread.soon(this::share));
    }

    /** Calls back with a control's id when it is clicked or chosen with Enter. */
    public void onPick(Consumer<String> picked) {
        this.picked = picked;
    }

    /** Lets the pointer work the controls: press and release call back with the action nearest to the pointer; nulls for not. */
    public void onWork(@Nullable Consumer<Action> press, @Nullable Consumer<Action> release) {
        this.press = Optional.ofNullable(press);
        this.release = Optional.ofNullable(release);
    }

    /** Offers, in each control's menu, to find out why it is dead: calls back with its id; null for not. */
    public void onHunt(@Nullable Consumer<String> hunt) {
        this.hunt = Optional.ofNullable(hunt);
    }

    /** The id of the control that the keyboard is at. */
    Optional<String> focusedControl() {
        return nodes.values().stream()
                .filter(Node::isFocused)
                .map(node -> node.figure.id())
                .findFirst();
    }

    /** Where the lines come from that say what is known of a control. */
    public void setDetail(Function<String, List<String>> detail) {
        this.detail = detail;
    }

    public void setPlan(Plan plan) {
        this.plan = plan;
        this.state = PanelModel.idle(plan);
        point("");
        redraw();
    }

    public void show(PanelModel.State next) {
        PanelModel.State before = state;
        state = next;
        next.controls().forEach((id, control) -> {
            ControlNode node = nodes.get(id);
            if (node != null && !Objects.equals(before.controls().get(id), control)) {
                node.show(control);
                if (id.equals(shown)) {
                    tell();
                }
            }
        });
        remark();
    }

    private void remark() {
        PanelModel.State next = state;
        setRemark(
                next.extra().isEmpty() && (numbered || nameless > 0)
                        ? List.of(
                                numbered ? Texts.say("panel.numbered") : Texts.say("panel.nameless", nameless),
                                numbered ? Texts.say("panel.numbered.short") : Texts.say("panel.nameless.short"),
                                "")
                        : next.extra().isEmpty()
                                ? List.of(Texts.say("panel.front"), "")
                                : List.of(
                                        Texts.say("panel.extra", String.join(", ", next.extra())),
                                        Texts.say(
                                                "panel.extra.short",
                                                next.extra().size()),
                                        ""));
    }

    /** Rings one control and says what is known of it until another is shown; empty for none. */
    public void point(String control) {
        shown = control;
        tell();
        nodes.forEach((id, node) -> node.pseudoClassStateChanged(SHOWN, id.equals(control)));
        if (nodes.containsKey(control)) {
            reveal(nodes.get(control));
        }
    }

    /** Where the sheet is low, the drawing gets what hint and names take: then they stand there only when they tell something. */
    private void share() {
        boolean low = getHeight() > 0 && getHeight() < LEAST_HEIGHT * em();
        boolean hint = shown.isEmpty() || footer.getText().isEmpty();
        footer.setVisible(!low || !hint);
        footer.setManaged(footer.isVisible());
        key.setCramped(low && !hint);
    }

    /** What is known of the control by now: it changes while it is worked. */
    private void tell() {
        List<String> lines = shown.isEmpty() ? List.of() : detail.apply(shown);
        footer.setText(lines.isEmpty() ? Texts.say("panel.detail") : String.join("; ", lines));
        footer.pseudoClassStateChanged(EMPTY, lines.isEmpty());
        share();
    }

    /** True where controls have numbers in place of names, and for some there is no room even for those. */
    private static boolean unnumbered(PanelDrawing drawing) {
        return !drawing.numbered().isEmpty()
                && drawing.controls().stream().anyMatch(figure -> figure.label().isEmpty());
    }

    /** Puts a control in sight while nobody is working on the drawing. */
    void follow(String control) {
        if (!isHover() && focusedControl().isEmpty() && nodes.containsKey(control)) {
            reveal(nodes.get(control));
        }
    }

    @Override
    protected Dimension2D draw(List<Node> figures, double width, double height, double zoom) {
        nodes.clear();
        Plan drawn = plan;
        if (drawn == null) {
            return new Dimension2D(0, 0);
        }
        PanelLayout layout = new PanelLayout(drawn, lettering, em() * LETTERING);
        PanelDrawing drawing = layout.fit(width - 8, height - 8, MOST);
        if (zoom != 1) {
            drawing = layout.at(drawing.scale() * zoom);
        } else {
            // Numbers that nobody can see tell nothing: then it is drawn larger, and scrolled.
            for (double scale = drawing.scale(); unnumbered(drawing) && scale < MOST; ) {
                scale = Math.min(MOST, scale * LARGER);
                drawing = layout.at(scale);
            }
        }
        Group sheet = new Group(grid(drawing));
        sheet.getChildren().addAll(Inking.nodes(drawing.sheet()));
        figures.add(sheet);
        for (Figure figure : drawing.controls()) {
            ControlNode node =
                    new ControlNode(figure, drawn.control(figure.id()).orElseThrow());
            nodes.put(figure.id(), node);
            figures.add(node);
            Optional.ofNullable(state.controls().get(figure.id())).ifPresent(node::show);
            node.pseudoClassStateChanged(SHOWN, figure.id().equals(shown));
        }
        nameless = (int) drawing.controls().stream()
                .filter(figure -> figure.label().isEmpty())
                .count();
        numbered = !drawing.numbered().isEmpty();
        remark();
        key.show(drawn, drawing.numbered());
        return new Dimension2D(drawing.width(), drawing.height());
    }

    /** Squared paper, one square for ten millimetres. */
    public static Node grid(PanelDrawing drawing) {
        Group grid = new Group();
        Rectangle face = Inking.rectangle(drawing.outline());
        face.getStyleClass().addAll("ink", "panel-face");
        face.setArcWidth(20);
        face.setArcHeight(20);
        grid.getChildren().add(face);
        double step = 10 * drawing.scale();
        if (drawing.toScale() && step >= 6) {
            double right = drawing.outline().right();
            double bottom = drawing.outline().bottom();
            for (double x = drawing.outline().x() + step; x < right - 1; x += step) {
                grid.getChildren()
                        .add(Inking.node(Ink.Line.of(
                                "squared",
                                new ringout.drawing.Point(x, drawing.outline().y()),
                                new ringout.drawing.Point(x, bottom))));
            }
            for (double y = drawing.outline().y() + step; y < bottom - 1; y += step) {
                grid.getChildren()
                        .add(Inking.node(Ink.Line.of(
                                "squared",
                                new ringout.drawing.Point(drawing.outline().x(), y),
                                new ringout.drawing.Point(right, y))));
            }
        }
        return grid;
    }

    /** One control as nodes; what it does changes only pseudo-classes, words and transforms. */
    private final class ControlNode extends Group {
        private final Figure figure;
        private final Control control;
        private final Map<Part, Node> parts = new HashMap<>();
        private final List<Rotate> turning = new ArrayList<>();
        private final List<Node> sliding = new ArrayList<>();
        private final Group badge = new Group();
        private final Optional<Text> note;
        private Optional<ControlState> now = Optional.empty();
        private @Nullable Action working;
        private Optional<Finding> badged = Optional.empty();
        private Status standing = Status.WAITING;
        private boolean suspected;

        ControlNode(Figure figure, Control control) {
            this.figure = figure;
            this.control = control;
            getStyleClass().add("control-figure");
            setId("control-" + figure.id());
            setFocusTraversable(true);
            setAccessibleRole(AccessibleRole.BUTTON);
            getChildren().add(Inking.target(figure.body().grow(3)));
            Rectangle suspicion = Inking.rectangle(figure.body().grow(2.5));
            suspicion.setArcWidth(9);
            suspicion.setArcHeight(9);
            suspicion.getStyleClass().addAll("ink", "suspect-frame");
            suspicion.setMouseTransparent(true);
            suspicion.setManaged(false);
            for (Part part : figure.parts()) {
                Node node = Inking.node(part.ink());
                node.getStyleClass().add("part");
                getChildren().add(node);
                parts.put(part, node);
                if (part.motion() == Motion.TURNS) {
                    Rotate rotate =
                            new Rotate(0, figure.pivot().x(), figure.pivot().y());
                    node.getTransforms().add(rotate);
                    turning.add(rotate);
                } else if (part.motion() == Motion.SLIDES) {
                    sliding.add(node);
                }
            }
            getChildren().addAll(Inking.nodes(figure.label()));
            note = figure.note().map(ink -> (Text) Inking.node(ink));
            note.ifPresent(getChildren()::add);
            badge.setMouseTransparent(true);
            getChildren()
                    .addAll(badge, suspicion, Inking.focusFrame(figure.body().grow(FRAME)));
            tip(
                    this,
                    () -> String.join("\n", detail.apply(figure.id())) + "\n"
                            + now.map(ControlState::spoken).orElse(""));
            addEventHandler(MouseEvent.MOUSE_PRESSED, event -> work(event.getX(), event.getY()));
            addEventHandler(MouseEvent.MOUSE_RELEASED, event -> letGo());
            setOnMouseClicked(event -> {
                requestFocus();
                picked.accept(figure.id());
                event.consume();
            });
            setOnContextMenuRequested(event -> {
                hunt.ifPresent(begin -> {
                    MenuItem item = new MenuItem(Texts.say("panel.hunt", control.label()));
                    item.setOnAction(chosen -> begin.accept(figure.id()));
                    new ContextMenu(item).show(this, event.getScreenX(), event.getScreenY());
                    event.consume();
                });
            });
            addEventHandler(KeyEvent.KEY_PRESSED, this::key);
            addEventHandler(KeyEvent.KEY_RELEASED, event -> {
                if (event.getCode() == KeyCode.SPACE) {
                    letGo();
                    event.consume();
                }
            });
            focusedProperty().addListener((o, was, is) -> letGo());
        }

        /** Enter chooses; where the panel can be worked, space is the finger, on the action asked for or else the first. */
        private void key(KeyEvent event) {
            if (event.getCode() == KeyCode.SPACE && press.isPresent()) {
                if (working == null) {
                    List<Action> actions = control.actions();
                    work(actions.stream()
                            .filter(a ->
                                    now.filter(c -> c.asked().contains(a.id())).isPresent())
                            .findFirst()
                            .orElse(actions.get(0)));
                }
                event.consume();
            } else if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.SPACE) {
                picked.accept(figure.id());
                event.consume();
            }
        }

        private void work(double x, double y) {
            if (press.isPresent()) {
                Point at = new Point(x, y);
                List<Action> actions = control.actions();
                work(
                        actions.size() == 1
                                ? actions.get(0)
                                : actions.stream()
                                        .min(Comparator.comparingDouble(a -> distance(a, at)))
                                        .orElseThrow());
            }
        }

        private void work(Action action) {
            if (action.gesture() == Action.Gesture.LATCH
                    && now.filter(c -> c.on().contains(action.id())).isPresent()) {
                release.ifPresent(r -> r.accept(action));
                return;
            }
            working = action;
            press.ifPresent(p -> p.accept(action));
        }

        private void letGo() {
            Action over = working;
            working = null;
            if (over != null && over.gesture() != Action.Gesture.LATCH) {
                release.ifPresent(r -> r.accept(over));
            }
        }

        /** How far a point is from where an action's own part is drawn. */
        private double distance(Action action, Point at) {
            return figure.parts().stream()
                    .filter(part -> part.action().equals(action.id()) && part.when() != When.ASKED)
                    .map(part -> part.ink().bounds().centre())
                    .mapToDouble(c -> Math.hypot(c.x() - at.x(), c.y() - at.y()))
                    .min()
                    .orElse(Double.MAX_VALUE);
        }

        void show(ControlState control) {
            now = Optional.of(control);
            parts.forEach((part, node) -> {
                boolean visible = switch (part.when()) {
                    case ALWAYS -> true;
                    case ON -> control.on().contains(part.action());
                    // "!control" stands for: none of its actions is on.
                    case OFF ->
                        part.action().startsWith("!")
                                ? control.on().isEmpty()
                                : !control.on().contains(part.action());
                    case ASKED -> control.asked().contains(part.action());
                };
                node.setVisible(visible);
            });
            turning.forEach(rotate -> rotate.setAngle(control.turn()));
            sliding.forEach(node -> {
                node.setTranslateX(figure.slide().x() * control.slide());
                node.setTranslateY(figure.slide().y() * control.slide());
            });
            pseudoClassStateChanged(ON, !control.on().isEmpty());
            pseudoClassStateChanged(ASKED, !control.asked().isEmpty());
            pseudoClassStateChanged(FAULTY, control.finding().isPresent());
            pseudoClassStateChanged(SUSPECT, control.suspect());
            pseudoClassStateChanged(GOOD, control.finding().isEmpty() && control.status() == Status.GOOD);
            figure.note().ifPresent(ink -> letter(ink, control.word().isEmpty() ? ink.text() : control.word()));
            if (!control.finding().equals(badged) || control.status() != standing || control.suspect() != suspected) {
                badged = control.finding();
                standing = control.status();
                suspected = control.suspect();
                badge.getChildren().setAll(badge());
            }
            setAccessibleText(control.spoken());
        }

        private List<Node> badge() {
            List<Node> nodes = new ArrayList<>();
            if (badged.isPresent()) {
                nodes.add(disc("badge-fault"));
                nodes.addAll(Inking.nodes(Marks.of(
                        badged.get().kind(), figure.badge().grow(-figure.badge().width() * 0.24), "mark-fault")));
            } else if (suspected) {
                nodes.add(disc("badge-fault"));
                nodes.add(Inking.node(new Ink.Text(
                        "?", figure.badge(), Ink.Align.CENTRE, figure.badge().height() * 0.9, "badge-word")));
            } else if (standing == Status.GOOD) {
                nodes.addAll(Inking.nodes(Marks.good(figure.badge(), "mark-good")));
            } else if (standing == Status.SKIPPED) {
                nodes.addAll(Inking.nodes(Marks.skipped(figure.badge(), "mark-skipped")));
            }
            return nodes;
        }

        /** A word wider than the room left for it is not written; mark and tool tip still say it. */
        private void letter(Ink.Text ink, String word) {
            boolean room = lettering.width(word, ink.size()) <= ink.area().width() + ink.size();
            note.ifPresent(text -> Inking.letter(text, ink, room ? word : ""));
        }

        private Node disc(String style) {
            return Inking.node(
                    new Ink.Disc(figure.badge().centre(), figure.badge().width() * 0.56, style));
        }
    }
}
