package ringout.ui.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import javafx.css.PseudoClass;
import javafx.geometry.Dimension2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import ringout.drawing.CrossingDrawing;
import ringout.drawing.CrossingDrawing.Head;
import ringout.drawing.CrossingDrawing.Slot;
import ringout.drawing.CrossingLayout;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Wiring;
import ringout.ui.model.EditorModel;
import ringout.ui.model.EditorModel.Selection;
import ringout.ui.model.LoomModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.sheets.Inking;
import ringout.ui.sheets.Sheet;
import ringout.words.Texts;

/**
 * The wiring as a table of crossings. A contact is dragged to another place, or picked up and put down with Enter; what
 * is there already takes the place it came from.
 */
final class CrossingSheet extends Sheet {
    private static final PseudoClass CHOSEN = PseudoClass.getPseudoClass("chosen");
    private static final PseudoClass CARRIED = PseudoClass.getPseudoClass("carried");
    private static final PseudoClass OVER = PseudoClass.getPseudoClass("over");
    private static final double LETTERING = 1.1;
    private static final double CLICK = 3;

    private final FxLettering lettering;
    private final Consumer<UnaryOperator<EditorModel>> edit;
    private final List<SlotNode> slots = new ArrayList<>();
    private final List<HeadNode> heads = new ArrayList<>();

    @SuppressWarnings("NullAway.Init") // draw() asks whether it is there; all else is touched after it was drawn
    private EditorModel model;

    private Optional<String> carried = Optional.empty();

    CrossingSheet(FxLettering lettering, Consumer<UnaryOperator<EditorModel>> edit) {
        super("crossings", Texts.say("editor.wiring.caption"));
        this.lettering = lettering;
        this.edit = edit;
    }

    void show(EditorModel next) {
        boolean same = model != null && model.plan() == next.plan();
        model = next;
        if (!same) {
            String focused = focusedId();
            carried = carried.filter(c -> next.plan().contact(c).isPresent());
            redraw();
            slots.stream().filter(n -> focused.equals(n.getId())).findFirst().ifPresent(Node::requestFocus);
            heads.stream().filter(n -> focused.equals(n.getId())).findFirst().ifPresent(Node::requestFocus);
        }
        mark();
        long open = next.unwired().size();
        String length = next.wireLength()
                .map(mm -> Texts.say("editor.wiring.length", Math.round(mm / 10)))
                .orElse("");
        setRemark(
                carried.isPresent()
                        ? List.of(
                                Texts.say("editor.wiring.carrying", words(carried.get())),
                                Texts.say("editor.wiring.carrying-short"),
                                "")
                        : open > 0 ? List.of(Texts.say("editor.wiring.open", open), "") : List.of(length, ""));
    }

    private String focusedId() {
        Optional<String> slot =
                slots.stream().filter(Node::isFocused).map(Node::getId).findFirst();
        return slot.or(() ->
                        heads.stream().filter(Node::isFocused).map(Node::getId).findFirst())
                .orElse("");
    }

    private void mark() {
        slots.forEach(node -> {
            boolean own = node.slot
                    .contact()
                    .flatMap(c -> model.plan().contact(c))
                    .map(Contact::control)
                    .equals(model.control().map(Control::id));
            node.pseudoClassStateChanged(CHOSEN, own && node.slot.contact().isPresent());
            node.pseudoClassStateChanged(
                    CARRIED, carried.isPresent() && node.slot.contact().equals(carried));
        });
        heads.forEach(node -> node.pseudoClassStateChanged(
                CHOSEN, model.line().isPresent() && model.line().get().name().equals(node.head.line())));
    }

    private String words(String contact) {
        return LoomModel.contactName(model.plan(), contact);
    }

    private String said(Head head) {
        return Texts.say(
                "editor.wiring.line",
                head.line(),
                model.plan().line(head.line()).orElseThrow().pin());
    }

