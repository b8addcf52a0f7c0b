package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.BitSet;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringout.device.EvdevMapping.Source;
import ringout.hid.AxisUsage;
import ringout.hid.DescriptorBuilder;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputField;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;

/**
 * Numbers: Linux, include/uapi/linux/input-event-codes.h. Which usage gets which: drivers/hid/hid-input.c. The kernel
 * test compares the whole with a running kernel.
 */
class EvdevMappingTest {
    private static final Usage JOYSTICK = new Usage(0x01, 0x04);
    private static final Usage GAMEPAD = new Usage(0x01, 0x05);
    private static final Usage MULTI_AXIS = new Usage(0x01, 0x08);

    private static ReportDescriptor descriptor(DescriptorBuilder builder) throws Exception {
        return ReportDescriptor.parse(builder.bytes());
    }

    private static int button(Usage application, int number) throws Exception {
        ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                .application(application)
                .buttons(number, number)
                .endCollection());
        Source source = EvdevMapping.of(descriptor)
                .source(descriptor.fields().get(0), 0)
                .orElseThrow();
        assertEquals(EvdevMapping.EV_KEY, source.type());
        return source.code();
    }

    @Test
    void buttonsHaveTheCodesOfTheirKindOfController() throws Exception {
        assertEquals(0x120, button(JOYSTICK, 1)); // BTN_TRIGGER
        assertEquals(0x12f, button(JOYSTICK, 16)); // BTN_DEAD
        assertEquals(0x2c0, button(JOYSTICK, 17)); // BTN_TRIGGER_HAPPY1
        assertEquals(0x2e7, button(JOYSTICK, 56)); // BTN_TRIGGER_HAPPY40
        assertEquals(0x2ff, button(JOYSTICK, 80)); // KEY_MAX
        assertEquals(0x130, button(GAMEPAD, 1)); // BTN_SOUTH
        assertEquals(0x13e, button(GAMEPAD, 15)); // BTN_THUMBR
        assertEquals(0x2c0, button(GAMEPAD, 17));
        assertEquals(0x100, button(MULTI_AXIS, 1)); // BTN_0
    }

    @Test
    void aMultiAxisControllersButtonsGoByThePartTheyAreIn() throws Exception {
        ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                .application(MULTI_AXIS)
                .usage(0x01)
                .collection(DescriptorBuilder.PHYSICAL)
                .buttons(1, 3)
                .endCollection()
                .endCollection());
        assertEquals(
                Optional.of(new Source(0, EvdevMapping.EV_KEY, 0x112)), // BTN_MIDDLE
                EvdevMapping.of(descriptor).source(descriptor.fields().get(0), 2));
    }

    @Test
    void axesHaveTheCodesOfTheirUsages() throws Exception {
        Map<AxisUsage, Integer> codes = new EnumMap<>(AxisUsage.class);
        AxisUsage[] all = AxisUsage.values();
        // X to Wheel have the codes 0 to 8; what else there is of page 01 goes to ABS_MISC, 0x28.
        for (int i = 0; i <= AxisUsage.WHEEL.ordinal(); i++) {
            codes.put(all[i], i);
        }
        codes.putAll(Map.of(
                AxisUsage.RUDDER, 7,
                AxisUsage.THROTTLE, 6,
                AxisUsage.ACCELERATOR, 9,
                AxisUsage.BRAKE, 0x0a,
                AxisUsage.CLUTCH, -1,
                AxisUsage.STEERING, 8));
        for (AxisUsage axis : all) {
            ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                    .application(JOYSTICK)
                    .axis(axis, 8, 0, 255)
                    .endCollection());
            Optional<Source> source =
                    EvdevMapping.of(descriptor).source(descriptor.fields().get(0), 0);
            assertEquals(
                    codes.getOrDefault(axis, axis.page() == 0x02 ? -1 : 0x28),
                    source.map(Source::code).orElse(-1),
                    axis.word());
            assertTrue(source.isEmpty() || source.get().type() == EvdevMapping.EV_ABS);
        }
    }

    @Test
    void aSecondHatAndASecondSliderHaveNone() throws Exception {
        ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                .application(JOYSTICK)
                .hat(8)
                .hat(8)
                .axis(AxisUsage.SLIDER, 8, 0, 255)
                .axis(AxisUsage.SLIDER, 8, 0, 255)
                .endCollection());
        List<InputField> fields = descriptor.fields();
        EvdevMapping mapping = EvdevMapping.of(descriptor);
        assertEquals(
                Optional.of(new Source(0, EvdevMapping.EV_ABS, 0x10)), mapping.source(fields.get(0), 0)); // ABS_HAT0X
        assertEquals(Optional.empty(), mapping.source(fields.get(1), 0));
        assertEquals(Optional.of(new Source(0, EvdevMapping.EV_ABS, 6)), mapping.source(fields.get(2), 0));
        assertEquals(Optional.empty(), mapping.source(fields.get(3), 0));
    }

    @Test
    void whatSharesAnAxisCannotBeTold() throws Exception {
        ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                .application(JOYSTICK)
                .axis(AxisUsage.X, 8, 0, 255)
                .axis(AxisUsage.X, 8, 0, 255)
                .axis(AxisUsage.Y, 8, 0, 255)
                .endCollection());
        EvdevMapping mapping = EvdevMapping.of(descriptor);
        assertEquals(Optional.empty(), mapping.source(descriptor.fields().get(0), 0));
        assertEquals(Optional.empty(), mapping.source(descriptor.fields().get(1), 0));
        assertTrue(mapping.source(descriptor.fields().get(2), 0).isPresent());
    }

    @Test
    void eachKindOfApplicationIsADeviceOfItsOwn() throws Exception {
        ReportDescriptor descriptor = descriptor(new DescriptorBuilder()
                .application(JOYSTICK)
                .reportId(1)
                .buttons(1, 8)
                .endCollection()
                .application(GAMEPAD)
                .reportId(2)
                .buttons(1, 8)
                .endCollection());
        EvdevMapping mapping = EvdevMapping.of(descriptor);
        assertEquals(2, mapping.devices().size());
        assertEquals(
                Optional.of(new Source(1, EvdevMapping.EV_KEY, 0x137)),
                mapping.source(descriptor.fields().get(1), 7));
    }

    private static LinuxNode.EventNode node(int number, int firstKey, int lastKey, int... axes) {
        BitSet keys = new BitSet();
        keys.set(firstKey, lastKey + 1);
        return new LinuxNode.EventNode(
                Path.of("/dev/input/event" + number),
                keys,
                IntStream.of(axes).collect(BitSet::new, BitSet::set, BitSet::or));
    }

    @Test
    void aNodeIsTakenOnlyWhereItsKeysAndAxesAreThoseExpected() throws Exception {
        EvdevMapping mapping = EvdevMapping.of(descriptor(new DescriptorBuilder()
                .application(JOYSTICK)
                .buttons(1, 16)
                .axis(AxisUsage.X, 8, 0, 255)
                .endCollection()));
        LinuxNode.EventNode right = node(3, 0x120, 0x12f, 0);
        assertEquals(
                List.of(new EvdevBox.Found(0, right)),
                EvdevBox.match(mapping, List.of(node(2, 1, 0x58), right)).orElseThrow());
        assertTrue(EvdevBox.match(mapping, List.of()).isEmpty());
        assertTrue(EvdevBox.match(mapping, List.of(node(3, 0x120, 0x12e, 0))).isEmpty(), "a key is missing");
        assertTrue(EvdevBox.match(mapping, List.of(node(3, 0x120, 0x130, 0))).isEmpty(), "a key more");
        assertTrue(EvdevBox.match(mapping, List.of(node(3, 0x120, 0x12f, 1))).isEmpty(), "another axis");
        assertTrue(
                EvdevBox.match(mapping, List.of(node(3, 0x120, 0x12f, 0, 0x28))).isEmpty(), "an axis more");
    }

    @Test
    void keysBeyondTheLastOneAreTakenWhereTheKernelHasThem() throws Exception {
        ReportDescriptor descriptor = descriptor(
                new DescriptorBuilder().application(JOYSTICK).buttons(1, 90).endCollection());
        EvdevMapping mapping = EvdevMapping.of(descriptor);
        for (int last : new int[] {0x2ff, 0x309}) {
            LinuxNode.EventNode made = node(3, 0x120, 0x12f);
            made.keys().set(0x2c0, last + 1);
            assertTrue(EvdevBox.match(mapping, List.of(made)).isPresent());
            Set<Input> unseen = new EvdevReports(descriptor, mapping, List.of(made.keys())).unseen();
            assertEquals(
                    last == 0x2ff ? "button 81 to 90" : "",
                    EvdevBox.names(unseen).text());
        }
    }

    @Test
    void bitsAreReadAsTheKernelWritesThem() {
        BitSet expected = new BitSet();
        expected.set(0x120, 0x130);
        // cat /sys/class/input/input*/capabilities/key of a joystick with 16 buttons, on a 64- and a 32-bit system
        assertEquals(expected, LinuxNode.bits("ffff00000000 0 0 0 0\n", 64));
        assertEquals(expected, LinuxNode.bits("ffff 0 0 0 0 0 0 0 0 0\n", 32));
        assertTrue(LinuxNode.bits("0\n", 64).isEmpty());
        assertFalse(LinuxNode.bits("8000000000000000\n", 64).isEmpty());
    }

    @Test
    void inputsAreNamedByRanges() {
        assertEquals(
                "button 1, button 3 to 5, button 6 to 7 of 2, hat 2, axis Clutch",
                EvdevBox.names(List.of(
                                new Input.Button(5),
                                new Input.Button(4),
                                new Input.Button(3),
                                new Input.Button(1),
                                new Input.Button(6, 2),
                                new Input.Button(7, 2),
                                new Input.Hat(2, Direction.UP),
                                new Input.Hat(2, Direction.LEFT),
                                new Input.Axis(AxisUsage.CLUTCH)))
                        .text());
    }
}
