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
import ringout.words.Phrase;

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

    /** As a plan has it, in every language. */
    private static final String PART_WITH_INPUT = "{ at: …, input: button 1 }";

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
            yaml.error(version.spot(), Phrase.of("problem.version", version.value(), String.valueOf(VERSION)));
        }
        Plan.Box box = box(root);
        Optional<Plan.Panel> panel = root.child("panel").flatMap(this::panel);
        Map<String, Spot> insideSpots = new HashMap<>();
        Inside inside =
                root.child("inside").map(map -> inside(map, insideSpots)).orElse(Inside.UNKNOWN);
        root.child("lines").ifPresent(this::lines);
        Scan scan = scan(root);
        List<Control> controls = new ArrayList<>();
        List<Spot> spots = new ArrayList<>();
        if (!root.has("controls")) {
            root.missing("controls", Phrase.of("problem.no-controls"));
        }
        for (Mapping entry : root.children("controls", Phrase.of("problem.a-control"))) {
            control(entry).ifPresent(control -> {
                controls.add(control);
                spots.add(entry.spot());
            });
        }
        root.child("order").ifPresent(this::order);
        Optional<NumberScheme> numbering = numbering(root);
        Optional<Long> stuckAfter = root.child("listen").flatMap(PlanReader::stuckAfter);
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
        Optional<Mapping> box = root.child("box");
        if (box.isEmpty()) {
            if (!root.has("box")) {
                root.missing("box", Phrase.of("problem.no-box"));
            }
            return new Plan.Box("", Optional.empty(), Optional.empty(), Optional.empty());
        }
        Mapping b = box.get();
        String name = b.requiredText("name").value();
        Optional<Mapping> usb = b.child("usb");
        Optional<Integer> vendor = usb.flatMap(u -> u.value("vendor", Phrase.of("expected.usb-id"), Units::usbId));
        Optional<Integer> product = usb.flatMap(u -> u.value("product", Phrase.of("expected.usb-id"), Units::usbId));
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
        Optional<Inside.Board> board = map.child("board").flatMap(b -> {
            spots.put(Clearance.BOARD, b.spot());
            return board(b);
        });
        Optional<Mount.Place> cable = place(map, "cable");
        spots.put(Clearance.CABLE, map.spot("cable"));
        Optional<Double> slack = length(map, "slack");
        List<Inside.KeepOut> keepOuts = new ArrayList<>();
        Map<String, Spot> names = new HashMap<>();
        for (Mapping entry : map.children("keep-outs", Phrase.of("problem.a-keep-out"))) {
            keepOut(entry).ifPresent(k -> {
                Spot first = names.putIfAbsent(k.name(), entry.valueSpot("name"));
                if (first != null) {
                    yaml.error(entry.valueSpot("name"), Phrase.of("problem.keep-out-twice", k.name(), first.number()));
                }
                spots.put(Clearance.keepOut(k.name()), entry.spot());
                keepOuts.add(k);
            });
        }
        map.rejectOthers();
        return new Inside(board, cable, slack, keepOuts);
    }

    private Optional<Inside.Board> board(Mapping map) {
        Optional<Inside.Shape.Block> outline = block(map, Phrase.of("inside.board"));
        Optional<Double> tall = length(map, "tall");
        Inside.On on = on(map);
        Optional<Direction> connector = map.value(
                "connector",
                Phrase.of("expected.connector"),
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
            yaml.error(map.spot(), Phrase.of("problem.keep-out-shape"));
            map.texts("place");
        } else if (map.has("rim")) {
            if (map.has("place")) {
                yaml.error(map.spot("place"), Phrase.of("problem.rim-place"));
            }
            shape = length(map, "rim").map(Inside.Shape.Rim::new);
        } else if (map.has("round")) {
            Optional<Mount.Place> place = requiredPlace(map, Phrase.of("problem.keep-out", name));
            shape = length(map, "round").flatMap(mm -> place.map(p -> new Inside.Shape.Disc(p, mm)));
        } else {
            shape = block(map, Phrase.of("problem.keep-out", name));
        }
        map.rejectOthers();
        return shape.map(s -> new Inside.KeepOut(name, s, tall, on));
    }

    private Optional<Inside.Shape.Block> block(Mapping map, Phrase what) {
        Optional<Mount.Place> place = requiredPlace(map, what);
        map.requiredText("width");
        map.requiredText("height");
        Optional<Double> width = length(map, "width");
        Optional<Double> height = length(map, "height");
        return place.flatMap(p -> width.flatMap(w -> height.map(h -> new Inside.Shape.Block(p, w, h))));
    }

    private Optional<Mount.Place> requiredPlace(Mapping map, Phrase what) {
        if (!map.has("place")) {
            map.missing("place", Phrase.of("problem.no-place", what));
        }
        return place(map, "place");
    }

    private static Inside.On on(Mapping map) {
        return map.value(
                        "from",
                        Phrase.of("expected.from"),
                        text -> java.util.Arrays.stream(Inside.On.values())
                                .filter(on -> on.word().equals(text))
                                .findFirst())
                .orElse(Inside.On.FLOOR);
    }

    private Optional<Double> length(Mapping map, String key) {
        return map.value(
                key,
                Phrase.of("expected.length"),
                text -> Units.millimetres(text).filter(mm -> mm > 0));
    }

    // Lines

    private void lines(Mapping map) {
        lines(map, "rows", Line.Kind.ROW);
        lines(map, "columns", Line.Kind.COLUMN);
        lines(map, "direct", Line.Kind.DIRECT);
        map.child("shift").ifPresent(chains -> {
            for (String name : chains.keys()) {
                chains.child(name, Phrase.of("problem.chain", name)).ifPresent(chain -> {
                    Text pin = chain.requiredText("pin");
                    int registers = chain.value(
                                    "registers",
                                    Phrase.of("expected.registers", Limits.MOST_REGISTERS),
                                    t -> Units.whole(t, 1, Limits.MOST_REGISTERS))
                            .orElse(1);
                    chain.rejectOthers();
                    line(name, chains.spot(name), Line.Kind.SHIFT, pin, registers);
                });
                if (!chains.has(name)) {
                    chains.missing(name, Phrase.none());
                }
            }
        });
        map.rejectOthers();
    }

    private void lines(Mapping map, String key, Line.Kind kind) {
        map.child(key).ifPresent(group -> {
            for (String name : group.keys()) {
                if (group.has(name)) {
                    group.text(name).ifPresent(pin -> line(name, group.spot(name), kind, pin, 0));
                } else {
                    yaml.error(group.spot(name), Phrase.of("problem.no-pin", name));
                }
            }
        });
    }

    private void line(String name, Spot spot, Line.Kind kind, Text pinText, int registers) {
        if (!LINE_NAME.matcher(name).matches()) {
            yaml.error(spot, Phrase.of("problem.line-name", name));
        } else if (RESERVED.contains(name.toUpperCase(Locale.ROOT))) {
            yaml.error(
                    spot,
                    name.equalsIgnoreCase("GND")
                            ? Phrase.of("problem.line-name.ground", name)
                            : Phrase.of("problem.line-name.supply", name));
        }
        String pin = pinName(pinText.value());
        if (!pin.isEmpty()) {
            Spot first = pins.putIfAbsent(pin.toLowerCase(Locale.ROOT), pinText.spot());
            if (first != null) {
                yaml.error(pinText.spot(), Phrase.of("problem.used-twice", pin, first.number()));
            }
        }
        Draft other = lines.putIfAbsent(name, new Draft(name, kind, pin, registers, new ArrayList<>()));
        if (other != null && other.kind != kind) {
            yaml.error(spot, Phrase.of("problem.line-twice", name, word(other.kind)));
        }
        ids.putIfAbsent(name, spot);
    }

    /** A bare number is what most boards print beside the hole, so {@code 4} and {@code pin 4} are the same pin. */
    static String pinName(String text) {
        return Units.whole(text, 0, 9999).map(n -> "pin " + n).orElse(text.replaceAll("\\s+", " "));
    }

    private static Phrase word(Line.Kind kind) {
        return switch (kind) {
            case ROW -> Phrase.of("problem.kind.row");
            case COLUMN -> Phrase.of("problem.kind.column");
            case DIRECT -> Phrase.of("problem.kind.direct");
            case SHIFT -> Phrase.of("problem.kind.shift");
        };
    }

    private void unusedLines(Mapping root) {
        for (Draft line : lines.values()) {
            if (line.contacts.isEmpty() && !yaml.hasErrors()) {
                yaml.warn(
                        ids.getOrDefault(line.name, root.spot()),
                        Phrase.of("problem.unused-line", word(line.kind), line.name));
            }
        }
    }

    private void order(Mapping order) {
        for (String name : order.keys()) {
            List<Text> listed = order.texts(name);
            Draft line = lines.get(name);
            if (line == null) {
                yaml.error(order.spot(name), noLine(name));
                continue;
            }
            if (!order.has(name)) {
                order.missing(name, Phrase.none());
            }
            List<String> wanted = new ArrayList<>();
            for (Text contact : listed) {
                if (!line.contacts.contains(contact.value())) {
                    yaml.error(
                            contact.spot(),
                            Phrase.of("problem.not-on-line", contact.value(), name, Phrase.commas(line.contacts)));
                } else if (wanted.contains(contact.value())) {
                    yaml.error(contact.spot(), Phrase.of("problem.order-twice", contact.value(), name));
                } else {
                    wanted.add(contact.value());
                }
            }
            List<String> left =
                    line.contacts.stream().filter(c -> !wanted.contains(c)).toList();
            if (!left.isEmpty()) {
                yaml.error(order.spot(name), Phrase.of("problem.order-short", name, Phrase.commas(left)));
            } else if (wanted.size() == line.contacts.size()) {
                line.contacts.clear();
                line.contacts.addAll(wanted);
            }
        }
    }

    private Phrase noLine(String word) {
        return Phrase.of("problem.no-line", word, instead(word, List.copyOf(lines.keySet())));
    }

    private static Phrase instead(String word, List<String> known) {
        return Nearest.of(word, known)
                .map(near -> Phrase.of("problem.nearest", near))
                .orElse(
                        known.isEmpty()
                                ? Phrase.of("problem.nearest.none")
                                : Phrase.of("problem.nearest.of", Phrase.commas(known)));
    }

    private static Optional<Long> stuckAfter(Mapping listen) {
        Optional<Long> nanos = listen.value(
                "stuck-after",
                Phrase.of("expected.stuck-after"),
                text -> Units.nanoseconds(text).filter(n -> n > 0));
        listen.rejectOthers();
        return nanos;
    }

    // Scan

    private Scan scan(Mapping root) {
        Optional<Mapping> map = root.child("scan");
        Scan.Drive drive =
                map.flatMap(s -> choice(s, "drive", Scan.Drive.class)).orElse(Scan.Drive.ROWS);
        Scan.Active active =
                map.flatMap(s -> choice(s, "active", Scan.Active.class)).orElse(Scan.Active.LOW);
        Scan.DirectTo directTo =
                map.flatMap(s -> choice(s, "direct", Scan.DirectTo.class)).orElse(Scan.DirectTo.GROUND);
        long debounce = map.flatMap(s -> s.value("debounce", Phrase.of("expected.debounce"), Units::nanoseconds))
                .orElse(0L);
        Optional<Scan.Supply> supply =
                map.flatMap(s -> s.value("supply", Phrase.or(List.of("3.3 V", "5 V")), PlanReader::supply));
        Scan scan = new Scan(drive, active, directTo, debounce, supply);
        cathode = scan.conducting();
        boolean perContact = map.flatMap(s ->
                        s.value("diodes", Phrase.or(List.of("per-contact", "none")), t -> switch (t) {
                            case "per-contact" -> Optional.of(true);
                            case "none" -> Optional.of(false);
                            default -> Optional.<Boolean>empty();
                        }))
                .orElse(false);
        map.flatMap(s -> s.value("cathode", Phrase.or(List.of("row", "column")), PlanReader::cathode))
                .ifPresent(side -> {
                    if (perContact && side != scan.conducting()) {
                        yaml.warn(
                                map.get().valueSpot("cathode"),
                                Phrase.of(
                                        "problem.cathode",
                                        drive == Scan.Drive.ROWS ? "rows" : "columns",
                                        active.name().toLowerCase(Locale.ROOT),
                                        scan.conducting() == Contact.Diode.CATHODE_ROW ? "row" : "column"));
                    }
                    cathode = side;
                });
        diodes = perContact ? cathode : Contact.Diode.NONE;
        map.ifPresent(Mapping::rejectOthers);
        return scan;
    }

    private Optional<NumberScheme> numbering(Mapping root) {
        Optional<NumberScheme.Way> way =
                root.value("numbering", Phrase.or(List.of("by-rows", "by-columns", "free")), NumberScheme.Way::of);
        Optional<Integer> first = root.value(
                "first",
                Phrase.of("expected.first", NumberScheme.MOST_FIRST),
                t -> Units.whole(t, 1, NumberScheme.MOST_FIRST));
        if (first.isPresent() && !root.has("numbering")) {
            yaml.error(root.spot("first"), Phrase.of("problem.first-alone"));
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
                Phrase.or(words),
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
                yaml.error(idText.spot(), Phrase.of("problem.id", id));
            }
            Spot first = ids.putIfAbsent(id, idText.spot());
            if (first != null) {
                yaml.error(idText.spot(), Phrase.of("problem.id-twice", id, first.number()));
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
                yaml.error(kind.spot(), Phrase.of("problem.no-kind", kind.value(), instead(kind.value(), kinds)));
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
                    .ifPresentOrElse(mm::add, () -> yaml.error(t.spot(), Phrase.of("problem.place-length", t.value())));
        }
        if (xy.size() != 2 && map.isSequence(key)) {
            yaml.error(map.valueSpot(key), Phrase.of("problem.place", key));
        }
        return mm.size() == 2 && xy.size() == 2 ? Optional.of(new Mount.Place(mm.get(0), mm.get(1))) : Optional.empty();
    }

    private Contact.Diode diode(Mapping map, Contact.Diode otherwise) {
        return map.value("diode", Phrase.of("expected.diode"), text -> diode(text, cathode))
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
                map.missing(side, Phrase.of("problem.toggle", id, side));
                continue;
            }
            part(map, side, id, side, diode, Optional.empty()).ifPresent(contacts::add);
        }
        return contacts.size() == 2 ? Optional.of(new Control.Toggle(id, label, mount, contacts)) : Optional.empty();
    }

    private Optional<Control> selector(Mapping map, String id, String label, Mount mount, Contact.Diode diode) {
        List<Contact> contacts = new ArrayList<>();
        List<Mapping> positions = map.children("positions", Phrase.of("problem.a-position", id));
        for (int i = 0; i < positions.size(); i++) {
            Mapping position = positions.get(i);
            contact(position, id + "." + (i + 1), id, diode(position, diode), true)
                    .ifPresent(contacts::add);
            position.rejectOthers();
        }
        if (positions.size() < Limits.LEAST_POSITIONS) {
            yaml.error(map.spot(), Phrase.of("problem.selector", id));
        } else if (positions.size() > Limits.MOST_POSITIONS) {
            yaml.error(
                    map.spot(),
                    Phrase.of("problem.selector.most", id, String.valueOf(positions.size()), Limits.MOST_POSITIONS));
        }
        return contacts.size() >= 2 ? Optional.of(new Control.Selector(id, label, mount, contacts)) : Optional.empty();
    }

    private Optional<Control> encoder(Mapping map, String id, String label, Mount mount, Contact.Diode diode) {
        Optional<Contact> a = part(map, "a", id, "a", diode, Optional.empty());
        Optional<Contact> b = part(map, "b", id, "b", diode, Optional.empty());
        if (map.has("a") != map.has("b")) {
            yaml.error(map.spot(), Phrase.of("problem.encoder", id));
        }
        Optional<Input> cw = switchInput(map, "cw", id + ".cw", true);
        Optional<Input> ccw = switchInput(map, "ccw", id + ".ccw", true);
        int detents = map.value(
                        "detents",
                        Phrase.of("expected.detents", Limits.MOST_DETENTS),
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
        Optional<Integer> number = map.value("input", Phrase.of("expected.hat"), PlanReader::hatNumber);
        Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
        for (Direction way : Direction.values()) {
            if (!map.has(way.word())) {
                map.missing(way.word(), Phrase.of("problem.hat", id, way.word()));
                continue;
            }
            part(map, way.word(), id, way.word(), diode, number.map(n -> new Input.Hat(n, way)))
                    .ifPresent(c -> ways.put(way, c));
        }
        Optional<Contact> push = Optional.empty();
        if (pushable) {
            if (!map.has("push")) {
                map.missing("push", Phrase.of("problem.hat5", id));
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
                yaml.error(text.spot(), Phrase.of("problem.used-twice", name, first.number()));
            }
            return name;
        });
        if (input.isPresent() && !(input.get() instanceof Input.Axis)) {
            yaml.error(
                    map.valueSpot("input"),
                    Phrase.of("problem.axis", id, input.get().text()));
            return Optional.empty();
        }
        Optional<String> high = map.text("high").map(Text::value);
        Optional<Integer> range = map.value("range", Phrase.of("expected.range"), Units::percent);
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
            Optional<Mapping> part = map.child(key, Phrase.of("problem.key-of", key, control));
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
                    suffix.equals("push")
                            ? Phrase.of("problem.part-input", key, control, PART_WITH_INPUT)
                            : Phrase.of("problem.way-input", key, control, PART_WITH_INPUT));
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
                yaml.error(map.valueSpot(key), Phrase.of("problem.switch", action, input.text()));
            }
            return !(input instanceof Input.Axis);
        });
    }

    private Optional<Input> input(Mapping map, String key, String action, boolean required) {
        if (!map.has(key)) {
            if (required) {
                map.missing(key, Phrase.of("problem.no-input", action, key));
            }
            return Optional.empty();
        }
        Optional<Input> input = map.value(key, Phrase.of("expected.input"), Input::parse);
        input.ifPresent(i -> claim(i, action, map.valueSpot(key)));
        return input;
    }

    private void claim(Input input, String action, Spot spot) {
        Spot first = inputs.putIfAbsent(input, spot);
        if (first != null) {
            yaml.error(spot, Phrase.of("problem.input-twice", input.text(), first.number()));
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
                                    line.kind == Line.Kind.SHIFT
                                            ? Phrase.of("problem.chain-alone", id, line.name)
                                            : Phrase.of("problem.line-alone", id, word(line.kind), line.name));
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
            yaml.error(spot, Phrase.of("problem.wiring", key, id));
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
                    Phrase.of(
                            "problem.crossing",
                            id,
                            one.get().name,
                            word(one.get().kind),
                            other.get().name,
                            word(other.get().kind)));
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
            yaml.error(at.get(0).spot(), Phrase.of("problem.no-chain", line.name, word(line.kind)));
            return Optional.empty();
        }
        Optional<Integer> register = Units.whole(at.get(1).value(), 1, line.registers);
        Optional<Integer> bit = Units.whole(at.get(2).value(), 0, BITS_PER_REGISTER - 1);
        if (register.isEmpty()) {
            yaml.error(
                    at.get(1).spot(),
                    Phrase.of(
                            "problem.register",
                            line.name,
                            line.registers,
                            at.get(1).value()));
        }
        if (bit.isEmpty()) {
            yaml.error(
                    at.get(2).spot(),
                    Phrase.of("problem.bit", BITS_PER_REGISTER - 1, at.get(2).value()));
        }
        return register.isPresent() && bit.isPresent()
                ? claim(new Wiring.Shift(line.name, register.get(), bit.get()), List.of(line), id, spot)
                : Optional.empty();
    }

    private Optional<Draft> known(Text name, String id) {
        Draft line = lines.get(name.value());
        if (line == null) {
            yaml.error(name.spot(), Phrase.of("problem.wanted-by", noLine(name.value()), id));
        }
        return Optional.ofNullable(line);
    }

    private Optional<Wiring> claim(Wiring wiring, List<Draft> on, String id, Spot spot) {
        Spot first = wired.putIfAbsent(wiring, spot);
        if (first != null) {
            yaml.error(spot, Phrase.of("problem.contact-twice", id, first.number()));
            return Optional.empty();
        }
        on.forEach(line -> line.contacts.add(id));
        return Optional.of(wiring);
    }
}
