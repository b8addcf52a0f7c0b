package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.circuit.Fault.AxisExchanged.Pair;
import ringout.circuit.Fault.AxisOpen.Wire;

/** What the pin of a lever reads as a voltage divider, Kirchhoff's laws by hand; wiper and ends have a little resistance. */
class AxisWiringTest {
    private static final double NEARLY = 0.02;

    private static AxisWiring brake(Fault... faults) {
        return new AxisWiring("brake", List.of(faults));
    }

    private static double at(AxisWiring wiring, double place) {
        return wiring.reads(place).orElseThrow();
    }

    @Test
    void aGoodLeverReadsWhereItIs() {
        AxisWiring good = brake();
        for (double place : new double[] {0, 0.25, 0.5, 0.75, 1}) {
            assertEquals(place, at(good, place), NEARLY);
        }
        assertTrue(good.moves());
        assertTrue(good.mayMove());
        assertFalse(good.floats());
    }

    @Test
    void exchangedEndsReadTheOtherWayRound() {
        AxisWiring ends = brake(new Fault.AxisExchanged("brake", Pair.ENDS));
        assertEquals(0.75, at(ends, 0.25), NEARLY);
        assertEquals(0, at(ends, 1), NEARLY);
        assertTrue(ends.moves());
    }

    @Test
    void withoutOneEndItReadsTheOtherWhereverItIs() {
        AxisWiring noGround = brake(new Fault.AxisOpen("brake", Wire.GROUND));
        AxisWiring noSupply = brake(new Fault.AxisOpen("brake", Wire.SUPPLY));
        for (double place : new double[] {0, 0.5, 1}) {
            assertEquals(1, at(noGround, place), 1e-9);
            assertEquals(0, at(noSupply, place), 1e-9);
        }
        assertFalse(noGround.moves());
        assertFalse(noSupply.mayMove());
    }

    @Test
    void withoutItsWiperOrBothEndsItFloats() {
        assertTrue(brake(new Fault.AxisOpen("brake", Wire.WIPER)).floats());
        assertFalse(brake(new Fault.AxisOpen("brake", Wire.WIPER)).mayMove());
        assertTrue(brake(new Fault.AxisOpen("brake", Wire.GROUND), new Fault.AxisOpen("brake", Wire.SUPPLY))
                .floats());
    }

    /** Ground holds the wiper, so that only the last of the track before the supply lug tells. */
    @Test
    void aWiperInThePlaceOfGroundMovesAtTheVeryEndOnly() {
        AxisWiring wiring = brake(new Fault.AxisExchanged("brake", Pair.WIPER_GROUND));
        assertEquals(0, at(wiring, 0.5), NEARLY);
        assertTrue(at(wiring, 1) > 0.9);
        assertFalse(wiring.moves());
        assertTrue(wiring.mayMove());
        AxisWiring other = brake(new Fault.AxisExchanged("brake", Pair.WIPER_SUPPLY));
        assertEquals(1, at(other, 0.5), NEARLY);
        assertTrue(at(other, 0) < 0.1);
        assertFalse(other.moves());
    }

    @Test
    void faultsOfAnotherLeverDoNotMatter() {
        AxisWiring good = brake(new Fault.AxisOpen("power", Wire.WIPER), new Fault.AxisExchanged("power", Pair.ENDS));
        assertEquals(0.25, at(good, 0.25), NEARLY);
        assertTrue(good.joins(Wire.WIPER, Wire.WIPER));
        assertFalse(good.joins(Wire.WIPER, Wire.GROUND));
    }
}
