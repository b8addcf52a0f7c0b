package ringout.device;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.AxisUsage;
import ringout.hid.DescriptorBuilder;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.hid.ReportOutcome;
import ringout.hid.Usage;

/** Reports written from events decode to what the events said. Codes: Linux, include/uapi/linux/input-event-codes.h. */
class EvdevReportsTest {
    private static final int KEY = EvdevMapping.EV_KEY;
    private static final int REL = EvdevMapping.EV_REL;
    private static final int ABS = EvdevMapping.EV_ABS;
    private static final Usage JOYSTICK = new Usage(0x01, 0x04);

    /** A box with what follows it: the bytes of its reports, and what they decode to. */
    private static final class Box {
        final EvdevReports reports;
        final ReportDecoder decoder;
        final InputState state;
        final byte[] buffer = new byte[64];

        Box(DescriptorBuilder builder) throws Exception {
            ReportDescriptor descriptor =
                    ReportDescriptor.parse(builder.endCollection().bytes());
            BitSet all = new BitSet();
            all.set(0, EvdevMapping.LAST_KEY + 1);
            reports = new EvdevReports(descriptor, EvdevMapping.of(descriptor), List.of(all, all));
            decoder = new ReportDecoder(descriptor);
            state = decoder.layout().newState();
        }

        Box event(int type, int code, int value) {
            reports.event(0, type, code, value);
            return this;
        }

        byte[] report() {
            return Arrays.copyOf(buffer, reports.take(buffer));
        }

        Box decode() {
            byte[] report = report();
            assertEquals(ReportOutcome.OK, decoder.decode(report, report.length, state));
            return this;
        }

        long axis(AxisUsage usage) {
            return state.axis(decoder.layout().indexOf(new Input.Axis(usage)).orElseThrow());
        }
    }

    private static DescriptorBuilder joystick() {
        return new DescriptorBuilder().application(JOYSTICK);
    }

    @Test
    void aButtonIsABitAndComesOnce() throws Exception {
        Box box = new Box(joystick().buttons(1, 16));
        assertEquals(0, box.report().length, "nothing has happened");
        box.event(KEY, 0x121, 1).event(KEY, 0x128, 1);
        assertArrayEquals(new byte[] {0b10, 0b1}, box.report());
        assertEquals(0, box.report().length, "told already");
        box.event(KEY, 0x121, 1)
                .event(KEY, 0x300, 1)
                .event(KEY, 0x3FF, 1)
                .event(ABS, 0x3F, 9)
                .event(0x15, 0, 1);
        assertEquals(0, box.report().length, "nothing new");
        assertArrayEquals(new byte[] {0, 0b1}, box.event(KEY, 0x121, 0).report());
    }

    @Test
    void onlyReportsThatChangedAreTold() throws Exception {
        Box box = new Box(joystick().reportId(3).buttons(1, 8).reportId(7).axis(AxisUsage.X, 8, -127, 127));
        assertArrayEquals(new byte[] {7, -5}, box.event(ABS, 0, -5).report());
        box.event(ABS, 0, 100).event(KEY, 0x127, 1);
        assertArrayEquals(new byte[] {3, (byte) 0x80}, box.report());
        assertArrayEquals(new byte[] {7, 100}, box.report());
        assertEquals(0, box.report().length);
    }

    @ParameterizedTest
    @ValueSource(ints = {4, 8})
    void aHatPointsWhereTheKernelsAxesPoint(int positions) throws Exception {
        Box box = new Box(joystick().hat(positions).padToByte());
        for (int round = 0; round < 2; round++) {
            for (int y = -1; y <= 1; y++) {
                for (int x = -1; x <= 1; x++) {
                    if (positions == 8 || x == 0 || y == 0) {
                        box.event(ABS, 0x10, x).event(ABS, 0x11, y);
                        byte[] report = box.report();
                        if (report.length > 0) { // not the first, centred one, if it comes first
                            box.decoder.decode(report, report.length, box.state);
                        }
                        assertEquals(x == -1, box.state.isOn(new Input.Hat(1, Direction.LEFT)), x + "," + y);
                        assertEquals(x == 1, box.state.isOn(new Input.Hat(1, Direction.RIGHT)), x + "," + y);
                        assertEquals(y == -1, box.state.isOn(new Input.Hat(1, Direction.UP)), x + "," + y);
                        assertEquals(y == 1, box.state.isOn(new Input.Hat(1, Direction.DOWN)), x + "," + y);
                    }
                }
            }
        }
    }

