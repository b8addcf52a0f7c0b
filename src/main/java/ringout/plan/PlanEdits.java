package ringout.plan;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.BiPredicate;
import java.util.function.Function;
import java.util.regex.Pattern;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import ringout.hid.Input;
import ringout.words.Phrase;

/**
 * The edits of a plan's text. Each rewrites only the characters it must, and composes the text at most once: what changes
 * many places, such as wiring a whole box anew, is spliced together.
 */
abstract class PlanEdits {
    private static final List<String> ROOT_KEYS = List.of(
            "ringout", "box", "panel", "inside", "lines", "scan", "numbering", "first", "listen", "controls", "order");
    private static final List<String> PANEL_KEYS = List.of("width", "height", "depth", "board");
    private static final List<String> INSIDE_KEYS = List.of("board", "cable", "slack", "keep-outs");
    private static final List<String> THING_KEYS =
            List.of("name", "place", "round", "width", "height", "rim", "tall", "from", "connector");
    private static final List<String> LINE_KEYS = List.of("rows", "columns", "direct", "shift");
    private static final List<String> SCAN_KEYS =
            List.of("drive", "active", "diodes", "cathode", "direct", "debounce", "supply");
    private static final List<String> CONTROL_KEYS = List.of(
            "id",
            "label",
            "kind",
            "at",
            "a",
            "b",
            "input",
            "up",
            "right",
            "down",
            "left",
            "push",
            "positions",
            "cw",
            "ccw",
            "detents",
            "pin",
            "high",
            "range",
            "diode",
            "place",
            "hole",
            "nut",
            "body",
            "depth");
    /** The two keys belong together, also where a plan has an empty line between its parts. */
    private static final Pattern FIRST_APART = Pattern.compile("(?m)^(numbering:.*)(\\R)\\R(first: \\d+)$");
    /** What a key that stood between empty lines leaves. */
    private static final Pattern GAP = Pattern.compile("(\\R)\\R\\R");
    /** What a control has by its kind and its wiring. */
    private static final List<String> KIND_KEYS = List.of(
            "kind",
            "at",
            "a",
            "b",
            "input",
            "up",
            "right",
            "down",
            "left",
            "push",
            "positions",
            "cw",
            "ccw",
            "detents",
            "pin",
            "high",
            "range",
            "diode");

    /** The YAML. */
    public abstract String text();

    /** The plan in it, and its problems. */
    public abstract PlanReading reading();

    /** Its nodes. */
    abstract YamlEdit yaml();

    /** With an edit's result, which must still be YAML. */
    abstract PlanDocument edited(String yaml);

    abstract PlanDocument withText(String yaml);

    abstract PlanDocument together(Function<PlanDocument, PlanDocument> edits);

    private PlanDocument self() {
        return withText(text());
    }

    // Controls

    /** Adds a control behind the others, written in the style of the last one. */
    public PlanDocument addControl(Control control) {
        YamlEdit yaml = yaml();
        if (!(YamlEdit.get(yaml.root(), "controls").orElse(null) instanceof SequenceNode)) {
            yaml = new YamlEdit(yaml.set(yaml.root(), "controls", List.of(), ROOT_KEYS));
        }
        String result = yaml.append(
                (SequenceNode) YamlEdit.get(yaml.root(), "controls").orElseThrow(),
                PlanYaml.control(control, usualDiode()));
        for (Contact contact : control.contacts()) {
            result = appendToOrders(result, contact.id(), PlanYaml.lines(contact.wiring()));
        }
        return edited(result);
    }

    /** A contact must stand in the order of every line that has one. */
    private static String appendToOrders(String yaml, String contact, List<String> lines) {
        String result = yaml;
        for (String line : lines) {
            YamlEdit edit = new YamlEdit(result);
            Optional<SequenceNode> list = orderOf(edit, line)
                    .filter(l -> l.getValue().stream()
                            .noneMatch(n ->
                                    YamlEdit.text(n).filter(contact::equals).isPresent()));
            if (list.isPresent()) {
                result = edit.appendScalar(list.get(), contact);
            }
        }
        return result;
    }

    /** The diode a matrix contact has when it does not say, as the scan part of the text has it. */
    private Contact.Diode usualDiode() {
        return scanWord("diodes").equals("per-contact") ? usualCathode() : Contact.Diode.NONE;
    }

    /** The side that diodes point to which do not say, as the scan part of the text has it. */
    private Contact.Diode usualCathode() {
        return switch (scanWord("cathode")) {
            case "row" -> Contact.Diode.CATHODE_ROW;
            case "column" -> Contact.Diode.CATHODE_COLUMN;
            default ->
                new Scan(
                                scanWord("drive").equals("columns") ? Scan.Drive.COLUMNS : Scan.Drive.ROWS,
                                scanWord("active").equals("high") ? Scan.Active.HIGH : Scan.Active.LOW,
                                Scan.DirectTo.GROUND,
                                0)
                        .conducting();
        };
    }

    private String scanWord(String key) {
        return YamlEdit.get(yaml().root(), "scan")
                .flatMap(s -> YamlEdit.get(s, key))
                .flatMap(YamlEdit::text)
                .orElse("");
    }

    /** Takes a control out, with the comment on its line, and its contacts out of every daisy-chain order. */
    public PlanDocument removeControl(String id) {
        YamlEdit yaml = yaml();
        Node item = controlNode(yaml, id);
        SequenceNode list = (SequenceNode) YamlEdit.get(yaml.root(), "controls").orElseThrow();
        String result = list.getValue().size() == 1
                ? yaml.set(yaml.root(), "controls", List.of(), ROOT_KEYS)
                : yaml.removeItem(list, item);
        return edited(removeFromOrders(result, (line, contact) -> contact.equals(id) || contact.startsWith(id + ".")));
    }

