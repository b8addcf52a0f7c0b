package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.hid.Descriptors.fixture;
import static ringout.hid.Descriptors.hex;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ReportDecoderTest {
    private static final Usage JOYSTICK = new Usage(0x01, 0x04);
    private static final Usage GAME_PAD = new Usage(0x01, 0x05);
    private static final Usage MULTI_AXIS = new Usage(0x01, 0x08);
    private static final Usage VENDOR = new Usage(0xFF00, 0x01);

    /** A decoder with its state, fed with hex. */
    private static final class Box {
        final ReportDecoder decoder;
        final InputState state;

        Box(byte[] descriptor) throws DescriptorException {
            decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
            state = decoder.layout().newState();
        }

        Box(DescriptorBuilder builder) throws DescriptorException {
            this(builder.endCollection().bytes());
        }

        ReportOutcome report(String text) {
            byte[] bytes = hex(text);
            return decoder.decode(bytes, bytes.length, state);
        }

        String on() {
            return state.onInputs().toString();
        }

        /** What is on after that report. */
        String on(String text) {
            report(text);
            return on();
        }

        long axis(String input) {
            return state.axis(
                    decoder.layout().indexOf(Input.parse(input).orElseThrow()).orElseThrow());
        }

        String inputs() {
            return decoder.layout().inputs().toString();
        }
    }

    /** Usages: HUT, Generic Desktop page 0x3D, 0x3E, 0x85, 0x40; Simulation Controls 0xBE, 0xB0; Consumer 0x223. */
    @Test
    void whatIsOnOrOffAndNoButtonGoesByItsUsage() throws DescriptorException {
        Box box = new Box(hex("05 01 09 05 A1 01 05 01 09 3D 09 3D 09 3E 09 85 15 00 25 01 75 01 95 04 81 02 "
                + "05 02 09 BE 05 0C 0A 23 02 06 00 FF 09 21 06 00 FF 09 00 95 04 81 02 "
                + "05 01 09 40 15 00 26 FF 00 75 08 95 01 81 02 05 02 09 B0 81 02 06 00 FF 09 22 81 02 C0"));
        assertEquals(
                "[button Start, button Start 2, button Select, button System Main Menu, button Landing Gear, "
                        + "button AC Home, button Vendor 0xFF00:0x21, axis Vx, axis Aileron]",
                box.inputs());
        assertEquals("[button Start, button AC Home]", box.on("21 12 34 56"));
        assertEquals(0x12, box.axis("axis Vx"));
        assertEquals(0x34, box.axis("axis aileron"));
        GameControls controls = GameControls.of(
                ReportDescriptor.parse(hex("05 01 09 05 A1 01 06 00 FF 09 22 15 00 26 FF 00 75 08 95 03 81 02 C0")));
        assertEquals(java.util.Map.of(new Usage(0xFF00, 0x22), 3), controls.unread());
    }

    @Test
    void everyInputIsReadBackFromItsText() {
        List<Input> inputs = List.of(
                new Input.Button(7, 2),
                new Input.Named(new Usage(1, 0x3D)),
                new Input.Named(new Usage(1, 0x86), 3, 2),
                new Input.Named(new Usage(0x0C, 0xCD)),
                new Input.Named(new Usage(0x0C, 0x3FF), 2, 1),
                new Input.Named(new Usage(0xFF00, 0x21)),
                new Input.Named(new Usage(0x20, 0x21)),
                new Input.Hat(1, Direction.LEFT),
                new Input.Axis(AxisUsage.WING_FLAPS, 2, 1),
                new Input.Axis(AxisUsage.ANTI_TORQUE));
        for (Input input : inputs) {
            assertEquals(input, Input.parse(input.text()).orElseThrow(), input.text());
            assertEquals(
                    input,
                    Input.parse(input.text().toUpperCase(java.util.Locale.ROOT)).orElseThrow());
        }
        for (AxisUsage axis : AxisUsage.values()) {
            assertEquals(
                    new Input.Axis(axis), Input.parse("axis " + axis.word()).orElseThrow());
        }
        for (String none : new String[] {"button", "button Nothing", "button X", "button 0x3D", "axis Start"}) {
            assertTrue(Input.parse(none).isEmpty(), none);
        }
    }

    /** Linux 6.1, drivers/hid/hid-input.c, hidinput_hid_event: a value is held to its extent; a key is on where that is not 0. */
    @Test
    void aButtonWhoseExtentLeavesOutZeroIsAlwaysOn() throws DescriptorException {
        String buttons = "05 09 19 01 29 02 75 01 95 02 81 %02X 95 06 81 03 C0";
        Box after = new Box(hex("05 01 09 04 A1 01 15 01 25 08 " + String.format(buttons, 0x02)));
        assertEquals("[button 1, button 2]", after.on("01"));
        Box nullState = new Box(hex("05 01 09 04 A1 01 15 01 25 08 " + String.format(buttons, 0x42)));
        assertEquals("[button 1]", nullState.on("01"));
        Box never = new Box(hex("05 01 09 04 A1 01 15 00 25 00 " + String.format(buttons, 0x02)));
        assertEquals("[button 2]", never.on("02"));
    }

    private static DescriptorBuilder joystick() {
        return new DescriptorBuilder().application(JOYSTICK);
    }

    @Test
    void driversDeskWithItsVendorPage() throws DescriptorException {
        Box desk = new Box(fixture("drivers-desk"));
        assertEquals(32 + 4, desk.decoder.layout().switches().size());
        assertEquals(ReportOutcome.OK, desk.report("01 01 00 00 80 02 FF FF"));
        assertEquals("[button 1, button 32, hat 1 right]", desk.on());
        assertEquals(65535, desk.axis("axis Slider"));
        assertEquals(ReportOutcome.OK, desk.report("02 01 02 03 04 05 06 07 08"));
        assertEquals("[button 1, button 32, hat 1 right]", desk.on());
    }

    @Test
    void awkwardDescriptor() throws DescriptorException {
        Box box = new Box(fixture("awkward"));
        assertEquals(
                2,
                box.decoder.layout().switches().stream()
                        .filter(input ->
                                input instanceof Input.Button button && button.collection() == 1 && button.number() < 3)
                        .count());
        // Report 1, from bit 0: 101 buttons, X 12 bits 0x9A5, slider 16 bits 0xFFFF, one bit of padding.
        box.report("01 2D CD FF 7F");
        assertEquals("[button 1, button 3]", box.on());
        assertEquals(0x9A5, box.axis("axis X"));
        assertEquals(0xFFFF, box.axis("axis Slider"));
        // Report 2: slots 20, 0 (none), 3; wheel -2; D-pad up and left.
        box.report("02 14 0C FE FF FF FF 09");
        assertEquals("[button 1, button 3, button 3 of 2, button 20 of 2, hat 1 up of 2, hat 1 left of 2]", box.on());
        assertEquals(-2, box.axis("axis Wheel of 2"));
        assertTrue(box.decoder.layout().axes().get(2).relative());
    }

    @ParameterizedTest
    @CsvSource({"4", "5", "8"})
    void joystickGamePadAndMultiAxisControllerAreGameControllers(int id) throws DescriptorException {
        assertEquals(
                "[button 1]",
                new Box(new DescriptorBuilder().application(new Usage(1, id)).buttons(1, 1)).inputs());
    }

    @Test
    void otherCollectionsNeitherHideNorAddInputs() throws DescriptorException {
        Box box = new Box(new DescriptorBuilder()
                .application(VENDOR)
                .reportId(1)
                .buttons(1, 8)
                .endCollection()
                .application(new Usage(1, 2))
                .reportId(2)
                .buttons(1, 8)
                .endCollection()
                // A game controller without a single input is not counted either.
                .application(JOYSTICK)
                .reportId(3)
                .usagePage(0xFF00)
                .usage(1)
                .report(8, 1)
                .input(DescriptorBuilder.VARIABLE)
                .endCollection()
                .application(GAME_PAD)
                .reportId(4)
                .buttons(1, 2)
                .padToByte()
                .application(VENDOR)
                .usage(1)
                .buttons(3, 8)
                .padToByte()
                .endCollection());
        assertEquals("[button 1, button 2]", box.inputs());
        assertEquals(ReportOutcome.OK, box.report("01 FF"));
        assertEquals("[]", box.on());
        assertEquals("[button 2]", box.on("04 02 FF"));
    }

    @Test
    void secondGameControllerOfTheSameInterface() throws DescriptorException {
        Box box = new Box(new DescriptorBuilder()
                .application(JOYSTICK)
                .reportId(1)
                .buttons(1, 8)
                .axis(AxisUsage.X, 8, 0, 255)
                .hat(8)
                .padToByte()
                .endCollection()
                .application(MULTI_AXIS)
                .reportId(2)
                .buttons(1, 8)
                .axis(AxisUsage.X, 8, 0, 255)
                .hat(8)
                .padToByte());
        box.report("01 01 11 00");
        box.report("02 02 22 02");
        assertEquals("[button 1, button 2 of 2, hat 1 up, hat 1 right of 2]", box.on());
        assertEquals(0x11, box.axis("axis X"));
        assertEquals(0x22, box.axis("axis X of 2"));
    }

    @Test
    void aReportChangesOnlyItsOwnFields() throws DescriptorException {
        Box box = new Box(joystick()
                .reportId(1)
                .buttons(1, 4)
                .padToByte()
                .axis(AxisUsage.X, 8, 0, 255)
                .reportId(2)
                .buttons(5, 8)
                .padToByte()
                .axis(AxisUsage.Y, 8, 0, 255));
        box.report("01 0F 11");
        box.report("02 0F 22");
        assertEquals("[button 5, button 6, button 7, button 8]", box.on("01 00 33"));
        assertEquals(0x33, box.axis("axis X"));
        assertEquals(0x22, box.axis("axis Y"));
    }

    @Test
    void shortLongUnknownAndEmptyReports() throws DescriptorException {
        Box box = new Box(joystick().reportId(5).buttons(1, 12).padToByte().axis(AxisUsage.X, 16, 0, 65535));
        ReportCounts counts = new ReportCounts();
        counts.add(box.report("05 FF 0F 34 12"));
        assertEquals(0x1234, box.axis("axis X"));
        // Eight of the twelve buttons and no axis: those eight change, all else stays.
        counts.add(box.report("05 00"));
        assertEquals("[button 9, button 10, button 11, button 12]", box.on());
        // The lower half of X is not X.
        counts.add(box.report("05 00 00 FF"));
        assertEquals("[]", box.on());
        assertEquals(0x1234, box.axis("axis X"));
        counts.add(box.report("05 01 00 78 56 FF FF"));
        assertEquals("[button 1]", box.on());
        assertEquals(0x5678, box.axis("axis X"));
        counts.add(box.report("06 FF FF FF FF"));
        counts.add(box.report("00 FF FF FF FF"));
        counts.add(box.report(""));
        assertEquals("[button 1]", box.on());
        assertEquals(1, counts.of(ReportOutcome.OK));
        assertEquals(3, counts.of(ReportOutcome.SHORT));
        assertEquals(1, counts.of(ReportOutcome.LONG));
        assertEquals(2, counts.of(ReportOutcome.UNKNOWN_ID));
        assertEquals(7, counts.total());
    }

    @Test
    void withoutReportIdsTheFirstByteIsData() throws DescriptorException {
        Box box = new Box(joystick().buttons(1, 8));
        assertEquals("[button 1, button 8]", box.on("81"));
        assertEquals(ReportOutcome.SHORT, box.report(""));
        assertEquals(ReportOutcome.UNKNOWN_ID, new Box(joystick()).report("01"));
    }

    @Test
    void lengthAndLayoutAreChecked() throws DescriptorException {
        Box box = new Box(joystick().buttons(1, 8));
        assertThrows(IndexOutOfBoundsException.class, () -> box.decoder.decode(new byte[1], 2, box.state));
        InputState other = new Box(joystick().buttons(1, 8)).state;
        assertThrows(IllegalArgumentException.class, () -> box.decoder.decode(new byte[1], 1, other));
        // The buffer may be longer than the report.
        assertEquals(ReportOutcome.OK, box.decoder.decode(new byte[] {1, 2, 3}, 1, box.state));
    }

    /**
     * Kernel, hidinput_hid_event: direction (value - minimum) * 8 / positions, from up clockwise; HID 1.11 section 5.10:
     * outside the extent is no direction.
     */
    @ParameterizedTest
    @CsvSource({
        "0, 7, '0 1 2 3 4 5 6 7 8 15', 'u ur r dr d dl l ul - -'",
        "1, 8, '0 1 2 3 4 5 6 7 8 9',  '- u ur r dr d dl l ul -'",
        "0, 3, '0 1 2 3 4 7 15',       'u r d l - - -'",
        "1, 4, '0 1 2 3 4 5',          '- u r d l -'",
        "-4, 3, '12 13 15 0 3 4 11',   'u ur dr d ul - -'",
        "0, 15, '0 1 2 3 4 8 15',      'u u ur ur r d ul'",
        "0, 1, '0 1 2',                'u d -'"
    })
    void hats(int minimum, long maximum, String values, String expected) throws DescriptorException {
        Box box = new Box(joystick()
                .usage(0x39)
                .logical(minimum, maximum)
                .report(4, 1)
                .input(DescriptorBuilder.VARIABLE)
                .padding(4));
        StringBuilder directions = new StringBuilder();
        for (String value : values.split(" ")) {
            box.report(Integer.toHexString(Integer.parseInt(value)));
            directions.append(directions(box.state)).append(' ');
        }
        assertEquals(expected, directions.toString().strip());
    }

    /** Neither 4 nor 8 positions, but degrees: the nearest eighth of a turn, unlike the kernel, which rounds down. */
    @ParameterizedTest
    @CsvSource({
        "0, 359,   0, 359, '0 22 23 45 67 68 90 180 315 337 338 359 360', 'u u ur ur ur r r d ul ul u u -'",
        "0, 15,    0, 337, '0 1 2 3 4 14 15 16',                          'u u ur ur r ul ul -'",
        "0, 35, -180, 170, '0 9 18 27 35',                                'd l u r d'"
    })
    void hatsInDegrees(int minimum, int maximum, int least, int most, String values, String expected)
            throws DescriptorException {
        Box box = new Box(joystick()
                .usage(0x39)
                .logical(minimum, maximum)
                .physical(least, most)
                .unit(0x14)
                .report(16, 1)
                .input(DescriptorBuilder.VARIABLE | DescriptorBuilder.NULL_STATE));
        StringBuilder directions = new StringBuilder();
        for (String value : values.split(" ")) {
            int v = Integer.parseInt(value);
            box.report(String.format("%02X %02X", v & 0xFF, v >> 8));
            directions.append(directions(box.state)).append(' ');
        }
        assertEquals(expected, directions.toString().strip());
    }

    private static String directions(InputState state) {
        StringBuilder letters = new StringBuilder();
        for (Direction direction : List.of(Direction.UP, Direction.DOWN, Direction.RIGHT, Direction.LEFT)) {
            if (state.isOn(new Input.Hat(1, direction))) {
                letters.append(direction.word().charAt(0));
            }
        }
        return letters.isEmpty() ? "-" : letters.toString().replace("ru", "ur").replace("rd", "dr");
    }

    @Test
    void dpadUsagesMakeAHatOfTheirOwn() throws DescriptorException {
        // HUT, Generic Desktop page: D-pad Up 0x90, Down 0x91, Right 0x92, Left 0x93.
        Box box = new Box(joystick()
                .hat(4)
                .usage(0x90)
                .usage(0x91)
                .usage(0x92)
                .usage(0x93)
                .usage(0x90)
                .usage(0x92)
                .logical(0, 1)
                .report(1, 6)
                .input(DescriptorBuilder.VARIABLE)
                .padToByte());
        assertEquals(
                "[hat 1 up, hat 1 right, hat 1 down, hat 1 left, hat 2 up, hat 2 right, hat 2 down, hat 2 left, "
                        + "hat 3 up, hat 3 right]",
                box.inputs());
        assertEquals("[hat 1 down, hat 2 down]", box.on("22 00"));
        assertEquals("[hat 2 left, hat 3 right]", box.on("8F 02"));
    }

    @Test
    void buttonsOfSeveralBitsAreOnUnlessZero() throws DescriptorException {
        Box box = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usages(1, 3)
                .logical(0, 255)
                .report(8, 3)
                .input(DescriptorBuilder.VARIABLE));
        assertEquals("[button 1, button 2]", box.on("01 80 00"));
        Box signed = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usages(1, 2)
                .logical(-1, 0)
                .report(1, 2)
                .input(DescriptorBuilder.VARIABLE)
                .padToByte());
        assertEquals("[button 2]", signed.on("02"));
    }

    @Test
    void aButtonOrAxisWithoutValueStaysAsItWas() throws DescriptorException {
        // HID 1.11 section 5.10: a null value leaves the control as it was.
        int flags = DescriptorBuilder.VARIABLE | DescriptorBuilder.NULL_STATE;
        Box box = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usage(1)
                .logical(0, 1)
                .report(8, 1)
                .input(flags)
                .usagePage(UsagePage.GENERIC_DESKTOP)
                .usage(0x30)
                .logical(10, 20)
                .report(8, 1)
                .input(flags));
        box.report("01 0F");
        assertEquals("[button 1]", box.on("02 00"));
        assertEquals(15, box.axis("axis X"));
        assertEquals("[]", box.on("00 14"));
        assertEquals(20, box.axis("axis X"));
    }

    @Test
    void anAxisIsHeldToItsExtent() throws DescriptorException {
        // Kernel, hidinput_hid_event: clamped where there is no null state and an extent is declared.
        Box box = new Box(joystick()
                .axis(AxisUsage.X, 8, -100, 100)
                .axis(AxisUsage.Y, 8, 10, 20)
                .axis(AxisUsage.Z, 8, 0, 0));
        box.report("80 00 AB");
        assertEquals(-100, box.axis("axis X"));
        assertEquals(10, box.axis("axis Y"));
        assertEquals(0xAB, box.axis("axis Z"));
        box.report("7F FF 00");
        assertEquals(100, box.axis("axis X"));
        assertEquals(20, box.axis("axis Y"));
    }

    @Test
    void arrayButtons() throws DescriptorException {
        Box box = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usages(0, 40)
                .logical(0, 40)
                .report(8, 3)
                .input(DescriptorBuilder.DATA_ARRAY));
        assertEquals(40, box.decoder.layout().switches().size(), "HUT, Button page: usage 0 is no button");
        assertEquals("[button 3, button 40]", box.on("28 00 03"));
        assertEquals("[button 3]", box.on("03 03 29"));
        // A short report does not hold the whole field: it stays.
        assertEquals("[button 3]", box.on("01 02"));
        assertEquals("[]", box.on("00 00 00"));
    }

    @Test
    void arrayOfListedUsagesWithOffset() throws DescriptorException {
        Box box = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usage(7)
                .usage(2)
                .extendedUsage(new Usage(1, 0x90))
                .usage(4)
                .logical(-1, 2)
                .report(4, 2)
                .input(DescriptorBuilder.DATA_ARRAY));
        assertEquals("[button 2, button 4, button 7, hat 1 up]", box.inputs());
        assertEquals("[button 4, button 7]", box.on("2F"));
        assertEquals("[button 2, hat 1 up]", box.on("01"));
        assertEquals("[button 7]", box.on("3F"));
    }

    @Test
    void aUsageThatComesAgainTakesTheNextFreeNumber() throws DescriptorException {
        Box box = new Box(joystick()
                .usagePage(UsagePage.BUTTON)
                .usage(1)
                .usage(2)
                .logical(0, 1)
                .report(1, 4)
                .input(DescriptorBuilder.VARIABLE)
                .buttons(3, 4)
                .buttons(1, 1)
                .padToByte());
        assertEquals("[button 1, button 2, button 3, button 4, button 5, button 6, button 7]", box.inputs());
        assertEquals("[button 3, button 5, button 7]", box.on("54"));
        assertEquals("[button 5]", box.on("04"), "3 is claimed by a usage that comes later");
    }

    @Test
    void severalAxesOfOneUsage() throws DescriptorException {
        Box box = new Box(joystick()
                .axis(AxisUsage.SLIDER, 8, 0, 255)
                .axis(AxisUsage.SLIDER, 8, 0, 255)
                .axis(AxisUsage.BRAKE, 8, 0, 255));
        box.report("01 02 03");
        assertEquals("[axis Slider, axis Slider 2, axis Brake]", box.inputs());
        assertEquals(2, box.axis("axis Slider 2"));
        assertEquals(3, box.axis("axis Brake"));
    }

    @Test
    void buttonRunsCrossWordsOfTheState() throws DescriptorException {
        Box box = new Box(joystick().padding(3).buttons(1, 200).padToByte());
        byte[] report = new byte[26];
        for (int i = 1; i <= 200; i += 7) {
            report[i + 2 >> 3] |= (byte) (1 << (i + 2 & 7));
        }
        assertEquals(ReportOutcome.OK, box.decoder.decode(report, report.length, box.state));
        for (int i = 1; i <= 200; i++) {
            assertEquals(i % 7 == 1, box.state.isOn(new Input.Button(i)), "button " + i);
        }
        assertEquals(ReportOutcome.OK, box.decoder.decode(new byte[26], 26, box.state));
        assertEquals("[]", box.on());
    }

    @Test
    void valuesOfMoreThan32BitsAreTheirLowest32() throws DescriptorException {
        // As in the kernel, hid_field_extract.
        Box box = new Box(joystick()
                .padding(4)
                .axis(AxisUsage.X, 40, Integer.MIN_VALUE, Integer.MAX_VALUE)
                .padding(4));
        box.report("E0 FF FF FF 7F 55");
        assertEquals(-2, box.axis("axis X"));
    }

    @Test
    void decodingAllocatesNothing() throws DescriptorException {
        Box box = new Box(joystick()
                .buttons(1, 33)
                .padToByte()
                .hat(8)
                .hat(4)
                .axis(AxisUsage.X, 12, -2048, 2047)
                .axis(AxisUsage.Y, 32, 0, 0xFFFFFFFFL)
                .padToByte()
                .usagePage(UsagePage.BUTTON)
                .usages(40, 80)
                .logical(1, 41)
                .report(8, 4)
                .input(DescriptorBuilder.DATA_ARRAY)
                .usagePage(UsagePage.BUTTON)
                .usage(90)
                .logical(0, 3)
                .report(2, 1)
                .input(DescriptorBuilder.VARIABLE)
                .padToByte());
        byte[] report = new byte[box.decoder.layout().switches().size()];
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        ReportCounts counts = new ReportCounts();
        long thread = Thread.currentThread().getId();
        long allocated = 0;
        // The first round pays for whatever the virtual machine sets up once.
        for (int round = 0; round < 2; round++) {
            long before = threads.getThreadAllocatedBytes(thread);
            for (int i = 0; i < 10_000; i++) {
                report[i % report.length] += (byte) i;
                counts.add(box.decoder.decode(report, i % report.length, box.state));
            }
            allocated = threads.getThreadAllocatedBytes(thread) - before;
        }
        assertTrue(counts.of(ReportOutcome.SHORT) > 0 && counts.of(ReportOutcome.LONG) > 0);
        // A single object for each report would be 160,000 bytes; asking itself may cost a few.
        assertTrue(allocated < 1_000, allocated + " bytes");
    }
}
