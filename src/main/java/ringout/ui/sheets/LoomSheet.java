package ringout.ui.sheets;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import javafx.css.PseudoClass;
import javafx.geometry.Bounds;
import javafx.geometry.Dimension2D;
import javafx.scene.AccessibleRole;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.control.ContextMenu;
import javafx.scene.control.MenuItem;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.drawing.Area;
import ringout.drawing.FaultSketch;
import ringout.drawing.LoomDrawing;
import ringout.drawing.LoomDrawing.Piece;
import ringout.drawing.LoomLayout;
import ringout.drawing.PanelDrawing.When;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.ui.background.WindowThread;
import ringout.ui.model.LoomModel;
import ringout.ui.parts.FxLettering;
import ringout.words.Texts;

/** The wiring as the builder would sketch it, with the way of the current lit. */
public final class LoomSheet extends Sheet {
    private static final PseudoClass LIVE = PseudoClass.getPseudoClass("live");
    private static final PseudoClass SHOWN = PseudoClass.getPseudoClass("shown");
    private static final double LETTERING = 0.95;
    /** Smaller than this, beside ordinary text, it is not legible: the drawing is scrolled instead. */
    private static final double LEAST_LETTERING = 0.8;

    private final FxLettering lettering;
    private final Map<String, List<Node>> owned = new HashMap<>();
    private final Map<String, List<Node>> whileOn = new HashMap<>();
    private final Map<String, List<Node>> whileOff = new HashMap<>();
    private final Map<String, ContactNode> contacts = new HashMap<>();
    private @Nullable Plan plan;
    private Set<String> live = Set.of();
    private String shown = "";
    private @Nullable LoomDrawing drawing;
    private Group corrections = new Group();
    private List<Fault> suspected = List.of();
    private boolean certain = true;
    private Optional<FaultSketch.Tips> tips = Optional.empty();
    private Optional<NodeName> iron = Optional.empty();
    private LoomModel.State state = LoomModel.State.DARK;
    private Consumer<String> picked = id -> {};
    private Optional<Consumer<String>> mend = Optional.empty();
    private boolean mendable;
    private final Map<String, PinNode> pins = new HashMap<>();

    public LoomSheet(FxLettering lettering) {
        super("loom", Texts.say("loom.caption"));
        this.lettering = lettering;
    }

    /** Calls back with a control's id when one of its contacts is clicked or chosen with Enter. */
    void onPick(Consumer<String> picked) {
        this.picked = picked;
    }

    /**
     * Lets a click on a contact or a pin mend what is wrong there, where {@link #mendable}.
     *
     * @param mend takes a contact's id, or a line's name for its joint at the board; null for not
     */
    public void onMend(@Nullable Consumer<String> mend) {
        this.mend = Optional.ofNullable(mend);
        mendable(false);
    }

    /** Whether there is anything to mend by now. */
    public void mendable(boolean now) {
        mendable = now && mend.isPresent();
        pins.values().forEach(pin -> pin.setVisible(mendable));
    }

    /** Asks before it mends, so that a click which only looks does nothing. */
    private void offerMend(String place, String words, Node at) {
        MenuItem item = new MenuItem(Texts.say("practice.mend", words));
        item.setOnAction(event -> mend.ifPresent(m -> m.accept(place)));
        ContextMenu menu = new ContextMenu(item);
        menu.setId("mend-menu");
        Bounds where = at.localToScreen(at.getBoundsInLocal());
        menu.show(at, where.getMaxX(), where.getMinY());
    }

    public void setPlan(Plan plan) {
        this.plan = plan;
        this.state = LoomModel.State.DARK;
        this.suspected = List.of();
        this.tips = Optional.empty();
        this.iron = Optional.empty();
        this.shown = "";
        redraw();
    }

    void show(LoomModel.State next) {
        if (next.equals(state)) {
            return;
        }
        state = next;
        light(next.live());
        setRemark(next.remark());
    }

    /** Pencils a set of faults, or where to probe for it, onto the drawing; both may be empty. */
    public void suspect(List<Fault> faults, Optional<FaultSketch.Tips> probing) {
        suspect(faults, true, probing);
    }

    /**
     * As above.
     *
     * @param sure false where the faults are several suspicions, of which one may be right
     */
    public void suspect(List<Fault> faults, boolean sure, Optional<FaultSketch.Tips> probing) {
        if (!faults.equals(suspected) || sure != certain || !probing.equals(tips)) {
            suspected = List.copyOf(faults);
            certain = sure;
            tips = probing;
            correct();
            // All of it, badges and all, once it is laid out; whoever is at work on the drawing is left alone.
            Group now = corrections;
            WindowThread.soon(() -> {
                if (now == corrections && !now.getChildren().isEmpty() && !isHover()) {
                    reveal(now);
                }
            });
        }
    }

    /** Marks where the iron goes; empty for nowhere. */
    public void solder(Optional<NodeName> at) {
        if (!at.equals(iron)) {
            iron = at;
            correct();
        }
    }

    private void correct() {
        corrections.getChildren().clear();
        if (plan == null || drawing == null) {
            return;
        }
        corrections
                .getChildren()
                .addAll(Inking.nodes(
                        iron.isPresent()
                                ? FaultSketch.iron(plan, drawing, lettering, iron.get(), Texts.say("solder.here"))
                                : FaultSketch.suspected(plan, drawing, lettering, suspected, certain, tips)));
    }

