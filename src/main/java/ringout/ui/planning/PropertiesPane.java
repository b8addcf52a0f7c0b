package ringout.ui.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.function.BiFunction;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import javafx.css.PseudoClass;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.TextField;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Inside;
import ringout.plan.Line;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.Wiring;
import ringout.ui.model.EditorModel;
import ringout.ui.model.EditorModel.Measure;
import ringout.ui.model.EditorModel.PanelMeasure;
import ringout.ui.model.InsideModel;
import ringout.ui.model.InsideModel.Form;
import ringout.ui.model.InsideModel.Size;
import ringout.ui.model.InsideModel.Thing;
import ringout.ui.model.LoomModel;
import ringout.ui.parts.Choices;
import ringout.ui.parts.Greyed;
import ringout.words.Texts;

/** The properties of what is selected. A field takes effect when it is left, or with Enter. */
final class PropertiesPane extends VBox {
    private static final PseudoClass CROSSING = PseudoClass.getPseudoClass("crossing");

    private final Consumer<UnaryOperator<EditorModel>> edit;
    private final Consumer<UnaryOperator<EditorModel>> editSlowly;
    private final List<Runnable> refreshing = new ArrayList<>();

    @SuppressWarnings("NullAway.Init") // there are no fields before show() makes them
    private EditorModel model;

    /** The {@link #shape} of what is shown. */
    private Object built = "";

    private boolean updating;

    /** @param editSlowly takes edits that may take longer than a frame */
    PropertiesPane(Consumer<UnaryOperator<EditorModel>> edit, Consumer<UnaryOperator<EditorModel>> editSlowly) {
        this.edit = edit;
        this.editSlowly = editSlowly;
        getStyleClass().add("properties");
        setId("properties");
    }

    /** Another plan comes: what was chosen for the one before, and not done, is no choice for it. */
    void anew() {
        built = "";
    }

    void show(EditorModel next) {
        model = next;
        Object shape = shape();
        if (!shape.equals(built)) {
            built = shape;
            refreshing.clear();
            getChildren().clear();
            if (model.control().isPresent()) {
                control(model.control().get());
            } else if (model.line().isPresent()) {
                line(model.line().get());
            } else {
                box();
            }
        }
        updating = true;
        refreshing.forEach(Runnable::run);
        updating = false;
    }

    /** What a form must be built anew for; values alone are only filled in again. */
    private Object shape() {
        if (model.control().isPresent()) {
            Control c = model.control().get();
            return List.of(c.id(), NewBox.Part.of(c), c.contacts().size());
        }
        return model.line()
                .<Object>map(l -> List.of(l.name(), l.kind(), l.contacts()))
                .orElseGet(() -> List.of(
                        "box",
                        model.plan().inside().keepOuts().stream()
                                .map(k -> List.of(k.name(), InsideModel.Form.of(k.shape())))
                                .toList()));
    }

    // ---- a control