    private String said(Slot slot) {
        return slot.contact()
                .map(c -> Texts.say("editor.wiring.taken", place(slot.wiring()), words(c)))
                .orElse(Texts.say("editor.wiring.free", place(slot.wiring())));
    }

    @Override
    protected Dimension2D draw(List<Node> figures, double width, double height, double zoom) {
        Map<Head, HeadNode> headsBefore =
                heads.stream().collect(Collectors.toMap(node -> node.head, Function.identity()));
        Map<Slot, SlotNode> slotsBefore =
                slots.stream().collect(Collectors.toMap(node -> node.slot, Function.identity()));
        slots.clear();
        heads.clear();
        if (model == null) {
            return new Dimension2D(0, 0);
        }
        CrossingDrawing drawing = new CrossingLayout(model.plan(), lettering, Texts.say("editor.wiring.loose"))
                .fit((width - 4) * zoom, (height - 4) * zoom, em() * LETTERING * zoom);
        Group sheet = new Group();
        sheet.getChildren().addAll(Inking.nodes(drawing.sheet()));
        sheet.setMouseTransparent(true);
        figures.add(sheet);
        drawing.heads()
                .forEach(head -> heads.add(Optional.ofNullable(headsBefore.get(head))
                        .filter(node -> node.getAccessibleText().equals(said(head)))
                        .orElseGet(() -> new HeadNode(head))));
        drawing.slots()
                .forEach(slot -> slots.add(Optional.ofNullable(slotsBefore.get(slot))
                        .filter(node -> node.getAccessibleText().equals(said(slot)))
                        .orElseGet(() -> new SlotNode(slot))));
        figures.addAll(heads);
        figures.addAll(slots);
        mark();
        return new Dimension2D(drawing.width(), drawing.height());
    }

    private void wire(String contact, Wiring wiring) {
        carried = Optional.empty();
        edit.accept(m -> m.wire(contact, wiring));
    }

    private void carry(Optional<String> contact) {
        carried = contact;
        show(model);
    }

    /** The beginning of a line: choosing it shows its pin and its order. */
    private final class HeadNode extends Group {
        private final Head head;

        HeadNode(Head head) {
            this.head = head;
            getStyleClass().addAll("contact-figure", "line-head");
            setId("line-" + head.line());
            setFocusTraversable(true);
            setAccessibleRole(AccessibleRole.BUTTON);
            setAccessibleText(said(head));
            getChildren().add(Inking.target(head.area()));
            getChildren().addAll(Inking.nodes(head.ink()));
            getChildren().add(Inking.focusFrame(head.area()));
            setOnMouseClicked(event -> {
                requestFocus();
                choose();
                event.consume();
            });
            addEventHandler(KeyEvent.KEY_PRESSED, event -> {
                if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.SPACE) {
                    choose();
                    event.consume();
                } else if (event.getCode() == KeyCode.DELETE) {
                    edit.accept(m -> m.removeLine(head.line()));
                    event.consume();
                }
            });
        }

