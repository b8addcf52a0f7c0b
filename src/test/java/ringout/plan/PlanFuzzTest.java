package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.code_intelligence.jazzer.junit.DictionaryEntries;
import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import ringout.circuit.Circuit;

/** Fuzzed with coverage as the guide, see DEVELOPERS.md; in an ordinary run, the inputs kept so far. */
class PlanFuzzTest {

    /** Whatever the text is: a plan, or problems that each name a place in it; and a plan can be built. */
    @DictionaryEntries({
        "ringout: 1",
        "box:",
        "name:",
        "usb:",
        "panel:",
        "lines:",
        "rows:",
        "columns:",
        "direct:",
        "chains:",
        "scan:",
        "drive:",
        "diodes:",
        "cathode:",
        "debounce:",
        "controls:",
        "id:",
        "label:",
        "kind:",
        "push",
        "toggle",
        "encoder",
        "selector",
        "hat4",
        "axis",
        "at: [R1, C1]",
        "input: button 1",
        "place: [20 mm, 30 mm]",
        "pin 4",
        "per-contact",
        "5 ms",
        "listen:"
    })
    @FuzzTest(maxDuration = "5m")
    void plan(byte[] bytes) {
        String yaml = new String(bytes, StandardCharsets.UTF_8);
        PlanReading reading = PlanReader.read(yaml, "fuzz");
        int lines = (int) yaml.chars()
                        .filter(c -> c == '\n' || c == '\r' || c == 0x85 || c == 0x2028 || c == 0x2029)
                        .count()
                + 2;
        for (PlanProblem problem : reading.problems()) {
            assertTrue(problem.line() >= 1 && problem.line() <= lines, problem.toString());
            assertTrue(problem.column() >= 1, problem.toString());
        }
        if (reading.plan().isEmpty()) {
            assertFalse(reading.problems().isEmpty(), "neither a plan nor a problem");
        } else {
            Plan plan = reading.plan().get();
            Circuit.of(plan).healthy();
            assertEquals(plan, PlanReader.read(yaml, "fuzz").plan().orElseThrow());
        }
    }
}