    /** Takes contacts out of the orders; an order without contacts goes, too. */
    private static String removeFromOrders(String yaml, BiPredicate<String, String> lineAndContact) {
        YamlEdit edit = new YamlEdit(yaml);
        for (String line : orderedLines(edit)) {
            SequenceNode list = orderOf(edit, line).orElseThrow();
            for (Node item : list.getValue()) {
                if (YamlEdit.text(item)
                        .filter(contact -> lineAndContact.test(line, contact))
                        .isPresent()) {
                    return removeFromOrders(
                            list.getValue().size() > 1 ? edit.removeItem(list, item) : removeOrder(edit, line),
                            lineAndContact);
                }
            }
        }
        return yaml;
    }

    private static String removeOrder(YamlEdit yaml, String line) {
        MappingNode order = (MappingNode) YamlEdit.get(yaml.root(), "order").orElseThrow();
        return order.getValue().size() > 1 ? yaml.remove(order, line) : yaml.remove(yaml.root(), "order");
    }

    /** Gives a control another id, in daisy-chain orders too. */
    public PlanDocument renameControl(String id, String newId) {
        YamlEdit yaml = yaml();
        String result = yaml.replaceScalar(
                (ScalarNode) YamlEdit.get(controlNode(yaml, id), "id").orElseThrow(), newId);
        boolean more = !newId.equals(id);
        while (more) {
            YamlEdit edit = new YamlEdit(result);
            Optional<ScalarNode> old = orderedContacts(edit)
                    .filter(n -> YamlEdit.text(n)
                            .filter(c -> c.equals(id) || c.startsWith(id + "."))
                            .isPresent())
                    .findFirst();
            if (old.isPresent()) {
                result = edit.replaceScalar(
                        old.get(), newId + old.get().getValue().strip().substring(id.length()));
            }
            more = old.isPresent();
        }
        return edited(result);
    }

    private static java.util.stream.Stream<ScalarNode> orderedContacts(YamlEdit yaml) {
        return YamlEdit.get(yaml.root(), "order")
                .filter(MappingNode.class::isInstance)
                .map(MappingNode.class::cast)
                .stream()
                .flatMap(order -> order.getValue().stream())
                .map(NodeTuple::getValueNode)
                .filter(SequenceNode.class::isInstance)
                .map(SequenceNode.class::cast)
                .flatMap(list -> list.getValue().stream())
                .filter(ScalarNode.class::isInstance)
                .map(ScalarNode.class::cast);
    }

    /** Sets what is written beside a control. */
    public PlanDocument setLabel(String control, String label) {
        return setInControl(control, "label", label);
    }

    /** Moves a control; a coordinate that stays keeps its text. */
    public PlanDocument setPlace(String control, Mount.Place place) {
        Optional<Node> now = YamlEdit.get(controlNode(yaml(), control), "place");
        return setInControl(control, "place", place(now, place));
    }

    /** As {@link #setPlace}, of several controls. */
    public PlanDocument setPlaces(Map<String, Mount.Place> places) {
        Map<String, MappingNode> controls = controlNodes(yaml());
        Optional<String> all = yaml().together(yaml -> places.forEach((control, place) -> {
            MappingNode map = Optional.ofNullable(controls.get(control))
                    .orElseThrow(() -> new PlanEditException(Phrase.of("edit.no-control", control)));
            yaml.set(map, "place", place(YamlEdit.get(map, "place"), place), CONTROL_KEYS);
        }));
        if (all.isPresent()) {
            return edited(all.get());
        }
        throw new PlanEditException(Phrase.of("edit.breaks"));
    }

    private static List<Object> place(Optional<Node> now, Mount.Place place) {
        List<Node> xy =
                now.orElse(null) instanceof SequenceNode list && list.getValue().size() == 2
                        ? list.getValue()
                        : List.of();
        return xy.isEmpty()
                ? PlanYaml.place(place)
                : List.of(length(Optional.of(xy.get(0)), place.x()), length(Optional.of(xy.get(1)), place.y()));
    }

    /** Sets the diameter of a control's hole, in millimetres. */
    public PlanDocument setHole(String control, double mm) {
        return setLength(control, "hole", mm);
    }

    /** Sets the largest diameter of a control's nut or washer, in millimetres. */
    public PlanDocument setNut(String control, double mm) {
        return setLength(control, "nut", mm);
    }

    /** Sets the largest diameter of a control's body behind the panel, in millimetres. */
    public PlanDocument setBodyWidth(String control, double mm) {
        return setLength(control, "body", mm);
    }

    /** Sets how far a control reaches behind the panel, in millimetres. */
    public PlanDocument setBodyDepth(String control, double mm) {
        return setLength(control, "depth", mm);
    }

    /**
     * Makes a control another with the same id: what both have in common keeps its text, label and mount stay as they
     * are written. Contacts that are gone leave the daisy-chain orders, new ones go to their end.
     */
    public PlanDocument replaceControl(Control control) {
        Map<String, Object> wanted = PlanYaml.control(control, usualDiode());
        String result = text();
        for (String key : KIND_KEYS) {
            YamlEdit yaml = new YamlEdit(result);
            MappingNode map = controlNode(yaml, control.id());
            Optional<Node> now = YamlEdit.get(map, key);
            if (!wanted.containsKey(key)) {
                result = now.isPresent() ? yaml.remove(map, key) : result;
            } else if (now.isEmpty() || !same(now.get(), wanted.get(key))) {
                result = yaml.set(map, key, wanted.get(key), CONTROL_KEYS);
            }
        }
        List<String> contacts = control.contacts().stream().map(Contact::id).toList();
        result = removeFromOrders(
                result,
                (line, c) -> (c.equals(control.id()) || c.startsWith(control.id() + ".")) && !contacts.contains(c));
        for (Contact contact : control.contacts()) {
            result = appendToOrders(result, contact.id(), PlanYaml.lines(contact.wiring()));
        }
        return edited(result);
    }

