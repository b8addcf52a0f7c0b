package ringout.ui.planning;

import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import javafx.css.PseudoClass;
import javafx.geometry.Dimension2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import org.jspecify.annotations.Nullable;
import ringout.drawing.Ink;
import ringout.drawing.InsideDrawing;
import ringout.drawing.PanelDrawing;
import ringout.drawing.PanelDrawing.Figure;
import ringout.drawing.PanelDrawing.When;
import ringout.drawing.PanelLayout;
import ringout.drawing.Point;
import ringout.plan.Clearance;
import ringout.plan.Control;
import ringout.plan.Inside;
import ringout.plan.Mount;
import ringout.ui.model.EditorModel;
import ringout.ui.model.EditorModel.Selection;
import ringout.ui.model.InsideModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.sheets.Inking;
import ringout.ui.sheets.PanelKey;
import ringout.ui.sheets.PanelSheet;
import ringout.ui.sheets.Sheet;
import ringout.words.Texts;

/** The panel to scale with controls to move, by pointer or by arrow keys; hole, nut and edge are shown while they matter. */
final class EditorPanel extends Sheet {
    private static final PseudoClass CHOSEN = PseudoClass.getPseudoClass("chosen");
    private static final PseudoClass TIGHT = PseudoClass.getPseudoClass("tight");
    private static final double MOST = 4.5;
    private static final double LETTERING = 0.93;
    /** Lettering of what is behind the panel, over that of the controls. */
    private static final double THINGS = 0.85;
    /** A press that moves less, in pixels, is a click. */
    private static final double CLICK = 3;

    private final FxLettering lettering;
    private final Consumer<UnaryOperator<EditorModel>> edit;
    private final Map<String, ControlNode> nodes = new HashMap<>();
    private final Map<InsideModel.Thing, ThingNode> things = new HashMap<>();
    private final Group overlay = new Group();
    private final PanelKey key = new PanelKey(this::focus);

    @SuppressWarnings("NullAway.Init") // draw() asks whether it is there; all else is touched after it was drawn
    private EditorModel model;

    @SuppressWarnings("NullAway.Init") // as is the drawing
    private PanelDrawing drawing;

    /** @param edit makes an edit of the model */
    EditorPanel(FxLettering lettering, Consumer<UnaryOperator<EditorModel>> edit) {
        super("editor-panel", Texts.say("editor.panel.caption"));
        this.lettering = lettering;
        this.edit = edit;
        overlay.setMouseTransparent(true);
        overlay.getStyleClass().add("corrections");
        key.maxHeightProperty().bind(heightProperty().multiply(PanelKey.SHARE));
        setBottom(key);
        page.setOnMouseClicked(event -> {
            if (event.getTarget() == page && event.isStillSincePress()) {
                edit.accept(m -> m.select(new Selection.Box()));
            }
        });
    }

    void show(EditorModel next) {
        boolean same = model != null && model.plan() == next.plan();
        model = next;
        Optional<String> focused = nodes.values().stream()
                .filter(Node::isFocused)
                .map(n -> n.figure.id())
                .findFirst();
        Optional<InsideModel.Thing> thing = things.values().stream()
                .filter(Node::isFocused)
                .map(n -> n.thing)
                .findFirst();
        if (!same) {
            redraw();
        }
        thing.map(things::get).ifPresent(Node::requestFocus);
        nodes.forEach((id, node) -> node.pseudoClassStateChanged(CHOSEN, chosen().equals(Optional.of(id))));
        Optional<String> focus = focused.map(id -> nodes.containsKey(id) ? id : chosen().orElse(""));
        focus.map(nodes::get).ifPresent(Node::requestFocus);
        overlay.getChildren().clear();
        chosen().ifPresent(id ->
                model.plan().control(id).flatMap(c -> c.mount().place()).ifPresent(place -> rest(id, place)));
        said();
    }

    /** Puts the keyboard on a control. */
    void focus(String control) {
        Optional.ofNullable(nodes.get(control)).ifPresent(node -> {
            reveal(node);
            node.requestFocus();
        });
    }

