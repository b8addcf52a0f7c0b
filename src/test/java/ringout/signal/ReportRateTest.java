package ringout.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import ringout.signal.IntervalMeter.Habit;

class ReportRateTest {
    private static final long MS = 1_000_000;

    private final ReportRate rate = new ReportRate();

    @Test
    void aBoxReadLiveIsKnownByItsReports() {
        for (int i = 0; i < 3000; i++) {
            rate.report(i * MS, i % 100 == 0);
        }
        ReportRate.Summary summary = rate.summary();
        assertEquals(Habit.CONSTANT, summary.habit());
        assertEquals(3000, summary.count());
        assertEquals(30, summary.changed());
        assertEquals(0, summary.leftOut());
        assertEquals(MS, summary.intervals().median(), MS * IntervalMeter.ERROR);
    }

    /** A recording holds what changed, and once a second how many reports there were. */
    @Test
    void aRecordingOfABoxThatReportsAllTheTimeSaysSo() {
        for (int second = 1; second <= 10; second++) {
            rate.report((second * 1000L - 500) * MS, true);
            rate.beat(second * 1000L * MS, second * 500L);
        }
        ReportRate.Summary summary = rate.summary();
        assertEquals(Habit.CONSTANT, summary.habit());
        assertEquals(5000, summary.count());
        assertEquals(10, summary.changed());
        assertEquals(4990, summary.leftOut());
        assertEquals(500, summary.perSecond(), 1e-6);
    }

    @Test
    void aRecordingOfABoxThatRepeatsWhileItIsUsedSaysSo() {
        for (int second = 1; second <= 10; second++) {
            rate.report((second * 1000L - 500) * MS, true);
            rate.beat(second * 1000L * MS, second * 2L + (second > 5 ? 40 : 0));
        }
        assertEquals(Habit.REPEATING, rate.summary().habit());
    }

    @Test
    void aRecordingWithEveryReportInItLeavesNothingOut() {
        for (int second = 1; second <= 10; second++) {
            rate.report((second * 1000L - 500) * MS, true);
            rate.beat(second * 1000L * MS, second);
        }
        assertEquals(0, rate.summary().leftOut());
        assertEquals(10, rate.summary().count());
    }
}