    @Test
    void aHatThatTheKernelLeavesOutIsCentred() throws Exception {
        Box box = new Box(joystick().buttons(1, 8).hat(8).hat(8));
        box.event(KEY, 0x120, 1).event(ABS, 0x10, 0).event(ABS, 0x11, -1).decode();
        assertTrue(box.state.isOn(new Input.Hat(1, Direction.UP)));
        assertEquals(2, box.state.onInputs().size(), box.state.onInputs().toString());
        assertEquals("hat 2", EvdevBox.names(box.reports.unseen()).text());
    }

    @Test
    void axesAreHeldToTheirExtent() throws Exception {
        Box box = new Box(joystick()
                .axis(AxisUsage.X, 12, 0, 4095)
                .axis(AxisUsage.Y, 12, -2000, 2000)
                .axis(AxisUsage.RZ, 32, Integer.MIN_VALUE, Integer.MAX_VALUE)
                .axis(AxisUsage.SLIDER, 8, 20, 100));
        box.event(ABS, 0, 4095)
                .event(ABS, 1, -2000)
                .event(ABS, 5, Integer.MIN_VALUE)
                .event(ABS, 6, 0)
                .decode();
        assertEquals(4095, box.axis(AxisUsage.X));
        assertEquals(-2000, box.axis(AxisUsage.Y));
        assertEquals(Integer.MIN_VALUE, box.axis(AxisUsage.RZ));
        assertEquals(20, box.axis(AxisUsage.SLIDER), "the kernel's 0 before anything came");
    }

    @Test
    void anArrayFieldHoldsWhatIsOnInOrder() throws Exception {
        Box box = new Box(joystick()
                .usagePage(9)
                .usages(1, 24)
                .logical(1, 24)
                .report(8, 3)
                .input(DescriptorBuilder.DATA_ARRAY));
        assertArrayEquals(new byte[] {17, 0, 0}, box.event(KEY, 0x2c0, 1).report());
        assertArrayEquals(new byte[] {2, 17, 0}, box.event(KEY, 0x121, 1).report());
        assertArrayEquals(
                new byte[] {0, 0, 0},
                box.event(KEY, 0x121, 0).event(KEY, 0x2c0, 0).report());
    }

    @Test
    void anArrayFieldWithoutAValueForNothingRepeatsWhatIsOn() throws Exception {
        Box box = new Box(joystick()
                .usagePage(9)
                .usages(1, 16)
                .logical(0, 15)
                .report(4, 2)
                .input(DescriptorBuilder.DATA_ARRAY));
        box.event(KEY, 0x125, 1).decode();
        assertEquals("[button 6]", box.state.onInputs().toString());
    }

    @Test
    void aRelativeAxisReturnsToNothing() throws Exception {
        Box box = new Box(joystick()
                .buttons(1, 8)
                .usagePage(1)
                .usage(0x37)
                .logical(-127, 127)
                .report(8, 1)
                .input(DescriptorBuilder.VARIABLE | DescriptorBuilder.RELATIVE));
        assertArrayEquals(new byte[] {0, 3}, box.event(REL, 7, 3).report());
        assertArrayEquals(new byte[] {0, 3}, box.event(REL, 7, 3).report());
        assertArrayEquals(new byte[] {1, 0}, box.event(KEY, 0x120, 1).report());
    }

    @Test
    void randomStatesSurvive() throws Exception {
        Box box = new Box(joystick()
                .buttons(1, 5)
                .axis(AxisUsage.X, 11, -1000, 1000)
                .buttons(6, 40)
                .hat(8)
                .axis(AxisUsage.Y, 16, 0, 65535)
                .buttons(41, 80));
        Random random = new Random(7);
        for (int i = 0; i < 1000; i++) {
            int x = random.nextInt(2001) - 1000;
            int y = random.nextInt(65536);
            BitSet on = new BitSet();
            for (int button = 1; button <= 80; button++) {
                on.set(button, random.nextBoolean());
                box.event(KEY, button <= 16 ? 0x11f + button : 0x2c0 + button - 17, on.get(button) ? 1 : 0);
            }
            box.event(ABS, 0, x).event(ABS, 1, y).decode();
            assertEquals(x, box.axis(AxisUsage.X));
            assertEquals(y, box.axis(AxisUsage.Y));
            for (int button = 1; button <= 80; button++) {
                assertEquals(on.get(button), box.state.isOn(new Input.Button(button)), "button " + button);
            }
        }
    }
}
