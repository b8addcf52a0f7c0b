package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.JsonSchema;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SchemaId;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaValidatorsConfig;
import com.networknt.schema.SpecVersion;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import ringout.device.DeviceInfo;
import ringout.device.FakeSource;
import ringout.device.Time;

/**
 * What {@code --json} prints, of every command that has it, against the published schemas: by a general-purpose validator
 * (JSON Schema, draft 2020-12).
 */
class JsonShapesTest {
    private static final Path SCHEMAS = Path.of("docs", "json");
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";
    private static final String PANEL = "fixtures/plans/guards-panel.yaml";
    private static final ObjectMapper JSON = new ObjectMapper();
    private static final JsonSchemaFactory FACTORY = JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012);

    /** Documents by the command that printed them. */
    private static final Map<String, List<JsonNode>> DOCUMENTS = new TreeMap<>();

    @TempDir
    static Path folder;

    @BeforeAll
    static void printThemAll() throws IOException {
        descriptors();
        plans();
        recordings();
        boxes();
    }

    private static void descriptors() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("fixtures", "descriptors"))) {
            for (Path file : files.sorted().toList()) {
                print("fields", "--descriptor", file.toString());
            }
        }
        // An array of buttons 1 to 8 whose usages are named one by one, and a constant field between.
        print("fields", "--descriptor", "05010904A10105090901090309051501250395017508810075088101C0");
        print("fields", "--descriptor", "05010904A1010509190129081501250895017508 8100C0".replace(" ", ""));
        // A minimum without its maximum, HID 1.11, section 6.2.2.8.
        print("fields", "--descriptor", "05010904A10105091901150025017501950181021901C0");
        print("decode", "--descriptor", "fixtures/descriptors/drivers-desk.hex", "--report", "01 01 00 00 00 0F 00 80");
        StringWriter out = new StringWriter();
        byte[] descriptor = java.util.HexFormat.of()
                .parseHex(
                        "05010904A10105091901290A15002501750195 0A8102750695018103050109391500250775 0495018142750481 03"
                                        .replace(" ", "")
                                + "09300931150026FF007508950281020600FF09017508950181020501C0");
        new CommandLine(new DevicesCommand(new FakeSource(
                        descriptor,
                        DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw0"),
                        new DeviceInfo("Panel", 0x1209, 2, "", "/dev/hidraw1", "", 1, 5, false, "No permission"))))
                .setOut(new PrintWriter(out))
                .execute("--json");
        add("devices", out.toString());
        out.getBuffer().setLength(0);
        new CommandLine(new DevicesCommand(
                        new FakeSource(new byte[] {0x75}, DeviceInfo.joystick("Panel", 0x1209, 2, "", "/dev/hidraw1"))))
                .setOut(new PrintWriter(out))
                .execute("--json");
        add("devices", out.toString());
    }

    private static void plans() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("fixtures", "plans"))) {
            for (Path file : files.sorted().toList()) {
                print("plan", file.toString());
                print("continuity", file.toString());
            }
        }
        Path bad = folder.resolve("bad.yaml");
        Files.writeString(bad, "ringout: 1\nbox: { name: Desk }\ncontrols: oops\n");
        print("plan", bad.toString());
        Path numbered = folder.resolve("numbered.yaml");
        Files.writeString(
                numbered,
                Files.readString(Path.of(DESK)).replace("\ncontrols:", "\nnumbering: by-columns\n\ncontrols:"));
        print("plan", numbered.toString());
        Path second = folder.resolve("second.yaml");
        Files.writeString(
                second,
                Files.readString(Path.of(DESK))
                        .replace("id: bell", "id: gong")
                        .replace("label: Bell", "label: Gong")
                        .replace("input: button 3,", "input: button 33,")
                        .replace("input: button 4,", "input: button 3,"));
        print("plan", second.toString(), "--baseline", DESK);
        print("plan", "fixtures/plans/lamp-switches.yaml", "--parts");
        print("predict", "--plan", DESK, "--fault", "open:R2", "--hold", "bell");
        print("predict", "--plan", DESK, "--fault", "weak:R2", "--hold", "sander", "--supply", "5");
        print("explain", "--plan", DESK, "--observations", "fixtures/observations/dead-row.json");
        Path chord = folder.resolve("chord.json");
        Files.writeString(chord, "[{\"held\": [\"horn-low\"], \"on\": [\"button 1\", \"button 3\"]}]");
        print("explain", "--plan", DESK, "--observations", chord.toString());
        print("demo");
    }

    private static String simulate(String name, String plan, String... more) throws IOException {
        String file = folder.resolve(name).toString();
        List<String> all = new ArrayList<>(List.of("--plan", plan, "--out", file));
        all.addAll(List.of(more));
        print("simulate", all.toArray(String[]::new));
        return file;
    }

    private static void recordings() throws IOException {
        String first = simulate("a.jsonl", PANEL, "--bounce", "buzzer=9", "--fault", "open:contact:hazard");
        String second = simulate(
                "b.jsonl",
                PANEL,
                "--bounce",
                "buzzer=29",
                "--dropout",
                "saloon",
                "--seed",
                "2",
                "--latching",
                "intercom");
        String desk = simulate(
                "c.jsonl",
                DESK,
                "--fault",
                "open:R2",
                "--bounce",
                "bell=1",
                "--dead-spot",
                "brake=40-50",
                "--skip-detents",
                "notch=3");
        for (String recording : List.of(first, second)) {
            print("check", "--plan", PANEL, "--replay", recording);
            print("timing", recording);
            print("ready", recording);
            print("listen", "--plan", PANEL, "--replay", recording);
        }
        print("check", "--plan", DESK, "--replay", desk);
        print("timing", desk);
        print("ready", desk);
        print("listen", "--plan", DESK, "--replay", desk);
        print("compare", "--baseline", first, "--replay", second);
        print("report", desk, "--out", folder.resolve("desk.html").toString());
        StringWriter out = new StringWriter();
        new CommandLine(new MendedCommand(MendedCommandTest.store(folder.resolve("checks"))))
                .setOut(new PrintWriter(out))
                .execute("--json", "--plan", DESK, "diode-reversed:bell");
        add("mended", out.toString());
        StringWriter remarked = new StringWriter();
        new CommandLine(new RemarkCommand(MendedCommandTest.store(folder.resolve("remarked"))))
                .setOut(new PrintWriter(remarked))
                .execute("--json", "--plan", DESK, "--control", "bell", "--replaced", "spare fitted");
        add("remark", remarked.toString());
    }

    private static void boxes() throws IOException {
        print(
                "check",
                "--plan",
                DESK,
                "--device",
                "sim:desk?fault=open:contact:sander",
                "--hunt",
                "sander",
                "--no-record");
        print(
                "record",
                "--device",
                "sim:desk",
                "--seconds",
                "1",
                "--out",
                folder.resolve("r.jsonl").toString());
        print("listen", "--device", "sim:desk", "--plan", DESK, "--seconds", "1", "--no-record");
        print("solder", DESK);
        print("feel", "--device", "sim:desk", "--plan", DESK, "--rounds", "10", "--seed", "3", "--no-record");
        simulate("worn.jsonl", DESK, "--bounce", "wiper=24", "--seed", "2");
        print(
                "look",
                "--plan",
                DESK,
                "--replay",
                folder.resolve("worn.jsonl").toString(),
                "--device",
                "sim:desk?bounce=wiper=24",
                "--no-record");
        Path knob = folder.resolve("knob.yaml");
        Files.writeString(knob, """
                ringout: 1
                box: { name: Knob }
                lines: { direct: { D1: pin 1, D2: pin 2 } }
                controls:
                  - { id: notch, kind: encoder, a: D1, b: D2, cw: button 1, ccw: button 2 }
                """);
        print(
                "learn",
                "--device",
                "sim:" + knob,
                "--out",
                folder.resolve("learned.yaml").toString());
    }

    private static void print(String command, String... arguments) throws IOException {
        List<String> all = new ArrayList<>(List.of(command, "--json"));
        all.addAll(List.of(arguments));
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream("Notch\nq\n".getBytes(StandardCharsets.UTF_8)));
        try {
            CommandRun run = CommandRun.of(all.toArray(String[]::new));
            assertTrue(run.status() <= 2 && !run.out().isBlank(), all + ": " + run.err());
            add(command, run.out());
        } finally {
            System.setIn(before);
        }
    }

    private static void add(String command, String printed) throws IOException {
        DOCUMENTS.computeIfAbsent(command, c -> new ArrayList<>()).add(JSON.readTree(printed));
    }

    private static JsonSchema schema(JsonNode document) {
        return FACTORY.getSchema(
                SchemaLocation.of(SCHEMAS.resolve(document.path("ringout").asText() + ".schema.json")
                        .toUri()
                        .toString()),
                SchemaValidatorsConfig.builder().formatAssertionsEnabled(true).build());
    }

    private static Stream<JsonNode> documents() {
        return DOCUMENTS.values().stream().flatMap(List::stream);
    }

    @Test
    void everyCommandWithJsonIsTried() {
        Set<String> with = new TreeSet<>();
        Ringout.commandLine(null, Time.OURS).getSubcommands().forEach((name, command) -> {
            if (command.getCommandSpec().findOption("--json") != null) {
                with.add(name);
            }
        });
        assertEquals(with, DOCUMENTS.keySet());
    }

    @Test
    void everyDocumentHasThePublishedShape() {
        documents().forEach(document -> {
            assertEquals(Json.VERSION, document.path("version").asInt());
            assertEquals(Set.of(), schema(document).validate(document), document.path("ringout")::asText);
        });
    }

    /** A shape that any document fits would prove nothing. */
    @Test
    void aKeyThatIsRenamedNoLongerFits() {
        documents().forEach(document -> {
            JsonSchema schema = schema(document);
            Set<String> tried = new HashSet<>();
            for (ObjectNode object : objects(document)) {
                for (String key : keys(object)) {
                    if (tried.add(key)) {
                        JsonNode value = object.remove(key);
                        object.set(key + "X", value);
                        assertFalse(
                                schema.validate(document).isEmpty(),
                                () -> key + " may be renamed in " + document.path("ringout"));
                        object.remove(key + "X");
                        object.set(key, value);
                    }
                }
            }
        });
    }

    private static List<ObjectNode> objects(JsonNode document) {
        List<ObjectNode> all = new ArrayList<>();
        if (document instanceof ObjectNode object && !object.has("$ref")) {
            all.add(object);
        }
        document.forEach(child -> all.addAll(objects(child)));
        return all;
    }

    private static List<String> keys(ObjectNode object) {
        List<String> keys = new ArrayList<>();
        object.fieldNames().forEachRemaining(keys::add);
        return keys;
    }

    /** Nor shall a schema have a key that nothing prints. */
    @Test
    void everyKeyOfTheSchemasIsPrinted() throws IOException {
        Set<String> printed = new TreeSet<>();
        documents().flatMap(d -> objects(d).stream()).forEach(o -> printed.addAll(keys(o)));
        Set<String> described = new TreeSet<>();
        try (Stream<Path> files = Files.list(SCHEMAS)) {
            for (Path file : files.toList()) {
                JsonNode schema = JSON.readTree(Files.readString(file));
                for (ObjectNode object : objects(schema)) {
                    if (object.path("type").asText().equals("object")) {
                        described.addAll(keys((ObjectNode) object.path("properties")));
                    }
                }
            }
        }
        // Of a trend over four checks, and of a thinned recording: BaselinesTest and ThinnedTimingTest have those.
        described.removeAll(Set.of("action", "checks", "perMonth", "first", "last", "perSecond"));
        described.removeAll(printed);
        assertEquals(Set.of(), described);
    }

    @Test
    void theSchemasAreSchemas() throws IOException {
        JsonSchema meta = FACTORY.getSchema(SchemaLocation.of(SchemaId.V202012));
        try (Stream<Path> files = Files.list(SCHEMAS)) {
            for (Path file : files.toList()) {
                assertEquals(Set.of(), meta.validate(JSON.readTree(Files.readString(file))), file::toString);
            }
        }
    }
}
