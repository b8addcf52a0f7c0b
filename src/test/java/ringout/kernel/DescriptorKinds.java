package ringout.kernel;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;

/**
 * Descriptors by the hundred, of the kinds that firmwares of controllers send: each kind with several sizes, widths, signs and
 * orders. Written from HID 1.11 (items: 6.2.2; report IDs: 6.2.2.7; arrays: 6.2.2.5; push and pop: 6.2.2.7) and the HID
 * Usage Tables, item by item, and not by the code that is tested. Which kinds there are is common practice, no source.
 */
final class DescriptorKinds {
    private static final int INPUT = 0x80;
    private static final int OUTPUT = 0x90;
    private static final int FEATURE = 0xB0;
    private static final int COLLECTION = 0xA0;
    private static final int END = 0xC0;
    private static final int PAGE = 0x04;
    private static final int MINIMUM = 0x14;
    private static final int MAXIMUM = 0x24;
    private static final int PHYSICAL_MAXIMUM = 0x44;
    private static final int UNIT = 0x64;
    private static final int SIZE = 0x74;
    private static final int ID = 0x84;
    private static final int COUNT = 0x94;
    private static final int PUSH = 0xA4;
    private static final int POP = 0xB4;
    private static final int USAGE = 0x08;
    private static final int FIRST = 0x18;
    private static final int LAST = 0x28;

    private static final int APPLICATION = 1;
    private static final int PHYSICAL = 0;
    private static final int LOGICAL = 2;
    private static final int CONSTANT = 1;
    private static final int VARIABLE = 2;
    private static final int NULL_STATE = 0x42;

    private static final int JOYSTICK = 0x04;
    private static final int GAME_PAD = 0x05;
    private static final int MULTI_AXIS = 0x08;

    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    private int bits;

    private DescriptorKinds() {}

    /** All of them. */
    static List<DescriptorCase> all() {
        List<DescriptorCase> all = new ArrayList<>();
        for (int buttons : new int[] {1, 2, 7, 8, 9, 12, 16, 17, 24, 31, 32, 33, 57, 64, 80}) {
            all.add(panel("a panel of " + buttons + " buttons", JOYSTICK, 0, buttons));
        }
        for (int buttons : new int[] {6, 12, 20, 32, 48}) {
            all.add(panel("a panel of " + buttons + " buttons under a report ID", GAME_PAD, 1 + buttons, buttons));
        }
        for (int size : new int[] {8, 10, 11, 12, 14, 15, 16, 20, 24}) {
            all.add(axesBox(size, false, size % 3));
            all.add(axesBox(size, true, size % 4));
        }
        for (int first = 0; first < 2; first++) {
            for (int last : new int[] {3, 7}) {
                for (int size : new int[] {4, 8}) {
                    all.add(hatBox(first, first + last, size));
                }
            }
        }
        for (int groups = 2; groups <= 6; groups++) {
            all.add(groups(groups));
        }
        for (int size : new int[] {8, 12, 16}) {
            all.add(wheel(size));
            all.add(pedals(size));
            all.add(throttle(size));
        }
        for (int buttons : new int[] {5, 10, 18, 30}) {
            all.add(array(buttons, 3));
            all.add(array(buttons, 1));
        }
        for (int nested = 1; nested <= 8; nested++) {
            all.add(nested(nested));
        }
        for (int players = 2; players <= 4; players++) {
            all.add(players(players));
        }
        for (int seed = 1; seed <= 24; seed++) {
            all.add(any(seed));
        }
        return all;
    }

    // ---------------------------------------------------------------- kinds

    private static DescriptorCase panel(String name, int kind, int id, int buttons) {
        DescriptorKinds d = new DescriptorKinds().application(kind);
        if (id > 0) {
            d.id(id);
        }
        return d.buttons(1, buttons).pad().end(name);
    }

    private static DescriptorCase axesBox(int size, boolean signed, int buttons) {
        DescriptorKinds d = new DescriptorKinds().application(JOYSTICK);
        if (buttons > 0) {
            d.buttons(1, buttons);
        }
        return d.axes(size, signed, 0x30, 0x31, 0x35)
                .pad()
                .end((signed ? "signed axes of " : "axes of ") + size + " bits after " + buttons + " buttons");
    }