    /** Puts a control's contacts in sight while nobody is working on the drawing. */
    void follow(String control) {
        if (!isHover() && contacts.values().stream().noneMatch(Node::isFocused)) {
            contacts.values().stream()
                    .filter(node -> node.control.equals(control))
                    .findFirst()
                    .ifPresent(this::reveal);
        }
    }

    /** Rings the contacts of one control until another is shown; empty for none. */
    public void point(String control) {
        shown = control;
        contacts.values().forEach(node -> node.pseudoClassStateChanged(SHOWN, node.control.equals(control)));
        contacts.values().stream()
                .filter(node -> node.control.equals(control))
                .findFirst()
                .ifPresent(this::reveal);
    }

    @Override
    protected Dimension2D draw(List<Node> figures, double width, double height, double zoom) {
        owned.clear();
        whileOn.clear();
        whileOff.clear();
        contacts.clear();
        pins.clear();
        drawing = null;
        Plan drawn = plan;
        if (drawn == null) {
            return new Dimension2D(0, 0);
        }
        LoomLayout layout = new LoomLayout(drawn, lettering);
        LoomDrawing next =
                layout.fit((width - 16) * zoom, (height - 12) * zoom, em() * LEAST_LETTERING, em() * LETTERING * zoom);
        drawing = next;
        Group sheet = new Group();
        for (Piece piece : next.pieces()) {
            Node node = Inking.node(piece.ink());
            sheet.getChildren().add(node);
            if (!piece.owner().isEmpty()) {
                owned.computeIfAbsent(piece.owner(), k -> new ArrayList<>()).add(node);
                if (piece.when() == When.ON) {
                    whileOn.computeIfAbsent(piece.owner(), k -> new ArrayList<>())
                            .add(node);
                    node.setVisible(false);
                } else if (piece.when() == When.OFF) {
                    whileOff.computeIfAbsent(piece.owner(), k -> new ArrayList<>())
                            .add(node);
                }
            }
        }
        figures.add(sheet);
        corrections = new Group();
        corrections.setMouseTransparent(true);
        Map<String, String> spoken = LoomModel.contactWords(drawn);
        Names names = new Names(drawn);
        drawn.contacts().forEach(contact -> {
            LoomDrawing.Spot spot = next.contacts().get(contact.id());
            if (spot != null) {
                ContactNode node = new ContactNode(
                        contact, names.contact(contact.id()).text(), spot, spoken.getOrDefault(contact.id(), ""));
                contacts.put(contact.id(), node);
                figures.add(node);
            }
        });
        next.pins()
                .forEach((line, at) -> drawn.line(line).ifPresent(l -> {
                    PinNode pin = new PinNode(
                            line,
                            Texts.say("practice.joint", line, l.pin()),
                            Area.around(at, 1.4 * next.em(), 1.4 * next.em()));
                    pins.put(line, pin);
                    figures.add(pin);
                }));
        figures.add(corrections);
        correct();
        Set<String> again = state.live();
        live = Set.of();
        light(again);
        return new Dimension2D(next.width(), next.height());
    }

    private void light(Set<String> next) {
        Set<String> changed = new HashSet<>(live);
        changed.addAll(next);
        for (String owner : changed) {
            boolean on = next.contains(owner);
            if (on != live.contains(owner)) {
                owned.getOrDefault(owner, List.of()).forEach(node -> {
                    node.pseudoClassStateChanged(LIVE, on);
                    if (on) {
                        node.toFront();
                    }
                });
                whileOn.getOrDefault(owner, List.of()).forEach(node -> node.setVisible(on));
                whileOff.getOrDefault(owner, List.of()).forEach(node -> node.setVisible(!on));
            }
        }
        live = next;
    }

    /** What the pointer and the keyboard find of a joint at the board, where it can be mended. */
    private final class PinNode extends Group {
        PinNode(String line, String words, Area area) {
            getStyleClass().add("contact-figure");
            setId("pin-" + line);
            setFocusTraversable(true);
            setVisible(mendable);
            setAccessibleRole(AccessibleRole.BUTTON);
            setAccessibleText(words);
            getChildren().addAll(Inking.target(area), Inking.focusFrame(area));
            setOnMouseClicked(event -> {
                requestFocus();
                offerMend(line, words, this);
                event.consume();
            });
            addEventHandler(KeyEvent.KEY_PRESSED, event -> {
                if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.SPACE) {
                    offerMend(line, words, this);
                    event.consume();
                }
            });
        }
    }

    /** What the pointer and the keyboard find of a contact. */
    private final class ContactNode extends Group {
        private final String control;

        ContactNode(Contact contact, String name, LoomDrawing.Spot spot, String words) {
            control = contact.control();
            pseudoClassStateChanged(SHOWN, control.equals(shown));
            getStyleClass().add("contact-figure");
            setId("contact-" + contact.id());
            setFocusTraversable(true);
            setAccessibleRole(AccessibleRole.BUTTON);
            setAccessibleText(words);
            getChildren().addAll(Inking.target(spot.area()), Inking.focusFrame(spot.area()));
            tip(this, () -> words);
            setOnMouseClicked(event -> {
                requestFocus();
                picked.accept(control);
                if (mendable) {
                    offerMend(contact.id(), Texts.say("practice.contact", name), this);
                }
                event.consume();
            });
            addEventHandler(KeyEvent.KEY_PRESSED, event -> {
                if (event.getCode() == KeyCode.ENTER || event.getCode() == KeyCode.SPACE) {
                    picked.accept(control);
                    event.consume();
                }
            });
        }
    }
}
