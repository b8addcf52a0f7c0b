package ringout.learn;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.circuit.Fault;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.learn.LearnView.Stage;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.LearnedBox;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.plan.Wiring;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** Simulated boxes whose plan is known, learned from their reports alone. */
class LearnTest {
    private static final long MS = 1_000_000L;

    /** A box under a hand that works one control after the other, in virtual time. */
    private static final class Hand {
        final Plan plan;
        final SimulatedBox box;
        final ReportDecoder decoder;
        final InputState state;
        final Learn learn;
        final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
        long now;

        Hand(Plan plan, String... faults) {
            this.plan = plan;
            List<Fault> all = Stream.of(faults).map(f -> Fault.parse(f, plan)).toList();
            box = new SimulatedBox(plan, all, Wear.NONE, 1000, 1, 0);
            try {
                decoder = new ReportDecoder(ReportDescriptor.parse(box.descriptor()));
            } catch (ringout.hid.DescriptorException impossible) {
                throw new AssertionError(impossible);
            }
            state = decoder.layout().newState();
            learn = new Learn(decoder.layout(), 0);
            // A selector always rests somewhere.
            plan.controls().stream()
                    .filter(Control.Selector.class::isInstance)
                    .forEach(c -> box.press(0, c.contacts().get(0).id()));
            box.plugIn(0);
            rest(2000);
        }

        void rest(long millis) {
            long until = now + millis * MS;
            while (now < until) {
                now += MS;
                while (box.next() <= now) {
                    int length = box.step(buffer);
                    if (length > 0) {
                        decoder.decode(buffer, length, state);
                        learn.report(now, state);
                    }
                }
                learn.tick(now);
            }
        }

        void hold(String contact, long millis) {
            box.press(now, contact);
            rest(millis);
            box.release(now, contact);
            rest(50);
        }

        /** As a person would work it, slowly enough where it stays. */
        void work(Control control) {
            if (control instanceof Control.Push c) {
                hold(c.contact().id(), 300);
            } else if (control instanceof Control.Toggle || control instanceof Control.Selector) {
                control.contacts().forEach(c -> {
                    if (!(control instanceof Control.Selector
                            && c == control.contacts().get(0))) {
                        if (control instanceof Control.Selector) {
                            control.contacts().forEach(o -> box.release(now, o.id()));
                        }
                        box.press(now, c.id());
                        rest(1500);
                        box.release(now, c.id());
                        if (control instanceof Control.Selector) {
                            box.press(now, control.contacts().get(0).id());
                        }
                        rest(100);
                    }
                });
            } else if (control instanceof Control.Encoder e) {
                for (String way : List.of(".cw", ".ccw")) {
                    for (int i = 0; i < 3; i++) {
                        box.turn(now, e.id() + way, 60 * MS);
                        rest(200);
                    }
                }
            } else if (control instanceof Control.Hat) {
                control.contacts().forEach(c -> hold(c.id(), 200));
            } else {
                box.slide(now, control.id(), 1, 500 * MS);
                rest(600);
                box.slide(now, control.id(), 0, 500 * MS);
                rest(600);
            }
            rest(2000);
        }

        void name(String label) {
            LearnView.Candidate candidate = learn.view()
                    .candidate()
                    .orElseThrow(() -> new AssertionError(learn.view().toString()));
            learn.name(now, label, candidate.part());
        }
    }

    static Stream<Plan> fixtures() throws Exception {
        List<Plan> plans = new ArrayList<>();
        try (Stream<Path> files = Files.list(Path.of("fixtures", "plans"))) {
            for (Path file : files.sorted().toList()) {
                plans.add(PlanReader.read(Files.readString(file), file.toString())
                        .plan()
                        .orElseThrow());
            }
        }
        return plans.stream();
    }