    private void control(Control shown) {
        String id = shown.id();
        Function<EditorModel, Control> it = m -> m.plan().control(id).orElseThrow();
        heading(m -> it.apply(m).label());
        ComboBox<NewBox.Part> kind = choices(
                "control-kind",
                Texts.say("editor.field.kind"),
                m -> List.of(NewBox.Part.values()),
                m -> NewBox.Part.of(it.apply(m)),
                PropertiesPane::part,
                (m, part) -> m.kind(id, part));
        add(
                labelled(
                        Texts.say("editor.field.label"),
                        field(
                                "control-label",
                                16,
                                Texts.say("editor.field.label"),
                                m -> it.apply(m).label(),
                                (m, t) -> m.label(id, t))),
                labelled(Texts.say("editor.field.kind"), kind));
        add(
                measure(id, Measure.X, Texts.say("editor.field.x")),
                measure(id, Measure.Y, Texts.say("editor.field.y")),
                measure(id, Measure.HOLE, Texts.say("editor.field.hole")),
                measure(id, Measure.NUT, Texts.say("editor.field.nut")),
                measure(id, Measure.BODY, Texts.say("editor.field.body")),
                measure(id, Measure.DEPTH, Texts.say("editor.field.depth")));
        if (shown instanceof Control.Selector) {
            add(labelled(
                    Texts.say("editor.field.positions"),
                    field(
                            "control-positions",
                            4,
                            Texts.say("editor.field.positions"),
                            m -> String.valueOf(it.apply(m).contacts().size()),
                            (m, t) -> m.positions(id, t))));
        } else if (shown instanceof Control.Encoder) {
            add(labelled(
                    Texts.say("editor.field.detents"),
                    field(
                            "control-detents",
                            4,
                            Texts.say("editor.field.detents"),
                            m -> String.valueOf(((Control.Encoder) it.apply(m)).detents()),
                            (m, t) -> m.detents(id, t))));
        } else if (shown instanceof Control.Axis) {
            add(labelled(
                    Texts.say("editor.field.axis-pin"),
                    field(
                            "control-pin",
                            6,
                            Texts.say("editor.field.axis-pin"),
                            m -> ((Control.Axis) it.apply(m)).pin().orElse(""),
                            (m, t) -> m.axisPin(id, t))));
            add(labelled(
                    Texts.say("editor.field.axis-high"),
                    field(
                            "control-high",
                            10,
                            Texts.say("editor.field.axis-high"),
                            m -> ((Control.Axis) it.apply(m)).high().orElse(""),
                            (m, t) -> m.axisHigh(id, t))));
            add(labelled(
                    Texts.say("editor.field.axis-range"),
                    field(
                            "control-range",
                            4,
                            Texts.say("editor.field.axis-range"),
                            m -> ((Control.Axis) it.apply(m))
                                    .range()
                                    .map(String::valueOf)
                                    .orElse(""),
                            (m, t) -> m.axisRange(id, t))));
        }
        for (Contact contact : shown.contacts()) {
            wiring(shown, contact);
        }
        for (Action action : shown.actions()) {
            if (action.contacts().size() != 1) {
                add(labelled(
                        Texts.say(
                                "editor.field.input",
                                shown.actions().size() == 1 ? "" : Action.movement(action.id(), action.control())),
                        input(action)));
            }
        }
        TextField name = field(
                "control-id",
                14,
                Texts.say("editor.field.id"),
                m -> m.control().map(Control::id).orElse(id),
                (m, t) -> m.rename(id, t));
        name.setTooltip(new Tooltip(Texts.say("editor.field.id.help")));
        add(labelled(Texts.say("editor.field.id"), name));
        getChildren()
                .add(button(
                        "control-remove",
                        Texts.say("editor.control.remove"),
                        Texts.say("editor.control.remove.help"),
                        m -> m.remove(id)));
    }

    private void wiring(Control control, Contact contact) {
        String part = control.contacts().size() == 1
                ? ""
                : contact.id().substring(contact.id().indexOf('.') + 1);
        Function<EditorModel, Contact> it = m -> m.plan().contact(contact.id()).orElseThrow();
        ComboBox<Wiring> where = choices(
                "wire-" + contact.id(),
                Texts.say("editor.field.wiring", part),
                m -> {
                    List<Wiring> all = new ArrayList<>(List.of(new Wiring.Unknown()));
                    all.addAll(m.slots());
                    return all;
                },
                m -> it.apply(m).wiring(),
                w -> model.at(w)
                        .filter(c -> !(w instanceof Wiring.Unknown) && !c.id().equals(contact.id()))
                        .map(c -> Texts.say(
                                "editor.wiring.swap",
                                CrossingSheet.place(w),
                                LoomModel.contactName(model.plan(), c.id())))
                        .orElse(CrossingSheet.place(w)),
                (m, w) -> m.wire(contact.id(), w));
        where.getStyleClass().add("wiring-choice");
        // A crossing has a short name, which leaves room for the diode.
        refreshing.add(
                () -> where.pseudoClassStateChanged(CROSSING, it.apply(model).wiring() instanceof Wiring.Crossing));
        VBox wire = labelled(Texts.say("editor.field.wiring", part), where);
        Optional<Action> action = control.actions().stream()
                .filter(a -> a.contacts().equals(List.of(contact.id())))
                .findFirst();
        if (action.isPresent()) {
            add(wire, labelled(Texts.say("editor.field.input", part), input(action.get())), diode(contact.id()));
        } else {
            add(wire, diode(contact.id()));
        }
    }

