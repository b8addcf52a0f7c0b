package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static ringout.hid.Descriptors.fixture;
import static ringout.hid.Descriptors.hex;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.InputField.Extent;

class DescriptorBuilderTest {
    /** The standard's own bytes: HID 1.11, Appendix E.10, page 71, but for the order of Report Count and Report Size. */
    @Test
    void writesTheStandardsMouse() {
        byte[] built = new DescriptorBuilder()
                .application(new Usage(1, 2))
                .usage(1)
                .collection(DescriptorBuilder.PHYSICAL)
                .usagePage(UsagePage.BUTTON)
                .usages(1, 3)
                .logical(0, 1)
                .raw(0x95, 3, 0x75, 1)
                .input(DescriptorBuilder.VARIABLE)
                .raw(0x95, 1, 0x75, 5)
                .input(DescriptorBuilder.CONSTANT)
                .usagePage(UsagePage.GENERIC_DESKTOP)
                .usage(0x30)
                .usage(0x31)
                .logical(-127, 127)
                .report(8, 2)
                .input(DescriptorBuilder.VARIABLE | DescriptorBuilder.RELATIVE)
                .endCollection()
                .endCollection()
                .bytes();
        assertArrayEquals(fixture("hid-1.11-e.10-mouse"), built);
    }

    @ParameterizedTest
    @CsvSource({
        "0, 1",
        "0, 127",
        "0, 128",
        "0, 255",
        "0, 32767",
        "0, 32768",
        "0, 65535",
        "0, 2147483647",
        "0, 4294967295",
        "-1, 0",
        "-128, 127",
        "-129, 128",
        "-32768, 32767",
        "-32769, 32768",
        "-2147483648, 2147483647",
        "200, 300"
    })
    void extentsComeBack(int minimum, long maximum) throws DescriptorException {
        InputField field = ReportDescriptor.parse(new DescriptorBuilder()
                        .axis(AxisUsage.X, 32, minimum, maximum)
                        .physical(minimum, maximum)
                        .input(DescriptorBuilder.VARIABLE)
                        .bytes())
                .fields()
                .get(1);
        assertEquals(new Extent(minimum, maximum), field.logical());
        assertEquals(new Extent(minimum, maximum), field.physical());
    }

    @Test
    void everyOtherItemComesBack() throws DescriptorException {
        byte[] bytes = new DescriptorBuilder()
                .extendedUsage(new Usage(0xFF00, 0x1234))
                .collection(DescriptorBuilder.APPLICATION)
                .push()
                .reportId(200)
                .unit(0x1001)
                .unitExponent(-3)
                .report(3, 7)
                .delimiter(true)
                .extendedUsages(new Usage(9, 1), new Usage(9, 7))
                .usage(0x300)
                .delimiter(false)
                .input(DescriptorBuilder.VARIABLE)
                .output(DescriptorBuilder.VARIABLE)
                .feature(DescriptorBuilder.VARIABLE)
                .padToByte()
                .pop()
                .endCollection()
                .bytes();
        assertArrayEquals(
                hex("0B 34 12 00 FF A1 01 A4 85 C8 66 01 10 55 0D 75 03 95 07 A9 01 1B 01 00 09 00 2B 07 00 09 00 "
                        + "0A 00 03 A9 00 81 02 91 02 B1 02 75 03 95 01 81 03 B4 C0"),
                bytes);
        ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
        InputField field = descriptor.fields().get(0);
        assertEquals(new Usage(0xFF00, 0x1234), field.application().usage());
        assertEquals(new Usage(9, 7), field.usage(6));
        assertEquals(-3, field.unitExponent());
        assertEquals(0x1001, field.unit());
        assertEquals(24, descriptor.report(200).orElseThrow().bits());
    }

    @Test
    void padsEachReportByItself() throws DescriptorException {
        byte[] bytes = new DescriptorBuilder()
                .reportId(1)
                .buttons(1, 3)
                .reportId(2)
                .buttons(4, 11)
                .padToByte()
                .reportId(1)
                .padToByte()
                .padToByte()
                .bytes();
        ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
        assertEquals(8, descriptor.report(1).orElseThrow().bits());
        assertEquals(8, descriptor.report(2).orElseThrow().bits());
    }

    /** HID 1.11 6.2.2.7: Pop brings back the report that was at hand. */
    @Test
    void padsTheReportThatIsPopped() throws DescriptorException {
        byte[] bytes = new DescriptorBuilder()
                .reportId(1)
                .buttons(1, 3)
                .push()
                .reportId(2)
                .buttons(4, 11)
                .pop()
                .padToByte()
                .bytes();
        assertEquals(8, ReportDescriptor.parse(bytes).report(1).orElseThrow().bits());
        assertArrayEquals(hex("B4"), new DescriptorBuilder().pop().bytes());
    }

    /** Degrees clockwise from up: HID Usage Tables, Generic Desktop page, Hat Switch; from memory. */
    @ParameterizedTest
    @CsvSource({"4, 270", "8, 315"})
    void theLastPositionOfAHatIsOneStepShortOfATurn(int positions, long degrees) throws DescriptorException {
        InputField field = ReportDescriptor.parse(
                        new DescriptorBuilder().hat(positions).bytes())
                .fields()
                .get(0);
        assertEquals(new Extent(0, positions - 1L), field.logical());
        assertEquals(new Extent(0, degrees), field.physical());
    }

    @Test
    void refusesWhatAnItemCannotHold() {
        assertThrows(IllegalArgumentException.class, () -> new DescriptorBuilder().logical(0, 1L << 32));
    }
}
