package ringout.plan;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.plan.YamlTree.Mapping;
import ringout.plan.YamlTree.Spot;
import ringout.plan.YamlTree.Text;

/**
 * Reads the YAML of a wiring plan: docs/plan.md describes it, docs/plan.schema.json gives editors completion.
 *
 * <p>One reader reads one file; {@link #read} is the way in.
 */
public final class PlanReader {
    /** The version of the plan format this reader knows. */
    public static final int VERSION = 1;

    private static final Pattern ID = Pattern.compile("[a-z0-9]+(?:-[a-z0-9]+)*");
    private static final Pattern LINE_NAME = Pattern.compile("[A-Za-z][A-Za-z0-9_]*");
    private static final List<String> RESERVED = List.of("GND", "VCC");
    private static final int BITS_PER_REGISTER = 8;

    private final String file;
    private final YamlTree yaml;
    private final Map<String, Draft> lines = new LinkedHashMap<>();
    private final Map<String, Spot> pins = new HashMap<>();
    private final Map<String, Spot> ids = new HashMap<>();
    private final Map<Wiring, Spot> wired = new HashMap<>();
    private final Map<Input, Spot> inputs = new HashMap<>();
    private final Map<String, PlanReading.Place> places = new HashMap<>();
    private Contact.Diode diodes = Contact.Diode.NONE;
    private Contact.Diode cathode = Contact.Diode.CATHODE_ROW;

    /** A line while its contacts are still being collected. */
    private record Draft(String name, Line.Kind kind, String pin, int registers, List<String> contacts) {}

    private PlanReader(String file) {
        this.file = file;
        this.yaml = new YamlTree(file);
    }

    /**
     * Reads a plan, finding every problem in one go.
     *
     * @param yaml the file's text
     * @param file what to call the file in problems
     * @return never throws on bad content
     */
    public static PlanReading read(String yaml, String file) {
        return new PlanReader(file).read(yaml);
    }

    private PlanReading read(String text) {
        Optional<Plan> plan = yaml.root(text).map(this::plan);
        return new PlanReading(yaml.hasErrors() ? Optional.empty() : plan, yaml.problems(), places);
    }

    private Plan plan(Mapping root) {
        Text version = root.requiredText("ringout");
        if (!version.value().isEmpty() && !version.value().equals(String.valueOf(VERSION))) {
            yaml.error(
                    version.spot(),
                    "this plan is of version " + version.value() + "; this Ringout reads version " + VERSION
                            + ", so a newer Ringout is needed");
        }
        Plan.Box box = box(root);
        Optional<Plan.Panel> panel = root.child("panel", "\"panel\"").flatMap(this::panel);
        Map<String, Spot> insideSpots = new HashMap<>();
        Inside inside = root.child("inside", "\"inside\"")
                .map(map -> inside(map, insideSpots))
                .orElse(Inside.UNKNOWN);
        root.child("lines", "\"lines\"").ifPresent(this::lines);
        Scan scan = scan(root);
        List<Control> controls = new ArrayList<>();
        List<Spot> spots = new ArrayList<>();
        if (!root.has("controls")) {
            root.missing("controls", "a plan lacks \"controls\", the list of what is on the panel");
        }
        for (Mapping entry : root.children("controls", "a control")) {
            control(entry).ifPresent(control -> {
                controls.add(control);
                spots.add(entry.spot());
            });
        }
        root.child("order", "\"order\"").ifPresent(this::order);
        Optional<NumberScheme> numbering = numbering(root);
        Optional<Long> stuckAfter = root.child("listen", "\"listen\"").flatMap(PlanReader::stuckAfter);
        root.rejectOthers();
        unusedLines(root);
        Plan plan = new Plan(
                box,
                panel,
                lines.values().stream()
                        .map(d -> new Line(d.name, d.kind, d.pin, d.contacts, d.registers))
                        .toList(),
                scan,
                controls,
                stuckAfter,
                numbering,
                inside);
        insideSpots.put("", root.has("inside") ? root.spot("inside") : root.spot());
        new PlanWarnings(plan, spots, root.has("numbering") ? root.spot("numbering") : root.spot(), insideSpots, yaml)
                .note();
        return plan;
    }