    private Optional<String> chosen() {
        return model.control().map(Control::id);
    }

    private void said() {
        Optional<Mount.Place> place = model.control().flatMap(c -> c.mount().place());
        setRemark(
                place.isPresent()
                        ? List.of(
                                Texts.say(
                                        "editor.panel.at-long",
                                        model.control().orElseThrow().label(),
                                        mm(place.get().x()),
                                        mm(place.get().y())),
                                Texts.say(
                                        "editor.panel.at",
                                        mm(place.get().x()),
                                        mm(place.get().y())),
                                "")
                        : List.of(Texts.say("editor.panel.hint"), Texts.say("editor.panel.hint-short"), ""));
    }

    private static String mm(double length) {
        return String.format(Locale.ROOT, length == Math.rint(length) ? "%.0f" : "%.1f", length);
    }

    @Override
    protected Dimension2D draw(List<Node> figures, double width, double height, double zoom) {
        Map<String, ControlNode> before = Map.copyOf(nodes);
        nodes.clear();
        things.clear();
        if (model == null) {
            return new Dimension2D(0, 0);
        }
        PanelLayout layout = new PanelLayout(model.plan(), lettering, em() * LETTERING);
        drawing = layout.fit(width - 8, height - 8, MOST);
        if (zoom != 1) {
            drawing = layout.at(drawing.scale() * zoom);
        }
        Group sheet = new Group(PanelSheet.grid(drawing));
        sheet.getChildren().addAll(Inking.nodes(drawing.sheet()));
        sheet.setMouseTransparent(true);
        figures.add(sheet);
        figures.addAll(Inking.nodes(InsideDrawing.bodies(model.plan(), drawing)));
        Set<String> tight = new HashSet<>();
        Set<Inside.Thing> tightThings = new HashSet<>();
        Clearance.of(model.plan()).forEach(conflict -> {
            tight.addAll(parties(conflict));
            thing(conflict).ifPresent(tightThings::add);
        });
        for (InsideDrawing.Figure figure : InsideDrawing.things(
                model.plan(), drawing, lettering, em() * LETTERING * THINGS, Texts.say("editor.panel.board"))) {
            ThingNode node = new ThingNode(figure);
            node.pseudoClassStateChanged(
                    TIGHT,
                    tightThings.stream()
                            .anyMatch(thing -> figure.kind() == InsideDrawing.Kind.BOARD
                                    ? thing.kind() == Inside.Thing.Kind.BOARD
                                    : thing.kind() == Inside.Thing.Kind.KEEP_OUT
                                            && thing.name().equals(figure.name())));
            things.put(node.thing, node);
            figures.add(node);
        }
        for (Figure figure : drawing.controls()) {
            Control control = model.plan().control(figure.id()).orElseThrow();
            ControlNode node = Optional.ofNullable(before.get(figure.id()))
                    .filter(drawn -> drawn.is(figure, control))
                    .orElseGet(() -> new ControlNode(figure, control));
            node.pseudoClassStateChanged(CHOSEN, chosen().equals(Optional.of(figure.id())));
            node.pseudoClassStateChanged(TIGHT, tight.contains(figure.id()));
            nodes.put(figure.id(), node);
            figures.add(node);
        }
        figures.add(overlay);
        key.show(model.plan(), drawing.numbered());
        return new Dimension2D(drawing.width(), drawing.height());
    }

    private static List<String> parties(Clearance.Conflict conflict) {
        if (conflict instanceof Clearance.NutsOverlap nuts) {
            return List.of(nuts.control(), nuts.other());
        }
        if (conflict instanceof Clearance.BodiesOverlap bodies) {
            return List.of(bodies.control(), bodies.other());
        }
        return conflict instanceof Clearance.HolesClose holes
                ? List.of(holes.control(), holes.other())
                : List.of(conflict.control());
    }