    /** Shown while the contact is on a crossing: elsewhere a diode would do nothing. */
    private VBox diode(String contact) {
        Function<EditorModel, Contact> it = m -> m.plan().contact(contact).orElseThrow();
        ComboBox<Band> band = choices(
                "diode-" + contact,
                Texts.say("editor.field.diode.of", LoomModel.contactName(model.plan(), contact)),
                m -> Stream.of(Contact.Diode.values())
                        .map(d -> Band.of(d, it.apply(m).wiring()))
                        .toList(),
                m -> Band.of(it.apply(m).diode(), it.apply(m).wiring()),
                Band::words,
                (m, b) -> m.diode(contact, b.diode));
        band.setTooltip(new Tooltip(Texts.say("editor.field.diode.help")));
        VBox both = labelled(Texts.say("editor.field.diode"), band);
        refreshing.add(() -> {
            both.setVisible(it.apply(model).wiring() instanceof Wiring.Crossing);
            both.setManaged(both.isVisible());
        });
        return both;
    }

    /** Where a diode's banded end points; the words name the line. */
    private record Band(Contact.Diode diode, String words) {
        static Band of(Contact.Diode diode, Wiring wiring) {
            return new Band(
                    diode,
                    !(wiring instanceof Wiring.Crossing x)
                            ? ""
                            : switch (diode) {
                                case NONE -> Texts.say("editor.diode.none");
                                case CATHODE_ROW -> Texts.say("editor.diode.to", x.row());
                                case CATHODE_COLUMN -> Texts.say("editor.diode.to", x.column());
                            });
        }
    }

    private TextField input(Action action) {
        TextField field = field(
                "input-" + action.id(),
                8,
                Texts.say("editor.field.input", action.words()),
                m -> m.plan()
                        .action(action.id())
                        .flatMap(Action::input)
                        .map(Input::text)
                        .orElse(""),
                (m, t) -> m.input(action.id(), t));
        field.setTooltip(new Tooltip(Texts.say("editor.field.input.help")));
        return field;
    }

    private VBox measure(String id, Measure measure, String words) {
        return labelled(
                words,
                field(
                        "control-" + measure.name().toLowerCase(Locale.ROOT),
                        3,
                        words,
                        m -> m.plan()
                                .control(id)
                                .flatMap(c -> EditorModel.measure(c, measure))
                                .map(PropertiesPane::mm)
                                .orElse(""),
                        (m, t) -> m.measure(id, measure, t)));
    }

    static String part(NewBox.Part part) {
        return Names.part(part).text();
    }

    private static String mm(double length) {
        return java.math.BigDecimal.valueOf(length)
                .setScale(2, java.math.RoundingMode.HALF_UP)
                .stripTrailingZeros()
                .toPlainString();
    }

    // ---- a line

