package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;

class PartTest {
    private static final String YAML = """
            ringout: 1
            box: { name: Panel }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4 } }
            scan: { direct: ground }
            controls:
              - { id: one, label: One, kind: toggle, at: D1, input: button 1 }
              - id: two
                label: Two
                kind: toggle
                up: { at: D2, input: button 2 }
                down: { at: D3, input: button 3 }
              - { id: bell, label: Bell, kind: push, at: D4, input: button 4 }
              - { id: brake, label: Brake, kind: axis, input: axis Z }
            """;

    @Test
    void aToggleOfTwoWaysIsAnotherPartThanOneOfOne() {
        Map<String, NewBox.Part> parts =
                Plans.of(YAML).controls().stream().collect(Collectors.toMap(Control::id, NewBox.Part::of));
        assertEquals(
                Map.of(
                        "one",
                        NewBox.Part.TOGGLE,
                        "two",
                        NewBox.Part.TOGGLE_TWO_WAY,
                        "bell",
                        NewBox.Part.PUSH,
                        "brake",
                        NewBox.Part.AXIS),
                parts);
    }

    /** Checks are kept and compared by whether the plan is the same. */
    @Test
    void plansAreEqualWhereAllTheirPartsAre() {
        Plan plan = Plans.of(YAML);
        assertEquals(plan, Plans.of(YAML));
        assertEquals(plan.hashCode(), Plans.of(YAML).hashCode());
        for (String change : List.of("Panel|Desk", "pin 4|pin 5", "label: Bell|label: Bells", "button 4|button 5")) {
            String[] parts = change.split("\\|");
            assertNotEquals(plan, Plans.of(YAML.replace(parts[0], parts[1])), change);
        }
    }
}
