package ringout.outside;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Plan;

/**
 * A box's report descriptor and reports, byte by byte as in HID 1.11 section 6.2.2 and HUT (Generic Desktop and Button
 * pages): buttons, one bit each, to a whole byte; then each hat in a byte, 0 to 7 clockwise from up and 8 for none; then
 * each axis in two bytes, 0 to 1023.
 */
final class BoxReport {
    /** A joystick of stock firmware declares more buttons than it uses. */
    private static final int SPARE_BUTTONS = 8;

    private final int buttons;
    private final List<Integer> hats = new ArrayList<>();
    private final List<Input.Axis> axes = new ArrayList<>();

    BoxReport(Plan plan) {
        int most = 0;
        Set<Integer> hatNumbers = new TreeSet<>();
        Set<Input.Axis> axisInputs = new TreeSet<>();
        for (Action action : plan.actions()) {
            Input input = action.input().orElse(null);
            if (input instanceof Input.Button b) {
                most = Math.max(most, b.number());
            } else if (input instanceof Input.Hat h) {
                hatNumbers.add(h.number());
            } else if (input instanceof Input.Axis a) {
                axisInputs.add(a);
            }
        }
        buttons = (most + SPARE_BUTTONS + 7) / 8 * 8;
        hats.addAll(hatNumbers);
        axes.addAll(axisInputs);
    }

    byte[] descriptor() {
        ByteArrayOutputStream d = new ByteArrayOutputStream();
        put(d, 0x05, 0x01, 0x09, 0x04, 0xA1, 0x01);
        put(d, 0x05, 0x09, 0x19, 0x01, 0x2A, buttons & 255, buttons >> 8);
        put(d, 0x15, 0x00, 0x25, 0x01, 0x75, 0x01, 0x96, buttons & 255, buttons >> 8, 0x81, 0x02);
        for (int i = 0; i < hats.size(); i++) {
            // Hat switch, 0 to 7, eighths of 315 degrees, null state; then four bits of nothing.
            put(d, 0x05, 0x01, 0x09, 0x39, 0x15, 0x00, 0x25, 0x07, 0x35, 0x00, 0x46, 0x3B, 0x01, 0x65, 0x14);
            put(d, 0x75, 0x04, 0x95, 0x01, 0x81, 0x42, 0x65, 0x00, 0x45, 0x00, 0x95, 0x01, 0x81, 0x03);
        }
        for (Input.Axis axis : axes) {
            AxisUsage usage = axis.usage();
            put(d, 0x05, usage.page(), 0x09, usage.usage(), 0x15, 0x00, 0x26, 0xFF, 0x03);
            put(d, 0x75, 0x10, 0x95, 0x01, 0x81, 0x02);
        }
        put(d, 0xC0);
        return d.toByteArray();
    }

    private static void put(ByteArrayOutputStream to, int... bytes) {
        for (int b : bytes) {
            to.write(b);
        }
    }

    /** @param axisAt values in the order of the axes */
    byte[] report(Set<Input> on, int[] axisAt) {
        byte[] report = new byte[buttons / 8 + hats.size() + 2 * axes.size()];
        int[] ways = new int[hats.size()];
        for (Input input : on) {
            if (input instanceof Input.Button b && b.number() <= buttons) {
                report[(b.number() - 1) / 8] |= (byte) (1 << (b.number() - 1) % 8);
            } else if (input instanceof Input.Hat h) {
                ways[hats.indexOf(h.number())] |= h.direction().bit();
            }
        }
        int at = buttons / 8;
        for (int way : ways) {
            report[at++] = (byte) compass(way);
        }
        for (int i = 0; i < axes.size(); i++) {
            report[at++] = (byte) axisAt[i];
            report[at++] = (byte) (axisAt[i] >> 8);
        }
        return report;
    }

    int axes() {
        return axes.size();
    }

    int axis(Input input) {
        return axes.indexOf(input);
    }

    /** Opposite contacts cancel each other, as stock firmware has it. */
    private static int compass(int ways) {
        boolean up = on(ways, Direction.UP) && !on(ways, Direction.DOWN);
        boolean down = on(ways, Direction.DOWN) && !on(ways, Direction.UP);
        boolean right = on(ways, Direction.RIGHT) && !on(ways, Direction.LEFT);
        boolean left = on(ways, Direction.LEFT) && !on(ways, Direction.RIGHT);
        if (up) {
            return right ? 1 : left ? 7 : 0;
        }
        if (down) {
            return right ? 3 : left ? 5 : 4;
        }
        return right ? 2 : left ? 6 : 8;
    }

    private static boolean on(int ways, Direction direction) {
        return (ways & direction.bit()) != 0;
    }
}