    private Plan.Box box(Mapping root) {
        Optional<Mapping> box = root.child("box", "\"box\"");
        if (box.isEmpty()) {
            if (!root.has("box")) {
                root.missing("box", "a plan lacks \"box\", at least with a name");
            }
            return new Plan.Box("", Optional.empty(), Optional.empty(), Optional.empty());
        }
        Mapping b = box.get();
        String name = b.requiredText("name").value();
        Optional<Mapping> usb = b.child("usb", "\"usb\"");
        Optional<Integer> vendor = usb.flatMap(u -> u.value("vendor", "a USB id, 0x0000 to 0xFFFF", Units::usbId));
        Optional<Integer> product = usb.flatMap(u -> u.value("product", "a USB id, 0x0000 to 0xFFFF", Units::usbId));
        Optional<String> serial = usb.flatMap(u -> u.text("serial")).map(Text::value);
        usb.ifPresent(Mapping::rejectOthers);
        b.rejectOthers();
        return new Plan.Box(name, vendor, product, serial);
    }

    private Optional<Plan.Panel> panel(Mapping panel) {
        panel.requiredText("width");
        panel.requiredText("height");
        Optional<Double> width = length(panel, "width");
        Optional<Double> height = length(panel, "height");
        Optional<Double> depth = length(panel, "depth");
        Optional<Mount.Place> board = place(panel, "board");
        panel.rejectOthers();
        return width.isPresent() && height.isPresent()
                ? Optional.of(new Plan.Panel(width.get(), height.get(), depth, board))
                : Optional.empty();
    }

    // What is behind the panel

    /** @param spots gets where each thing is written, by its name in {@link Clearance.Misfit#where} */
    private Inside inside(Mapping map, Map<String, Spot> spots) {
        Optional<Inside.Board> board = map.child("board", "\"board\"").flatMap(b -> {
            spots.put(Clearance.BOARD, b.spot());
            return board(b);
        });
        Optional<Mount.Place> cable = place(map, "cable");
        spots.put(Clearance.CABLE, map.spot("cable"));
        Optional<Double> slack = length(map, "slack");
        List<Inside.KeepOut> keepOuts = new ArrayList<>();
        Map<String, Spot> names = new HashMap<>();
        for (Mapping entry : map.children("keep-outs", "a keep-out")) {
            keepOut(entry).ifPresent(k -> {
                Spot first = names.putIfAbsent(k.name(), entry.valueSpot("name"));
                if (first != null) {
                    yaml.error(
                            entry.valueSpot("name"),
                            "the keep-out " + k.name() + " is there twice; the first is on line " + first.line());
                }
                spots.put(Clearance.keepOut(k.name()), entry.spot());
                keepOuts.add(k);
            });
        }
        map.rejectOthers();
        return new Inside(board, cable, slack, keepOuts);
    }

    private Optional<Inside.Board> board(Mapping map) {
        Optional<Inside.Shape.Block> outline = block(map, "the board");
        Optional<Double> tall = length(map, "tall");
        Inside.On on = on(map);
        Optional<Direction> connector = map.value(
                "connector",
                "the side the plug is on, seen from the front: left, right, up or down",
                text -> java.util.Arrays.stream(Direction.values())
                        .filter(d -> d.word().equals(text))
                        .findFirst());
        map.rejectOthers();
        return outline.map(block -> new Inside.Board(block, tall, on, connector));
    }

    private Optional<Inside.KeepOut> keepOut(Mapping map) {
        String name = map.requiredText("name").value();
        Optional<Double> tall = length(map, "tall");
        Inside.On on = on(map);
        List<String> shapes = java.util.stream.Stream.of("round", "width", "rim")
                .filter(key -> map.has(key) || key.equals("width") && map.has("height"))
                .toList();
        Optional<? extends Inside.Shape> shape = Optional.empty();
        if (shapes.size() != 1) {
            yaml.error(
                    map.spot(),
                    "a keep-out is a post with \"place\" and \"round\" (its diameter), a rectangle with \"place\", \"width\""
                            + " and \"height\", or a strip along the panel's edge with \"rim\" (its width); give one of them");
            map.texts("place");
        } else if (map.has("rim")) {
            if (map.has("place")) {
                yaml.error(map.spot("place"), "a rim is along the whole edge of the panel; it has no \"place\"");
            }
            shape = length(map, "rim").map(Inside.Shape.Rim::new);
        } else if (map.has("round")) {
            Optional<Mount.Place> place = requiredPlace(map, "keep-out " + name);
            shape = length(map, "round").flatMap(mm -> place.map(p -> new Inside.Shape.Disc(p, mm)));
        } else {
            shape = block(map, "keep-out " + name);
        }
        map.rejectOthers();
        return shape.map(s -> new Inside.KeepOut(name, s, tall, on));
    }