    private static boolean same(Node node, Object value) {
        if (value instanceof List<?> list) {
            return node instanceof SequenceNode items
                    && items.getValue().size() == list.size()
                    && java.util.stream.IntStream.range(0, list.size())
                            .allMatch(i -> same(items.getValue().get(i), list.get(i)));
        }
        if (value instanceof Map<?, ?> map) {
            return node instanceof MappingNode tuples
                    && tuples.getValue().size() == map.size()
                    && map.entrySet().stream()
                            .allMatch(e -> YamlEdit.get(node, (String) e.getKey())
                                    .filter(v -> same(v, e.getValue()))
                                    .isPresent());
        }
        return YamlEdit.text(node).filter(value::equals).isPresent();
    }

    PlanDocument setLength(String control, String key, double mm) {
        return setInControl(control, key, length(YamlEdit.get(controlNode(yaml(), control), key), mm));
    }

    /** A length; in the words it has where those say the same. */
    private static String length(Optional<Node> now, double mm) {
        return now.flatMap(YamlEdit::text)
                .filter(t -> Units.millimetres(t).filter(is -> is == mm).isPresent())
                .orElse(PlanYaml.length(mm));
    }

    PlanDocument setInControl(String control, String key, Object value) {
        YamlEdit yaml = yaml();
        return edited(yaml.set(controlNode(yaml, control), key, value, CONTROL_KEYS));
    }

    /**
     * The control that is written in a line of the text, from 1; empty where that line belongs to none.
     */
    public Optional<String> controlAt(int line) {
        if (reading().plan().isEmpty()
                || !(YamlEdit.get(yaml().root(), "controls").orElse(null) instanceof SequenceNode list)) {
            return Optional.empty();
        }
        Optional<String> found = Optional.empty();
        for (Node item : list.getValue()) {
            int first = item.getStartMark().map(m -> m.getLine() + 1).orElse(Integer.MAX_VALUE);
            int last = item.getEndMark().map(m -> m.getLine() + 1).orElse(0);
            if (first <= line && line <= last) {
                found = YamlEdit.get(item, "id").flatMap(YamlEdit::text);
            }
        }
        return found;
    }

    private static MappingNode controlNode(YamlEdit yaml, String id) {
        return Optional.ofNullable(controlNodes(yaml).get(id))
                .orElseThrow(() -> new PlanEditException(Phrase.of("edit.no-control", id)));
    }

    /** By id; of several with the same the first. */
    private static Map<String, MappingNode> controlNodes(YamlEdit yaml) {
        Map<String, MappingNode> byId = new LinkedHashMap<>();
        if (YamlEdit.get(yaml.root(), "controls").orElse(null) instanceof SequenceNode list) {
            for (Node item : list.getValue()) {
                if (item instanceof MappingNode map) {
                    YamlEdit.get(map, "id").flatMap(YamlEdit::text).ifPresent(id -> byId.putIfAbsent(id, map));
                }
            }
        }
        return byId;
    }

    // Wiring

    /** Where a contact's wiring stands: a key of a mapping. */
    private record Slot(MappingNode map, String key) {}

    private static Slot slot(YamlEdit yaml, String contact) {
        int dot = contact.indexOf('.');
        MappingNode control = controlNode(yaml, dot < 0 ? contact : contact.substring(0, dot));
        if (dot < 0) {
            return new Slot(control, "at");
        }
        String part = contact.substring(dot + 1);
        if (YamlEdit.get(control, "positions").orElse(null) instanceof SequenceNode positions
                && Units.whole(part, 1, positions.getValue().size()).isPresent()
                && positions.getValue().get(Integer.parseInt(part) - 1) instanceof MappingNode position) {
            return new Slot(position, "at");
        }
        Optional<Node> value = YamlEdit.get(control, part);
        boolean encoder = YamlEdit.get(control, "kind")
                .flatMap(YamlEdit::text)
                .filter("encoder"::equals)
                .isPresent();
        if (value.isEmpty() && !(encoder && (part.equals("a") || part.equals("b")))) {
            throw new PlanEditException(Phrase.of("edit.no-contact", contact));
        }
        return value.isPresent() && value.get() instanceof MappingNode map
                ? new Slot(map, "at")
                : new Slot(control, part);
    }

    /**
     * Solders a contact somewhere else. Daisy-chain orders follow: it leaves those of its old lines and goes to the end of
     * those of its new ones.
     */
    public PlanDocument setWiring(String contact, Wiring wiring) {
        String result = solder(yaml(), contact, wiring);
        List<String> lines = PlanYaml.lines(wiring);
        result = removeFromOrders(result, (line, c) -> c.equals(contact) && !lines.contains(line));
        return edited(appendToOrders(result, contact, lines));
    }

    private static String solder(YamlEdit yaml, String contact, Wiring wiring) {
        Slot slot = slot(yaml, contact);
        Optional<Object> at =
                PlanYaml.wiring(wiring).map(value -> columnFirst(yaml, slot, wiring) ? swapped(value) : value);
        if (at.isPresent()) {
            return yaml.set(slot.map, slot.key, at.get(), CONTROL_KEYS);
        }
        return slot.key.equals("at")
                ? yaml.remove(slot.map, slot.key)
                : yaml.set(slot.map, slot.key, Map.of(), CONTROL_KEYS);
    }

    /** A builder who writes the column first goes on doing so. */
    private static boolean columnFirst(YamlEdit yaml, Slot slot, Wiring wiring) {
        if (!(wiring instanceof Wiring.Crossing)
                || !(YamlEdit.get(slot.map, slot.key).orElse(null) instanceof SequenceNode list)
                || list.getValue().size() != 2) {
            return false;
        }
        Optional<Node> columns = YamlEdit.get(yaml.root(), "lines").flatMap(lines -> YamlEdit.get(lines, "columns"));
        return YamlEdit.text(list.getValue().get(0))
                .filter(first -> columns.flatMap(c -> YamlEdit.get(c, first)).isPresent())
                .isPresent();
    }

