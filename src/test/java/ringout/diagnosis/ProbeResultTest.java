package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.circuit.Circuit;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;

class ProbeResultTest {
    private static final Circuit DESK = Circuit.of(Plans.fixture("drivers-desk"));

    @Test
    void everyPointIsReadAsItIsWritten() {
        Set<String> written = new HashSet<>();
        NodeName ground = DESK.nodes().stream()
                .filter(n -> n.written().equals("GND"))
                .findFirst()
                .orElseThrow();
        for (NodeName node : DESK.nodes()) {
            assertTrue(written.add(node.written()), node.written());
            for (ProbeReading reading : ProbeMode.RESISTANCE.readings()) {
                ProbeResult result = new ProbeResult(node, ground, ProbeMode.RESISTANCE, List.of("bell"), reading);
                assertEquals(result, parse(result.text()));
            }
        }
    }

    @Test
    void whatIsWrongIsNamed() {
        assertMessage("mode, red probe", "continuity,pin:R2");
        assertMessage("did you mean pin:R2", "continuity,pin:R2x,GND,open");
        assertMessage("beep, open", "continuity,pin:R2,GND,one-drop");
        assertMessage("resistance", "volts,pin:R2,GND,open");
    }

    private static ProbeResult parse(String text) {
        return ProbeResult.parse(text, DESK, (mode, word) -> Optional.empty());
    }

    private static void assertMessage(String part, String text) {
        String message = String.valueOf(
                assertThrows(IllegalArgumentException.class, () -> parse(text)).getMessage());
        assertTrue(message.contains(part), message);
    }
}