    /** What a control is in the way of. */
    private static Optional<Inside.Thing> thing(Clearance.Conflict conflict) {
        return conflict instanceof Clearance.InTheWay way
                ? Optional.of(way.thing())
                : conflict instanceof Clearance.OverThing over ? Optional.of(over.thing()) : Optional.empty();
    }

    private Point at(Mount.Place place) {
        return new Point(
                drawing.outline().x() + place.x() * drawing.scale(),
                drawing.outline().y() + place.y() * drawing.scale());
    }

    /** What a control needs where it rests: its hole, its nut, and what is too near. */
    private void rest(String id, Mount.Place place) {
        overlay.getChildren().clear();
        Mount mount = model.plan().control(id).orElseThrow().mount();
        Point c = at(place);
        List<Clearance.Conflict> conflicts = Clearance.at(model.plan(), id, place);
        String style = conflicts.isEmpty() ? "clearance" : "clearance-tight";
        mount.nut()
                .ifPresent(d ->
                        overlay.getChildren().add(Inking.node(new Ink.Disc(c, d / 2 * drawing.scale(), style))));
        mount.hole()
                .ifPresent(d -> overlay.getChildren()
                        .add(Inking.node(new Ink.Disc(c, d / 2 * drawing.scale(), style + "-hole"))));
        conflicts.stream()
                .flatMap(conflict -> parties(conflict).stream())
                .filter(other -> !other.equals(id))
                .distinct()
                .forEach(other -> model.plan()
                        .control(other)
                        .ifPresent(o -> o.mount().place().ifPresent(q -> {
                            double d = o.mount().nut().or(o.mount()::hole).orElse(10.0);
                            overlay.getChildren()
                                    .add(Inking.node(new Ink.Disc(at(q), d / 2 * drawing.scale(), "clearance-tight")));
                            overlay.getChildren().add(Inking.node(Ink.Line.of("clearance-gap", c, at(q))));
                        })));
    }

    private void guides(EditorModel.Trial trial) {
        Point c = at(trial.rest().place());
        if (trial.rest().column().isPresent()) {
            overlay.getChildren()
                    .add(Inking.node(Ink.Line.of(
                            "guide",
                            new Point(c.x(), drawing.outline().y()),
                            new Point(c.x(), drawing.outline().bottom()))));
        }
        if (trial.rest().row().isPresent()) {
            overlay.getChildren()
                    .add(Inking.node(Ink.Line.of(
                            "guide",
                            new Point(drawing.outline().x(), c.y()),
                            new Point(drawing.outline().right(), c.y()))));
        }
    }

    /** Something behind the panel, to move. */
    private final class ThingNode extends Group {
        private final InsideModel.Thing thing;
        private double pressedX;
        private double pressedY;
        private Optional<Mount.Place> to = Optional.empty();

        ThingNode(InsideDrawing.Figure figure) {
            thing = switch (figure.kind()) {
                case BOARD -> new InsideModel.Thing.Board();
                case CABLE -> new InsideModel.Thing.Cable();
                case KEEP_OUT -> new InsideModel.Thing.KeepOut(figure.name());
            };
            String said = switch (figure.kind()) {
                case BOARD -> Texts.say("editor.panel.board.long");
                case CABLE -> Texts.say("editor.panel.cable.long");
                case KEEP_OUT -> Texts.say("editor.panel.keep-out.long", figure.name());
            };
            getStyleClass().add("inside-thing");
            setId(
                    figure.kind() == InsideDrawing.Kind.KEEP_OUT
                            ? "inside-keep-out-" + figure.name()
                            : "inside-" + figure.kind().name().toLowerCase(Locale.ROOT));
            // A rim is as large as the panel: it is no target.
            boolean movable = InsideModel.place(model, thing).isPresent();
            if (movable) {
                setFocusTraversable(true);
                setAccessibleRole(AccessibleRole.BUTTON);
                setAccessibleText(said);
                getChildren().add(Inking.target(figure.bounds()));
                Tooltip.install(this, new Tooltip(said));
            }
            getChildren().addAll(Inking.nodes(figure.ink()));
            if (!movable) {
                setMouseTransparent(true);
                return;
            }
            getChildren().add(Inking.focusFrame(figure.bounds().grow(4)));
            addEventHandler(MouseEvent.MOUSE_PRESSED, event -> {
                pressedX = event.getSceneX();
                pressedY = event.getSceneY();
                to = Optional.empty();
                event.consume();
            });
            addEventHandler(MouseEvent.MOUSE_DRAGGED, this::drag);
            addEventHandler(MouseEvent.MOUSE_RELEASED, event -> {
                requestFocus();
                Optional<Mount.Place> place = to;
                to = Optional.empty();
                place.ifPresent(p -> edit.accept(m -> InsideModel.move(m, thing, p)));
                event.consume();
            });
            addEventHandler(MouseEvent.MOUSE_CLICKED, event -> {
                edit.accept(m -> m.select(new Selection.Box()));
                event.consume();
            });
            addEventHandler(KeyEvent.KEY_PRESSED, this::key);
        }

