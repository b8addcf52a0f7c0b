package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.BooleanNode;
import com.fasterxml.jackson.databind.node.DoubleNode;
import com.fasterxml.jackson.databind.node.IntNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.NullNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.databind.node.TextNode;
import com.networknt.schema.JsonSchema;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SchemaId;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaValidatorsConfig;
import com.networknt.schema.SpecVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.snakeyaml.engine.v2.api.Load;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.schema.CoreSchema;
import ringout.Thorough;

/** The published schema against a general-purpose validator, and against what the plan reader accepts. */
class PlanSchemaTest {
    private static final Path SCHEMA = Path.of("docs/plan.schema.json");
    private static final ObjectMapper JSON = new ObjectMapper();

    private static JsonSchema schema;
    /** The same, stopping at the first problem. */
    private static JsonSchema quick;

    /** A plan that uses every part of the format once. */
    private static final String EVERYTHING = """
            ringout: 1
            box: { name: Everything, usb: { vendor: 0x1209, product: 2, serial: 0007 } }
            panel: { width: 300 mm, height: 20 cm, depth: 2.5 in, board: [1 cm, 2 mm] }
            inside:
              board: { place: [40 mm, 9 cm], width: 18 mm, height: 34 mm, tall: 15 mm, from: floor, connector: left }
              cable: [0 mm, 90 mm]
              slack: 12 cm
              keep-outs:
                - { name: Boss, place: [9 mm, 9 mm], round: 8 mm }
                - { name: 7, place: [290 mm, 9 mm], width: 8 mm, height: 0.5 in, tall: 20 mm }
                - { name: Rim, rim: 3 mm, tall: 6 mm, from: panel }
            lines:
              rows: { R1: pin 1, R2: 2, R3: pin 3 }
              columns: { C1: pin 4, C2: pin 5, C3: pin 6, C4: pin 7 }
              direct: { D1: pin 8, D2: pin 9 }
              shift: { S1: { pin: 12, registers: 2 } }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row, direct: ground, debounce: 5 ms, supply: 5 V }
            numbering: by-rows
            first: 3
            listen: { stuck-after: 90 s }
            controls:
              - { id: horn, label: Horn, kind: push, at: [R1, C1], input: button 1, diode: yes, place: [0 mm, 25 mm],
                  hole: 16 mm, nut: 22 mm, body: 24 mm, depth: 30 mm }
              - { id: lamp, kind: toggle, at: D1, input: Button 2 of 2 }
              - id: marker
                kind: toggle
                up: { at: [R1, C2], input: button 3, diode: none }
                down: { at: [R1, C3], input: button 4 }
              - id: lights
                kind: selector
                positions:
                  - { at: [S1, 1, 0], input: button 5 }
                  - { at: [S1, 2, 7], input: button 6, diode: row }
              - { id: notch, kind: encoder, a: D2, b: { at: [R1, C4], diode: row }, cw: button 7, ccw: button 8, detents: 24 }
              - { id: look, kind: hat4, input: hat 1, up: [R2, C1], right: [R2, C2], down: { at: [R2, C3] }, left: {} }
              - id: trim
                kind: hat5
                up: { at: [R3, C1], input: button 11 }
                right: { at: [R3, C2], input: button 12 }
                down: { at: [R3, C3], input: hat 2 up }
                left: { at: [R3, C4], input: button 14 }
                push: { input: button 15 }
              - { id: brake, label: 4, kind: axis, input: axis Slider 2, pin: A0, high: full brake, range: 90 % }
            order: { R1: [marker.down, horn, marker.up, notch.b] }
            """;

    /**
     * What only the reader can know: names that must exist or be free, numbers inside a text, relations between parts
     * of the plan.
     */
    private static final Pattern BEYOND_A_SCHEMA = Pattern.compile(
            "there is no line|used twice|planned twice|is taken|stands twice|is not on line|leaves out|already a"
                    + "|another contact already|must be at a row and a column|alone; write|not a shift-register chain"
                    + "|is there twice; the first|has registers 1 to \\d+, not|means ground|means the supply");

