package ringout.report;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import nu.validator.client.EmbeddedValidator;

/** The Nu HTML checker, as a library. */
final class HtmlCheck {
    private HtmlCheck() {}

    /** Every error and warning, with its line. */
    static List<String> messages(String html) throws Exception {
        Path file = Files.createTempFile("ringout", ".html");
        try {
            Files.writeString(file, html);
            JsonNode report = new ObjectMapper().readTree(new EmbeddedValidator().validate(file));
            List<String> messages = new ArrayList<>();
            report.get("messages")
                    .forEach(m -> messages.add(m.path("lastLine").asText() + ": "
                            + m.path("message").asText()));
            return messages;
        } finally {
            Files.delete(file);
        }
    }
}
