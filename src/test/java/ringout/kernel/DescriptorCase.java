package ringout.kernel;

import java.util.List;

/** A descriptor unlike the others. */
public record DescriptorCase(String name, byte[] descriptor) {

    private static DescriptorCase of(String name, String hex) {
        return new DescriptorCase(name, Boxes.bytes(hex));
    }

    /** All of them. */
    public static List<DescriptorCase> all() {
        return List.of(
                of("16 buttons and two 8-bit axes without report ID", """
                        05 01 09 04 A1 01
                          05 09 19 01 29 10 15 00 25 01 75 01 95 10 81 02
                          05 01 09 30 09 31 15 00 26 FF 00 75 08 95 02 81 02
                        C0"""),
                of("buttons, axes and a hat in reports of their own", """
                        05 01 09 05 A1 01
                          85 03 05 09 19 01 29 0C 15 00 25 01 75 01 95 0C 81 02 75 04 95 01 81 03
                          85 07 05 01 09 32 09 35 15 81 25 7F 75 08 95 02 81 02
                          85 FE 09 39 15 00 25 07 35 00 46 3B 01 65 14 75 04 95 01 81 42 75 04 81 03
                        C0"""),
                of("128 buttons in one report", """
                        05 01 09 04 A1 01
                          05 09 19 01 29 80 15 00 25 01 75 01 95 80 81 02
                        C0"""),
                of("128 buttons in six reports", """
                        05 01 09 04 A1 01 05 09 15 00 25 01 75 01 95 18
                          85 01 19 01 29 18 81 02
                          85 02 19 19 29 30 81 02
                          85 03 19 31 29 48 81 02
                          85 04 19 49 29 60 81 02
                          85 05 19 61 29 78 81 02
                          85 06 19 79 29 80 95 08 81 02
                        C0"""),
                of("two hats, from 0 and from 1, and one with four positions", """
                        05 01 09 04 A1 01
                          09 39 15 00 25 07 75 04 95 01 81 42
                          09 39 15 01 25 08 75 04 95 01 81 42
                          09 39 15 00 25 03 75 08 95 01 81 42
                        C0"""),
                of("signed 16-bit axes", """
                        05 01 09 05 A1 01
                          16 00 80 26 FF 7F 75 10 95 06
                          09 30 09 31 09 32 09 33 09 34 09 35 81 02
                        C0"""),
                of("unsigned 16-bit axes whose maximum is written 26 FF FF", """
                        05 01 09 04 A1 01
                          15 00 26 FF FF 75 10 95 02 09 30 09 31 81 02
                        C0"""),
                of("12-bit axes behind three buttons, packed", """
                        05 01 09 04 A1 01
                          05 09 19 01 29 03 15 00 25 01 75 01 95 03 81 02
                          05 01 15 00 26 FF 0F 75 0C 95 04 09 30 09 31 09 32 09 35 81 02
                          75 05 95 01 81 03
                        C0"""),
                of("signed 10-bit axes across bytes", """
                        05 01 09 04 A1 01
                          16 00 FE 26 FF 01 75 0A 95 03 09 33 09 34 09 35 81 02
                          75 02 95 01 81 03
                        C0"""),
                of("array buttons, four at once of 24", """
                        05 01 09 04 A1 01
                          05 09 19 01 29 18 15 01 25 18 75 08 95 04 81 00
                        C0"""),
                of("array buttons of 5 bits from logical minimum 0", """
                        05 01 09 05 A1 01
                          05 09 19 01 29 0C 15 00 25 0B 75 05 95 03 81 00
                          75 01 95 01 81 03
                        C0"""),
                // Unsigned in 31 bits: with 32, values beyond the maximum turn negative inside the kernel.
                of("32-bit axes, and one of 31 bits", """
                        05 01 09 04 A1 01
                          17 00 00 00 80 27 FF FF FF 7F 75 20 95 02 09 30 09 31 81 02
                          15 00 27 FF FF FF 7F 75 1F 95 01 09 32 81 02 75 01 81 03
                        C0"""),
                of("a joystick and a game pad behind one interface, with a vendor page between", """
                        05 01 09 04 A1 01 85 01
                          05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02
                          05 01 09 30 15 81 25 7F 75 08 95 01 81 02
                        C0
                        06 00 FF 09 01 A1 01 85 02
                          09 02 15 00 26 FF 00 75 08 95 04 81 02
                        C0
                        05 01 09 05 A1 01 85 03
                          05 09 19 01 29 14 15 00 25 01 75 01 95 14 81 02 75 04 95 01 81 03
                          05 01 09 30 09 39 15 00 25 07 75 04 95 02 81 42
                        C0"""),
                of("multi-axis controller with pedals and a wheel", """
                        05 01 09 08 A1 01
                          05 02 15 00 26 FF 03 75 0A 95 05 09 BA 09 BB 09 C4 09 C5 09 C8 81 02
                          75 06 95 01 81 03
                          05 09 19 01 29 06 25 01 75 01 95 06 81 02
                          75 02 95 01 81 03
                        C0"""),
                of("two sliders and a dial", """
                        05 01 09 04 A1 01
                          15 00 26 FF 00 75 08 95 03 09 36 09 36 09 37 81 02
                        C0"""),
                of("axes with a narrow extent, with and without null state", """
                        05 01 09 04 A1 01
                          15 14 25 64 75 08 95 02 09 30 09 31 81 42
                          15 9C 25 64 75 08 95 02 09 33 09 34 81 02
                        C0"""),
                of("controls that go by their names", """
                        05 01 09 05 A1 01
                          05 09 19 01 29 04 15 00 25 01 75 01 95 04 81 02
                          05 01 09 3D 09 3E 09 85 09 86 81 02
                          15 00 26 FF 00 75 08 95 02 09 30 09 31 81 02
                        C0"""),
                of("one-bit buttons whose extent leaves out 0, after a hat", """
                        05 01 09 04 A1 01
                          09 39 15 01 25 08 75 04 95 01 81 42
                          05 09 19 01 29 04 75 01 95 04 81 02
                        C0"""),
                of("a joystick in a vendor's collection", """
                        06 00 FF 09 01 A1 01
                          05 01 09 04 A1 01
                            05 09 19 01 29 10 15 00 25 01 75 01 95 10 81 02
                            05 01 09 30 09 31 15 00 26 FF 00 75 08 95 02 81 02
                          C0
                        C0"""),
                of("a bound that the standard forbids: a lone maximum", """
                        05 01 09 04 A1 01
                          05 09 29 08 15 00 25 01 75 01 95 09 81 02
                          75 07 95 01 81 03
                        C0"""),
                of("buttons of a byte each, usages one by one, values by push and pop", """
                        05 01 09 05 A1 01 15 00 25 01 75 08 95 01
                          A4 05 09 26 FF 00 95 04 09 04 09 02 09 0B 09 01 81 02 B4
                          09 30 26 FF 00 81 02
                        C0"""));
    }
}
