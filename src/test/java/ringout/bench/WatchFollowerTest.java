package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.journal.Entry;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.watch.WatchEvent;
import ringout.watch.WatchEvent.Kind;
import ringout.watch.WatchSettings;

/** Long watches over simulated boxes in virtual time. */
class WatchFollowerTest {
    private static final long MS = 1_000_000L;
    private static final Instant BEGAN = Instant.parse("2026-03-01T10:00:00Z");

    private final Plan plan = Plans.fixture("guards-panel");
    private final List<WatchEvent> events = new ArrayList<>();
    private VirtualBox box;

    private WatchFollower watch(Wear wear) throws Exception {
        box = new VirtualBox(plan, List.of(), wear);
        return box.feed(b -> new WatchFollower(
                b.connection,
                BEGAN,
                Optional.of(new PlanInUse(plan, "hash")),
                WatchSettings.STANDARD,
                b,
                events::add,
                any -> {}));
    }

    private List<Kind> kinds() {
        return events.stream().map(WatchEvent::kind).toList();
    }

    @Test
    void whatHappensIsToldAndRecorded() throws Exception {
        WatchFollower watch = watch(Wear.NONE.and("bounce", "buzzer=20"));
        box.run(100 * MS);
        box.press("saloon", 200 * MS);
        box.press("buzzer", 300 * MS);
        box.run(500 * MS);
        box.plug(false);
        box.run(3_000 * MS);
        box.plug(true);
        box.run(500 * MS);
        box.close();
        assertEquals(List.of(Kind.BOUNCED, Kind.BOUNCED, Kind.LOST, Kind.FOUND), kinds());
        assertEquals(20, events.get(0).figure().orElseThrow().value(), 1.1);
        assertEquals(
                List.of("bounced", "bounced", "lost", "found"),
                box.recorded.stream()
                        .map(entry -> ((Entry.Noticed) entry).kind())
                        .toList());
        assertFalse(watch.summary().clean());
        assertEquals(3_000 * MS, watch.summary().awayNanos(), 50 * MS);
        assertEquals(BEGAN, watch.kept().orElseThrow().when());
    }

    /** Whoever reads "noticed" and asks what it was is not told that there was nothing. */
    @Test
    void whatIsNoticedIsInTheSummaryAtOnce() throws Exception {
        WatchFollower watch = watch(Wear.NONE.and("bounce", "buzzer=20"));
        box.run(1_100 * MS);
        assertTrue(watch.summary().clean());
        box.press("buzzer", 60 * MS);
        box.runUntil("a bounce", () -> !events.isEmpty());
        assertFalse(watch.summary().clean());
        box.close();
    }

    @Test
    void aQuietHourIsClean() throws Exception {
        WatchFollower watch = watch(Wear.NONE);
        box.press("door-open", 100 * MS);
        box.run(3_600_000 * MS);
        assertFalse(watch.over());
        box.close();
        assertEquals(List.of(), kinds());
        assertTrue(watch.summary().clean());
        assertTrue(watch.summary().intervals().reports() >= 2);
    }

    @Test
    void aBoxThatSendsNothingMoreEndsIt() throws Exception {
        WatchFollower watch = watch(Wear.NONE);
        box.run(100 * MS);
        box.end("");
        assertTrue(watch.over());
        assertEquals("The box sends nothing more.", watch.ended());
    }
}