    private void line(Line shown) {
        String name = shown.name();
        heading(m -> switch (shown.kind()) {
            case ROW -> Texts.say("editor.line.row", name);
            case COLUMN -> Texts.say("editor.line.column", name);
            case DIRECT -> Texts.say("editor.line.direct", name);
            case SHIFT -> Texts.say("editor.line.shift", name);
        });
        add(
                labelled(
                        Texts.say("editor.field.line-name"),
                        field(
                                "line-name",
                                6,
                                Texts.say("editor.field.line-name"),
                                m -> name,
                                (m, t) -> m.renameLine(name, t))),
                labelled(
                        Texts.say("editor.field.pin"),
                        field(
                                "line-pin",
                                8,
                                Texts.say("editor.field.pin"),
                                m -> m.plan().line(name).map(Line::pin).orElse(""),
                                (m, t) -> m.pin(name, t))));
        if (shown.contacts().size() > 1) {
            Label order = new Label(Texts.say("editor.line.order"));
            order.getStyleClass().add("field-label");
            order.setWrapText(true);
            order.setMinHeight(USE_PREF_SIZE);
            getChildren().add(order);
            for (int i = 0; i < shown.contacts().size(); i++) {
                String contact = shown.contacts().get(i);
                String words = LoomModel.contactName(model.plan(), contact);
                Label label = new Label((i + 1) + "  " + words);
                label.setWrapText(true);
                label.setMinHeight(USE_PREF_SIZE);
                label.setMinWidth(0);
                label.setMaxWidth(Double.MAX_VALUE);
                HBox.setHgrow(label, Priority.ALWAYS);
                Button up = small("↑", Texts.say("editor.line.earlier", words), m -> m.along(name, contact, -1));
                Button down = small("↓", Texts.say("editor.line.later", words), m -> m.along(name, contact, 1));
                up.setId("earlier-" + contact);
                down.setId("later-" + contact);
                Greyed.set(up, i == 0, Texts.say("grey.first", words));
                Greyed.set(down, i == shown.contacts().size() - 1, Texts.say("grey.last", words));
                HBox row = new HBox(label, up, down);
                row.getStyleClass().add("row");
                getChildren().add(row);
            }
        }
        getChildren()
                .add(button(
                        "line-remove",
                        Texts.say("editor.line.remove"),
                        Texts.say("editor.line.remove.help"),
                        m -> m.removeLine(name)));
    }

    // ---- the box

    private void box() {
        heading(m -> Texts.say("editor.box.heading"));
        add(labelled(
                Texts.say("editor.field.box-name"),
                field(
                        "box-name",
                        18,
                        Texts.say("editor.field.box-name"),
                        m -> m.plan().box().name(),
                        EditorModel::boxName)));
        add(
                panel(PanelMeasure.WIDTH, Texts.say("editor.field.width")),
                panel(PanelMeasure.HEIGHT, Texts.say("editor.field.height")),
                panel(PanelMeasure.DEPTH, Texts.say("editor.field.room")));
        add(
                panel(PanelMeasure.BOARD_X, Texts.say("editor.field.board-x")),
                panel(PanelMeasure.BOARD_Y, Texts.say("editor.field.board-y")));
        Button layOut = button(
                "lay-out", Texts.say("editor.box.lay-out"), Texts.say("editor.box.lay-out.help"), EditorModel::layOut);
        layOut.setOnAction(event -> editSlowly.accept(EditorModel::layOut));
        getChildren().add(layOut);
        Label heading = new Label(Texts.say("editor.box.wiring"));
        heading.getStyleClass().add("heading");
        getChildren().add(heading);
        ComboBox<EditorModel.Style> style = new ComboBox<>();
        style.setId("wiring-style");
        style.setAccessibleText(Texts.say("editor.field.style"));
        style.getItems().setAll(EditorModel.Style.values());
        style.setConverter(Choices.said(PropertiesPane::style));
        style.setValue(model.style());
        TextField pins = new TextField(model.pins());
        pins.setId("wiring-pins");
        pins.setPrefColumnCount(14);
        pins.setAccessibleText(Texts.say("editor.field.pins"));
        pins.setTooltip(new Tooltip(Texts.say("editor.field.pins.help")));
        pins.setPromptText("2-9, 14");
        add(labelled(Texts.say("editor.field.style"), style), labelled(Texts.say("editor.field.pins"), pins));
        Button wire = new Button(Texts.say("editor.box.wire"));
        wire.setId("wire-all");
        wire.setTooltip(new Tooltip(Texts.say("editor.box.wire.help")));
        wire.setMinWidth(USE_PREF_SIZE);
        wire.setOnAction(event -> {
            EditorModel.Style wanted = style.getValue();
            String free = pins.getText();
            editSlowly.accept(m -> m.wireAll(wanted, free));
        });
        getChildren().add(wire);
        numbers();
        inside();
    }