        private void choose() {
            edit.accept(m -> m.select(new Selection.OfLine(head.line())));
        }
    }

    /** A place to solder to, or a contact that has none yet. */
    private final class SlotNode extends Group {
        private final Slot slot;
        private double pressedX;
        private double pressedY;
        private boolean dragged;
        private double[] base = {0, 0};

        SlotNode(Slot slot) {
            this.slot = slot;
            getStyleClass().addAll("contact-figure", "slot");
            setId("slot-" + id(slot));
            setFocusTraversable(true);
            setAccessibleRole(AccessibleRole.BUTTON);
            setAccessibleText(said(slot));
            getChildren().add(Inking.target(slot.area()));
            getChildren().addAll(Inking.nodes(slot.ink()));
            getChildren().add(Inking.focusFrame(slot.area()));
            addEventHandler(MouseEvent.MOUSE_PRESSED, event -> {
                pressedX = event.getSceneX();
                pressedY = event.getSceneY();
                dragged = false;
                base = new double[] {getTranslateX(), getTranslateY()};
                event.consume();
            });
            addEventHandler(MouseEvent.MOUSE_DRAGGED, this::drag);
            addEventHandler(MouseEvent.MOUSE_RELEASED, this::release);
            addEventHandler(MouseEvent.MOUSE_CLICKED, MouseEvent::consume);
            addEventHandler(KeyEvent.KEY_PRESSED, this::key);
        }

        private void drag(MouseEvent event) {
            double dx = event.getSceneX() - pressedX;
            double dy = event.getSceneY() - pressedY;
            if (slot.contact().isEmpty() || !dragged && Math.hypot(dx, dy) < CLICK) {
                return;
            }
            dragged = true;
            toFront();
            setTranslateX(base[0] + dx);
            setTranslateY(base[1] + dy);
            Optional<SlotNode> under = under(event);
            slots.forEach(s -> s.pseudoClassStateChanged(OVER, under.isPresent() && under.get() == s));
            event.consume();
        }

        private Optional<SlotNode> under(MouseEvent event) {
            return slots.stream()
                    .filter(s -> s != this
                            && !(s.slot.wiring() instanceof Wiring.Unknown)
                            && s.contains(s.sceneToLocal(event.getSceneX(), event.getSceneY())))
                    .findFirst();
        }

        private void release(MouseEvent event) {
            requestFocus();
            if (dragged) {
                dragged = false;
                Optional<SlotNode> to = under(event);
                setTranslateX(base[0]);
                setTranslateY(base[1]);
                slots.forEach(s -> s.pseudoClassStateChanged(OVER, false));
                to.ifPresent(s -> {
                    s.requestFocus();
                    wire(slot.contact().orElseThrow(), s.slot.wiring());
                });
            } else if (event.getButton() == MouseButton.PRIMARY) {
                press(false);
            }
        }

        private void key(KeyEvent event) {
            if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.SPACE) {
                press(true);
                event.consume();
            } else if (event.getCode() == KeyCode.DELETE
                    && slot.contact().isPresent()
                    && !(slot.wiring() instanceof Wiring.Unknown)) {
                wire(slot.contact().get(), new Wiring.Unknown());
                event.consume();
            } else if (event.getCode() == KeyCode.ESCAPE && carried.isPresent()) {
                carry(Optional.empty());
                event.consume();
            }
        }

        /** Puts down what is carried; else takes up what is here, or brings here what the chosen control has left to wire. */
        private void press(boolean byKey) {
            if (carried.isPresent() && !(slot.wiring() instanceof Wiring.Unknown)) {
                String contact = carried.get();
                if (slot.contact().equals(carried)) {
                    carry(Optional.empty());
                } else {
                    wire(contact, slot.wiring());
                }
            } else if (slot.contact().isPresent()) {
                Contact contact = model.plan().contact(slot.contact().get()).orElseThrow();
                if (byKey || slot.wiring() instanceof Wiring.Unknown) {
                    carried = slot.contact();
                }
                edit.accept(m -> m.select(new Selection.OfControl(contact.control())));
            } else {
                model.control()
                        .flatMap(c -> c.contacts().stream()
                                .filter(x -> x.wiring() instanceof Wiring.Unknown)
                                .findFirst())
                        .ifPresent(contact -> wire(contact.id(), slot.wiring()));
            }
        }
    }

    /** {@code R1-C2}, {@code D1}; a contact that is not wired goes by its own id. */
    private static String id(Slot slot) {
        return slot.wiring() instanceof Wiring.Unknown
                ? slot.contact().orElse("")
                : place(slot.wiring()).replace(" × ", "-").replace(' ', '-');
    }

    static String place(Wiring wiring) {
        if (wiring instanceof Wiring.Crossing x) {
            return x.row() + " × " + x.column();
        }
        if (wiring instanceof Wiring.Direct d) {
            return d.line();
        }
        if (wiring instanceof Wiring.Shift s) {
            return String.format(Locale.ROOT, "%s %d.%d", s.line(), s.register(), s.bit());
        }
        return Texts.say("editor.wiring.nowhere");
    }
}
