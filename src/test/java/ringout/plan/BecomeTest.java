package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.plan.NewBox.Part;

/** One more control for a plan, and one that becomes another part: what is free, and what it keeps. */
class BecomeTest {
    private static final String YAML = """
            ringout: 1
            box: { name: Desk }
            panel: { width: 100 mm, height: 60 mm }
            lines:
              rows: { R1: pin 2, R2: pin 3 }
              columns: { C1: pin 4, C2: pin 5, C3: pin 6 }
              direct: { D1: pin 7, D2: pin 8 }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row, direct: ground }
            controls:
              - { id: button-1, label: Horn, kind: push, at: [R1,C1], input: button 1 }  # loud
              - { id: bell, label: Button 2, kind: push, at: [R1, C2], input: button 3 }
              - { id: look, label: Look, kind: hat4, input: hat 1, up: [R1, C3], right: [R2, C1], down: [R2, C2], left: [R2, C3] }
              - { id: knob, label: Knob, kind: encoder, a: D1, b: D2, cw: button 4, ccw: button 5, detents: 24 }
              - { id: brake, label: Brake, kind: axis, input: axis X }
            """;

    private static final Plan PLAN = Plans.of(YAML);

    private static Control become(String id, Part part) {
        return NewBox.become(PLAN, PLAN.control(id).orElseThrow(), part, 3);
    }

    /** What each action gives, in words. */
    private static String gives(Control control) {
        return control.actions().stream()
                .map(a -> a.id() + "=" + a.input().orElseThrow().text())
                .collect(Collectors.joining(" "));
    }

    private static List<Wiring> wiring(Control control) {
        return control.contacts().stream().map(Contact::wiring).toList();
    }

    // ---------------------------------------------------------------- one more

    /** Neither the id button-1 nor the label Button 2 is free. */
    @Test
    void oneMoreHasTheLowestNameAndInputThatAreFree() {
        Control push = NewBox.another(PLAN, Part.PUSH, 2);
        assertEquals("button-3", push.id());
        assertEquals("Button 3", push.label());
        assertEquals("button-3=button 2", gives(push));
        assertEquals(List.of(new Wiring.Unknown()), wiring(push));
    }

    @Test
    void inputsOfOneControlFollowEachOtherAroundThoseThatAreTaken() {
        assertEquals(
                "selector-1.1=button 2 selector-1.2=button 6 selector-1.3=button 7",
                gives(NewBox.another(PLAN, Part.SELECTOR, 3)));
        assertEquals(
                "toggle-1.up=button 2 toggle-1.down=button 6", gives(NewBox.another(PLAN, Part.TOGGLE_TWO_WAY, 2)));
        assertEquals("knob-1.cw=button 2 knob-1.ccw=button 6", gives(NewBox.another(PLAN, Part.ENCODER, 2)));
        assertEquals("axis-1=axis Y", gives(NewBox.another(PLAN, Part.AXIS, 2)));
        assertEquals(
                "hat-1.up=hat 2 up hat-1.right=hat 2 right hat-1.down=hat 2 down hat-1.left=hat 2 left "
                        + "hat-1.push=button 2",
                gives(NewBox.another(PLAN, Part.HAT5, 2)));
    }

    /** 10 mm to the edge and to the next nut, common practice: 11 + 10 mm from either edge, then 22 + 10 mm on. */
    @Test
    void oneMoreGoesToTheFirstPlaceFromTheUpperLeftThatHasRoom() {
        assertEquals(
                Optional.of(new Mount.Place(21, 21)),
                NewBox.another(PLAN, Part.PUSH, 2).mount().place());
        Plan one = Plans.of(YAML.replace(
                "kind: push, at: [R1,C1],",
                "kind: push, at: [R1,C1], place: [21 mm, 21 mm], hole: 16 mm, nut: 22 mm,"));
        assertEquals(
                Optional.of(new Mount.Place(53, 21)),
                NewBox.another(one, Part.PUSH, 2).mount().place());
        Plan full = Plans.of(YAML.replace("width: 100 mm, height: 60 mm", "width: 41 mm, height: 41 mm"));
        assertEquals(
                Optional.of(new Mount.Place(21, 21)),
                NewBox.another(full, Part.PUSH, 2).mount().place(),
                "the middle");
        Plan none = Plans.of(YAML.replaceAll("(?m)^panel.*\n", ""));
        assertEquals(
                Optional.empty(), NewBox.another(none, Part.PUSH, 2).mount().place());
    }

    // ---------------------------------------------------------------- another part

    @Test
    void everyControlIsAPartOfItsKind() {
        assertEquals(
                List.of(Part.PUSH, Part.PUSH, Part.HAT4, Part.ENCODER, Part.AXIS),
                PLAN.controls().stream().map(Part::of).toList());
        for (Part part : Part.values()) {
            assertEquals(part, Part.of(become("bell", part)));
        }
    }