        private void drag(MouseEvent event) {
            double dx = event.getSceneX() - pressedX;
            double dy = event.getSceneY() - pressedY;
            if (to.isEmpty() && Math.hypot(dx, dy) < CLICK) {
                return;
            }
            Mount.Place from = InsideModel.place(model, thing).orElseThrow();
            Mount.Place place = new Mount.Place(
                    Math.max(0, Math.rint(from.x() + dx / drawing.scale())),
                    Math.max(0, Math.rint(from.y() + dy / drawing.scale())));
            to = Optional.of(place);
            Point is = at(place);
            Point was = at(from);
            setTranslateX(overlay.getTranslateX() + is.x() - was.x());
            setTranslateY(overlay.getTranslateY() + is.y() - was.y());
            setRemark(List.of(Texts.say("editor.panel.at", mm(place.x()), mm(place.y())), ""));
            event.consume();
        }

        private void key(KeyEvent event) {
            double step = step(event);
            switch (event.getCode()) {
                case LEFT -> edit.accept(m -> InsideModel.nudge(m, thing, -step, 0));
                case RIGHT -> edit.accept(m -> InsideModel.nudge(m, thing, step, 0));
                case UP -> edit.accept(m -> InsideModel.nudge(m, thing, 0, -step));
                case DOWN -> edit.accept(m -> InsideModel.nudge(m, thing, 0, step));
                case DELETE, BACK_SPACE -> edit.accept(m -> InsideModel.remove(m, thing));
                default -> {
                    return;
                }
            }
            event.consume();
        }
    }

    /** Arrows move by the grid, with Shift by ten of it, with Ctrl by a tenth. */
    private static double step(KeyEvent event) {
        return event.isControlDown() || event.isMetaDown()
                ? EditorModel.GRID_MM / 10
                : event.isShiftDown() ? 10 * EditorModel.GRID_MM : EditorModel.GRID_MM;
    }

    /** One control to choose and to move. */
    private final class ControlNode extends Group {
        private final Figure figure;
        private final Control control;
        private double pressedX;
        private double pressedY;
        private boolean dragged;
        private EditorModel.@Nullable Trial trial;