    private static DescriptorCase hatBox(int minimum, int maximum, int size) {
        return new DescriptorKinds()
                .application(GAME_PAD)
                .hat(minimum, maximum, size)
                .pad()
                .buttons(1, 10)
                .pad()
                .end("a hat of " + size + " bits from " + minimum + " to " + maximum);
    }

    private static DescriptorCase groups(int groups) {
        DescriptorKinds d = new DescriptorKinds().application(JOYSTICK);
        for (int g = 0; g < groups; g++) {
            d.id(10 + 7 * g).buttons(1 + 12 * g, 12 * g + 12).pad();
        }
        return d.id(200).axes(16, false, 0x30, 0x33).end(groups + " groups of buttons, a report each");
    }

    private static DescriptorCase wheel(int size) {
        return new DescriptorKinds()
                .application(JOYSTICK)
                .item(PAGE, 2)
                .values(size, 1, 0, (1L << size) - 1)
                .item(USAGE, 0xC8)
                .item(INPUT, VARIABLE)
                .axes(size - 2, false, 0x31, 0x32, 0x35)
                .pad()
                .buttons(1, 14)
                .hat(1, 8, 4)
                .pad()
                .vendor(OUTPUT, 7)
                .vendor(FEATURE, 3)
                .end("a wheel of " + size + " bits with pedals, lamps and settings");
    }

    private static DescriptorCase pedals(int size) {
        return new DescriptorKinds()
                .application(MULTI_AXIS)
                .item(PAGE, 2)
                .values(size, 3, 0, (1L << size) - 1)
                .item(USAGE, 0xC4)
                .item(USAGE, 0xC5)
                .item(USAGE, 0xBB)
                .item(INPUT, VARIABLE)
                .pad()
                .buttons(1, 2)
                .pad()
                .end("pedals of " + size + " bits");
    }

    private static DescriptorCase throttle(int size) {
        return new DescriptorKinds()
                .application(JOYSTICK)
                .axes(size, false, 0x36, 0x36, 0x37, 0x32)
                .pad()
                .buttons(1, 19)
                .pad()
                .vendor(INPUT, 2)
                .end("two sliders, a dial and Z of " + size + " bits, then a vendor's bytes");
    }

    private static DescriptorCase array(int buttons, int slots) {
        return new DescriptorKinds()
                .application(JOYSTICK)
                .item(PAGE, 9)
                .item(FIRST, 1)
                .item(LAST, buttons)
                .values(8, slots, 1, buttons)
                .item(INPUT, 0)
                .end(slots + " at once of " + buttons + " buttons");
    }

    private static DescriptorCase nested(int depth) {
        DescriptorKinds d = new DescriptorKinds().application(JOYSTICK);
        for (int i = 0; i < depth; i++) {
            d.item(PAGE, 1).item(USAGE, 1).item(COLLECTION, i % 2 == 0 ? PHYSICAL : LOGICAL);
            d.buttons(1 + 3 * i, 3 * i + 3);
        }
        d.pad();
        d.item(PHYSICAL_MAXIMUM, 270).item(UNIT, 0x14);
        d.axes(8, true, 0x30, 0x31);
        d.item(PHYSICAL_MAXIMUM, 0).item(UNIT, 0);
        for (int i = 0; i < depth; i++) {
            d.bytes.write(END);
        }
        return d.end(depth + " collections inside each other");
    }

    private static DescriptorCase players(int players) {
        DescriptorKinds d = new DescriptorKinds();
        for (int p = 1; p <= players; p++) {
            d.application(p % 2 == 0 ? GAME_PAD : JOYSTICK);
            d.id(p).buttons(1, 4 + p).pad().axes(8, p % 2 == 0, 0x30 + p, 0x34);
            d.bytes.write(END);
            d.bits = 0;
        }
        return new DescriptorCase(players + " places behind one interface", d.bytes.toByteArray());
    }