    private Optional<Inside.Shape.Block> block(Mapping map, String what) {
        Optional<Mount.Place> place = requiredPlace(map, what);
        map.requiredText("width");
        map.requiredText("height");
        Optional<Double> width = length(map, "width");
        Optional<Double> height = length(map, "height");
        return place.flatMap(p -> width.flatMap(w -> height.map(h -> new Inside.Shape.Block(p, w, h))));
    }

    private Optional<Mount.Place> requiredPlace(Mapping map, String what) {
        if (!map.has("place")) {
            map.missing("place", what + " lacks \"place\", where its middle is: [30 mm, 25 mm]");
        }
        return place(map, "place");
    }

    private static Inside.On on(Mapping map) {
        return map.value(
                        "from",
                        "floor or panel, what it stands on",
                        text -> java.util.Arrays.stream(Inside.On.values())
                                .filter(on -> on.word().equals(text))
                                .findFirst())
                .orElse(Inside.On.FLOOR);
    }

    private Optional<Double> length(Mapping map, String key) {
        return map.value(
                key,
                "a length such as 22 mm, more than nothing and at most 10 m",
                text -> Units.millimetres(text).filter(mm -> mm > 0));
    }

    // Lines

    private void lines(Mapping map) {
        lines(map, "rows", Line.Kind.ROW);
        lines(map, "columns", Line.Kind.COLUMN);
        lines(map, "direct", Line.Kind.DIRECT);
        map.child("shift", "\"shift\"").ifPresent(chains -> {
            for (String name : chains.keys()) {
                chains.child(name, "shift-register chain " + name).ifPresent(chain -> {
                    Text pin = chain.requiredText("pin");
                    int registers = chain.value(
                                    "registers",
                                    "how many registers, 1 to " + Limits.MOST_REGISTERS,
                                    t -> Units.whole(t, 1, Limits.MOST_REGISTERS))
                            .orElse(1);
                    chain.rejectOthers();
                    line(name, chains.spot(name), Line.Kind.SHIFT, pin, registers);
                });
                if (!chains.has(name)) {
                    chains.missing(name, "");
                }
            }
        });
        map.rejectOthers();
    }

    private void lines(Mapping map, String key, Line.Kind kind) {
        map.child(key, "\"" + key + "\"").ifPresent(group -> {
            for (String name : group.keys()) {
                if (group.has(name)) {
                    group.text(name).ifPresent(pin -> line(name, group.spot(name), kind, pin, 0));
                } else {
                    yaml.error(
                            group.spot(name),
                            "line " + name + " has no pin; write for example \"" + name + ": pin 4\"");
                }
            }
        });
    }

    private void line(String name, Spot spot, Line.Kind kind, Text pinText, int registers) {
        if (!LINE_NAME.matcher(name).matches()) {
            yaml.error(spot, "\"" + name + "\" cannot name a line; use a letter, then letters and digits, such as R1");
        } else if (RESERVED.contains(name.toUpperCase(Locale.ROOT))) {
            yaml.error(
                    spot,
                    name + " means " + (name.equalsIgnoreCase("GND") ? "ground" : "the supply")
                            + "; give the line another name");
        }
        String pin = pinName(pinText.value());
        if (!pin.isEmpty()) {
            Spot first = pins.putIfAbsent(pin.toLowerCase(Locale.ROOT), pinText.spot());
            if (first != null) {
                yaml.error(pinText.spot(), pin + " is used twice; the first is on line " + first.line());
            }
        }
        Draft other = lines.putIfAbsent(name, new Draft(name, kind, pin, registers, new ArrayList<>()));
        if (other != null && other.kind != kind) {
            yaml.error(
                    spot,
                    "line " + name + " is already a " + word(other.kind) + "; every line needs a name of its own");
        }
        ids.putIfAbsent(name, spot);
    }

    /** A bare number is what most boards print beside the hole, so {@code 4} and {@code pin 4} are the same pin. */
    static String pinName(String text) {
        return Units.whole(text, 0, 9999).map(n -> "pin " + n).orElse(text.replaceAll("\\s+", " "));
    }

    private static String word(Line.Kind kind) {
        return switch (kind) {
            case ROW -> "row";
            case COLUMN -> "column";
            case DIRECT -> "direct input";
            case SHIFT -> "shift-register chain";
        };
    }

