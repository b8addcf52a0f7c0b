package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import ringout.check.CheckSettings;
import ringout.hid.DescriptorBuilder;
import ringout.hid.Usage;
import ringout.plan.Plan;

/** What the bench makes of reports, apart from the check. */
class BenchTest {
    private static final byte[] SIX = descriptor(6);

    private static byte[] descriptor(int buttons) {
        return new DescriptorBuilder()
                .application(new Usage(1, 4))
                .buttons(1, buttons)
                .padToByte()
                .endCollection()
                .bytes();
    }

    @Test
    void repetitionsCountAsReportsButAreNoNews() throws Exception {
        Bench bench = new Bench("Box", SIX, 0);
        for (int i = 0; i < 5; i++) {
            bench.report(i, new byte[] {1}, 1);
        }
        bench.report(6, new byte[] {3}, 1);
        SessionView view = bench.view(7);
        assertEquals(6, view.reports());
        assertEquals(2, bench.news());
        assertEquals(2, view.edges().size());
        assertEquals("[button 1, button 2]", view.state().onInputs().toString());
    }

    @Test
    void oddReportsAreCountedAndKept() throws Exception {
        Bench bench = new Bench("Box", SIX, 0);
        bench.report(1, new byte[] {1, 9}, 2);
        bench.report(2, new byte[0], 0);
        assertEquals(2, bench.view(3).oddReports());
        assertEquals("[button 1]", bench.view(3).state().onInputs().toString());
    }

    /** A box with other inputs comes back: nothing it says is taken for the first one's. */
    @Test
    void boxWithOtherInputsIsNotTakenForTheSame() throws Exception {
        Plan plan = Plans.fixture("guards-panel");
        Bench bench = new Bench("Box", SIX, 0);
        bench.startCheck(0, plan, CheckSettings.STANDARD);
        bench.lost(10, "pulled");
        bench.found(20, descriptor(8), "perhaps another box");
        bench.report(30, new byte[] {1}, 1);
        SessionView view = bench.view(40);
        assertEquals(SessionView.Link.LOST, view.link());
        assertTrue(view.message().contains("declares other inputs"), view.message());
        assertTrue(view.check().orElseThrow().paused());
        assertEquals(0, view.reports());
        assertEquals("[perhaps another box]", view.notes().toString());
        bench.found(50, SIX, "");
        bench.report(60, new byte[] {1}, 1);
        assertEquals(SessionView.Link.LIVE, bench.view(70).link());
        assertEquals(1, bench.view(70).reports());
    }
}