    // ---- behind the panel

    private void inside() {
        Label heading = new Label(Texts.say("editor.box.inside"));
        heading.getStyleClass().add("heading");
        getChildren().add(heading);
        Thing board = new Thing.Board();
        VBox tall = size("board-tall", board, Size.TALL, Texts.say("editor.field.board-tall"), "");
        ((TextField) tall.getChildren().get(1)).setTooltip(new Tooltip(Texts.say("editor.field.board-tall.help")));
        add(
                size("board-width", board, Size.WIDTH, Texts.say("editor.field.board-width"), ""),
                size("board-height", board, Size.HEIGHT, Texts.say("editor.field.board-height"), ""),
                tall,
                labelled(
                        Texts.say("editor.field.connector"),
                        choices(
                                "board-connector",
                                Texts.say("editor.field.connector"),
                                m -> Stream.concat(
                                                Stream.of(Optional.<Direction>empty()),
                                                Stream.of(Direction.values()).map(Optional::of))
                                        .toList(),
                                InsideModel::connector,
                                side -> side.map(PropertiesPane::side).orElse(Texts.say("editor.connector.unsaid")),
                                InsideModel::connector)));
        TextField slack = field(
                "inside-slack",
                4,
                Texts.say("editor.field.slack"),
                m -> m.plan().inside().slack().map(PropertiesPane::mm).orElse(""),
                InsideModel::slack);
        slack.setTooltip(new Tooltip(Texts.say("editor.field.slack.help", mm(Inside.SLACK_MM))));
        add(
                size("cable-x", new Thing.Cable(), Size.X, Texts.say("editor.field.cable-x"), ""),
                size("cable-y", new Thing.Cable(), Size.Y, Texts.say("editor.field.cable-y"), ""),
                labelled(Texts.say("editor.field.slack"), slack));
        for (Inside.KeepOut keepOut : model.plan().inside().keepOuts()) {
            keepOut(keepOut);
        }
        getChildren()
                .add(button(
                        "keep-out-add",
                        Texts.say("editor.keep-out.add"),
                        Texts.say("editor.keep-out.add.help"),
                        InsideModel::addKeepOut));
    }

    private void keepOut(Inside.KeepOut shown) {
        String name = shown.name();
        String id = "keep-out-" + model.plan().inside().keepOuts().indexOf(shown) + "-";
        Thing thing = new Thing.KeepOut(name);
        Form form = Form.of(shown.shape());
        VBox called = labelled(
                Texts.say("editor.field.keep-out"),
                field(
                        id + "name",
                        9,
                        Texts.say("editor.field.keep-out.of", name),
                        m -> name,
                        (m, t) -> InsideModel.rename(m, name, t)));
        VBox shaped = labelled(
                Texts.say("editor.field.form"),
                choices(
                        id + "form",
                        Texts.say("editor.field.keep-out.form", name),
                        m -> List.of(Form.values()),
                        m -> form,
                        PropertiesPane::form,
                        (m, f) -> InsideModel.form(m, name, f)));
        add(called, shaped);
        List<Node> sizes = new ArrayList<>();
        if (form != Form.RIM) {
            sizes.add(size(id + "x", thing, Size.X, Texts.say("editor.field.x"), name));
            sizes.add(size(id + "y", thing, Size.Y, Texts.say("editor.field.y"), name));
        }
        String across = switch (form) {
            case POST -> Texts.say("editor.field.round");
            case RECTANGLE -> Texts.say("editor.field.width");
            case RIM -> Texts.say("editor.field.rim");
        };
        sizes.add(size(id + "width", thing, Size.WIDTH, across, name));
        if (form == Form.RECTANGLE) {
            sizes.add(size(id + "height", thing, Size.HEIGHT, Texts.say("editor.field.height"), name));
        }
        VBox tall = size(id + "tall", thing, Size.TALL, Texts.say("editor.field.tall"), name);
        ((TextField) tall.getChildren().get(1)).setTooltip(new Tooltip(Texts.say("editor.field.tall.help")));
        sizes.add(tall);
        sizes.add(labelled(
                Texts.say("editor.field.from"),
                choices(
                        id + "from",
                        Texts.say("editor.field.keep-out.from", name),
                        m -> List.of(Inside.On.values()),
                        m -> InsideModel.keepOut(m, name)
                                .map(Inside.KeepOut::on)
                                .orElse(Inside.On.FLOOR),
                        on -> on == Inside.On.FLOOR ? Texts.say("editor.from.floor") : Texts.say("editor.from.panel"),
                        (m, on) -> InsideModel.stand(m, name, on))));
        add(sizes.toArray(Node[]::new));
        getChildren()
                .add(button(
                        id + "remove",
                        Texts.say("editor.keep-out.remove", name),
                        Texts.say("editor.keep-out.remove", name),
                        m -> InsideModel.removeKeepOut(m, name)));
    }