    /** All kinds in one plan. */
    private static Plan all() {
        String yaml = """
                ringout: 1
                box: { name: All kinds }
                lines:
                  direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4, D5: pin 5, D6: pin 6, D7: pin 7, D8: pin 8, D9: pin 9, D10: pin 10, D11: pin 11, D12: pin 12, D13: pin 13, D14: pin 14 }
                controls:
                  - { id: bell, kind: push, at: D1, input: button 3 }
                  - { id: lamp, kind: toggle, at: D2, input: button 1 }
                  - { id: wiper, kind: toggle, up: { at: D3, input: button 4 }, down: { at: D4, input: button 5 } }
                  - id: heat
                    kind: selector
                    positions: [ { at: D5, input: button 6 }, { at: D6, input: button 7 }, { at: D7, input: button 8 } ]
                  - { id: notch, kind: encoder, a: D8, b: D9, cw: button 9, ccw: button 10 }
                  - { id: look, kind: hat5, input: hat 1, up: D10, right: D11, down: D12, left: D13, push: { at: D14, input: button 12 } }
                  - { id: brake, kind: axis, input: axis Z }
                """;
        PlanReading reading = PlanReader.read(yaml, "all");
        return reading.plan()
                .orElseThrow(() -> new AssertionError(reading.problems().toString()));
    }

    @ParameterizedTest
    @MethodSource("fixtures")
    void everyControlOfTheFixturesIsLearnedAsWhatItIs(Plan plan) {
        learned(plan);
    }

    @Test
    void everyKindIsTold() {
        learned(all());
    }

    /** What was written of it is read again as it was, and learning goes on from there; a plan that was edited is not. */
    private static void assertGoesOn(Hand hand) {
        LearnView view = hand.learn.view();
        String yaml = LearnedBox.yaml(hand.plan.box(), view.learned(), view.remarks(), view.ghosts());
        LearnedBox.Learned read = LearnedBox.read(yaml).orElseThrow();
        assertEquals(view.learned(), read.controls());
        assertEquals(view.remarks(), read.remarks());
        assertEquals(view.ghosts(), read.ghosts());
        Learn again = new Learn(hand.decoder.layout(), 0, read);
        assertEquals(view.learned(), again.view().learned());
        again.undo(1);
        assertEquals(view.learned().size() - 1, again.view().learned().size());
        assertEquals(Optional.empty(), LearnedBox.read(yaml + "# mine\n"));
        assertEquals(Optional.empty(), LearnedBox.read(yaml.replace("kind:", "kind: ")));
    }

    @Test
    void whatTheBoxLacksIsNotGoneOnWith() {
        Hand hand = new Hand(all());
        LearnedBox.Learned more = new LearnedBox.Learned(
                hand.plan.box(),
                List.of(new Control.Push(
                        "horn",
                        "Horn",
                        ringout.plan.Mount.UNKNOWN,
                        new ringout.plan.Contact(
                                "horn",
                                "horn",
                                new Wiring.Unknown(),
                                ringout.plan.Contact.Diode.NONE,
                                Optional.of(new Input.Button(99))))),
                java.util.Map.of(),
                java.util.Set.of());
        IllegalArgumentException lacks = org.junit.jupiter.api.Assertions.assertThrows(
                IllegalArgumentException.class, () -> new Learn(hand.decoder.layout(), 0, more));
        assertEquals("button 99", lacks.getMessage());
    }

    private static void learned(Plan plan) {
        Hand hand = new Hand(plan);
        for (Control control : plan.controls()) {
            hand.work(control);
            assertEquals(Stage.NAME, hand.learn.view().stage(), control.id() + ": " + hand.learn.view());
            hand.name(control.label());
        }
        assertEquals(plan.controls().size(), hand.learn.view().learned().size());
        for (int i = 0; i < plan.controls().size(); i++) {
            Control wanted = plan.controls().get(i);
            Control got = hand.learn.view().learned().get(i);
            assertEquals(NewBox.Part.of(wanted), NewBox.Part.of(got), wanted.id());
            assertEquals(
                    wanted.actions().stream().map(Action::input).toList(),
                    got.actions().stream().map(Action::input).toList(),
                    wanted.id());
            assertEquals(wanted.label(), got.label());
            assertTrue(got.contacts().stream().allMatch(c -> c.wiring() instanceof Wiring.Unknown));
        }
        assertGoesOn(hand);
        String yaml = LearnedBox.yaml(
                plan.box(),
                hand.learn.view().learned(),
                hand.learn.view().remarks(),
                hand.learn.view().ghosts());
        PlanReading reading = PlanReader.read(yaml, "learned");
        assertEquals(List.of(), reading.problems());
        assertEquals(hand.learn.view().learned(), reading.plan().orElseThrow().controls());
        assertEquals(plan.box(), reading.plan().orElseThrow().box());
    }

