package ringout.naming;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.Usage;

class NamesTest {
    /** HID Usage Tables: Generic Desktop page 0x3D Start, Consumer page 0x223 AC Home. */
    @Test
    void everyKindOfInputHasAName() {
        List<Input> inputs = List.of(
                new Input.Button(7),
                new Input.Named(new Usage(0x01, 0x3D)),
                new Input.Named(new Usage(0x0C, 0x223), 2, 1),
                new Input.Named(new Usage(0xFF00, 0x21)),
                new Input.Hat(1, Direction.UP),
                new Input.Axis(AxisUsage.X, 1, 1));
        assertEquals(
                List.of(
                        "button 7",
                        "button Start",
                        "button AC Home 2",
                        "button Vendor 0xFF00:0x21",
                        "hat 1 up",
                        "axis X"),
                inputs.stream().map(input -> input.words().text(Locale.ENGLISH)).toList());
        assertEquals(
                "button Start of 2",
                new Input.Named(new Usage(0x01, 0x3D), 1, 2).words().text(Locale.ENGLISH));
    }
}
