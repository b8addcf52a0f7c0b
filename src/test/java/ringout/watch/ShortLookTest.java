package ringout.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.check.Change;
import ringout.check.FindingKind;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.signal.IntervalMeter;
import ringout.signal.TimingLimits;
import ringout.watch.ShortLook.Verdict;
import ringout.words.Phrase;

/** What is asked in a break, and what comes of it. */
class ShortLookTest {
    private static final long MS = 1_000_000L;
    private static final Plan PLAN = PlanReader.read("""
                    ringout: 1
                    box: { name: Desk }
                    lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3 } }
                    controls:
                      - { id: bell, kind: push, at: D1, input: button 1 }
                      - { id: horn, kind: push, at: D2, input: button 2 }
                      - { id: wiper, kind: push, at: D3, input: button 3 }
                    """, "desk.yaml").plan().orElseThrow();
    private static final InputLayout LAYOUT =
            new InputLayout(List.of(new Input.Button(1), new Input.Button(2), new Input.Button(3)), List.of());

    private final InputState state = LAYOUT.newState();
    private long now;

    private static WatchSummary.Line line(WatchEvent.Kind kind, int button, long count) {
        return new WatchSummary.Line(
                kind,
                Optional.of(new Input.Button(button)),
                Phrase.verbatim("button " + button),
                count,
                Optional.empty(),
                0,
                0);
    }

    private static List<ShortLook.Ask> asks(Optional<List<Change>> changes, WatchSummary.Line... lines) {
        Watch watch = new Watch(Optional.of(PLAN), LAYOUT, WatchSettings.STANDARD, 0, event -> {});
        WatchSummary none = watch.summary(0);
        IntervalMeter.Summary intervals = none.intervals();
        TimingLimits limits = none.limits();
        return ShortLook.asks(PLAN, new WatchSummary(1, 0, List.of(lines), intervals, limits), changes);
    }

    private static List<String> ids(List<ShortLook.Ask> asks) {
        return asks.stream().map(a -> a.action().control()).toList();
    }

    @Test
    void onlyWhatGotWorseIsAskedTheGravestFirst() {
        WatchSummary.Line[] lines = {
            line(WatchEvent.Kind.BOUNCED, 1, 9),
            line(WatchEvent.Kind.DROPPED_OUT, 3, 1),
            line(WatchEvent.Kind.FREED, 2, 1)
        };
        assertEquals(List.of("wiper", "bell"), ids(asks(Optional.empty(), lines)));
        Change change = new Change(
                Change.Sort.WORSE,
                FindingKind.BOUNCING,
                List.of("bell"),
                Optional.empty(),
                Optional.empty(),
                Phrase.none());
        assertEquals(List.of("bell"), ids(asks(Optional.of(List.of(change)), lines)));
        assertEquals(List.of(), asks(Optional.of(List.of()), lines));
        assertEquals(Verdict.GO_ON, ShortLook.verdict(List.of()));
    }

    private ShortLook look(WatchEvent.Kind kind, long count) {
        now = 0;
        return new ShortLook(PLAN, LAYOUT, asks(Optional.empty(), line(kind, 1, count)), 0);
    }

    private void at(ShortLook look, long millis, boolean on) {
        for (long until = now + millis * MS; now < until; now += MS) {
            look.report(now, state);
        }
        state.set(0, on);
        look.report(now, state);
    }

    private Verdict tenPresses(ShortLook look, int bouncing) {
        for (int i = 0; i < 10; i++) {
            at(look, 300, true);
            if (i < bouncing) {
                at(look, 18, false);
                at(look, 2, true);
            }
            at(look, 300, false);
        }
        at(look, 600, false);
        assertTrue(look.asked().isEmpty(), "ten presses are enough");
        assertTrue(now < ShortLook.ASK_NANOS);
        return ShortLook.verdict(look.answers());
    }

    @Test
    void whatIsSeenInTheLookDecides() {
        assertEquals(Verdict.GO_ON, tenPresses(look(WatchEvent.Kind.BOUNCED, 1), 0));
        assertEquals(Verdict.WATCH, tenPresses(look(WatchEvent.Kind.BOUNCED, 7), 0));
        assertEquals(Verdict.WATCH, tenPresses(look(WatchEvent.Kind.BOUNCED, 7), 1));
        ShortLook bad = look(WatchEvent.Kind.BOUNCED, 7);
        assertEquals(Verdict.MEND, tenPresses(bad, 6));
        assertEquals(10, bad.answers().get(0).presses());
        assertEquals(6, bad.answers().get(0).faults(), "those that are not told one by one count, too");
        assertTrue(bad.answers().get(0).minutes() > 0);
    }

    @Test
    void nothingThatComesIsToBeMended() {
        ShortLook look = look(WatchEvent.Kind.DROPPED_OUT, 2);
        look.tick(ShortLook.ASK_NANOS);
        assertTrue(look.asked().isEmpty());
        assertEquals(Verdict.MEND, ShortLook.verdict(look.answers()));
        assertEquals(0, look.answers().get(0).presses());
    }

    @Test
    void aBounceAtTheReleaseIsNoPress() {
        ShortLook look = look(WatchEvent.Kind.BOUNCED, 7);
        for (int i = 1; i <= 3; i++) {
            at(look, 300, true);
            at(look, 100, false);
            at(look, 10, true);
            at(look, 10, false);
            assertEquals(i, look.presses());
        }
    }

    /** Most boxes report only what changes: the first report is the press. */
    @Test
    void thePressThatIsTheFirstReportCountsAndAStuckOneDoesNot() {
        ShortLook look = look(WatchEvent.Kind.STUCK, 1);
        state.set(0, true);
        look.report(now, state);
        at(look, 200, false);
        assertEquals(1, look.presses());
        ShortLook stuck = look(WatchEvent.Kind.STUCK, 1);
        state.set(0, true);
        at(stuck, 12_000, true);
        assertEquals(Verdict.MEND, ShortLook.verdict(stuck.answers()));
    }
}
