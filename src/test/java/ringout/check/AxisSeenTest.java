package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import ringout.check.AxisSeen.End;

/** What is odd about a sweep, and by which rules older recordings are judged. */
class AxisSeenTest {
    private static final double EVEN = 0.5;

    private static AxisSeen seen(End end, int leapsDown, int leapsUp, int spots, int spikes, double low) {
        return new AxisSeen(0.1, 0.2, 0.9, true, end, leapsDown, leapsUp, spots, spikes, low);
    }

    private static AxisSeen low(double low) {
        return seen(End.HIGH, 0, 0, 0, 0, low);
    }

    @Test
    void aSweepIsAsPlannedWhereItWentFarEnoughToTheEndThatWasAskedFor() {
        assertTrue(seen(End.HIGH, 0, 0, 0, 0, EVEN).asPlanned());
        assertTrue(seen(End.UNASKED, 0, 0, 0, 0, EVEN).asPlanned());
        assertFalse(seen(End.LOW, 0, 0, 0, 0, EVEN).asPlanned());
        assertFalse(seen(End.UNCLEAR, 0, 0, 0, 0, EVEN).asPlanned());
        assertFalse(new AxisSeen(0, 0, 0.5, false, End.HIGH, 0, 0, 0, 0, EVEN).asPlanned());
        assertEquals(0.7, seen(End.HIGH, 0, 0, 0, 0, EVEN).reached(), 1e-12);
    }

    @Test
    void fewerThanThreeLeapsMayBeAHandThatLetGo() {
        assertFalse(seen(End.HIGH, 1, 1, 0, 2, EVEN).isOdd());
        assertTrue(seen(End.HIGH, 2, 1, 0, 0, EVEN).isOdd());
        assertTrue(seen(End.HIGH, 0, 3, 0, 0, EVEN).isOdd());
        assertTrue(seen(End.HIGH, 0, 0, 0, 3, EVEN).isOdd());
        assertTrue(seen(End.HIGH, 0, 0, 1, 0, EVEN).isOdd());
        assertTrue(seen(End.LOW, 0, 0, 0, 0, EVEN).isOdd());
        assertFalse(seen(End.UNCLEAR, 0, 0, 0, 0, EVEN).isOdd());
    }

    /** The hold at the end where it reads highest makes a straight track 0.38; a wiper on an end wire gives 0.75 to 0.95. */
    @Test
    void aTrackIsBentBeyondWhatAnEvenHandGives() {
        assertFalse(low(0.38).isBent());
        assertFalse(low(0.3).isBent());
        assertTrue(low(0.29).isBent());
        assertTrue(low(0.29).isOdd());
        assertFalse(low(0.65).isBent());
        assertTrue(low(0.75).isBent());
        assertFalse(low(0.2).isFarBent());
        assertTrue(low(0.19).isFarBent());
        assertFalse(low(0.8).isFarBent());
        assertTrue(low(0.95).isFarBent());
    }

    /** A recording replays by the rules that it was made by. */
    @Test
    void oldRulesAskedNobodyAndTookAQuarterForASweepAndAFingerForAContactThatOpens() {
        assertEquals(0, CheckSettings.of(1).silence());
        assertEquals(0.25, CheckSettings.of(1).sweep());
        assertEquals(2, CheckSettings.of(2).silence());
        assertEquals(0.25, CheckSettings.of(2).sweep());
        assertEquals(0.75, CheckSettings.of(3).sweep());
        assertFalse(CheckSettings.of(3).fingers());
        assertEquals(CheckSettings.STANDARD, CheckSettings.of(CheckSettings.RULES));
        assertEquals(0.75, CheckSettings.STANDARD.sweep());
        assertEquals(0, CheckSettings.STANDARD.unasked().silence());
        assertEquals(0.75, CheckSettings.STANDARD.unasked().sweep());
        assertEquals(CheckSettings.STANDARD.answer(), CheckSettings.of(1).answer());
    }
}
