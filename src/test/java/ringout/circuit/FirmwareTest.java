package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import ringout.plan.Plan;

/** Knobs as stock firmware counts them: one pulse for four steps of the quadrature cycle; common practice, no source. */
class FirmwareTest {
    private static final Plan KNOBS = PlanMaker.box()
            .directs(4)
            .encoder("left", new String[] {"D1"}, new String[] {"D2"})
            .encoder("right", new String[] {"D3"}, new String[] {"D4"})
            .plan();

    /** What comes with each state of phases, a in the first bit and b in the second, those of the right knob after the left's. */
    private static String pulses(int... states) {
        Firmware firmware = Firmware.of(KNOBS);
        Firmware.Decoder decoder = firmware.decoder();
        StringBuilder told = new StringBuilder();
        long[] pulses = new long[firmware.words()];
        for (int state : states) {
            decoder.update(new long[] {state}, pulses);
            KNOBS.actions().stream()
                    .filter(a -> (pulses[0]
                                            >> firmware.indexOf(a.input().orElseThrow())
                                                    .orElseThrow()
                                    & 1)
                            != 0)
                    .forEach(a -> told.append(a.id()).append(' '));
        }
        return told.toString().strip();
    }

    @Test
    void fourStepsAreOnePulse() {
        assertEquals("", pulses(0, 1, 3, 2));
        assertEquals("left.cw", pulses(0, 1, 3, 2, 0));
        assertEquals("left.cw", pulses(0, 1, 3, 2, 0, 1, 3, 2));
        assertEquals("left.cw left.cw", pulses(0, 1, 3, 2, 0, 1, 3, 2, 0));
        assertEquals("left.ccw", pulses(0, 2, 3, 1, 0));
    }

    @Test
    void theFirstStateIsWhereItRests() {
        assertEquals("left.cw", pulses(3, 2, 0, 1, 3));
        assertEquals("", pulses(1, 3, 2, 0));
    }

    @Test
    void whatBouncesOrJumpsCountsNothing() {
        assertEquals("", pulses(0, 1, 0, 1, 0, 1, 3, 1, 0));
        assertEquals("", pulses(0, 3, 0, 3, 0));
        assertEquals("left.cw", pulses(0, 1, 0, 1, 3, 1, 3, 2, 0));
    }

    @Test
    void eachKnobCountsForItself() {
        assertEquals("left.cw right.ccw", pulses(0, 0b1001, 0b1111, 0b0110, 0));
    }
}