    private void unusedLines(Mapping root) {
        for (Draft line : lines.values()) {
            if (line.contacts.isEmpty() && !yaml.hasErrors()) {
                yaml.warn(
                        ids.getOrDefault(line.name, root.spot()),
                        "nothing is wired to " + word(line.kind) + " " + line.name);
            }
        }
    }

    private void order(Mapping order) {
        for (String name : order.keys()) {
            List<Text> listed = order.texts(name);
            Draft line = lines.get(name);
            if (line == null) {
                yaml.error(order.spot(name), unknown("line", name, lines.keySet()));
                continue;
            }
            if (!order.has(name)) {
                order.missing(name, "");
            }
            List<String> wanted = new ArrayList<>();
            for (Text contact : listed) {
                if (!line.contacts.contains(contact.value())) {
                    yaml.error(
                            contact.spot(),
                            contact.value() + " is not on line " + name + "; on it are "
                                    + String.join(", ", line.contacts));
                } else if (wanted.contains(contact.value())) {
                    yaml.error(contact.spot(), contact.value() + " stands twice in the order of " + name);
                } else {
                    wanted.add(contact.value());
                }
            }
            List<String> left =
                    line.contacts.stream().filter(c -> !wanted.contains(c)).toList();
            if (!left.isEmpty()) {
                yaml.error(order.spot(name), "the order of " + name + " leaves out " + String.join(", ", left));
            } else if (wanted.size() == line.contacts.size()) {
                line.contacts.clear();
                line.contacts.addAll(wanted);
            }
        }
    }

    private static String unknown(String kind, String word, java.util.Collection<String> known) {
        String end = Nearest.of(word, known)
                .map(w -> "; did you mean " + w + "?")
                .orElse(known.isEmpty() ? "; the plan has none" : "; the plan has " + String.join(", ", known));
        return "there is no " + kind + " " + word + end;
    }

    private static Optional<Long> stuckAfter(Mapping listen) {
        Optional<Long> nanos = listen.value(
                "stuck-after",
                "a time such as 60 s, more than nothing and at most 1440 min",
                text -> Units.nanoseconds(text).filter(n -> n > 0));
        listen.rejectOthers();
        return nanos;
    }

    // Scan

    private Scan scan(Mapping root) {
        Optional<Mapping> map = root.child("scan", "\"scan\"");
        Scan.Drive drive =
                map.flatMap(s -> choice(s, "drive", Scan.Drive.class)).orElse(Scan.Drive.ROWS);
        Scan.Active active =
                map.flatMap(s -> choice(s, "active", Scan.Active.class)).orElse(Scan.Active.LOW);
        Scan.DirectTo directTo =
                map.flatMap(s -> choice(s, "direct", Scan.DirectTo.class)).orElse(Scan.DirectTo.GROUND);
        long debounce = map.flatMap(s -> s.value("debounce", "a time such as 5 ms", Units::nanoseconds))
                .orElse(0L);
        Optional<Scan.Supply> supply = map.flatMap(s -> s.value("supply", "3.3 V or 5 V", PlanReader::supply));
        Scan scan = new Scan(drive, active, directTo, debounce, supply);
        cathode = scan.conducting();
        boolean perContact = map.flatMap(s -> s.value("diodes", "per-contact or none", t -> switch (t) {
                    case "per-contact" -> Optional.of(true);
                    case "none" -> Optional.of(false);
                    default -> Optional.<Boolean>empty();
                }))
                .orElse(false);
        map.flatMap(s -> s.value("cathode", "row or column", PlanReader::cathode))
                .ifPresent(side -> {
                    if (perContact && side != scan.conducting()) {
                        yaml.warn(
                                map.get().valueSpot("cathode"),
                                "with " + (drive == Scan.Drive.ROWS ? "rows" : "columns")
                                        + " driven and active " + active.name().toLowerCase(Locale.ROOT)
                                        + " current flows the other way: every diode blocks and no press can be read; the cathode belongs on the "
                                        + (scan.conducting() == Contact.Diode.CATHODE_ROW ? "row" : "column"));
                    }
                    cathode = side;
                });
        diodes = perContact ? cathode : Contact.Diode.NONE;
        map.ifPresent(Mapping::rejectOthers);
        return scan;
    }