    private static String side(Direction side) {
        return switch (side) {
            case UP -> Texts.say("editor.connector.up");
            case RIGHT -> Texts.say("editor.connector.right");
            case DOWN -> Texts.say("editor.connector.down");
            case LEFT -> Texts.say("editor.connector.left");
        };
    }

    private static String form(Form form) {
        return switch (form) {
            case POST -> Texts.say("editor.form.post");
            case RECTANGLE -> Texts.say("editor.form.rectangle");
            case RIM -> Texts.say("editor.form.rim");
        };
    }

    /** @param of the name that parts this field from others of its words, for those who hear it; may be empty */
    private VBox size(String id, Thing thing, Size size, String words, String of) {
        return labelled(
                words,
                field(
                        id,
                        3,
                        of.isEmpty() ? words : words + ", " + of,
                        m -> InsideModel.size(m, thing, size)
                                .map(PropertiesPane::mm)
                                .orElse(""),
                        (m, t) -> InsideModel.size(m, thing, size, t)));
    }

    private void numbers() {
        Label heading = new Label(Texts.say("editor.box.numbering"));
        heading.getStyleClass().add("heading");
        getChildren().add(heading);
        ComboBox<Optional<NumberScheme.Way>> way = choices(
                "numbering",
                Texts.say("editor.field.numbering"),
                m -> Stream.concat(
                                Stream.of(Optional.<NumberScheme.Way>empty()),
                                Stream.of(NumberScheme.Way.values()).map(Optional::of))
                        .toList(),
                m -> m.numbering().map(NumberScheme::way),
                w -> w.map(PropertiesPane::numbering).orElse(Texts.say("editor.numbering.unsaid")),
                EditorModel::numbering);
        way.setTooltip(new Tooltip(Texts.say("editor.field.numbering.help")));
        TextField first = field(
                "numbering-first",
                3,
                Texts.say("editor.field.first"),
                m -> String.valueOf(m.numbering().map(NumberScheme::first).orElse(1)),
                EditorModel::first);
        add(labelled(Texts.say("editor.field.numbering"), way), labelled(Texts.say("editor.field.first"), first));
        Button renumber = button(
                "renumber",
                Texts.say("editor.box.renumber"),
                Texts.say("editor.box.renumber.help"),
                EditorModel::renumber);
        refreshing.add(() -> Greyed.set(renumber, !model.noRenumbering().isEmpty(), model.noRenumbering()));
        getChildren().add(renumber);
    }

    static String numbering(NumberScheme.Way way) {
        return switch (way) {
            case BY_ROWS -> Texts.say("editor.numbering.rows");
            case BY_COLUMNS -> Texts.say("editor.numbering.columns");
            case FREE -> Texts.say("editor.numbering.free");
        };
    }

    static String style(EditorModel.Style style) {
        return switch (style) {
            case MATRIX_WITH_DIODES -> Texts.say("editor.style.matrix-diodes");
            case MATRIX -> Texts.say("editor.style.matrix");
            case DIRECT -> Texts.say("editor.style.direct");
        };
    }

