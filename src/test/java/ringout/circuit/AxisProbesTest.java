package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static ringout.circuit.Fault.AxisOpen.Wire.GROUND;
import static ringout.circuit.Fault.AxisOpen.Wire.SUPPLY;
import static ringout.circuit.Fault.AxisOpen.Wire.WIPER;
import static ringout.circuit.ProbeMode.CONTINUITY;
import static ringout.circuit.ProbeReading.BEEP;
import static ringout.circuit.ProbeReading.OPEN;
import static ringout.circuit.ProbeReading.UNCERTAIN;

import java.util.List;
import org.junit.jupiter.api.Test;

/** A multimeter between the board and the lugs of two levers, BRAKE on pad A0 and POWER on A1. */
class AxisProbesTest {
    private static final NodeName BRAKE_PAD = new NodeName.AxisPad("brake", "A0");
    private static final NodeName POWER_PAD = new NodeName.AxisPad("power", "A1");
    private static final NodeName GROUND_RAIL = new NodeName.Rail(Fault.GROUND);
    private static final NodeName SUPPLY_RAIL = new NodeName.Rail(Fault.SUPPLY);

    private static NodeName brake(Fault.AxisOpen.Wire lug) {
        return new NodeName.AxisLug("brake", lug, "BRAKE");
    }

    private static NodeName power(Fault.AxisOpen.Wire lug) {
        return new NodeName.AxisLug("power", lug, "POWER");
    }

    private static ProbeReading beeper(NodeName red, NodeName black, Fault... faults) {
        return AxisProbes.reads(List.of(faults), red, black, CONTINUITY);
    }

    @Test
    void ofAGoodLeverEachWireBeepsAtItsOwnLugOnly() {
        assertEquals(BEEP, beeper(BRAKE_PAD, brake(WIPER)));
        assertEquals(BEEP, beeper(GROUND_RAIL, brake(GROUND)));
        assertEquals(BEEP, beeper(SUPPLY_RAIL, brake(SUPPLY)));
        assertEquals(OPEN, beeper(BRAKE_PAD, brake(GROUND)));
        assertEquals(OPEN, beeper(GROUND_RAIL, brake(WIPER)));
        assertEquals(OPEN, beeper(SUPPLY_RAIL, brake(GROUND)));
        assertEquals(OPEN, beeper(BRAKE_PAD, power(WIPER)));
    }

    @Test
    void theTipsMayBeTheOtherWayRound() {
        assertEquals(BEEP, beeper(brake(WIPER), BRAKE_PAD));
        assertEquals(BEEP, beeper(brake(GROUND), GROUND_RAIL));
        assertEquals(OPEN, beeper(power(WIPER), BRAKE_PAD));
    }

    @Test
    void aWireThatIsOffIsSilentAndTheOthersAreNot() {
        Fault off = new Fault.AxisOpen("brake", WIPER);
        assertEquals(OPEN, beeper(BRAKE_PAD, brake(WIPER), off));
        assertEquals(BEEP, beeper(GROUND_RAIL, brake(GROUND), off));
        assertEquals(BEEP, beeper(POWER_PAD, power(WIPER), off));
    }

    @Test
    void exchangedEndsBeepAtEachOthersLug() {
        Fault ends = new Fault.AxisExchanged("brake", Fault.AxisExchanged.Pair.ENDS);
        assertEquals(BEEP, beeper(GROUND_RAIL, brake(SUPPLY), ends));
        assertEquals(OPEN, beeper(GROUND_RAIL, brake(GROUND), ends));
        assertEquals(BEEP, beeper(BRAKE_PAD, brake(WIPER), ends));
    }

    @Test
    void exchangedLeversBeepOnEachOthersPad() {
        Fault levers = new Fault.AxesExchanged("brake", "power");
        assertEquals(BEEP, beeper(BRAKE_PAD, power(WIPER), levers));
        assertEquals(BEEP, beeper(POWER_PAD, brake(WIPER), levers));
        assertEquals(OPEN, beeper(BRAKE_PAD, brake(WIPER), levers));
        assertEquals(OPEN, beeper(POWER_PAD, power(WIPER), levers));
    }

    /** A track of some kilohms does not beep, and what else the meter shows of it is its owner's. */
    @Test
    void whatTheTrackShowsIsNotTold() {
        assertEquals(UNCERTAIN, AxisProbes.reads(List.of(), BRAKE_PAD, brake(GROUND), ProbeMode.RESISTANCE));
        assertEquals(UNCERTAIN, beeper(brake(GROUND), brake(SUPPLY)));
        assertEquals(UNCERTAIN, beeper(BRAKE_PAD, GROUND_RAIL));
    }
}
