package ringout.ui.files;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

class RoomyTest {
    private static final long HALF = 494L << 20; // what Java reports with -Xmx512m
    private static final long WHOLE = 989L << 20; // and with -Xmx1g

    private static Plan square(int size) {
        StringBuilder yaml = new StringBuilder("ringout: 1\nbox: { name: Desk }\nlines:\n  rows: { ");
        for (int r = 1; r <= size; r++) {
            yaml.append("R").append(r).append(": pin ").append(r).append(r < size ? ", " : " }\n  columns: { ");
        }
        for (int c = 1; c <= size; c++) {
            yaml.append("C").append(c).append(": pin ").append(size + c).append(c < size ? ", " : " }\n");
        }
        yaml.append("scan: { drive: rows, active: low, diodes: none }\ncontrols:\n");
        for (int r = 1; r <= size; r++) {
            for (int c = 1; c <= size; c++) {
                yaml.append("  - { id: b-%d-%d, label: B %d %d, kind: push, at: [R%d, C%d], input: button %d }\n"
                        .formatted(r, c, r, c, r, c, (r - 1) * size + c));
            }
        }
        return PlanReader.read(yaml.toString(), "desk.yaml").plan().orElseThrow();
    }

    @Test
    void whatCannotBeDrawnIsRefusedAtOnceWithWhatCan() {
        String why = Roomy.refusal(square(40), HALF).orElseThrow().text();
        assertTrue(why.startsWith("Its 1600 contacts on 80 lines are too many to draw in the 494 MB"), why);
        assertTrue(why.contains("32 x 32") && why.contains("-Xmx1g"), why);
    }

    @Test
    void whatWasSeenToWorkIsNotRefused() {
        assertEquals(Optional.empty(), Roomy.refusal(square(32), HALF));
        assertEquals(Optional.empty(), Roomy.refusal(square(40), WHOLE));
    }
}
