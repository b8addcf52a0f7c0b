package ringout.bench;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** The plans tests check boxes against. */
public final class Plans {
    /** All fixture plans. */
    public static final List<String> FIXTURES = List.of("drivers-desk", "guards-panel", "lamp-switches");

    private Plans() {}

    /** Where a fixture plan is. */
    public static Path file(String name) {
        return Path.of("fixtures", "plans", name + ".yaml");
    }

    /** A fixture plan. */
    public static Plan fixture(String name) {
        try {
            return of(Files.readString(file(name)));
        } catch (IOException missing) {
            throw new UncheckedIOException(missing);
        }
    }

    /** A plan written in a test. */
    public static Plan of(String yaml) {
        var reading = PlanReader.read(yaml, "test");
        return reading.plan().orElseThrow(() -> new AssertionError(reading.problems()));
    }
}
