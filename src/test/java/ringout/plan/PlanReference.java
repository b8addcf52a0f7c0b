package ringout.plan;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.StreamSupport;

/** Writes docs/plan.md from docs/plan.schema.json, so that the two cannot drift apart. */
final class PlanReference {
    /** The order of the parts, as a reader meets them; every object of the schema must be among them. */
    private static final List<String> PARTS =
            List.of("box", "usb", "panel", "inside", "board", "keepOut", "lines", "shift", "scan", "listen");

    private static final List<String> SMALL = List.of(
            "at",
            "contact",
            "way",
            "phase",
            "diode",
            "switchInput",
            "hatNumber",
            "axisInput",
            "pin",
            "lineName",
            "contactId",
            "place",
            "length",
            "size",
            "duration",
            "share",
            "usbId",
            "text");

    private final JsonNode schema;
    private final String example;
    private final StringBuilder out = new StringBuilder();

    private PlanReference(JsonNode schema, String example) {
        this.schema = schema;
        this.example = example;
    }

    /**
     * The page.
     *
     * @param schema  the plan's JSON Schema
     * @param example a worked plan, quoted whole
     */
    static String page(JsonNode schema, String example) {
        return new PlanReference(schema, example).page();
    }

    private String page() {
        line("# The wiring plan");
        line("");
        line(
                "<!-- Generated from plan.schema.json; do not edit. To write it anew: mvn -q test -Dtest=PlanReferenceTest -Dringout.regenerate=true -->");
        line("");
        line(schema.get("description").asText());
        line("");
        line(
                "A plan is a YAML file, meant to be written and read by people. Comments are welcome and survive Ringout's own edits. "
                        + "`ringout plan FILE` checks it and names every problem with its line and column. An editor that knows JSON Schema "
                        + "completes keys and shows these descriptions when it is pointed at [plan.schema.json](plan.schema.json); "
                        + "many understand this first line:");
        line("");
        code("# yaml-language-server: $schema=plan.schema.json");
        line("Numbers are written without quotes, lengths and times with their unit.");
        line("");
        line("## A whole plan");
        line("");
        code(example.strip());
        line("## The file");
        line("");
        table(schema, Set.of());
        for (String part : PARTS) {
            object(part, Set.of());
        }
        controls();
        line("## Daisy-chain order");
        line("");
        line(def("order").get("description").asText());
        line("");
        examples(def("order"));
        line("## Values");
        line("");
        for (String name : SMALL) {
            value(name);
        }
        return out.toString().strip() + "\n";
    }

    private void controls() {
        List<String> kinds = StreamSupport.stream(def("control").get("oneOf").spliterator(), false)
                .map(PlanReference::target)
                .toList();
        Set<String> common = new LinkedHashSet<>(fields(def(kinds.get(0)).get("properties")));
        kinds.forEach(kind -> common.retainAll(fields(def(kind).get("properties"))));
        line("## Controls");
        line("");
        line("Every control has these keys:");
        line("");
        ObjectNode shared = def(kinds.get(0)).deepCopy();
        ObjectNode word = (ObjectNode) shared.at("/properties/kind");
        word.remove("const");
        ArrayNode words = word.putArray("enum");
        kinds.stream()
                .map(kind -> def(kind).at("/properties/kind/const").asText())
                .distinct()
                .forEach(words::add);
        rows(shared, common, required(shared));
        for (String kind : kinds) {
            object(kind, common);
        }
    }

    private void object(String name, Set<String> without) {
        JsonNode part = def(name);
        JsonNode kind = part.at("/properties/kind/const");
        line((kind.isMissingNode() ? "## " : "### ")
                + title(name)
                + (kind.isMissingNode() ? "" : " (`kind: " + kind.asText() + "`)"));
        line("");
        line(part.get("description").asText());
        line("");
        table(part, without);
        examples(part);
    }