    @Test
    void inputsThatComeTogetherAreSaidToBeUncertain() throws Exception {
        Plan plan = fixtures()
                .filter(p -> p.box().name().equals("Guard's panel"))
                .findFirst()
                .orElseThrow();
        Hand hand = new Hand(plan, "short:C1,C2");
        hand.hold("door-open", 300);
        hand.rest(2000);
        assertTrue(
                hand.learn
                        .view()
                        .candidate()
                        .orElseThrow()
                        .remark()
                        .text()
                        .contains("came on together: button 1, button 2"),
                hand.learn.view().toString());
        hand.name("");
        assertTrue(LearnedBox.yaml(
                        plan.box(),
                        hand.learn.view().learned(),
                        hand.learn.view().remarks(),
                        hand.learn.view().ghosts())
                .contains("# Mind: came on together"));
    }

    /** Three corners held in a matrix without diodes: the fourth answers, and the numbers tell the columns. */
    @Test
    void aGhostTellsRowsAndColumnsWhereTheNumbersLeaveOneWay() throws Exception {
        Plan plan = fixtures()
                .filter(p -> p.box().name().equals("Guard's panel"))
                .findFirst()
                .orElseThrow();
        Hand hand = new Hand(plan);
        for (Control control : plan.controls()) {
            hand.work(control);
            hand.name(control.label());
        }
        List<String> corners = List.of("door-open", "door-close", "intercom");
        corners.forEach(c -> hand.box.press(hand.now, c));
        hand.rest(300);
        corners.forEach(c -> hand.box.release(hand.now, c));
        hand.rest(2000);
        LearnView view = hand.learn.view();
        assertEquals(java.util.Set.of(java.util.Set.of(1, 2, 4, 5)), view.ghosts());
        assertGoesOn(hand);
        assertEquals(Stage.WORK, view.stage());
        Plan learned = PlanReader.read(
                        LearnedBox.yaml(plan.box(), view.learned(), view.remarks(), view.ghosts()), "learned")
                .plan()
                .orElseThrow();
        assertEquals(
                plan.contacts().stream().map(ringout.plan.Contact::wiring).toList(),
                learned.contacts().stream().map(ringout.plan.Contact::wiring).toList());
    }

    @Test
    void threeWithoutAFourthProveNoRectangle() throws Exception {
        Plan plan = fixtures()
                .filter(p -> p.box().name().equals("Guard's panel"))
                .findFirst()
                .orElseThrow();
        Hand hand = new Hand(plan);
        for (Control control : plan.controls()) {
            hand.work(control);
            hand.name(control.label());
        }
        List<String> row = List.of("door-open", "door-close", "buzzer");
        row.forEach(c -> hand.box.press(hand.now, c));
        hand.rest(300);
        row.forEach(c -> hand.box.release(hand.now, c));
        hand.rest(2000);
        assertEquals(java.util.Set.of(), hand.learn.view().ghosts());
        assertTrue(
                hand.learn.view().detail().text().startsWith("No fourth answered"),
                hand.learn.view().detail().text());
        assertTrue(!LearnedBox.yaml(
                        plan.box(),
                        hand.learn.view().learned(),
                        hand.learn.view().remarks(),
                        hand.learn.view().ghosts())
                .contains("lines:"));
    }

    @Test
    void whatIsKnownAlreadyIsSaidAndNotLearnedTwice() throws Exception {
        Plan plan = fixtures()
                .filter(p -> p.box().name().equals("Guard's panel"))
                .findFirst()
                .orElseThrow();
        Hand hand = new Hand(plan);
        hand.work(plan.controls().get(0));
        hand.name("Doors");
        hand.work(plan.controls().get(0));
        assertEquals(Stage.WORK, hand.learn.view().stage());
        assertTrue(
                hand.learn.view().detail().text().contains("Doors, which is known already"),
                hand.learn.view().detail().text());
        hand.learn.undo(hand.now);
        assertEquals(List.of(), hand.learn.view().learned());
        hand.work(plan.controls().get(0));
        assertEquals(Stage.NAME, hand.learn.view().stage());
    }

    @Test
    void aButtonHeldLongLooksLikeASwitchAndTheBuilderCanSayOtherwise() {
        Hand hand = new Hand(all());
        hand.hold("bell", 3000);
        hand.rest(2000);
        LearnView.Candidate candidate = hand.learn.view().candidate().orElseThrow();
        assertEquals(List.of(NewBox.Part.TOGGLE, NewBox.Part.PUSH), candidate.parts());
        hand.learn.name(hand.now, "Bell", NewBox.Part.PUSH);
        assertInstanceOf(Control.Push.class, hand.learn.view().learned().get(0));
    }