    @Test
    void whatItBecomesKeepsWiringAndInputsInOrderAsFarAsTheyFit() {
        Control two = become("bell", Part.TOGGLE_TWO_WAY);
        assertEquals("bell.up=button 3 bell.down=button 2", gives(two));
        assertEquals(List.of(new Wiring.Crossing("R1", "C2"), new Wiring.Unknown()), wiring(two));
        assertEquals(Contact.Diode.CATHODE_ROW, two.contacts().get(0).diode());
        assertEquals(Contact.Diode.NONE, two.contacts().get(1).diode());
        assertEquals("Button 2", two.label());
    }

    @Test
    void theTwoWaysOfAKnobBecomeTwoButtons() {
        Control toggle = become("knob", Part.TOGGLE_TWO_WAY);
        assertEquals("knob.up=button 4 knob.down=button 5", gives(toggle));
        assertEquals(List.of(new Wiring.Direct("D1"), new Wiring.Direct("D2")), wiring(toggle));
    }

    @Test
    void aHatThatGetsAPushKeepsItsFourWays() {
        Control.Hat before = (Control.Hat) PLAN.control("look").orElseThrow();
        Control.Hat hat = (Control.Hat) become("look", Part.HAT5);
        assertEquals(
                "look.up=hat 1 up look.right=hat 1 right look.down=hat 1 down look.left=hat 1 left look.push=button 2",
                gives(hat));
        hat.ways()
                .forEach((way, contact) -> assertEquals(before.ways().get(way).wiring(), contact.wiring(), way.word()));
        assertEquals(new Wiring.Unknown(), hat.push().orElseThrow().wiring());
    }

    /** No button is a direction of a hat: the wiring stays, and a hat of its own is given out. */
    @Test
    void aButtonThatBecomesAHatGivesItsWiringToTheFirstWay() {
        Control.Hat hat = (Control.Hat) become("bell", Part.HAT4);
        assertTrue(gives(hat).startsWith("bell.up=hat 2 up bell.right=hat 2 right"), gives(hat));
        assertEquals(
                new Wiring.Crossing("R1", "C2"),
                hat.ways().get(ringout.hid.Direction.UP).wiring());
    }

    @Test
    void aHatThatBecomesASelectorGetsButtons() {
        Control selector = become("look", Part.SELECTOR);
        assertEquals("look.1=button 2 look.2=button 6 look.3=button 7", gives(selector));
        assertEquals(new Wiring.Crossing("R1", "C3"), wiring(selector).get(0));
    }

    // ---------------------------------------------------------------- and in the file

    /** What both have in common keeps its text, spaces and remarks included. */
    @Test
    void inTheFileOnlyWhatDiffersIsWritten() {
        PlanDocument document = PlanDocument.of(YAML, "desk");
        String toggle = document.replaceControl(become("button-1", Part.TOGGLE)).text();
        assertTrue(
                toggle.contains("{ id: button-1, label: Horn, kind: toggle, at: [R1,C1], input: button 1 }  # loud"),
                toggle);
        Control.Push horn = (Control.Push) PLAN.control("button-1").orElseThrow();
        Contact c = horn.contact();
        for (Wiring elsewhere : List.of(new Wiring.Crossing("R1", "C3"), new Wiring.Crossing("R2", "C1"))) {
            Control moved = new Control.Push(
                    horn.id(),
                    horn.label(),
                    horn.mount(),
                    new Contact(c.id(), c.control(), elsewhere, c.diode(), c.input()));
            PlanDocument written = document.removeControl("look").replaceControl(moved);
            assertEquals(
                    elsewhere,
                    written.reading()
                            .plan()
                            .orElseThrow()
                            .contact("button-1")
                            .orElseThrow()
                            .wiring(),
                    written.text());
        }
        assertEquals(
                YAML,
                document.replaceControl(PLAN.control("look").orElseThrow()).text());
    }

    /** Directions that are buttons, or of two hats, are written each with its input; those of one hat with its number. */
    @Test
    void aHatIsWrittenAsShortAsItCanBe() {
        String one = "input: hat 1, up: [R1, C3], right: [R2, C1], down: [R2, C2], left: [R2, C3] }";
        assertTrue(YAML.contains(one));
        for (String inputs :
                List.of("button 7|button 8|button 9|button 10", "hat 1 up|hat 2 right|hat 1 down|hat 1 left")) {
            String[] each = inputs.split("\\|");
            Plan plan = Plans.of(YAML.replace(
                    one,
                    String.format(
                            "up: { at: [R1, C3], input: %s }, right: { at: [R2, C1], input: %s }, "
                                    + "down: { at: [R2, C2], input: %s }, left: { at: [R2, C3], input: %s } }",
                            (Object[]) each)));
            Control look = plan.control("look").orElseThrow();
            String written = PlanDocument.of(YAML, "desk")
                    .removeControl("look")
                    .addControl(look)
                    .text();
            assertEquals(Optional.of(look), Plans.of(written).control("look"), written);
        }
        String same = PlanDocument.of(YAML, "desk")
                .removeControl("look")
                .addControl(PLAN.control("look").orElseThrow())
                .text();
        assertTrue(same.contains(one), same);
    }
}
