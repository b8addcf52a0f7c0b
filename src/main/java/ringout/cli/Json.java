package ringout.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;

/** How sub-commands make and write JSON. */
final class Json {
    /** Goes up when a key of any document is renamed, taken away or means something else; docs/json.md tells more. */
    static final int VERSION = 1;

    private static final ObjectMapper MAPPER = new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

    private Json() {}

    static ObjectNode object() {
        return MAPPER.createObjectNode();
    }

    /** @param name of the document's shape, which so is what it begins with */
    static void print(PrintWriter out, String name, ObjectNode document) {
        ObjectNode whole = object().put("ringout", name).put("version", VERSION).setAll(document);
        try {
            out.println(MAPPER.writeValueAsString(whole));
        } catch (JsonProcessingException impossible) {
            throw new IllegalStateException("a tree of plain values always serialises", impossible);
        }
        out.flush();
    }
}
