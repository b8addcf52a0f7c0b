package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.hid.Descriptors.hex;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.kernel.DescriptorCase;

/** Descriptors as they come on Windows, rebuilt by the rules of hidapi 0.14.0, see {@link WindowsRebuilding}. */
class RebuiltDescriptorTest {

    @Test
    void everyDescriptorReadsAsTheBoxsOwn() throws DescriptorException {
        int compared = 0;
        List<String> differ = new ArrayList<>();
        for (DescriptorCase one : DescriptorCase.all()) {
            ReportDescriptor real = ReportDescriptor.parse(one.descriptor());
            if (real.applications().size() > 1 || !real.warnings().isEmpty()) {
                continue; // Windows makes a device of each; what it makes of a breach of the standard, nobody has seen
            }
            for (boolean keepsPadding : new boolean[] {false, true}) {
                byte[] rebuilt = WindowsRebuilding.of(one.descriptor(), keepsPadding);
                ReportDescriptor read = ReportDescriptor.parse(RebuiltDescriptor.bytes(rebuilt));
                assertEquals(FieldText.of(real), FieldText.of(read), one.name());
                assertEquals(
                        GameControls.of(real).layout().inputs(),
                        GameControls.of(read).layout().inputs(),
                        one.name());
                compared++;
                if (!FieldText.of(real).equals(FieldText.of(ReportDescriptor.parse(rebuilt)))) {
                    differ.add(one.name());
                }
            }
        }
        assertTrue(compared >= 30, "compared " + compared);
        assertTrue(differ.size() >= 2, "some must need mending, or this proves nothing: " + differ);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                // 26 FF FF comes as 25 FF: all ones of the field.
                "15 00 25 FF 75 10 95 01 09 30 81 02 | 0 | 65535",
                "15 00 25 FF 75 08 95 01 09 30 81 02 | 0 | 255",
                "15 00 25 FF 75 0C 95 01 09 30 81 02 | 0 | 4095",
                "15 00 25 FF 75 20 95 01 09 30 81 02 | 0 | 4294967295",
                // 26 C8 FF, 65480, is -56.
                "15 00 25 C8 75 10 95 01 09 30 81 02 | 0 | 65480",
                "15 01 25 FF 75 10 95 01 09 30 81 02 | 1 | 65535",
                // A negative minimum, and a maximum that is what it says, stay.
                "15 81 25 FF 75 08 95 01 09 30 81 02 | -127 | -1",
                "15 81 25 7F 75 08 95 01 09 30 81 02 | -127 | 127",
                "15 00 26 FF 03 75 10 95 01 09 30 81 02 | 0 | 1023",
                "15 00 25 00 75 08 95 01 09 30 81 02 | 0 | 0",
                // Of two bytes, as little as it can be: 32768.
                "15 00 26 00 80 75 10 95 01 09 30 81 02 | 0 | 32768",
                // HID 1.11 6.2.2.7: Pop brings back the maximum that was pushed.
                "15 00 25 FF 75 10 95 01 A4 15 81 25 7F 75 08 09 31 81 02 B4 09 30 81 02 | 0 | 65535",
                // Two fields with one maximum between them: each gets its own.
                "15 00 25 FF 75 08 95 01 09 31 81 02 75 10 09 30 81 02 | 0 | 65535"
            })
    void maxima(String items, long minimum, long maximum) throws DescriptorException {
        ReportDescriptor read =
                ReportDescriptor.parse(RebuiltDescriptor.bytes(hex("05 01 09 04 A1 01 " + items + " C0")));
        InputField last = read.fields().get(read.fields().size() - 1);
        assertEquals(new InputField.Extent(minimum, maximum), last.logical());
    }

    @Test
    void aLaterFieldWithAnotherMinimumHasItsOwnMaximumAgain() throws DescriptorException {
        ReportDescriptor read = ReportDescriptor.parse(RebuiltDescriptor.bytes(
                hex("05 01 09 04 A1 01 15 00 25 FF 75 08 95 01 09 30 81 02 15 81 09 31 81 02 C0")));
        assertEquals(new InputField.Extent(0, 255), read.fields().get(0).logical());
        assertEquals(new InputField.Extent(-127, -1), read.fields().get(1).logical());
    }

    @Test
    void physicalMaximaAreMendedAlike() throws DescriptorException {
        ReportDescriptor read = ReportDescriptor.parse(RebuiltDescriptor.bytes(
                hex("05 01 09 04 A1 01 15 00 25 7F 35 00 45 FF 75 10 95 01 09 30 81 02 35 81 09 31 81 02 C0")));
        assertEquals(new InputField.Extent(0, 65535), read.fields().get(0).physical());
        assertEquals(new InputField.Extent(-127, -1), read.fields().get(1).physical());
        byte[] none = hex("05 01 09 04 A1 01 15 00 25 7F 35 00 45 00 75 08 95 01 09 30 81 02 C0");
        assertArrayEquals(none, RebuiltDescriptor.bytes(none));
    }

    @Test
    void aFieldThatEndsTheDescriptorIsMendedToo() {
        assertArrayEquals(
                hex("15 00 25 FF 75 10 95 01 09 30 27 FF FF 00 00 81 02"),
                RebuiltDescriptor.bytes(hex("15 00 25 FF 75 10 95 01 09 30 81 02")));
    }

    /** HID 1.11 6.2.2.3: FE, the number of data bytes, a tag, the data; nothing in the data is an item. */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "15 00 25 7F 75 08 95 01 09 30 FE 03 F0 25 FF 81 81 02",
                "15 00 25 7F FE 00 F0 75 08 95 01 09 30 81 02",
                // Cut short: within the data, and before their number.
                "15 00 25 FF 75 08 95 01 09 30 FE 04 F0 81 02",
                "15 00 25 7F 75 08 95 01 09 30 81 02 FE",
                // An Input item without data has no room for a mark of padding.
                "75 08 95 01 19 00 29 00 80"
            })
    void whatIsNoItemIsLeftAlone(String items) {
        assertArrayEquals(hex(items), RebuiltDescriptor.bytes(hex(items)));
    }

    /** As Wine 8.0 and hidapi 0.14.0 give back a box that says 29 08 and no minimum: nine inputs, no padding. */
    @Test
    void aRangeFromZeroIsNoPadding() throws DescriptorException {
        byte[] range = hex("05 01 09 04 A1 01 05 09 19 00 29 08 15 00 25 01 75 01 95 09 81 02 C0");
        assertArrayEquals(range, RebuiltDescriptor.bytes(range));
        byte[] padding = hex("05 01 09 04 A1 01 09 30 15 00 25 7F 75 08 95 01 81 02 19 00 29 00 81 02 C0");
        assertEquals(
                1,
                ReportDescriptor.parse(RebuiltDescriptor.bytes(padding)).fields().stream()
                        .filter(field -> field.kind() != InputField.Kind.CONSTANT)
                        .count());
    }

    @Test
    void whatIsInOrderComesOutAsItWent() {
        for (DescriptorCase one : DescriptorCase.all()) {
            if (!one.name().contains("26 FF FF")) {
                assertArrayEquals(one.descriptor(), RebuiltDescriptor.bytes(one.descriptor()), one.name());
            }
        }
        byte[] cut = hex("05 01 09 04 A1 01 15 00 26 FF");
        assertArrayEquals(cut, RebuiltDescriptor.bytes(cut));
    }

    /** The known limit, so that nobody thinks otherwise: nothing tells of padding at the start of a report. */
    @Test
    void paddingAtTheStartOfAReportIsLost() throws DescriptorException {
        byte[] real = hex("05 01 09 04 A1 01 75 08 95 01 81 01 05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 C0");
        ReportDescriptor read = ReportDescriptor.parse(RebuiltDescriptor.bytes(WindowsRebuilding.of(real, false)));
        assertNotEquals(FieldText.of(ReportDescriptor.parse(real)), FieldText.of(read));
    }
}