    private Optional<NumberScheme> numbering(Mapping root) {
        Optional<NumberScheme.Way> way = root.value("numbering", "by-rows, by-columns or free", NumberScheme.Way::of);
        Optional<Integer> first = root.value(
                "first",
                "the lowest button number, 1 to " + NumberScheme.MOST_FIRST,
                t -> Units.whole(t, 1, NumberScheme.MOST_FIRST));
        if (first.isPresent() && !root.has("numbering")) {
            yaml.error(root.spot("first"), "\"first\" says where \"numbering\" begins; write that, too");
        }
        return way.map(w -> new NumberScheme(w, first.orElse(1)));
    }

    private static Optional<Scan.Supply> supply(String text) {
        return switch (text) {
            case "3.3 V" -> Optional.of(Scan.Supply.V3_3);
            case "5 V" -> Optional.of(Scan.Supply.V5);
            default -> Optional.empty();
        };
    }

    private static Optional<Contact.Diode> cathode(String text) {
        return switch (text) {
            case "row" -> Optional.of(Contact.Diode.CATHODE_ROW);
            case "column" -> Optional.of(Contact.Diode.CATHODE_COLUMN);
            default -> Optional.empty();
        };
    }

    private static <E extends Enum<E>> Optional<E> choice(Mapping map, String key, Class<E> type) {
        List<String> words = java.util.Arrays.stream(type.getEnumConstants())
                .map(e -> e.name().toLowerCase(Locale.ROOT))
                .toList();
        return map.value(
                key,
                String.join(" or ", words),
                text -> words.contains(text)
                        ? Optional.of(type.getEnumConstants()[words.indexOf(text)])
                        : Optional.empty());
    }

    // Controls

    private Optional<Control> control(Mapping map) {
        Text idText = map.requiredText("id");
        String id = idText.value();
        if (!id.isEmpty()) {
            if (!ID.matcher(id).matches()) {
                yaml.error(
                        idText.spot(),
                        "\"" + id + "\" cannot be an id; use lower-case letters, digits and hyphens, such as horn-low");
            }
            Spot first = ids.putIfAbsent(id, idText.spot());
            if (first != null) {
                yaml.error(idText.spot(), "the name " + id + " is taken; the first is on line " + first.line());
            }
        }
        String label = map.text("label").map(Text::value).orElseGet(() -> fromId(id));
        Mount mount = mount(map);
        Text kind = map.requiredText("kind");
        Contact.Diode diode = kind.value().equals("axis") ? Contact.Diode.NONE : diode(map, diodes);
        Optional<Control> control = switch (kind.value()) {
            case "push" -> contact(map, id, id, diode, true).map(c -> new Control.Push(id, label, mount, c));
            case "toggle" -> toggle(map, id, label, mount, diode);
            case "selector" -> selector(map, id, label, mount, diode);
            case "encoder" -> encoder(map, id, label, mount, diode);
            case "hat4", "hat5" ->
                hat(map, id, label, mount, diode, kind.value().equals("hat5"));
            case "axis" -> axis(map, id, label, mount);
            case "" -> Optional.empty();
            default -> {
                List<String> kinds = List.of("push", "toggle", "selector", "encoder", "hat4", "hat5", "axis");
                yaml.error(kind.spot(), unknown("kind", kind.value(), kinds));
                yield Optional.empty();
            }
        };
        if (control.isPresent()) {
            map.rejectOthers();
        }
        return control;
    }

    private static String fromId(String id) {
        String words = id.replace('-', ' ');
        return words.isEmpty() ? words : words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
    }

    private Mount mount(Mapping map) {
        return new Mount(
                place(map, "place"),
                length(map, "hole"),
                length(map, "nut"),
                length(map, "body"),
                length(map, "depth"));
    }

    private Optional<Mount.Place> place(Mapping map, String key) {
        List<Text> xy = map.texts(key);
        List<Double> mm = new ArrayList<>();
        for (Text t : xy) {
            Units.millimetres(t.value())
                    .ifPresentOrElse(
                            mm::add,
                            () -> yaml.error(t.spot(), "\"" + t.value() + "\": expected a length such as 30 mm"));
        }
        if (xy.size() != 2 && map.isSequence(key)) {
            yaml.error(map.valueSpot(key), "\"" + key + "\" is two lengths, right and down: [30 mm, 25 mm]");
        }
        return mm.size() == 2 && xy.size() == 2 ? Optional.of(new Mount.Place(mm.get(0), mm.get(1))) : Optional.empty();
    }

