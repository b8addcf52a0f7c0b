package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** docs/plan.md says what docs/plan.schema.json says. */
class PlanReferenceTest {
    private static final Path PAGE = Path.of("docs/plan.md");

    private static JsonNode schema() throws IOException {
        return new ObjectMapper().readTree(Files.readString(Path.of("docs/plan.schema.json")));
    }

    @Test
    void thePageIsCurrent() throws IOException {
        String page = PlanReference.page(schema(), Files.readString(Path.of("fixtures/plans/drivers-desk.yaml")));
        if (Boolean.getBoolean("ringout.regenerate")) {
            Files.writeString(PAGE, page);
        }
        assertEquals(
                page,
                Files.readString(PAGE),
                "docs/plan.md is stale; write it anew with"
                        + " mvn -q test -Dtest=PlanReferenceTest -Dringout.regenerate=true");
    }

    @Test
    void everyLinkHasAHeading() throws IOException {
        String page = Files.readString(PAGE);
        Set<String> anchors = new HashSet<>();
        Matcher heading = Pattern.compile("(?m)^#+ (.*)$").matcher(page);
        while (heading.find()) {
            anchors.add(heading.group(1)
                    .toLowerCase(Locale.ROOT)
                    .replaceAll("[^a-z0-9 -]", "")
                    .replace(' ', '-'));
        }
        Matcher link = Pattern.compile("\\]\\(#([^)]*)\\)").matcher(page);
        List<String> dead = new ArrayList<>();
        while (link.find()) {
            if (!anchors.contains(link.group(1))) {
                dead.add(link.group(1));
            }
        }
        assertEquals(List.of(), dead);
    }

    @Test
    void everyPartOfTheSchemaIsTitledAndOnThePage() throws IOException {
        String page = Files.readString(PAGE);
        List<String> missing = new ArrayList<>();
        check("", schema(), page, missing);
        assertEquals(List.of(), missing);
    }

    /** Every property must explain itself, by its own description or that of what it refers to, and be on the page. */
    private static void check(String path, JsonNode at, String page, List<String> missing) {
        for (var property : at.path("properties").properties()) {
            JsonNode value = property.getValue();
            if (!value.has("description") && !value.has("$ref")) {
                missing.add(path + "/" + property.getKey() + " has no description");
            }
            if (!page.contains("`" + property.getKey() + "`")) {
                missing.add(path + "/" + property.getKey() + " is not on the page");
            }
        }
        for (var def : at.path("$defs").properties()) {
            assertTrue(def.getValue().has("title"), def.getKey());
            check(def.getKey(), def.getValue(), page, missing);
        }
    }
}
