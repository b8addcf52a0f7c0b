package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** A plan as people get it from us must work when it is soldered as planned. */
class FixturePlansTest {
    static List<Path> plans() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("fixtures/plans"))) {
            return files.filter(file -> file.toString().endsWith(".yaml"))
                    .sorted()
                    .toList();
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void everyActionOfAHealthyBoxGivesItsInputAndNoOther(Path file) throws IOException {
        Plan plan =
                PlanReader.read(Files.readString(file), file.toString()).plan().orElseThrow();
        Harness healthy = Circuit.of(plan).healthy();
        assertEquals(new Reading(new TreeSet<>(), new TreeSet<>()), healthy.read(List.of()));
        for (Action action : plan.actions()) {
            TreeSet<ringout.hid.Input> expected =
                    new TreeSet<>(List.of(action.input().orElseThrow()));
            assertEquals(new Reading(expected, new TreeSet<>()), healthy.read(List.of(action.id())), action.id());
        }
    }
}
