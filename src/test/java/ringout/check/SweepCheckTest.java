package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.plan.Plan;

/** A lever that is swept from end to end and held where it should read highest, fed by hand. */
class SweepCheckTest extends HandFedCheck {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Panel }
            lines: { direct: { D1: pin 1 } }
            scan: { direct: ground }
            controls:
              - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
              - { id: brake, label: Brake, kind: axis, input: axis Z, high: full brake }
            """);

    SweepCheckTest() {
        super(PLAN, 1);
        axis(0);
        rest();
        press(1);
        assertEquals(Prompt.Kind.SWEEP, check.prompt().kind());
    }

    /** There and back over so much of the range, and to an end where it is held. */
    private void sweep(long least, long most, long end) {
        after(300);
        for (long place = least; place <= most; place += 20) {
            axis(place);
            after(5);
        }
        for (long place = most; place >= least; place -= 20) {
            axis(place);
            after(5);
        }
        for (long place = least; end > least && place <= end; place += 20) {
            axis(place);
            after(5);
        }
        axis(end);
        after(3000);
    }

    @Test
    void whatIsHeldAtItsHighestEndIsGood() {
        sweep(0, 1020, 1020);
        assertEquals(List.of(), kinds());
        assertEquals(CheckView.Status.GOOD, check.view().status("brake"));
    }

    @Test
    void aButtonIsNoAnswerToASweep() {
        after(300);
        set(1, true);
        after(200);
        set(1, false);
        after(1500);
        assertEquals(Prompt.Kind.SWEEP, check.prompt().kind());
        assertEquals(List.of(), kinds());
    }

    @Test
    void whatIsHeldAtItsLowestEndGoesTheWrongWay() {
        for (int attempt = 0; attempt < 3 && !check.finished(); attempt++) {
            sweep(0, 1020, 0);
        }
        assertEquals(List.of(FindingKind.REVERSED), kinds());
    }

    @Test
    void whatIsSweptOverHalfItsRangeFallsShort() {
        for (int attempt = 0; attempt < 3 && !check.finished(); attempt++) {
            sweep(0, 500, 500);
        }
        assertEquals(List.of(FindingKind.NARROW), kinds());
    }
}
