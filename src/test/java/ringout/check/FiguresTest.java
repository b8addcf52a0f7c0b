package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.bench.Plans;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.signal.BoxTiming;
import ringout.signal.ReportRate;

/** What was measured of a box with and without a plan. */
class FiguresTest extends HandFedCheck {
    private final ToggleMeters toggles = new ToggleMeters(check.plan(), layout);
    private final BoxTiming timing = new BoxTiming(layout, 40 * MS, toggles);

    FiguresTest() {
        super(Plans.of("""
                ringout: 1
                box: { name: Panel }
                lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4, D5: pin 5, D6: pin 6 } }
                scan: { direct: ground, debounce: 5 ms }
                controls:
                  - { id: notch, label: Notch, kind: encoder, a: D4, b: D5, cw: button 4, ccw: button 5, detents: 20 }
                  - { id: lamp, label: Lamp, kind: toggle, at: D3, input: button 3 }
                  - { id: bell, label: Bell, kind: push, at: D1, input: button 1 }
                  - { id: horn, label: Horn, kind: push, at: D6, input: button 30 }
                  - { id: brake, label: Brake, kind: axis, input: axis Z }
                  - { id: sander, label: Sander, kind: axis, input: axis X }
                """), 6, new InputLayout.Axis(new Input.Axis(AxisUsage.Z), 0, 1023, false));
        report();
    }

    private void report() {
        check.input(now, state);
        timing.report(now, state);
    }

    private void pulse(int button, long millis) {
        after(300);
        state.set(button - 1, true);
        report();
        after(millis);
        state.set(button - 1, false);
        report();
        after(millis);
        timing.tick(now);
    }

    private Figures figures() {
        return Figures.of(new ReportRate().summary(), timing, check, toggles);
    }

    @Test
    void withoutAPlanEveryInputThatCameOnIsMeasured() {
        pulse(5, 100);
        pulse(2, 100);
        pulse(5, 100);
        Figures figures = Figures.of(new ReportRate().summary(), timing);
        assertEquals(
                List.of("Button 2", "Button 5"),
                figures.contacts().stream()
                        .map(c -> c.named().sentence().text())
                        .toList());
        assertEquals(
                List.of(1L, 2L),
                figures.contacts().stream().map(c -> c.timing().press().edges()).toList());
        assertEquals(Optional.empty(), figures.contacts().get(0).action());
        assertEquals(0, figures.limits().debounceNanos());
        assertEquals(List.of(), figures.encoders());
    }

    @Test
    void contactsAreInTheOrderOfThePlanThenThoseOfNoControl() {
        pulse(6, 100);
        pulse(4, 100);
        pulse(1, 100);
        List<Figures.Contact> contacts = figures().contacts();
        // The horn's button is not among those the box declares, and an encoder's pulses are made by the firmware.
        assertEquals(
                List.of("LAMP", "BELL", "button 6"),
                contacts.stream().map(Figures.Contact::name).toList());
        assertEquals(
                List.of(Optional.of("lamp"), Optional.of("bell"), Optional.empty()),
                contacts.stream().map(Figures.Contact::action).toList());
        assertEquals(new Input.Button(1), contacts.get(1).input());
        assertEquals(1, contacts.get(1).timing().press().edges());
        assertEquals(0, contacts.get(0).timing().press().edges());
        assertEquals(5 * MS, figures().limits().debounceNanos());
    }

    @Test
    void anEncoderIsMeasuredOnceItGaveAPulseThatWasAskedFor() {
        assertEquals(List.of(), figures().encoders());
        after(2100);
        pulse(4, 20);
        after(500);
        assertEquals("notch.ccw", check.prompt().actions().get(0));
        List<Figures.Encoder> encoders = figures().encoders();
        assertEquals(1, encoders.size());
        assertEquals("Notch", encoders.get(0).name());
        assertEquals(1, encoders.get(0).turned().asked());
        assertEquals(20 * MS, encoders.get(0).clockwise().shortest());
        assertEquals(0, encoders.get(0).anticlockwise().pulses());
        pulse(5, 30);
        assertEquals(30 * MS, figures().encoders().get(0).anticlockwise().shortest());
    }

    @Test
    void aToggleIsMeasuredEachWayAndAnAxisOnceItWasLeftAlone() {
        assertEquals(List.of(), figures().axes());
        after(2100);
        // The sander's axis is not among those the box declares.
        assertEquals(
                List.of("Brake"),
                figures().axes().stream().map(Figures.Axis::name).toList());
        pulse(3, 100);
        Figures.Toggle lamp = figures().toggles().get(0);
        assertEquals("Lamp", lamp.name());
        assertEquals(1, figures().toggles().size());
        assertEquals(1, lamp.timing().into().get(0).edges());
        assertEquals(1, lamp.timing().outOf().get(0).edges());
    }
}
