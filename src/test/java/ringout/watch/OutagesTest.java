package ringout.watch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringout.watch.Outages.Box;
import ringout.watch.Outages.Cause;

class OutagesTest {
    private static final long SECOND = 1_000_000_000L;
    private static final String PCI = "0000:00:14.0";

    private static final Box LEFT = box("left", PCI, "2", "1");
    private static final Box RIGHT = box("right", PCI, "2", "3");
    private static final Box PEDALS = box("pedals", PCI, "2", "4");
    private static final Box DESK = box("desk", PCI, "5");
    private static final Box LAMPS = box("lamps", PCI, "7", "1");

    private final Outages outages = new Outages();

    private static Box box(String name, String... steps) {
        return new Box("/dev/" + name, name, "1209:0001 " + name, List.of(steps));
    }

    private void present(Box... boxes) {
        for (Box box : boxes) {
            outages.present(0, box);
        }
    }

    private List<Outages.Outage> gone(double at, Box... boxes) {
        for (Box box : boxes) {
            outages.gone((long) (at * SECOND), box.id());
        }
        return outages.tick((long) ((at + 4) * SECOND));
    }

    private static void is(Cause cause, String part, List<Outages.Outage> told) {
        assertEquals(1, told.size(), told.toString());
        assertEquals(cause, told.get(0).cause());
        assertTrue(told.get(0).said().text().contains(part), told.get(0).said().text());
    }

    @Test
    void oneAloneWithOthersBesideItPointsAtItself() {
        present(LEFT, RIGHT, DESK);
        is(Cause.BOX, "left alone went; right on the same hub stayed", gone(10, LEFT));
    }

    @Test
    void oneAloneOnItsHubMayBeTheHub() {
        present(LEFT, DESK);
        is(Cause.BOX, "the hub in socket 2 of USB controller 0000:00:14.0", gone(10, LEFT));
    }

    @Test
    void twoOnOneHubPointAtIt() {
        present(LEFT, RIGHT, DESK, LAMPS);
        is(Cause.HUB, "left, right went at the same moment", gone(10, LEFT, RIGHT));
    }

    @Test
    void aHubOnWhichOneStayedStillHasItsCable() {
        present(LEFT, RIGHT, PEDALS);
        is(Cause.HUB, "pedals on it stayed", gone(10, LEFT, RIGHT));
    }

    @Test
    void fromDifferentSocketsItIsTheComputer() {
        present(LEFT, DESK, LAMPS);
        is(Cause.COMPUTER, "the computer's side", gone(10, LEFT, DESK, LAMPS));
    }

    @Test
    void whereNoPlaceIsKnownOnlyTheMomentTells() {
        Box here = box("here");
        Box there = box("there");
        present(here, there);
        is(Cause.SHARED, "what they share", gone(10, here, there));
    }

    @Test
    void theOnlyBoxTellsNothing() {
        present(LEFT);
        is(Cause.UNKNOWN, "no other box", gone(10, LEFT));
    }

    @Test
    void threeSecondsApartAreTwoOutages() {
        present(LEFT, RIGHT, PEDALS);
        outages.gone(10 * SECOND, LEFT.id());
        outages.gone(13 * SECOND, RIGHT.id());
        List<Outages.Outage> told = outages.tick(20 * SECOND);
        assertEquals(
                List.of(List.of(LEFT.id()), List.of(RIGHT.id())),
                told.stream().map(Outages.Outage::ids).toList());
    }

    @Test
    void backFasterThanAHandIsALooseContactOrARestart() {
        present(LEFT, RIGHT);
        outages.gone(10 * SECOND, LEFT.id());
        outages.present(10 * SECOND + SECOND / 2, LEFT);
        List<Outages.Outage> told = outages.tick(20 * SECOND);
        is(Cause.BOX, "back after 0.5 s, faster than a hand", told);
        is(Cause.BOX, "left alone went", gone(30, LEFT));
    }

    @Test
    void backAfterAWhileIsAsAHandDoesIt() {
        present(LEFT, RIGHT);
        outages.gone(10 * SECOND, LEFT.id());
        outages.present(12 * SECOND, LEFT);
        List<Outages.Outage> told = outages.tick(20 * SECOND);
        assertEquals(1, told.size());
        assertTrue(!told.get(0).said().text().contains("faster"), told.toString());
    }

    @Test
    void somethingElseInItsSocketIsARestart() {
        present(LEFT, RIGHT);
        outages.gone(10 * SECOND, LEFT.id());
        outages.present(11 * SECOND, new Box("/dev/other", "Loader", "1209:0002 ", LEFT.steps()));
        List<Outages.Outage> told = outages.tick(20 * SECOND);
        assertEquals(
                List.of(Cause.RESTART, Cause.BOX),
                told.stream().map(Outages.Outage::cause).toList());
        assertTrue(told.get(0).said().text().contains("there now is Loader"), told.toString());
    }

    @Test
    void nothingIsToldTwiceOrBeforeItCanBeKnown() {
        present(LEFT, RIGHT);
        outages.gone(10 * SECOND, LEFT.id());
        outages.gone(10 * SECOND, LEFT.id());
        assertEquals(List.of(), outages.tick(12 * SECOND));
        assertEquals(13 * SECOND, outages.deadline());
        assertEquals(1, outages.tick(13 * SECOND).size());
        assertEquals(List.of(), outages.tick(100 * SECOND));
        assertEquals(Long.MAX_VALUE, outages.deadline());
    }

    /** Whatever comes and goes: every box that went is in exactly one outage, and memory does not grow. */
    @Test
    void everyBoxThatWentIsToldOnce() {
        Random random = new Random(1);
        List<Box> all = List.of(LEFT, RIGHT, PEDALS, DESK, LAMPS);
        boolean[] there = new boolean[all.size()];
        int went = 0;
        int told = 0;
        long now = 0;
        for (int i = 0; i < 2000; i++) {
            now += random.nextInt(3000) * 1_000_000L;
            int which = random.nextInt(all.size());
            there[which] ^= true;
            if (there[which]) {
                outages.present(now, all.get(which));
            } else {
                outages.gone(now, all.get(which).id());
                went++;
            }
            told += outages.tick(now).stream().mapToInt(o -> o.ids().size()).sum();
        }
        told += outages.tick(now + 100 * SECOND).stream()
                .mapToInt(o -> o.ids().size())
                .sum();
        assertEquals(went, told);
    }
}
