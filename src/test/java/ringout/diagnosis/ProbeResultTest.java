package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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

    @Test
    void otherWordsForAReadingMayBeKnown() {
        ProbeResult read = ProbeResult.parse(
                "continuity, pin:R2 ,GND, silent",
                DESK,
                (mode, word) -> word.equals("silent") ? Optional.of(ProbeReading.OPEN) : Optional.empty());
        assertEquals(ProbeReading.OPEN, read.reading());
        assertEquals("continuity,pin:R2,GND,open", read.text());
        assertEquals(
                ProbeReading.UNCERTAIN, parse("continuity,pin:R2,GND,uncertain").reading());
    }

    @Test
    void pointsOfLeversAreKnownToo() {
        String lever = DESK.axisNodes().get(DESK.axisNodes().size() - 1).written();
        assertEquals(
                "continuity,GND," + lever + ",open",
                parse("continuity,GND," + lever + ",open").text());
    }

    @Test
    void whoeverIsHeldIsOfThePlan() {
        assertEquals(
                List.of("bell"), parse("continuity,pin:R2,GND,open,hold=bell").hold());
        assertThrows(IllegalArgumentException.class, () -> parse("continuity,pin:R2,GND,open,hold=nobody"));
    }

    @Test
    void noMeterShowsAResistanceOnContinuity() {
        ProbeResult beep = parse("continuity,pin:R2,GND,beep");
        assertThrows(
                IllegalArgumentException.class,
                () -> new ProbeResult(
                        beep.pointA(), beep.pointB(), ProbeMode.CONTINUITY, List.of(), ProbeReading.BELOW_10K));
    }

    /** The same place is the same points, mode and hold, whatever was shown. */
    @Test
    void theSamePlaceIsThatOfTheProbe() {
        ProbeResult beep = parse("continuity,pin:R2,GND,beep");
        assertTrue(beep.samePlace(parse("continuity,pin:R2,GND,open")));
        assertFalse(beep.samePlace(parse("continuity,pin:R1,GND,beep")));
        assertFalse(beep.samePlace(parse("continuity,pin:R2,VCC,beep")));
        assertFalse(beep.samePlace(parse("resistance,pin:R2,GND,beep")));
        assertFalse(beep.samePlace(parse("continuity,pin:R2,GND,beep,hold=bell")));
        Probe probe = new Probe(
                beep.pointA(),
                beep.pointB(),
                beep.mode(),
                beep.hold(),
                ProbeReading.OPEN,
                java.util.Map.of(),
                ringout.words.Phrase.none(),
                ringout.words.Phrase.none());
        assertTrue(beep.answers(probe));
        assertFalse(parse("continuity,pin:R1,GND,beep").answers(probe));
        assertEquals(beep, ProbeResult.of(probe, ProbeReading.BEEP));
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