    private static Object swapped(Object pair) {
        List<?> names = (List<?>) pair;
        return List.of(names.get(1), names.get(0));
    }

    private static List<String> orderedLines(YamlEdit yaml) {
        return YamlEdit.get(yaml.root(), "order")
                .filter(MappingNode.class::isInstance)
                .map(MappingNode.class::cast)
                .stream()
                .flatMap(order -> order.getValue().stream())
                .filter(t -> t.getValueNode() instanceof SequenceNode)
                .map(YamlEdit::key)
                .toList();
    }

    private static Optional<SequenceNode> orderOf(YamlEdit yaml, String line) {
        return YamlEdit.get(yaml.root(), "order")
                .flatMap(order -> YamlEdit.get(order, line))
                .filter(SequenceNode.class::isInstance)
                .map(SequenceNode.class::cast);
    }

    /** Sets the input that an action must produce: a control's or contact's, {@code notch.cw} or {@code notch.ccw}. */
    public PlanDocument setInput(String action, Input input) {
        return edited(setInput(yaml(), action, input));
    }

    private static String setInput(YamlEdit yaml, String action, Input input) {
        int dot = action.indexOf('.');
        String part = action.substring(dot + 1);
        if (dot > 0 && (part.equals("cw") || part.equals("ccw"))) {
            return yaml.set(controlNode(yaml, action.substring(0, dot)), part, input.text(), CONTROL_KEYS);
        }
        Slot slot = slot(yaml, action);
        return slot.key.equals("at")
                ? yaml.set(slot.map, "input", input.text(), CONTROL_KEYS)
                : yaml.set(slot.map, slot.key, mapping(slot, "input", input.text()), CONTROL_KEYS);
    }

    /** As {@link #setInput}, of several actions. */
    public PlanDocument setInputs(Map<String, ? extends Input> inputs) {
        Map<String, Input> changed = new LinkedHashMap<>();
        inputs.forEach((action, input) -> {
            if (!reading()
                    .plan()
                    .flatMap(p -> p.action(action))
                    .flatMap(Action::input)
                    .equals(Optional.of(input))) {
                changed.put(action, input);
            }
        });
        if (changed.isEmpty()) {
            return self();
        }
        Optional<String> all =
                yaml().together(yaml -> changed.forEach((action, input) -> setInput(yaml, action, input)));
        if (all.isPresent()) {
            return edited(all.get());
        }
        PlanDocument next = self();
        for (Map.Entry<String, Input> one : changed.entrySet()) {
            next = next.setInput(one.getKey(), one.getValue());
        }
        return next;
    }

    /** A part of a control that was just its wiring, as a mapping with something more. */
    private static Map<String, Object> mapping(Slot bare, String key, String value) {
        Map<String, Object> mapping = new LinkedHashMap<>();
        YamlEdit.get(bare.map, bare.key)
                .ifPresent(at -> mapping.put(
                        "at",
                        at instanceof SequenceNode list
                                ? list.getValue().stream()
                                        .map(n -> YamlEdit.text(n).orElse(""))
                                        .toList()
                                : YamlEdit.text(at).orElse("")));
        mapping.put(key, value);
        return mapping;
    }

    /** Sets the diode of a matrix contact. What it would have anyway, by its control or by the scan part, is not written. */
    public PlanDocument setDiode(String contact, Contact.Diode diode) {
        YamlEdit yaml = yaml();
        Slot slot = slot(yaml, contact);
        MappingNode control =
                controlNode(yaml, contact.contains(".") ? contact.substring(0, contact.indexOf('.')) : contact);
        boolean bare = !slot.key.equals("at");
        Contact.Diode usual =
                slot.map == control && !bare ? usualDiode() : diodeIn(control).orElseGet(this::usualDiode);
        if (diode == usual) {
            return bare ? self() : edited(yaml.remove(slot.map, "diode"));
        }
        return bare
                ? edited(yaml.set(slot.map, slot.key, mapping(slot, "diode", PlanYaml.diode(diode)), CONTROL_KEYS))
                : diodeIn(slot.map).filter(diode::equals).isPresent()
                        ? self()
                        : edited(yaml.set(slot.map, "diode", PlanYaml.diode(diode), CONTROL_KEYS));
    }

    private Optional<Contact.Diode> diodeIn(MappingNode map) {
        return YamlEdit.get(map, "diode")
                .flatMap(YamlEdit::text)
                .flatMap(word -> PlanReader.diode(word, usualCathode()));
    }

    /** Takes out what controls and contacts say of diodes: all have what the scan part says. */
    public PlanDocument removeDiodes() {
        List<MappingNode> own = new ArrayList<>();
        YamlEdit.get(yaml().root(), "controls").ifPresent(controls -> addWithDiode(controls, own));
        Optional<String> all = yaml().together(yaml -> own.forEach(map -> yaml.remove(map, "diode")));
        if (all.isPresent()) {
            return edited(all.get());
        }
        // One inside another: from the inside.
        YamlEdit yaml = yaml();
        return edited(yaml.remove(own.get(own.size() - 1), "diode")).removeDiodes();
    }

    /** Mappings that have a diode of their own; what is inside another comes after it. */
    private static void addWithDiode(Node node, List<MappingNode> to) {
        if (node instanceof MappingNode map) {
            if (YamlEdit.get(map, "diode").isPresent()) {
                to.add(map);
            }
            map.getValue().forEach(tuple -> addWithDiode(tuple.getValueNode(), to));
        } else if (node instanceof SequenceNode list) {
            list.getValue().forEach(item -> addWithDiode(item, to));
        }
    }

    /**
     * Sets the order in which a line's wire visits its contacts, from the pin.
     *
     * @param contacts all contacts of the line
     */
    public PlanDocument setOrder(String line, List<String> contacts) {
        return setOrders(Map.of(line, contacts));
    }

