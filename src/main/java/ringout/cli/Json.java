package ringout.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;

/** How sub-commands make and write JSON. */
final class Json {
    private static final ObjectMapper MAPPER = new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT);

    private Json() {}

    static ObjectNode object() {
        return MAPPER.createObjectNode();
    }

    static void print(PrintWriter out, ObjectNode document) {
        try {
            out.println(MAPPER.writeValueAsString(document));
        } catch (JsonProcessingException impossible) {
            throw new IllegalStateException("a tree of plain values always serialises", impossible);
        }
        out.flush();
    }
}