    private Contact.Diode diode(Mapping map, Contact.Diode otherwise) {
        return map.value("diode", "none, yes, row or column (the side of the banded end)", text -> diode(text, cathode))
                .orElse(otherwise);
    }

    /** The diode a word means; {@code yes} is one that points where {@code cathode} says. */
    static Optional<Contact.Diode> diode(String word, Contact.Diode cathode) {
        return switch (word) {
            case "none", "no", "false" -> Optional.of(Contact.Diode.NONE);
            case "yes", "true" -> Optional.of(cathode);
            default -> cathode(word);
        };
    }

    private Optional<Control> toggle(Mapping map, String id, String label, Mount mount, Contact.Diode diode) {
        if (!map.has("up") && !map.has("down")) {
            return contact(map, id, id, diode, true).map(c -> new Control.Toggle(id, label, mount, List.of(c)));
        }
        List<Contact> contacts = new ArrayList<>();
        for (String side : List.of("up", "down")) {
            if (!map.has(side)) {
                map.missing(
                        side,
                        "toggle " + id + " lacks \"" + side
                                + "\"; a toggle with one contact has \"at\" and \"input\" instead");
                continue;
            }
            part(map, side, id, side, diode, Optional.empty()).ifPresent(contacts::add);
        }
        return contacts.size() == 2 ? Optional.of(new Control.Toggle(id, label, mount, contacts)) : Optional.empty();
    }

    private Optional<Control> selector(Mapping map, String id, String label, Mount mount, Contact.Diode diode) {
        List<Contact> contacts = new ArrayList<>();
        List<Mapping> positions = map.children("positions", "a position of " + id);
        for (int i = 0; i < positions.size(); i++) {
            Mapping position = positions.get(i);
            contact(position, id + "." + (i + 1), id, diode(position, diode), true)
                    .ifPresent(contacts::add);
            position.rejectOthers();
        }
        if (positions.size() < Limits.LEAST_POSITIONS) {
            yaml.error(
                    map.spot(), "selector " + id + " needs at least two \"positions\", each with \"at\" and \"input\"");
        } else if (positions.size() > Limits.MOST_POSITIONS) {
            yaml.error(
                    map.spot(),
                    "selector " + id + " has " + positions.size() + " positions; there can be "
                            + Limits.MOST_POSITIONS);
        }
        return contacts.size() >= 2 ? Optional.of(new Control.Selector(id, label, mount, contacts)) : Optional.empty();
    }

    private Optional<Control> encoder(Mapping map, String id, String label, Mount mount, Contact.Diode diode) {
        Optional<Contact> a = part(map, "a", id, "a", diode, Optional.empty());
        Optional<Contact> b = part(map, "b", id, "b", diode, Optional.empty());
        if (map.has("a") != map.has("b")) {
            yaml.error(map.spot(), "encoder " + id + " has one phase wired; give both \"a\" and \"b\", or neither");
        }
        Optional<Input> cw = switchInput(map, "cw", id + ".cw", true);
        Optional<Input> ccw = switchInput(map, "ccw", id + ".ccw", true);
        int detents = map.value(
                        "detents",
                        "detents per turn, 1 to " + Limits.MOST_DETENTS,
                        t -> Units.whole(t, 1, Limits.MOST_DETENTS))
                .orElse(20);
        return cw.isPresent() && ccw.isPresent()
                ? Optional.of(new Control.Encoder(
                        id,
                        label,
                        mount,
                        a.orElse(
                                new Contact(id + ".a", id, new Wiring.Unknown(), Contact.Diode.NONE, Optional.empty())),
                        b.orElse(
                                new Contact(id + ".b", id, new Wiring.Unknown(), Contact.Diode.NONE, Optional.empty())),
                        cw.get(),
                        ccw.get(),
                        detents))
                : Optional.empty();
    }

    private Optional<Control> hat(
            Mapping map, String id, String label, Mount mount, Contact.Diode diode, boolean pushable) {
        Optional<Integer> number = map.value("input", "a hat such as hat 1", PlanReader::hatNumber);
        Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
        for (Direction way : Direction.values()) {
            if (!map.has(way.word())) {
                map.missing(way.word(), "hat " + id + " lacks \"" + way.word() + "\"");
                continue;
            }
            part(map, way.word(), id, way.word(), diode, number.map(n -> new Input.Hat(n, way)))
                    .ifPresent(c -> ways.put(way, c));
        }
        Optional<Contact> push = Optional.empty();
        if (pushable) {
            if (!map.has("push")) {
                map.missing("push", "hat " + id + " is a hat5 and lacks \"push\"");
            }
            push = part(map, "push", id, "push", diode, Optional.empty());
        }
        return ways.size() == 4 && push.isPresent() == pushable
                ? Optional.of(new Control.Hat(id, label, mount, ways, push))
                : Optional.empty();
    }