    private VBox panel(PanelMeasure measure, String words) {
        return labelled(
                words,
                field(
                        "panel-" + measure.name().toLowerCase(Locale.ROOT),
                        4,
                        words,
                        m -> m.panelMeasure(measure).map(PropertiesPane::mm).orElse(""),
                        (m, t) -> m.panelMeasure(measure, t)));
    }

    // ---- parts of forms

    private void heading(Function<EditorModel, String> words) {
        Label label = new Label();
        label.getStyleClass().add("properties-heading");
        label.setId("properties-heading");
        label.setWrapText(true);
        label.setMinHeight(USE_PREF_SIZE);
        refreshing.add(() -> label.setText(words.apply(model)));
        getChildren().add(label);
    }

    private void add(Node... fields) {
        FlowPane row = new FlowPane(fields);
        row.getStyleClass().add("field-row");
        // A row asks for no more room than there is, and a long field gives way.
        row.setMinWidth(0);
        for (Node field : fields) {
            if (field instanceof VBox labelled) {
                labelled.maxWidthProperty().bind(row.widthProperty());
            }
        }
        getChildren().add(row);
    }

    private static VBox labelled(String words, Region field) {
        Label label = new Label(words.strip());
        label.getStyleClass().add("field-label");
        label.setLabelFor(field);
        label.setMinWidth(USE_PREF_SIZE);
        VBox both = new VBox(label, field);
        both.getStyleClass().add("field");
        return both;
    }

    private TextField field(
            String id,
            int columns,
            String words,
            Function<EditorModel, String> value,
            BiFunction<EditorModel, String, EditorModel> take) {
        TextField field = new TextField();
        field.setId(id);
        field.setPrefColumnCount(columns);
        field.setAccessibleText(words.strip());
        Runnable commit = () -> {
            // A field that a new form has replaced has nothing left to say.
            if (!updating && field.getScene() != null && !field.getText().equals(value.apply(model))) {
                String typed = field.getText();
                edit.accept(m -> take.apply(m, typed));
            }
        };
        field.setOnAction(event -> commit.run());
        field.focusedProperty().addListener((o, was, is) -> {
            if (!is) {
                commit.run();
            }
        });
        refreshing.add(() -> {
            String now = value.apply(model);
            if (!field.getText().equals(now)) {
                field.setText(now);
            }
        });
        return field;
    }

    private <T> ComboBox<T> choices(
            String id,
            String words,
            Function<EditorModel, List<T>> all,
            Function<EditorModel, T> value,
            Function<T, String> say,
            BiFunction<EditorModel, T, EditorModel> take) {
        ComboBox<T> box = new ComboBox<>();
        box.setId(id);
        box.setAccessibleText(words.strip());
        box.setConverter(Choices.said(say));
        box.setVisibleRowCount(12);
        box.valueProperty().addListener((o, was, is) -> {
            if (!updating && is != null && !Objects.equals(is, value.apply(model))) {
                edit.accept(m -> take.apply(m, is));
            }
        });
        refreshing.add(() -> {
            List<T> items = all.apply(model);
            if (!box.getItems().equals(items)) {
                box.getItems().setAll(items);
            }
            T now = value.apply(model);
            if (!Objects.equals(box.getValue(), now)) {
                box.setValue(now);
            }
        });
        return box;
    }

    private Button button(String id, String words, String help, UnaryOperator<EditorModel> action) {
        Button button = new Button(words);
        button.setId(id);
        button.setTooltip(new Tooltip(help));
        button.setMinWidth(USE_PREF_SIZE);
        button.setOnAction(event -> edit.accept(action));
        return button;
    }

    private Button small(String mark, String words, UnaryOperator<EditorModel> action) {
        Button button = new Button(mark);
        button.getStyleClass().add("small-button");
        button.setAccessibleText(words);
        button.setTooltip(new Tooltip(words));
        button.setMinWidth(USE_PREF_SIZE);
        button.setOnAction(event -> edit.accept(action));
        return button;
    }
}
