package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.hid.Descriptors.fixture;
import static ringout.hid.Descriptors.hex;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.hid.InputField.Extent;
import ringout.hid.InputField.Kind;

/**
 * The example descriptors and reports printed in HID 1.11 (Device Class Definition for Human Interface Devices,
 * 27 June 2001). Sections are cited from the standard; page numbers and D.1's exact items are from memory.
 */
class HidStandardExamplesTest {
    @Test
    void mouseOfAppendixE10() throws DescriptorException {
        byte[] bytes = fixture("hid-1.11-e.10-mouse");
        // E.8, HID descriptor (mouse), page 70: wDescriptorLength 0x0032.
        assertEquals(0x32, bytes.length);
        ReportDescriptor mouse = ReportDescriptor.parse(bytes);
        assertFalse(mouse.usesReportIds());
        assertFalse(mouse.isGameController());
        assertEquals(List.of(new ReportDescriptor.Report(0, 24)), mouse.reports());
        List<InputField> fields = mouse.fields();
        assertEquals(3, fields.size());

        InputField buttons = fields.get(0);
        assertEquals(Kind.VARIABLE, buttons.kind());
        assertEquals(List.of(usage(9, 1), usage(9, 2), usage(9, 3)), usages(buttons));
        assertEquals(0, buttons.bitOffset());
        assertEquals(1, buttons.bitSize());
        assertEquals(new Extent(0, 1), buttons.logical());

        InputField padding = fields.get(1);
        assertEquals(Kind.CONSTANT, padding.kind());
        assertEquals(3, padding.bitOffset());
        assertEquals(5, padding.bits());

        InputField pointer = fields.get(2);
        assertEquals(List.of(usage(1, 0x30), usage(1, 0x31)), usages(pointer));
        assertTrue(pointer.relative());
        assertTrue(pointer.signed());
        assertEquals(new Extent(-127, 127), pointer.logical());
        assertEquals(8, pointer.bitOffset(0));
        assertEquals(16, pointer.bitOffset(1));
        assertEquals(usage(1, 2), pointer.application().usage());

        // B.2, page 61: byte 0 buttons from bit 0, byte 1 X displacement, byte 2 Y displacement.
        assertEquals("9:1=1 9:2=0 9:3=1 1:48=-1 1:49=127", values(mouse, "05 FF 7F"));
    }

    @Test
    void bootKeyboardOfAppendixB1() throws DescriptorException {
        ReportDescriptor keyboard = ReportDescriptor.parse(fixture("hid-1.11-b.1-keyboard"));
        // B.1, page 60: the 8-byte keyboard input report; the output report is none of ours.
        assertEquals(8, keyboard.report(0).orElseThrow().bytes());
        InputField keys = keyboard.fields().get(2);
        assertEquals(Kind.ARRAY, keys.kind());
        assertEquals(16, keys.bitOffset());
        assertEquals(6, keys.count());
        assertEquals(new Extent(0, 255), keys.logical());
        assertTrue(keys.usages().isRange());

        // Appendix C, page 62-63: the report sequence for Alt+Ctrl+Del, left keys; all keys up selects nothing.
        String modifiersUp = "7:224=%d 7:225=0 7:226=%d 7:227=0 7:228=0 7:229=0 7:230=0 7:231=0";
        assertEquals(String.format(modifiersUp, 0, 0), values(keyboard, "00 00 00 00 00 00 00 00"));
        assertEquals(String.format(modifiersUp, 0, 1), values(keyboard, "04 00 00 00 00 00 00 00"));
        assertEquals(String.format(modifiersUp, 1, 1), values(keyboard, "05 00 00 00 00 00 00 00"));
        assertEquals(String.format(modifiersUp, 1, 1) + " 7:76=1", values(keyboard, "05 00 4C 00 00 00 00 00"));
    }

    @Test
    void joystickOfAppendixD1() throws DescriptorException {
        ReportDescriptor joystick = ReportDescriptor.parse(fixture("hid-1.11-d.1-joystick"));
        assertTrue(joystick.isGameController());
        assertEquals(4, joystick.report(0).orElseThrow().bytes());
        ReportDecoder decoder = new ReportDecoder(joystick);
        InputState state = decoder.layout().newState();

        assertEquals(ReportOutcome.OK, decode(decoder, state, "81 00 7F 91"));
        assertEquals("[button 1, button 4, hat 1 right]", state.onInputs().toString());
        assertEquals(-127, axis(state, AxisUsage.THROTTLE));
        assertEquals(0, axis(state, AxisUsage.X));
        assertEquals(127, axis(state, AxisUsage.Y));

        // Null state: a value outside the logical extent is "not on any position".
        decode(decoder, state, "00 00 00 04");
        assertEquals("[]", state.onInputs().toString());
        assertEquals("2:187=0 1:48=0 1:49=0 1:57=null 9:1=0 9:2=0 9:3=0 9:4=0", values(joystick, "00 00 00 04"));
    }

    private static ReportOutcome decode(ReportDecoder decoder, InputState state, String report) {
        byte[] bytes = hex(report);
        return decoder.decode(bytes, bytes.length, state);
    }

    private static long axis(InputState state, AxisUsage usage) {
        return state.axis(state.layout().indexOf(new Input.Axis(usage)).orElseThrow());
    }

    private static String values(ReportDescriptor descriptor, String report) {
        byte[] bytes = hex(report);
        List<String> values = new ArrayList<>();
        for (DecodedReport.Value value :
                DecodedReport.of(descriptor, bytes, bytes.length).values()) {
            values.add(value.usage().page() + ":" + value.usage().id() + "=" + value.value());
        }
        return String.join(" ", values);
    }

    private static Usage usage(int page, int id) {
        return new Usage(page, id);
    }

    private static List<Usage> usages(InputField field) {
        List<Usage> usages = new ArrayList<>();
        for (int i = 0; i < field.count(); i++) {
            usages.add(field.usage(i));
        }
        return usages;
    }
}