    /** Parts in any order, with any sizes, as far as they fit into a report that the emulated kernel takes. */
    private static DescriptorCase any(int seed) {
        Random random = new Random(seed);
        DescriptorKinds d = new DescriptorKinds()
                .application(List.of(JOYSTICK, GAME_PAD, MULTI_AXIS).get(seed % 3));
        if (random.nextBoolean()) {
            d.id(1 + random.nextInt(255));
        }
        int button = 1;
        List<Integer> left = new ArrayList<>(List.of(0x30, 0x31, 0x32, 0x33, 0x34, 0x35, 0x36, 0x37, 0x38));
        boolean hat = false;
        for (int part = 0; part < 3 + random.nextInt(5); part++) {
            switch (random.nextInt(6)) {
                case 0, 1 -> {
                    int more = 1 + random.nextInt(13);
                    d.buttons(button, button + more - 1);
                    button += more + random.nextInt(2);
                }
                case 2 -> {
                    int size = 2 + random.nextInt(15);
                    d.axes(size, random.nextBoolean(), left.remove(random.nextInt(left.size())));
                }
                case 3 -> {
                    if (!hat) {
                        d.hat(random.nextInt(2), 7 + random.nextInt(2), 4 + random.nextInt(3));
                        hat = true;
                    }
                }
                case 4 -> {
                    d.bytes.write(PUSH);
                    d.axes(8, false, left.remove(random.nextInt(left.size())));
                    d.bytes.write(POP);
                }
                default -> d.constant(1 + random.nextInt(9));
            }
        }
        return d.buttons(button, button + 2).pad().end("parts in any order, " + seed);
    }

    // ---------------------------------------------------------------- parts

    private DescriptorKinds application(int kind) {
        return item(PAGE, 1).item(USAGE, kind).item(COLLECTION, APPLICATION);
    }

    private DescriptorKinds id(int id) {
        bits = 0;
        return item(ID, id);
    }

    private DescriptorKinds buttons(int first, int last) {
        return item(PAGE, 9)
                .item(FIRST, first)
                .item(LAST, last)
                .values(1, last - first + 1, 0, 1)
                .item(INPUT, VARIABLE);
    }

    private DescriptorKinds axes(int size, boolean signed, int... usages) {
        item(PAGE, 1);
        values(size, usages.length, signed ? -(1L << size - 1) : 0, (1L << (signed ? size - 1 : size)) - 1);
        for (int usage : usages) {
            item(USAGE, usage);
        }
        return item(INPUT, VARIABLE);
    }

    private DescriptorKinds hat(int minimum, int maximum, int size) {
        return item(PAGE, 1).item(USAGE, 0x39).values(size, 1, minimum, maximum).item(INPUT, NULL_STATE);
    }

    private DescriptorKinds constant(int size) {
        return values(size, 1, 0, 1).item(INPUT, CONSTANT);
    }

    private DescriptorKinds pad() {
        return bits % 8 == 0 ? this : constant(8 - bits % 8);
    }

    private DescriptorKinds vendor(int main, int count) {
        int before = bits;
        item(PAGE, 0xFF00).item(USAGE, 0x20).values(8, count, 0, 255).item(main, VARIABLE);
        bits = main == INPUT ? bits : before;
        return this;
    }

    private DescriptorKinds values(int size, int count, long minimum, long maximum) {
        bits += size * count;
        return item(MINIMUM, minimum).item(MAXIMUM, maximum).item(SIZE, size).item(COUNT, count);
    }

    /** A short item in as few bytes as hold its data as a signed number; bounds of usages and pages are unsigned. */
    private DescriptorKinds item(int prefix, long data) {
        boolean signed = prefix == MINIMUM || prefix == MAXIMUM || prefix == PHYSICAL_MAXIMUM;
        int length = signed
                ? data >= -128 && data < 128 ? 1 : data >= -32768 && data < 32768 ? 2 : 4
                : data < 0x100 ? 1 : data < 0x10000 ? 2 : 4;
        bytes.write(prefix | (length == 4 ? 3 : length));
        for (int i = 0; i < length; i++) {
            bytes.write((int) (data >> 8 * i) & 0xFF);
        }
        return this;
    }

    private DescriptorCase end(String name) {
        bytes.write(END);
        return new DescriptorCase(name, bytes.toByteArray());
    }
}
