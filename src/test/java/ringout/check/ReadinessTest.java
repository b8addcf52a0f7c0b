package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.check.Readiness.Kind;
import ringout.check.Readiness.Point;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Plan;
import ringout.signal.AxisMeter;
import ringout.signal.EncoderMeter;
import ringout.signal.PulseTiming;
import ringout.signal.ReportRate;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;

/** What of a good box may not come through, from figures that are given. */
class ReadinessTest {
    private static final long MS = 1_000_000;

    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Desk }
            controls:
              - { id: mode, kind: selector, positions: [{ input: button 1 }, { input: button 2 }] }
              - { id: bell, kind: push, input: button 32 }
              - { id: horn, kind: push, input: button 33 }
              - { id: door, kind: push, input: button 128 }
              - { id: gong, kind: push, input: button 129 }
              - { id: wiper, kind: toggle, up: { input: button 3 }, down: { input: button 4 } }
              - { id: lamp, kind: toggle, input: button 9 }
              - { id: notch, kind: encoder, cw: button 5, ccw: button 6, detents: 20 }
              - { id: tune, kind: encoder, cw: button 7, ccw: button 8, detents: 20 }
              - { id: brake, kind: axis, input: axis Z }
              - { id: steam, kind: axis, input: axis X }
            """);

    private static PulseTiming.Summary pulses(long millis, long gapMillis, int count) {
        PulseTiming timing = new PulseTiming();
        long at = 0;
        for (int i = 0; i < count; i++) {
            timing.edge(at, true);
            at += millis * MS;
            timing.edge(at, false);
            at += gapMillis * MS;
        }
        return timing.summary();
    }

    private static Figures.Encoder encoder(String id, PulseTiming.Summary cw, PulseTiming.Summary ccw) {
        return new Figures.Encoder(id, id, new EncoderMeter(1).summary(), cw, ccw);
    }

    private static Figures.Axis axis(String id, AxisUsage usage, long leftAlone, long... readings) {
        Input.Axis input = new Input.Axis(usage);
        AxisMeter meter = new AxisMeter(new InputLayout.Axis(input, 0, 1000, false));
        meter.rest(0);
        long at = 0;
        for (long reading : readings) {
            meter.sample(at, reading);
            at += leftAlone / readings.length;
        }
        meter.stop(at);
        return new Figures.Axis(id, id, input, meter.summary());
    }

    private static Readiness readiness(List<Figures.Encoder> encoders, List<Figures.Axis> axes) {
        return Readiness.of(
                PLAN,
                new Figures(
                        new ReportRate().summary(),
                        new TimingLimits(Resolution.ASSUMED, 0),
                        List.of(),
                        List.of(),
                        encoders,
                        axes));
    }

    private static List<Point> points(Readiness readiness, Kind... kinds) {
        return readiness.points().stream()
                .filter(p -> List.of(kinds).contains(p.kind()))
                .toList();
    }

    private static List<String> told(List<Point> points) {
        return points.stream().map(p -> p.told().text()).toList();
    }

    /** Common practice, no source: old programs see 32 buttons, most others 128. */
    @Test
    void buttonsBeyond32AndBeyond128AreOutOfReach() {
        List<Point> points = points(Readiness.of(PLAN), Kind.OUT_OF_REACH);
        assertEquals(
                List.of(List.of("horn", "door"), List.of("gong")),
                points.stream().map(Point::controls).toList());
        assertEquals(
                List.of(new Input.Button(33), new Input.Button(128)),
                points.get(0).inputs());
        assertTrue(points.get(0).told().text().contains("beyond number 32,"), told(points)::toString);
        assertTrue(points.get(0).change().text().startsWith("Give what is used most the numbers up to 32"));
        assertTrue(points.get(1).change().text().startsWith("Let the firmware be two controllers, or number"));
    }

    @Test
    void whatStaysOverKeepsItsInputOn() {
        List<Point> points = points(Readiness.of(PLAN), Kind.LATCHING);
        assertEquals(
                List.of(
                        "MODE keeps the input of its position on (button 1 and button 2): a program that waits for another"
                                + " control to be pressed sees this one first.",
                        "WIPER stays on as long as it is put over (button 3 and button 4): its middle gives no input of its"
                                + " own.",
                        "LAMP stays on as long as it is put over (button 9): putting it back gives no input of its own."),
                told(points));
    }

    @Test
    void withoutACheckNothingIsSaidOfPulsesAndAxes() {
        assertEquals(List.of(), points(Readiness.of(PLAN), Kind.SHORT_PULSE, Kind.MERGING, Kind.RESTLESS));
        assertEquals(List.of(), Readiness.of(PLAN).pulses());
    }

    /**
     * A pulse of 20 ms lasts 0.6 of a frame at 30 a second: 40 % are missed; at 60 and more it lasts longer than a frame. Of
     * 33 ms 1 % is missed at 30, of 33.4 ms nothing.
     */
    @Test
    void aPulseShorterThanAFrameIsMissedByTheRestOfTheFrame() {
        Readiness short20 = readiness(List.of(encoder("notch", pulses(20, 0, 1), pulses(25, 0, 1))), List.of());
        assertEquals(
                List.of("NOTCH: a click gives a pulse of 20.0 ms, and 40 % of them are missed at 30 frames a second."),
                told(points(short20, Kind.SHORT_PULSE, Kind.MERGING)));
        assertEquals(
                List.of(new Input.Button(5), new Input.Button(6)),
                points(short20, Kind.SHORT_PULSE).get(0).inputs());
        assertEquals(2, short20.pulses().size());
        assertEquals(
                1,
                points(
                                readiness(List.of(encoder("notch", pulses(33, 0, 1), pulses(90, 0, 1))), List.of()),
                                Kind.SHORT_PULSE)
                        .size());
        assertEquals(
                0,
                points(
                                readiness(List.of(encoder("notch", pulses(34, 0, 1), pulses(90, 0, 1))), List.of()),
                                Kind.SHORT_PULSE)
                        .size());
    }

    @Test
    void theEncoderWithTheShortestPulseIsToldFirst() {
        Readiness two = readiness(
                List.of(
                        encoder("notch", pulses(20, 0, 1), pulses(20, 0, 1)),
                        encoder("tune", pulses(30, 0, 1), pulses(10, 0, 1))),
                List.of());
        assertEquals(
                List.of(List.of("tune"), List.of("notch")),
                points(two, Kind.SHORT_PULSE).stream().map(Point::controls).toList());
        assertTrue(
                told(points(two, Kind.SHORT_PULSE)).get(0).contains("70 % of them are missed at 30 frames a second"),
                told(points(two, Kind.SHORT_PULSE))::toString);
    }

    @Test
    void anEncoderThatGaveNothingIsNotToldAnything() {
        Readiness none = readiness(
                List.of(encoder("notch", new PulseTiming().summary(), new PulseTiming().summary())), List.of());
        assertEquals(List.of(), none.pulses());
        assertEquals(List.of(), points(none, Kind.SHORT_PULSE, Kind.MERGING));
    }

    /** Pulses of 40 ms and pauses of 10 ms: 20 a second at most; a pause is met at 30 frames a second three times in ten. */
    @Test
    void aPauseShorterThanAFrameMakesOneOfTwoClicks() {
        Readiness quick = readiness(List.of(encoder("notch", pulses(40, 10, 3), pulses(50, 20, 2))), List.of());
        assertEquals(
                List.of(
                        "NOTCH: 10.0 ms lie between two pulses of a turn, and 70 % of them are not seen at 30 frames a second,"
                                + " so that two clicks look like one, 40 % of them are not seen at 60 frames a second, so that two"
                                + " clicks look like one and 10 % of them are not seen at 90 frames a second, so that two clicks look"
                                + " like one; no more than 20.0 clicks a second come at all."),
                told(points(quick, Kind.SHORT_PULSE, Kind.MERGING)));
        // One frame at 30 a second and a millisecond: 34.3 ms for each, so 14.6 clicks a second, of 20 a turn.
        assertTrue(
                points(quick, Kind.MERGING)
                        .get(0)
                        .change()
                        .text()
                        .startsWith(
                                "Set the pause in the firmware to 34.3 ms, too; then 14.6 clicks a second come through,"
                                        + " 0.7 turns,"),
                points(quick, Kind.MERGING).get(0).change().text());
    }

    @Test
    void anAxisThatMovesByItselfIsRestlessFromTwoPercentOn() {
        long second = 1000 * MS;
        Readiness restless = readiness(
                List.of(),
                List.of(
                        axis("brake", AxisUsage.Z, second, 500, 520, 500, 520),
                        axis("steam", AxisUsage.X, second, 500, 550, 500, 550)));
        assertEquals(
                List.of(
                        "STEAM moves by 50 of 1,000 counts (5.0 %) with nobody touching it: a program that waits for any"
                                + " control to be moved takes this one.",
                        "BRAKE moves by 20 of 1,000 counts (2.0 %) with nobody touching it: a program that waits for any"
                                + " control to be moved takes this one."),
                told(points(restless, Kind.RESTLESS)).stream()
                        .map(t -> t.replace("1000", "1,000"))
                        .toList());
        assertEquals(
                List.of(),
                points(
                        readiness(List.of(), List.of(axis("brake", AxisUsage.Z, second, 500, 519, 500, 519))),
                        Kind.RESTLESS));
        assertEquals(
                List.of(),
                points(readiness(List.of(), List.of(axis("brake", AxisUsage.Z, 0, 500, 600))), Kind.RESTLESS),
                "nobody left it alone");
    }

    @Test
    void theGravestComesFirst() {
        Readiness all = readiness(
                List.of(encoder("notch", pulses(20, 10, 2), pulses(20, 10, 2))),
                List.of(axis("brake", AxisUsage.Z, 1000 * MS, 500, 600, 500)));
        assertEquals(
                List.of(Kind.OUT_OF_REACH, Kind.SHORT_PULSE, Kind.MERGING, Kind.RESTLESS, Kind.LATCHING),
                all.points().stream().map(Point::kind).distinct().toList());
    }
}