        ControlNode(Figure figure, Control control) {
            this.figure = figure;
            this.control = control;
            getStyleClass().add("control-figure");
            setId("edit-" + figure.id());
            setFocusTraversable(true);
            setAccessibleRole(AccessibleRole.BUTTON);
            setAccessibleText(Texts.say(
                    "editor.panel.control",
                    control.label(),
                    control.mount()
                            .place()
                            .map(p -> Texts.say("editor.panel.at", mm(p.x()), mm(p.y())))
                            .orElse(Texts.say("editor.panel.nowhere"))));
            getChildren().add(Inking.target(figure.body().grow(3)));
            figure.parts().stream()
                    .filter(part -> part.when() == When.ALWAYS || part.when() == When.OFF)
                    .forEach(part -> getChildren().add(Inking.node(part.ink())));
            getChildren().addAll(Inking.nodes(figure.label()));
            figure.note().ifPresent(note -> getChildren().add(Inking.node(note)));
            getChildren().add(Inking.focusFrame(figure.body().grow(8)));
            addEventHandler(MouseEvent.MOUSE_PRESSED, event -> {
                pressedX = event.getSceneX();
                pressedY = event.getSceneY();
                dragged = false;
                event.consume();
            });
            addEventHandler(MouseEvent.MOUSE_DRAGGED, this::drag);
            addEventHandler(MouseEvent.MOUSE_RELEASED, event -> release(event.getButton() == MouseButton.PRIMARY));
            addEventHandler(MouseEvent.MOUSE_CLICKED, MouseEvent::consume);
            addEventHandler(KeyEvent.KEY_PRESSED, this::key);
        }

        /** True where it would be drawn as it is. */
        boolean is(Figure figure, Control control) {
            return this.figure.equals(figure) && this.control.equals(control);
        }

        private void drag(MouseEvent event) {
            double dx = event.getSceneX() - pressedX;
            double dy = event.getSceneY() - pressedY;
            if (!drawing.toScale() || !dragged && Math.hypot(dx, dy) < CLICK) {
                return;
            }
            dragged = true;
            Mount.Place from = placeDrawn();
            EditorModel.Trial now = model.trial(
                    figure.id(),
                    new Mount.Place(from.x() + dx / drawing.scale(), from.y() + dy / drawing.scale()),
                    !event.isAltDown());
            trial = now;
            Point to = at(now.rest().place());
            Point was = at(from);
            setTranslateX(base()[0] + to.x() - was.x());
            setTranslateY(base()[1] + to.y() - was.y());
            rest(figure.id(), now.rest().place());
            guides(now);
            Mount.Place place = now.rest().place();
            String where = Texts.say("editor.panel.at", mm(place.x()), mm(place.y()));
            setRemark(
                    now.conflicts().isEmpty()
                            ? List.of(where, "")
                            : List.of(
                                    where + ": "
                                            + now.conflicts().get(0).words().text(),
                                    now.conflicts().get(0).words().text(),
                                    where,
                                    ""));
            event.consume();
        }

        /** Where the sheet put all figures: the drawing stands in the middle of its space. */
        private double[] base() {
            return new double[] {overlay.getTranslateX(), overlay.getTranslateY()};
        }

        private Mount.Place placeDrawn() {
            return model.plan()
                    .control(figure.id())
                    .orElseThrow()
                    .mount()
                    .place()
                    .orElseGet(() -> new Mount.Place(
                            (figure.body().centre().x() - drawing.outline().x()) / drawing.scale(),
                            (figure.body().centre().y() - drawing.outline().y()) / drawing.scale()));
        }

        private void release(boolean primary) {
            requestFocus();
            if (dragged && trial != null) {
                Mount.Place place = trial.rest().place();
                dragged = false;
                edit.accept(m -> m.move(figure.id(), place));
                setTranslateX(base()[0]);
                setTranslateY(base()[1]);
            } else if (primary) {
                edit.accept(m -> m.select(new Selection.OfControl(figure.id())));
            }
        }

        private void key(KeyEvent event) {
            double step = step(event);
            switch (event.getCode()) {
                case LEFT -> edit.accept(m -> m.nudge(figure.id(), -step, 0));
                case RIGHT -> edit.accept(m -> m.nudge(figure.id(), step, 0));
                case UP -> edit.accept(m -> m.nudge(figure.id(), 0, -step));
                case DOWN -> edit.accept(m -> m.nudge(figure.id(), 0, step));
                case DELETE, BACK_SPACE -> edit.accept(m -> m.remove(figure.id()));
                case ENTER, SPACE -> edit.accept(m -> m.select(new Selection.OfControl(figure.id())));
                default -> {
                    return;
                }
            }
            event.consume();
        }
    }
}