    private static Optional<Integer> hatNumber(String text) {
        return Input.parse(text + " up").map(i -> i instanceof Input.Hat hat ? hat.number() : null);
    }

    private Optional<Control> axis(Mapping map, String id, String label, Mount mount) {
        Optional<Input> input = input(map, "input", id, true);
        Optional<String> pin = map.text("pin").map(text -> {
            String name = pinName(text.value());
            Spot first = pins.putIfAbsent(name.toLowerCase(Locale.ROOT), text.spot());
            if (first != null) {
                yaml.error(text.spot(), name + " is used twice; the first is on line " + first.line());
            }
            return name;
        });
        if (input.isPresent() && !(input.get() instanceof Input.Axis)) {
            yaml.error(
                    map.valueSpot("input"),
                    "axis " + id + " needs an axis such as \"axis X\", not "
                            + input.get().text());
            return Optional.empty();
        }
        Optional<String> high = map.text("high").map(Text::value);
        Optional<Integer> range = map.value("range", "a share of the range such as 80 %", Units::percent);
        return input.map(i -> new Control.Axis(id, label, mount, (Input.Axis) i, pin, high, range));
    }

    // Contacts

    /** One part of a control: a mapping with at, input and diode, or just the wiring. */
    private Optional<Contact> part(
            Mapping map, String key, String control, String suffix, Contact.Diode diode, Optional<Input> implied) {
        String id = control + "." + suffix;
        if (!map.has(key)) {
            return Optional.empty();
        }
        boolean phase = suffix.equals("a") || suffix.equals("b");
        if (map.isMapping(key)) {
            Optional<Mapping> part = map.child(key, "\"" + key + "\" of " + control);
            if (part.isPresent() && implied.isPresent() && !part.get().has("input")) {
                Optional<Contact> contact = wiredContact(
                        part.get(),
                        "at",
                        id,
                        control,
                        diode(part.get(), diode),
                        implied,
                        part.get().spot());
                part.get().rejectOthers();
                return contact;
            }
            return part.flatMap(p -> {
                Optional<Contact> contact = phase
                        ? wiredContact(p, "at", id, control, diode(p, diode), Optional.empty(), p.spot())
                        : contact(p, id, control, diode(p, diode), true);
                p.rejectOthers();
                return contact;
            });
        }
        if (implied.isEmpty() && !phase) {
            yaml.error(
                    map.valueSpot(key),
                    "\"" + key + "\" of " + control + " needs an input: write { at: …, input: button 1 }"
                            + (suffix.equals("push") ? "" : ", or give the hat \"input: hat 1\""));
            return Optional.empty();
        }
        return wiredContact(map, key, id, control, diode, implied, map.valueSpot(key));
    }

    private Optional<Contact> contact(Mapping map, String id, String control, Contact.Diode diode, boolean required) {
        Optional<Input> input = switchInput(map, "input", id, required);
        return wiredContact(map, "at", id, control, diode, Optional.empty(), map.spot())
                .filter(c -> input.isPresent())
                .map(c -> new Contact(c.id(), c.control(), c.wiring(), c.diode(), input));
    }

    private Optional<Contact> wiredContact(
            Mapping map, String key, String id, String control, Contact.Diode diode, Optional<Input> input, Spot spot) {
        input.ifPresent(i -> claim(i, id, spot));
        Optional<Wiring> wiring = map.has(key) ? wiring(map, key, id) : Optional.of(new Wiring.Unknown());
        return wiring.map(
                w -> new Contact(id, control, w, w instanceof Wiring.Crossing ? diode : Contact.Diode.NONE, input));
    }

    private Optional<Input> switchInput(Mapping map, String key, String action, boolean required) {
        return input(map, key, action, required).filter(input -> {
            if (input instanceof Input.Axis) {
                yaml.error(
                        map.valueSpot(key),
                        action + " is a switch; it needs a button or a hat direction, not " + input.text());
            }
            return !(input instanceof Input.Axis);
        });
    }

