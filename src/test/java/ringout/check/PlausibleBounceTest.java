package ringout.check;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import ringout.watch.WatchSettings;

/**
 * The limits against published measurements. Source: J. G. Ganssle, "A Guide to Debouncing", The Ganssle Group, 2004: 18
 * switches, 300 presses each; its figures here are from memory.
 */
class PlausibleBounceTest {
    private static final double MS = 1e6;
    private static final double GANSSLE_MEAN_MS = 1.6;
    private static final double GANSSLE_WORST_SOUND_SWITCH_MS = 6.2;
    private static final double GANSSLE_BAD_SWITCH_MS = 157;
    /** Between release and next press of fast tapping; from memory, no source. */
    private static final double FAST_TAPPING_MS = 50;

    @Test
    void theWindowHoldsAllBounceOfSoundSwitchesAndNoTapping() {
        for (long window : new long[] {CheckSettings.STANDARD.bounceWindow(), WatchSettings.STANDARD.bounceWindow()}) {
            assertTrue(window / MS > 2 * GANSSLE_WORST_SOUND_SWITCH_MS);
            assertTrue(window / MS < FAST_TAPPING_MS);
        }
    }

    @Test
    void whatCountsAsNormalIsMoreThanTheMeanAndFarLessThanABadSwitch() {
        assertTrue(CheckSettings.STANDARD.bounceLimit() / MS > 2 * GANSSLE_MEAN_MS);
        assertTrue(CheckSettings.STANDARD.bounceLimit() / MS < GANSSLE_BAD_SWITCH_MS / 10);
    }
}