    /** As {@link #setOrder}, of several lines. */
    public PlanDocument setOrders(Map<String, List<String>> orders) {
        Map<String, Object> unusual = new LinkedHashMap<>();
        orders.forEach((line, contacts) -> {
            boolean usual = reading()
                    .plan()
                    .flatMap(p -> p.line(line))
                    .filter(l -> l.contacts().equals(contacts))
                    .isPresent();
            if (!usual) {
                unusual.put(line, List.copyOf(contacts));
            }
        });
        if (unusual.isEmpty()) {
            return self();
        }
        if (!(YamlEdit.get(yaml().root(), "order").orElse(null) instanceof MappingNode order)) {
            return edited(yaml().set(yaml().root(), "order", unusual, ROOT_KEYS));
        }
        return setAll(order, unusual, List.of());
    }

    /** Sets several keys of one mapping. */
    private PlanDocument setAll(MappingNode map, Map<String, Object> values, List<String> order) {
        Optional<String> all =
                yaml().together(yaml -> values.forEach((key, value) -> yaml.set(map, key, value, order)));
        if (all.isPresent()) {
            return edited(all.get());
        }
        throw new PlanEditException(Phrase.of("edit.breaks"));
    }

    /**
     * Wires everything anew in one step: contacts, lines and daisy-chain orders become those of the assignment. Lines that
     * keep name and kind keep their text, apart from another pin.
     */
    public PlanDocument assign(Assign.Assignment assignment) {
        Map<String, Line> kept = new LinkedHashMap<>();
        Map<String, Line.Kind> before = linesInText();
        assignment.lines().stream()
                .filter(l -> before.get(l.name()) == l.kind())
                .forEach(l -> kept.put(l.name(), l));
        return together(document -> {
            PlanDocument next = document.setWirings(assignment.wiring(), kept.values());
            for (Line.Kind kind : Line.Kind.values()) {
                next = next.removeLines(
                        kind,
                        before.entrySet().stream()
                                .filter(l -> l.getValue() == kind && !kept.containsKey(l.getKey()))
                                .map(Map.Entry::getKey)
                                .toList());
            }
            for (Line.Kind kind : Line.Kind.values()) {
                next = next.addLines(
                        kind,
                        assignment.lines().stream()
                                .filter(l -> l.kind() == kind && !kept.containsKey(l.name()))
                                .toList());
            }
            Map<String, List<String>> orders = new LinkedHashMap<>();
            assignment.lines().forEach(l -> orders.put(l.name(), l.contacts()));
            return next.setOrders(orders);
        });
    }

    /** Solders contacts somewhere else and puts lines on other pins; no daisy-chain order is kept. */
    PlanDocument setWirings(Map<String, Wiring> wiring, Collection<Line> lines) {
        Optional<String> all = yaml().together(yaml -> {
            wiring.forEach((contact, to) -> solder(yaml, contact, to));
            lines.forEach(line -> setPin(yaml, line.name(), line.pin()));
            yaml.remove(yaml.root(), "order");
        });
        if (all.isPresent()) {
            return edited(all.get());
        }
        PlanDocument next = edited(yaml().remove(yaml().root(), "order"));
        for (Map.Entry<String, Wiring> contact : wiring.entrySet()) {
            next = next.setWiring(contact.getKey(), contact.getValue());
        }
        for (Line line : lines) {
            next = next.setPin(line.name(), line.pin());
        }
        return next;
    }

    /** Takes lines of one kind out; what is wired to them is not looked at. */
    PlanDocument removeLines(Line.Kind kind, List<String> names) {
        if (names.isEmpty()) {
            return self();
        }
        MappingNode lines = (MappingNode) YamlEdit.get(yaml().root(), "lines").orElseThrow();
        MappingNode group = (MappingNode) YamlEdit.get(lines, group(kind)).orElseThrow();
        if (group.getValue().size() == names.size()) {
            return edited(
                    lines.getValue().size() > 1
                            ? yaml().remove(lines, group(kind))
                            : yaml().remove(yaml().root(), "lines"));
        }
        Optional<String> all = yaml().together(yaml -> names.forEach(name -> yaml.remove(group, name)));
        if (all.isPresent()) {
            return edited(all.get());
        }
        PlanDocument next = self();
        for (String name : names) {
            next = next.removeLineOnly(name);
        }
        return next;
    }

    /** Adds lines of one kind behind the others of it. */
    PlanDocument addLines(Line.Kind kind, List<Line> more) {
        if (more.isEmpty()) {
            return self();
        }
        Map<String, Object> values = new LinkedHashMap<>();
        more.forEach(line -> values.put(line.name(), lineValue(kind, line.pin())));
        if (!(YamlEdit.get(yaml().root(), "lines").orElse(null) instanceof MappingNode lines)) {
            return edited(yaml().set(yaml().root(), "lines", Map.of(group(kind), values), ROOT_KEYS));
        }
        if (YamlEdit.get(lines, group(kind)).orElse(null) instanceof MappingNode group
                && !group.getValue().isEmpty()) {
            return setAll(group, values, List.of());
        }
        return edited(yaml().set(lines, group(kind), values, LINE_KEYS));
    }

    private static Object lineValue(Line.Kind kind, String pin) {
        return kind == Line.Kind.SHIFT ? Map.of("pin", pin) : pin;
    }

    Map<String, Line.Kind> linesInText() {
        Map<String, Line.Kind> lines = new LinkedHashMap<>();
        Optional<Node> all = YamlEdit.get(yaml().root(), "lines");
        for (Line.Kind kind : Line.Kind.values()) {
            if (all.flatMap(a -> YamlEdit.get(a, group(kind))).orElse(null) instanceof MappingNode group) {
                group.getValue().forEach(t -> lines.put(YamlEdit.key(t), kind));
            }
        }
        return lines;
    }

    // Lines