    private void value(String name) {
        JsonNode value = def(name);
        line("### " + title(name));
        line("");
        line(value.get("description").asText());
        line("");
        if (value.has("properties")) {
            table(value, Set.of());
        }
        String shown = StreamSupport.stream(value.path("examples").spliterator(), false)
                .map(e -> "`" + e.asText() + "`")
                .collect(Collectors.joining(", "));
        if (!shown.isEmpty()) {
            line("For example " + shown + ".");
            line("");
        }
    }

    private void table(JsonNode object, Set<String> without) {
        Set<String> names = new LinkedHashSet<>(fields(object.get("properties")));
        names.removeAll(without);
        rows(object, names, required(object));
    }

    private void rows(JsonNode object, Set<String> names, Set<String> required) {
        if (names.isEmpty()) {
            return;
        }
        line("| key | value | meaning |");
        line("| --- | --- | --- |");
        for (String name : names) {
            JsonNode property = object.get("properties").get(name);
            line("| `" + name + "`" + (required.contains(name) ? " (required)" : "") + " | " + kind(property) + " | "
                    + meaning(property).replace("|", "\\|") + " |");
        }
        line("");
    }

    private String meaning(JsonNode property) {
        JsonNode says = property;
        while (!says.has("description")) {
            says = def(target(says));
        }
        String otherwise = property.has("default")
                ? " Default: `" + property.get("default").asText() + "`."
                : "";
        return says.get("description").asText() + otherwise;
    }

    /** What may stand there, in a few words or as a link. */
    private String kind(JsonNode property) {
        if (property.has("const")) {
            return "`" + property.get("const").asText() + "`";
        }
        if (property.has("enum")) {
            return StreamSupport.stream(property.get("enum").spliterator(), false)
                    .map(e -> "`" + e.asText() + "`")
                    .collect(Collectors.joining(", "));
        }
        if (property.has("$ref")) {
            String name = target(property);
            if (name.equals("pins")) {
                return "name: " + link("pin");
            }
            if (def(name).has("$ref") && !SMALL.contains(name)) {
                return kind(def(name));
            }
            return name.equals("order")
                    ? "[lists of contacts](#daisy-chain-order)"
                    : name.equals("id") ? "text" : link(name);
        }
        if (property.path("type").asText().equals("array")) {
            return "list of "
                    + (target(property.get("items")).equals("control")
                            ? "[controls](#controls)"
                            : link(target(property.get("items"))));
        }
        if (property.path("additionalProperties").has("$ref")) {
            return "name: " + link(target(property.get("additionalProperties")));
        }
        return property.get("type").asText() + ", " + property.get("minimum").asText() + " to "
                + property.get("maximum").asText();
    }

    private String link(String name) {
        String title = title(name);
        return "[" + title.toLowerCase(Locale.ROOT).replace("usb", "USB") + "](#" + anchor(title) + ")";
    }

    private String title(String name) {
        return def(name).get("title").asText();
    }

    private static String anchor(String title) {
        return title.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9 -]", "").replace(' ', '-');
    }

    private void examples(JsonNode part) {
        for (JsonNode sample : part.path("examples")) {
            code(sample.asText());
        }
    }

    private void code(String text) {
        line("```yaml");
        line(text);
        line("```");
        line("");
    }

    private JsonNode def(String name) {
        return schema.get("$defs").get(name);
    }

    private static String target(JsonNode ref) {
        return ref.get("$ref").asText().replace("#/$defs/", "");
    }

    private static Set<String> fields(JsonNode object) {
        return object.properties().stream().map(Map.Entry::getKey).collect(Collectors.toCollection(LinkedHashSet::new));
    }

    private static Set<String> required(JsonNode object) {
        List<String> names = new ArrayList<>();
        object.path("required").forEach(n -> names.add(n.asText()));
        return Set.copyOf(names);
    }

    private void line(String text) {
        out.append(text).append('\n');
    }
}