    private Optional<Input> input(Mapping map, String key, String action, boolean required) {
        if (!map.has(key)) {
            if (required) {
                map.missing(key, action + " lacks \"" + key + "\", what the box reports for it, such as button 1");
            }
            return Optional.empty();
        }
        Optional<Input> input = map.value(key, "an input such as button 7, hat 1 up or axis X", Input::parse);
        input.ifPresent(i -> claim(i, action, map.valueSpot(key)));
        return input;
    }

    private void claim(Input input, String action, Spot spot) {
        Spot first = inputs.putIfAbsent(input, spot);
        if (first != null) {
            yaml.error(spot, input.text() + " is planned twice; the first is on line " + first.line());
        }
        places.put(action, new PlanReading.Place(file, spot.line(), spot.column()));
    }

    private Optional<Wiring> wiring(Mapping map, String key, String id) {
        if (!map.isSequence(key)) {
            return map.text(key)
                    .flatMap(name -> known(name, id).flatMap(line -> {
                        if (line.kind != Line.Kind.DIRECT) {
                            yaml.error(
                                    name.spot(),
                                    id + " is wired to " + word(line.kind) + " " + line.name + " alone; write "
                                            + (line.kind == Line.Kind.SHIFT
                                                    ? "[" + line.name + ", register, bit]"
                                                    : "[row, column]"));
                            return Optional.empty();
                        }
                        return claim(new Wiring.Direct(line.name), List.of(line), id, name.spot());
                    }));
        }
        List<Text> at = map.texts(key);
        Spot spot = map.valueSpot(key);
        if (at.size() == 3) {
            return shift(at, id, spot);
        }
        if (at.size() != 2) {
            yaml.error(
                    spot,
                    "\"" + key + "\" of " + id
                            + " is a direct line such as D1, a crossing [R1, C1], or [chain, register, bit]");
            return Optional.empty();
        }
        Optional<Draft> one = known(at.get(0), id);
        Optional<Draft> other = known(at.get(1), id);
        if (one.isEmpty() || other.isEmpty()) {
            return Optional.empty();
        }
        Draft row = one.get().kind == Line.Kind.ROW ? one.get() : other.get();
        Draft column = row == one.get() ? other.get() : one.get();
        if (row.kind != Line.Kind.ROW || column.kind != Line.Kind.COLUMN) {
            yaml.error(
                    spot,
                    id + " must be at a row and a column; " + one.get().name + " is a " + word(one.get().kind) + " and "
                            + other.get().name + " a " + word(other.get().kind));
            return Optional.empty();
        }
        return claim(new Wiring.Crossing(row.name, column.name), List.of(row, column), id, spot);
    }

    private Optional<Wiring> shift(List<Text> at, String id, Spot spot) {
        Optional<Draft> chain = known(at.get(0), id);
        if (chain.isEmpty()) {
            return Optional.empty();
        }
        Draft line = chain.get();
        if (line.kind != Line.Kind.SHIFT) {
            yaml.error(at.get(0).spot(), line.name + " is a " + word(line.kind) + ", not a shift-register chain");
            return Optional.empty();
        }
        Optional<Integer> register = Units.whole(at.get(1).value(), 1, line.registers);
        Optional<Integer> bit = Units.whole(at.get(2).value(), 0, BITS_PER_REGISTER - 1);
        if (register.isEmpty()) {
            yaml.error(
                    at.get(1).spot(),
                    line.name + " has registers 1 to " + line.registers + ", not "
                            + at.get(1).value());
        }
        if (bit.isEmpty()) {
            yaml.error(
                    at.get(2).spot(),
                    "a register has bits 0 to " + (BITS_PER_REGISTER - 1) + ", not "
                            + at.get(2).value());
        }
        return register.isPresent() && bit.isPresent()
                ? claim(new Wiring.Shift(line.name, register.get(), bit.get()), List.of(line), id, spot)
                : Optional.empty();
    }

    private Optional<Draft> known(Text name, String id) {
        Draft line = lines.get(name.value());
        if (line == null) {
            yaml.error(name.spot(), unknown("line", name.value(), lines.keySet()) + " (wanted by " + id + ")");
        }
        return Optional.ofNullable(line);
    }

    private Optional<Wiring> claim(Wiring wiring, List<Draft> on, String id, Spot spot) {
        Spot first = wired.putIfAbsent(wiring, spot);
        if (first != null) {
            yaml.error(spot, id + " is where another contact already is; the first is on line " + first.line());
            return Optional.empty();
        }
        on.forEach(line -> line.contacts.add(id));
        return Optional.of(wiring);
    }
}