    private static String group(Line.Kind kind) {
        return switch (kind) {
            case ROW -> "rows";
            case COLUMN -> "columns";
            case DIRECT -> "direct";
            case SHIFT -> "shift";
        };
    }

    /** Adds a line behind the others of its kind; a shift-register chain gets one register. */
    public PlanDocument addLine(Line.Kind kind, String name, String pin) {
        Object value = lineValue(kind, pin);
        YamlEdit yaml = yaml();
        if (!(YamlEdit.get(yaml.root(), "lines").orElse(null) instanceof MappingNode lines)) {
            return edited(yaml.set(yaml.root(), "lines", Map.of(group(kind), Map.of(name, value)), ROOT_KEYS));
        }
        if (YamlEdit.get(lines, group(kind)).orElse(null) instanceof MappingNode group) {
            return edited(yaml.set(group, name, value, List.of()));
        }
        return edited(yaml.set(lines, group(kind), Map.of(name, value), LINE_KEYS));
    }

    /** Puts a line on another pin. */
    public PlanDocument setPin(String line, String pin) {
        return edited(setPin(yaml(), line, pin));
    }

    private static String setPin(YamlEdit yaml, String line, String pin) {
        MappingNode group = groupOf(yaml, line);
        Node value = YamlEdit.get(group, line).orElseThrow();
        Optional<MappingNode> chain = value instanceof MappingNode map ? Optional.of(map) : Optional.empty();
        Optional<String> now = chain.map(map -> YamlEdit.get(map, "pin"))
                .orElse(Optional.of(value))
                .flatMap(YamlEdit::text)
                .map(PlanReader::pinName);
        if (now.equals(Optional.of(PlanReader.pinName(pin)))) {
            return yaml.text();
        }
        return chain.isPresent()
                ? yaml.set(chain.get(), "pin", pin, List.of("pin", "registers"))
                : yaml.set(group, line, pin, List.of());
    }

    /** Sets how many registers a shift-register chain has. */
    public PlanDocument setRegisters(String chain, int registers) {
        YamlEdit yaml = yaml();
        if (!(YamlEdit.get(groupOf(yaml, chain), chain).orElseThrow() instanceof MappingNode map)) {
            throw new PlanEditException(Phrase.of("edit.no-chain", chain));
        }
        return edited(yaml.set(map, "registers", String.valueOf(registers), List.of("pin", "registers")));
    }

    private static MappingNode groupOf(YamlEdit yaml, String line) {
        for (String name : LINE_KEYS) {
            Optional<Node> group = YamlEdit.get(yaml.root(), "lines").flatMap(lines -> YamlEdit.get(lines, name));
            if (group.isPresent() && YamlEdit.get(group.get(), line).isPresent()) {
                return (MappingNode) group.get();
            }
        }
        throw new PlanEditException(Phrase.of("edit.no-line", line));
    }

    /** Takes a line out; the wiring of the contacts on it becomes unknown. */
    public PlanDocument removeLine(String line) {
        PlanDocument bare = self();
        for (String contact : wiredTo(line)) {
            bare = bare.setWiring(contact, new Wiring.Unknown());
        }
        return withText(bare.removeLineOnly(line).text());
    }

    PlanDocument removeLineOnly(String line) {
        YamlEdit yaml = yaml();
        MappingNode group = groupOf(yaml, line);
        MappingNode lines = (MappingNode) YamlEdit.get(yaml.root(), "lines").orElseThrow();
        String key = lines.getValue().stream()
                .filter(t -> t.getValueNode() == group)
                .map(YamlEdit::key)
                .findFirst()
                .orElseThrow();
        String result = group.getValue().size() > 1
                ? yaml.remove(group, line)
                : lines.getValue().size() > 1 ? yaml.remove(lines, key) : yaml.remove(yaml.root(), "lines");
        YamlEdit edit = new YamlEdit(result);
        return edited(orderOf(edit, line).isPresent() ? removeOrder(edit, line) : result);
    }

    /** Gives a line another name, everywhere. */
    public PlanDocument renameLine(String line, String newName) {
        YamlEdit yaml = yaml();
        String result = yaml.renameKey(groupOf(yaml, line), line, newName);
        for (String contact : wiredTo(line)) {
            YamlEdit edit = new YamlEdit(result);
            Slot slot = slot(edit, contact);
            Node at = YamlEdit.get(slot.map, slot.key).orElseThrow();
            ScalarNode name = at instanceof SequenceNode list
                    ? (ScalarNode) list.getValue().stream()
                            .filter(n -> YamlEdit.text(n).filter(line::equals).isPresent())
                            .findFirst()
                            .orElseThrow()
                    : (ScalarNode) at;
            result = edit.replaceScalar(name, newName);
        }
        YamlEdit edit = new YamlEdit(result);
        if (orderOf(edit, line).isPresent()) {
            result = edit.renameKey(YamlEdit.get(edit.root(), "order").orElseThrow(), line, newName);
        }
        return edited(result);
    }

    /** Ids of the contacts whose wiring names a line, from the text, so that it works with other problems around. */
    private List<String> wiredTo(String line) {
        YamlEdit yaml = yaml();
        List<String> contacts = new ArrayList<>();
        if (YamlEdit.get(yaml.root(), "controls").orElse(null) instanceof SequenceNode list) {
            for (Node item : list.getValue()) {
                YamlEdit.get(item, "id").flatMap(YamlEdit::text).ifPresent(id -> {
                    if (names(YamlEdit.get(item, "at"), line)) {
                        contacts.add(id);
                    }
                    for (String part : List.of("a", "b", "up", "right", "down", "left", "push")) {
                        Optional<Node> value = YamlEdit.get(item, part);
                        if (names(value, line) || names(value.flatMap(v -> YamlEdit.get(v, "at")), line)) {
                            contacts.add(id + "." + part);
                        }
                    }
                    if (YamlEdit.get(item, "positions").orElse(null) instanceof SequenceNode positions) {
                        for (int i = 0; i < positions.getValue().size(); i++) {
                            if (names(YamlEdit.get(positions.getValue().get(i), "at"), line)) {
                                contacts.add(id + "." + (i + 1));
                            }
                        }
                    }
                });
            }
        }
        return contacts;
    }