    @Test
    void aKnobTurnedOneWayOnlyIsAskedForTheOther() {
        Hand hand = new Hand(all());
        for (int i = 0; i < 4; i++) {
            hand.box.turn(hand.now, "notch.cw", 60 * MS);
            hand.rest(200);
        }
        hand.rest(1500);
        assertEquals("Turn it the other way, too", hand.learn.view().sentence().text());
        for (int i = 0; i < 3; i++) {
            hand.box.turn(hand.now, "notch.ccw", 60 * MS);
            hand.rest(200);
        }
        hand.rest(2000);
        LearnView.Candidate candidate = hand.learn.view().candidate().orElseThrow();
        assertEquals(NewBox.Part.ENCODER, candidate.part());
        assertEquals(List.of(new Input.Button(9), new Input.Button(10)), candidate.inputs());
        hand.name("Notch");
        assertEquals(
                Map.of("notch", "the first way turned is taken for clockwise"),
                hand.learn.view().remarks());
    }

    @Test
    void aRemarkOnWhatItWasTakenForGoesWhereItIsSomethingElse() {
        Hand hand = new Hand(all());
        for (String way : List.of("notch.cw", "notch.cw", "notch.ccw", "notch.ccw")) {
            hand.box.turn(hand.now, way, 60 * MS);
            hand.rest(200);
        }
        hand.rest(2000);
        assertEquals(
                NewBox.Part.ENCODER, hand.learn.view().candidate().orElseThrow().part());
        hand.learn.name(hand.now, "Rocker", NewBox.Part.TOGGLE_TWO_WAY);
        assertEquals(Map.of(), hand.learn.view().remarks());
    }

    @Test
    void aSwitchThatWasOnAtRestIsTold() {
        Hand hand = new Hand(all());
        hand.box.press(hand.now, "lamp");
        hand.rest(1500);
        hand.learn.discard(hand.now);
        hand.box.release(hand.now, "lamp");
        hand.rest(1500);
        hand.box.press(hand.now, "lamp");
        hand.rest(2000);
        LearnView.Candidate candidate = hand.learn.view().candidate().orElseThrow();
        assertEquals(NewBox.Part.TOGGLE, candidate.part());
        assertTrue(candidate.remark().text().contains("on at rest"));
    }

    /** A box that reports only changes does not tell where a selector rested before it was turned. */
    @Test
    void aSelectorWhoseRestWasNeverReportedIsTakenWhenTheBuilderSaysThatIsAll() {
        Hand hand = new Hand(all());
        hand.box.release(hand.now, "heat.1");
        hand.rest(1500);
        hand.learn.discard(hand.now);
        for (String position : List.of("heat.2", "heat.3", "heat.1")) {
            hand.plan.control("heat").orElseThrow().contacts().forEach(c -> hand.box.release(hand.now, c.id()));
            hand.box.press(hand.now, position);
            hand.rest(1500);
        }
        assertEquals(Stage.WORKING, hand.learn.view().stage());
        hand.learn.enough(hand.now);
        LearnView.Candidate candidate = hand.learn.view().candidate().orElseThrow();
        assertEquals(NewBox.Part.SELECTOR, candidate.part());
        assertEquals(List.of(new Input.Button(7), new Input.Button(8), new Input.Button(6)), candidate.inputs());
        hand.name("Heat");
        hand.rest(1500);
        hand.work(hand.plan.control("bell").orElseThrow());
        assertEquals(
                NewBox.Part.PUSH, hand.learn.view().candidate().orElseThrow().part());
    }

    @Test
    void aBoxThatGoesAwayKeepsWhatWasLearned() {
        Hand hand = new Hand(all());
        hand.work(hand.plan.controls().get(0));
        hand.name("Bell");
        hand.learn.lost(hand.now);
        assertEquals(Stage.LOST, hand.learn.view().stage());
        hand.learn.found(hand.now);
        hand.rest(2000);
        assertEquals(Stage.WORK, hand.learn.view().stage());
        assertEquals(
                Optional.of("Bell"),
                hand.learn.view().learned().stream().map(Control::label).findFirst());
    }
}
