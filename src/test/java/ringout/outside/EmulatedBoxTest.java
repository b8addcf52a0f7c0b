package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/**
 * Whole guided checks of boxes whose firmware runs on an emulated microcontroller, wired to the independent model: every
 * series in turn on six plans. {@code -Dtest.argLine=-Dringout.emulated=1000} for so many boxes instead of the few of the
 * ordinary run. Skipped with the reason where avr-gcc or libsimavr is missing.
 */
class EmulatedBoxTest {
    /** Every series once. */
    private static final int FEW = 45;
    /** Of what is stated at 95 % or more; asked are 95 %, and few boxes leave much to chance. */
    private static final double RIGHT = 0.85;

    @BeforeAll
    static void need() {
        String missing = Firmwares.missing();
        if (!missing.isEmpty() && Firmwares.required()) {
            fail(missing);
        }
        assumeTrue(missing.isEmpty(), missing);
    }

    @Test
    void namesWhatIsWrong() {
        int count = Integer.getInteger("ringout.emulated", FEW);
        long began = System.nanoTime();
        List<Series.Outcome> all = new ArrayList<>();
        StringBuilder failed = new StringBuilder();
        for (Case box : Emulated.boxes(count, 1, Pattern.compile(".*"))) {
            Series.Outcome outcome = Emulated.run(box);
            all.add(outcome);
            if (outcome.failed()) {
                failed.append(Series.describe(outcome, false));
            }
        }
        double seconds = (System.nanoTime() - began) / 1e9;
        double boxSeconds = all.stream().mapToLong(o -> o.told().nanos()).sum() / 1e9;
        Series.Row row = new Series.Row("all emulated boxes", all);
        System.out.printf(
                "%s%n%s%n%s%.0f s of box time in %.0f s: %.0f times as fast%n",
                Series.HEAD, row.text(), Series.byGroup(all), boxSeconds, seconds, boxSeconds / seconds);
        assertEquals(
                0,
                all.stream()
                        .filter(o ->
                                o.box().series().equals("healthy") && o.told().findings() > 0)
                        .count(),
                "good boxes with findings\n" + failed);
        List<Series.Outcome> singles =
                all.stream().filter(o -> o.box().series().equals("single")).toList();
        assertTrue(
                row.right() >= RIGHT * row.certain(),
                row.right() + " right of " + row.certain() + " that were certain\n" + failed);
        long named = singles.stream().filter(o -> o.named() || !o.visible()).count();
        assertTrue(named >= Math.floor(0.9 * singles.size()), named + " of " + singles.size() + "\n" + failed);
    }
}