    private static boolean names(Optional<Node> at, String line) {
        return at.isPresent()
                && (at.get() instanceof SequenceNode list
                        ? list.getValue().stream()
                                .anyMatch(n ->
                                        YamlEdit.text(n).filter(line::equals).isPresent())
                        : YamlEdit.text(at.get()).filter(line::equals).isPresent());
    }

    // Scan, panel and box

    public PlanDocument setDrive(Scan.Drive drive) {
        return setScan("drive", word(drive));
    }

    public PlanDocument setActive(Scan.Active active) {
        return setScan("active", word(active));
    }

    public PlanDocument setDirectTo(Scan.DirectTo directTo) {
        return setScan("direct", word(directTo));
    }

    /** Whether matrix contacts have a diode unless they say otherwise. */
    public PlanDocument setDiodes(boolean perContact) {
        return setScan("diodes", perContact ? "per-contact" : "none");
    }

    /** The side of the diodes' banded ends; not {@link Contact.Diode#NONE}. */
    public PlanDocument setCathode(Contact.Diode side) {
        if (side == Contact.Diode.NONE) {
            throw new IllegalArgumentException("a cathode is on the row or on the column");
        }
        return setScan("cathode", PlanYaml.diode(side));
    }

    /** The firmware's debounce time, in nanoseconds; written in milliseconds. */
    public PlanDocument setDebounce(long nanos) {
        return setScan(
                "debounce", BigDecimal.valueOf(nanos, 6).stripTrailingZeros().toPlainString() + " ms");
    }

    /** The board's supply voltage. */
    public PlanDocument setSupply(Scan.Supply supply) {
        return setScan("supply", supply == Scan.Supply.V5 ? "5 V" : "3.3 V");
    }

    /** After how long a long watch calls an input stuck, in nanoseconds; written in seconds. */
    public PlanDocument setStuckAfter(long nanos) {
        return setIn(
                "listen",
                "stuck-after",
                BigDecimal.valueOf(nanos, 9).stripTrailingZeros().toPlainString() + " s",
                List.of("stuck-after"));
    }

    private static String word(Enum<?> value) {
        return value.name().toLowerCase(Locale.ROOT);
    }

    PlanDocument setScan(String key, String value) {
        return setIn("scan", key, value, SCAN_KEYS);
    }

    /** Sets the panel's size; the room behind it and the board's place stay as they are where the new one does not say. */
    public PlanDocument setPanel(Plan.Panel panel) {
        return together(document -> {
            PlanDocument sized =
                    document.setPanelLength("width", panel.width()).setPanelLength("height", panel.height());
            PlanDocument deep =
                    panel.depth().map(mm -> sized.setPanelLength("depth", mm)).orElse(sized);
            return panel.board()
                    .map(at -> deep.setIn("panel", "board", place(deep.inPanel("board"), at), PANEL_KEYS))
                    .orElse(deep);
        });
    }

    PlanDocument setPanelLength(String key, double mm) {
        return setIn("panel", key, length(inPanel(key), mm), PANEL_KEYS);
    }

    Optional<Node> inPanel(String key) {
        return YamlEdit.get(yaml().root(), "panel").flatMap(panel -> YamlEdit.get(panel, key));
    }

    /** How the firmware numbers the buttons; empty for a plan that does not say. The buttons keep their numbers. */
    public PlanDocument setNumbering(Optional<NumberScheme> scheme) {
        String result = text();
        Map<String, Optional<String>> wanted = new LinkedHashMap<>();
        wanted.put("numbering", scheme.map(s -> s.way().word()));
        wanted.put("first", scheme.map(NumberScheme::first).filter(f -> f > 1).map(String::valueOf));
        for (Map.Entry<String, Optional<String>> key : wanted.entrySet()) {
            YamlEdit yaml = new YamlEdit(result);
            Optional<String> now = YamlEdit.get(yaml.root(), key.getKey()).flatMap(YamlEdit::text);
            Optional<String> next = key.getValue();
            boolean same =
                    now.equals(next) || next.isEmpty() && key.getKey().equals("first") && now.equals(Optional.of("1"));
            if (!same || scheme.isEmpty() && now.isPresent()) {
                result = next.isPresent()
                        ? yaml.set(yaml.root(), key.getKey(), next.get(), ROOT_KEYS)
                        : GAP.matcher(yaml.remove(yaml.root(), key.getKey())).replaceFirst("$1$1");
                result = next.isPresent() && now.isEmpty()
                        ? FIRST_APART.matcher(result).replaceFirst("$1$2$3")
                        : result;
            }
        }
        return edited(result);
    }

    /**
     * Gives every button the number that the scheme gives it: those of the matrix by their crossings, then what is outside
     * it. Hats, axes and named inputs keep theirs; a scheme that leaves the numbers free changes none.
     *
     * @throws PlanEditException where the plan cannot be used
     */
    public PlanDocument renumber(NumberScheme scheme) {
        Plan plan = reading().plan().orElseThrow(() -> new PlanEditException(Phrase.of("edit.errors")));
        return setInputs(scheme.inputs(plan));
    }

    public PlanDocument setBoxName(String name) {
        return setIn("box", "name", name, List.of("name", "usb"));
    }

    PlanDocument setIn(String part, String key, Object value, List<String> order) {
        YamlEdit yaml = yaml();
        if (YamlEdit.get(yaml.root(), part).orElse(null) instanceof MappingNode map) {
            return edited(yaml.set(map, key, value, order));
        }
        return edited(yaml.set(yaml.root(), part, Map.of(key, value), ROOT_KEYS));
    }