    @BeforeAll
    static void load() throws IOException {
        JsonSchemaFactory factory = JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012);
        schema = factory.getSchema(Files.readString(SCHEMA));
        quick = factory.getSchema(
                Files.readString(SCHEMA),
                SchemaValidatorsConfig.builder().failFast(true).build());
    }

    private static JsonNode json(String yaml) {
        LoadSettings settings =
                LoadSettings.builder().setSchema(new CoreSchema()).build();
        return JSON.valueToTree(new Load(settings).loadFromString(yaml));
    }

    private static boolean schemaAccepts(JsonNode plan) {
        return quick.validate(plan).isEmpty();
    }

    private static List<String> readerErrors(JsonNode plan) {
        // JSON is YAML flow style, so that the same tree goes to both.
        return PlanReader.read(plan.toString(), "plan").problems().stream()
                .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                .map(PlanProblem::message)
                .toList();
    }

    @Test
    @DisplayName("JSON Schema 2020-12: the schema is valid against the meta-schema it names")
    void isASchema() throws IOException {
        JsonSchema meta = JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
                .getSchema(SchemaLocation.of(SchemaId.V202012));
        assertEquals(Set.of(), meta.validate(JSON.readTree(Files.readString(SCHEMA))));
    }

    static Stream<Path> fixtures() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("fixtures/plans"))) {
            return files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList().stream();
        }
    }

    @ParameterizedTest
    @MethodSource("fixtures")
    void acceptsEveryFixture(Path fixture) throws IOException {
        assertEquals(Set.of(), schema.validate(json(Files.readString(fixture))));
    }

    @Test
    void acceptsAPlanThatUsesEverything() {
        assertEquals(List.of(), readerErrors(json(EVERYTHING)));
        assertEquals(Set.of(), schema.validate(json(EVERYTHING)));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "box: { nam: Desk }",
                "panel: { width: 22 }",
                "panel: { width: 10 mm }",
                "lines: { rows: { R1: } }",
                "lines: { rows: { 1R: pin 1 } }",
                "lines: { shift: { S1: { pin: 1, registers: 33 } } }",
                "scan: { drive: diagonals }",
                "scan: { debounce: 5 }",
                "controls: none",
                "order: { R1: horn }",
                "extra: 1",
                "numbering: along",
                "first: 0",
                "first: 129",
                "listen: { stuck-after: 60 }",
                "inside: { bord: {} }",
                "inside: { cable: 3 mm }",
                "inside: { board: { width: 3 mm, height: 3 mm } }",
                "inside: { board: { place: [1 mm, 1 mm], width: 3 mm, height: 3 mm, connector: front } }",
                "inside: { keep-outs: { name: Boss, rim: 2 mm } }",
                "inside: { keep-outs: [{ rim: 2 mm }] }",
                "inside: { keep-outs: [{ name: Boss }] }",
                "inside: { keep-outs: [{ name: Boss, place: [1 mm, 1 mm], round: 2 mm, width: 2 mm, height: 2 mm }] }",
                "inside: { keep-outs: [{ name: Boss, place: [1 mm, 1 mm], width: 2 mm }] }",
                "inside: { keep-outs: [{ name: Boss, rim: 2 mm, place: [1 mm, 1 mm] }] }",
                "inside: { keep-outs: [{ name: Boss, rim: 2 mm, from: wall }] }",
                "listen: { stuck: 60 s }",
                "ringout: 2"
            })
    void rejectsABrokenPart(String part) {
        ObjectNode plan = (ObjectNode) json(EVERYTHING);
        plan.setAll((ObjectNode) json(part));
        assertTrue(!schemaAccepts(plan) && !readerErrors(plan).isEmpty(), () -> "accepted: " + part);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "{ kind: push, input: button 91 }",
                "{ id: x, input: button 91 }",
                "{ id: x, kind: push }",
                "{ id: x, kind: pusch, input: button 91 }",
                "{ id: X, kind: push, input: button 91 }",
                "{ id: x, kind: push, input: axis X }",
                "{ id: x, kind: push, input: button 91, hole: 16 }",
                "{ id: x, kind: push, input: button 91, place: [1 mm] }",
                "{ id: x, kind: push, input: button 91, hloe: 1 mm }",
                "{ id: x, kind: toggle, up: { input: button 91 } }",
                "{ id: x, kind: toggle, up: { input: button 91 }, down: { input: button 92 }, at: D1 }",
                "{ id: x, kind: selector, positions: [{ input: button 91 }] }",
                "{ id: x, kind: encoder, cw: button 91 }",
                "{ id: x, kind: encoder, cw: button 91, ccw: axis X }",
                "{ id: x, kind: encoder, a: D1, cw: button 91, ccw: button 92 }",
                "{ id: x, kind: encoder, cw: button 91, ccw: button 92, detents: 0 }",
                "{ id: x, kind: hat4, input: hat 9, up: {} }",
                "{ id: x, kind: hat4, up: {}, right: {}, down: {}, left: {} }",
                "{ id: x, kind: hat5, input: hat 9, up: {}, right: {}, down: {}, left: {} }",
                "{ id: x, kind: axis, input: button 91 }",
                "{ id: x, kind: axis, input: axis Q }",
                "{ id: x, kind: axis, input: axis Rx, range: 80 }",
                "{ id: x, kind: axis, input: axis Rx, range: 101 % }",
                "{ id: x, kind: axis, input: axis Rx, range: 0 % }",
                "{ id: x, kind: axis, input: axis Rx, diode: row }"
            })
    void rejectsABrokenControl(String control) {
        ObjectNode plan = (ObjectNode) json(EVERYTHING);
        ((ArrayNode) plan.get("controls")).add(json(control));
        assertTrue(!schemaAccepts(plan) && !readerErrors(plan).isEmpty(), () -> "accepted: " + control);
    }

    @Test
    void acceptsEveryPlanThatTheProgramWritesItself() {
        java.util.Map<NewBox.Part, Integer> counts = new java.util.EnumMap<>(NewBox.Part.class);
        for (NewBox.Part part : NewBox.Part.values()) {
            counts.put(part, 2);
        }
        for (boolean matrix : new boolean[] {true, false}) {
            String yaml = NewBox.yaml(new NewBox.Answers(
                    "All: \"kinds\"",
                    counts,
                    3,
                    matrix,
                    matrix,
                    PinList.parse("2-60"),
                    PinList.parse("A0-A1"),
                    java.util.Optional.empty()));
            assertEquals(Set.of(), schema.validate(json(yaml)), yaml);
            PlanDocument document = PlanDocument.of(yaml, "new");
            for (NewBox.Part part : NewBox.Part.values()) {
                document = document.addControl(
                        NewBox.another(document.reading().plan().orElseThrow(), part, 5));
            }
            Plan plan = document.reading().plan().orElseThrow();
            for (Control control : plan.controls()) {
                document = document.replaceControl(
                        NewBox.become(document.reading().plan().orElseThrow(), control, NewBox.Part.SELECTOR, 4));
                assertEquals(Set.of(), schema.validate(json(document.text())), document.text());
            }
            List<Control> unwired = plan.controls()
                    .subList(
                            plan.controls().size() - NewBox.Part.values().length,
                            plan.controls().size());
            String learned = LearnedBox.yaml(
                    plan.box(),
                    unwired,
                    java.util.Map.of(unwired.get(0).id(), "not: certain"),
                    List.of(Set.of(1, 2, 9, 10)));
            assertEquals(Set.of(), schema.validate(json(learned)), learned);
        }
    }

    @Test
    void theWholePlanUsesEveryKeyOfTheSchema() throws IOException {
        Set<String> unused = keysOfTheSchema();
        objects(json(EVERYTHING)).forEach(object -> object.fieldNames().forEachRemaining(unused::remove));
        assertEquals(Set.of(), unused, "add them to EVERYTHING, so that schema and reader are compared on them");
    }

    @Test
    void theReaderKnowsNoKeyThatTheSchemaLacks() throws IOException {
        Set<String> known = new TreeSet<>();
        JsonNode plan = json(EVERYTHING);
        for (ObjectNode object : objects(plan)) {
            // A key far from every other makes the reader list those it knows there.
            object.put("zzzzzzzzzz", "D1");
            for (String error : readerErrors(plan)) {
                Matcher list = Pattern.compile("known here: (.*)").matcher(error);
                if (list.find()) {
                    known.addAll(List.of(list.group(1).split(", ")));
                }
            }
            object.remove("zzzzzzzzzz");
        }
        assertTrue(known.contains("board") && known.contains("detents"), () -> "listed: " + known);
        known.removeAll(keysOfTheSchema());
        assertEquals(Set.of(), known);
    }

    private static Set<String> keysOfTheSchema() throws IOException {
        Set<String> keys = new TreeSet<>();
        objects(JSON.readTree(Files.readString(SCHEMA)))
                .forEach(o -> o.path("properties").fieldNames().forEachRemaining(keys::add));
        return keys;
    }

    private static List<ObjectNode> objects(JsonNode at) {
        List<ObjectNode> objects = new ArrayList<>();
        if (at instanceof ObjectNode object) {
            objects.add(object);
        }
        at.forEach(child -> objects.addAll(objects(child)));
        return objects;
    }

    @Test
    @DisplayName("schema and reader agree on every one-step change of a plan that uses everything")
    void agreesWithTheReader() {
        List<JsonNode> changed = new ArrayList<>();
        mutate(json(EVERYTHING), tree -> changed.add(tree.deepCopy()));
        assertTrue(changed.size() > 3000, "enough changes: " + changed.size());
        // Each third of them by lot, all on the build server.
        Collections.shuffle(changed, new Random(1));
        List<JsonNode> tried = changed.subList(0, Thorough.of(changed.size() / 3, changed.size()));
        List<String> disagreements = new ArrayList<>();
        int rejected = 0;
        for (JsonNode plan : tried) {
            List<String> errors = readerErrors(plan);
            Set<?> schemaErrors = quick.validate(plan);
            rejected += errors.isEmpty() ? 0 : 1;
            boolean onlyBeyond = !errors.isEmpty()
                    && errors.stream().allMatch(e -> BEYOND_A_SCHEMA.matcher(e).find());
            if (schemaErrors.isEmpty() ? !errors.isEmpty() && !onlyBeyond : errors.isEmpty()) {
                disagreements.add((schemaErrors.isEmpty()
                                ? "schema accepts, reader: " + errors
                                : "reader accepts, schema: " + schemaErrors)
                        + "\n  " + plan);
            }
        }
        assertTrue(
                rejected > tried.size() / 4 && rejected < tried.size() - tried.size() / 50,
                "both outcomes occur: " + rejected + " of " + tried.size());
        assertTrue(
                disagreements.isEmpty(),
                () -> disagreements.size() + " disagreements, the first:\n" + disagreements.get(0));
    }

    private static final List<JsonNode> OTHERS = List.of(
            NullNode.instance,
            BooleanNode.TRUE,
            IntNode.valueOf(5),
            IntNode.valueOf(-1),
            DoubleNode.valueOf(4.5),
            TextNode.valueOf(""),
            TextNode.valueOf("   "),
            TextNode.valueOf("words"),
            TextNode.valueOf("R1"),
            TextNode.valueOf("R 1"),
            TextNode.valueOf("button 40"),
            TextNode.valueOf(" BUTTON  40 of 3"),
            TextNode.valueOf("button 0"),
            TextNode.valueOf("hat 7 down"),
            TextNode.valueOf("hat 7"),
            TextNode.valueOf("axis rx"),
            TextNode.valueOf("axis Brake 2 of 2"),
            TextNode.valueOf("axis"),
            TextNode.valueOf("22 mm"),
            TextNode.valueOf(" 2.5IN "),
            TextNode.valueOf("0 mm"),
            TextNode.valueOf("-3 mm"),
            TextNode.valueOf("5 ms"),
            TextNode.valueOf("none"),
            TextNode.valueOf("row"),
            TextNode.valueOf("rows"),
            TextNode.valueOf("push"),
            TextNode.valueOf("axis"),
            TextNode.valueOf("hat5"),
            JsonNodeFactory.instance.arrayNode(),
            JsonNodeFactory.instance.objectNode(),
            JsonNodeFactory.instance.arrayNode().add("R1").add("C1"),
            JsonNodeFactory.instance.arrayNode().add("S1").add(1).add(9),
            JsonNodeFactory.instance.arrayNode().add("S1").add(1).add(3),
            JsonNodeFactory.instance.arrayNode().add("1 mm").add("2 mm"),
            JsonNodeFactory.instance.arrayNode().add("1 mm").add("2 mm").add("3 mm"),
            JsonNodeFactory.instance.objectNode().put("at", "D1"),
            JsonNodeFactory.instance.objectNode().put("input", "button 41"),
            JsonNodeFactory.instance.objectNode().put("pin", "pin 30"));

    /** Every member removed, added, renamed or replaced, one at a time; {@code seen} gets the whole changed tree. */
    private static void mutate(JsonNode root, Consumer<JsonNode> seen) {
        mutate(root, root, seen);
    }

    private static void mutate(JsonNode root, JsonNode at, Consumer<JsonNode> seen) {
        if (at instanceof ObjectNode object) {
            List<String> names = new ArrayList<>();
            object.fieldNames().forEachRemaining(names::add);
            for (String name : names) {
                JsonNode old = object.get(name);
                ObjectNode before = object.deepCopy();
                object.remove(name);
                seen.accept(root);
                object.set(name + "x", old);
                seen.accept(root);
                object.removeAll();
                object.setAll(before);
                for (JsonNode other : OTHERS) {
                    object.set(name, other);
                    seen.accept(root);
                }
                object.set(name, old);
                mutate(root, old, seen);
            }
            for (String added :
                    List.of("extra", "at", "input", "diode", "up", "push", "pin", "depth", "order", "1st")) {
                if (!object.has(added)) {
                    object.put(added, "D1");
                    seen.accept(root);
                    object.remove(added);
                }
            }
        } else if (at instanceof ArrayNode array) {
            for (int i = 0; i < array.size(); i++) {
                JsonNode old = array.get(i);
                array.remove(i);
                seen.accept(root);
                array.insert(i, old);
                for (JsonNode other : OTHERS) {
                    array.set(i, other);
                    seen.accept(root);
                }
                array.set(i, old);
                mutate(root, old, seen);
            }
            array.add("D1");
            seen.accept(root);
            array.remove(array.size() - 1);
        }
    }
}