    // The inside of the box

    /** Sets the outline of the board; empty takes it out. What stays keeps its text. */
    public PlanDocument setBoard(Optional<Inside.Board> board) {
        Optional<Node> now = inInside("board");
        return board.isEmpty()
                ? now.isPresent() ? removeInside("board") : self()
                : now.orElse(null) instanceof MappingNode map && !map.getValue().isEmpty()
                        ? merge(
                                yaml -> (MappingNode) inInside(yaml, "board").orElseThrow(),
                                PlanYaml.board(board.get()))
                        : setIn("inside", "board", PlanYaml.board(board.get()), INSIDE_KEYS);
    }

    /** Sets where the cable leaves the box; empty takes it out. */
    public PlanDocument setCable(Optional<Mount.Place> cable) {
        Optional<Node> now = inInside("cable");
        return cable.isPresent()
                ? setIn("inside", "cable", place(now, cable.get()), INSIDE_KEYS)
                : now.isPresent() ? removeInside("cable") : self();
    }

    /** Sets the extra wire for laying the panel open, in millimetres; empty takes it out. */
    public PlanDocument setSlack(Optional<Double> mm) {
        Optional<Node> now = inInside("slack");
        return mm.isPresent()
                ? setIn("inside", "slack", length(now, mm.get()), INSIDE_KEYS)
                : now.isPresent() ? removeInside("slack") : self();
    }

    /** Adds a keep-out behind the others. */
    public PlanDocument addKeepOut(Inside.KeepOut keepOut) {
        Map<String, Object> item = PlanYaml.keepOut(keepOut);
        Optional<Node> now = inInside("keep-outs");
        return now.orElse(null) instanceof SequenceNode list && !list.getValue().isEmpty()
                ? edited(yaml().append(list, item))
                : setIn("inside", "keep-outs", List.of(item), INSIDE_KEYS);
    }

    /**
     * Makes a keep-out another; what stays keeps its text.
     *
     * @param name what it is called now
     */
    public PlanDocument setKeepOut(String name, Inside.KeepOut keepOut) {
        int index = keepOuts(yaml()).indexOf(keepOutNode(yaml(), name));
        return merge(yaml -> (MappingNode) keepOuts(yaml).get(index), PlanYaml.keepOut(keepOut));
    }

    /** Takes a keep-out out, with the comment on its line. */
    public PlanDocument removeKeepOut(String name) {
        YamlEdit yaml = yaml();
        SequenceNode list = (SequenceNode) inInside(yaml, "keep-outs").orElseThrow();
        return list.getValue().size() == 1
                ? removeInside("keep-outs")
                : edited(yaml.removeItem(list, keepOutNode(yaml, name)));
    }

    private static List<Node> keepOuts(YamlEdit yaml) {
        return inInside(yaml, "keep-outs").orElse(null) instanceof SequenceNode list ? list.getValue() : List.of();
    }

    private static Node keepOutNode(YamlEdit yaml, String name) {
        return keepOuts(yaml).stream()
                .filter(n -> YamlEdit.get(n, "name")
                        .flatMap(YamlEdit::text)
                        .filter(name::equals)
                        .isPresent())
                .findFirst()
                .orElseThrow(() -> new PlanEditException(Phrase.of("edit.no-keep-out", name)));
    }

    private Optional<Node> inInside(String key) {
        return inInside(yaml(), key);
    }

    private static Optional<Node> inInside(YamlEdit yaml, String key) {
        return YamlEdit.get(yaml.root(), "inside").flatMap(inside -> YamlEdit.get(inside, key));
    }

    /** Takes a key out; the last one takes all of "inside" with it. */
    private PlanDocument removeInside(String key) {
        YamlEdit yaml = yaml();
        MappingNode inside = (MappingNode) YamlEdit.get(yaml.root(), "inside").orElseThrow();
        return edited(
                inside.getValue().size() > 1
                        ? yaml.remove(inside, key)
                        : GAP.matcher(yaml.remove(yaml.root(), "inside")).replaceFirst("$1$1"));
    }

    /** Makes a mapping hold just these keys; a value that says the same keeps its text. */
    private PlanDocument merge(Function<YamlEdit, MappingNode> find, Map<String, Object> wanted) {
        String result = text();
        // New keys first, so that the mapping is never empty in between.
        for (Map.Entry<String, Object> entry : wanted.entrySet()) {
            YamlEdit yaml = new YamlEdit(result);
            MappingNode map = find.apply(yaml);
            Optional<Node> now = YamlEdit.get(map, entry.getKey());
            if (now.isEmpty() || !means(now.get(), entry.getValue())) {
                result = yaml.set(map, entry.getKey(), entry.getValue(), THING_KEYS);
            }
        }
        for (String key : THING_KEYS) {
            YamlEdit yaml = new YamlEdit(result);
            MappingNode map = find.apply(yaml);
            boolean said = YamlEdit.get(map, key)
                    .flatMap(YamlEdit::text)
                    .filter(t -> key.equals("from") && t.equals(Inside.On.FLOOR.word()))
                    .isPresent();
            if (!wanted.containsKey(key) && !said && YamlEdit.get(map, key).isPresent()) {
                result = yaml.remove(map, key);
            }
        }
        return edited(result);
    }

    /** True where a node says a value, in whatever unit. */
    private static boolean means(Node node, Object value) {
        if (value instanceof List<?> list) {
            return node instanceof SequenceNode items
                    && items.getValue().size() == list.size()
                    && java.util.stream.IntStream.range(0, list.size())
                            .allMatch(i -> means(items.getValue().get(i), list.get(i)));
        }
        return YamlEdit.text(node)
                .filter(t -> t.equals(value)
                        || Units.millimetres((String) value)
                                .filter(mm ->
                                        Units.millimetres(t).filter(mm::equals).isPresent())
                                .isPresent())
                .isPresent();
    }
}
