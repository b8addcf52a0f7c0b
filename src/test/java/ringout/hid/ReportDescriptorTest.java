package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.hid.Descriptors.hex;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.InputField.Extent;
import ringout.hid.InputField.Kind;

/** The encodings of HID 1.11 section 6.2.2, the awkward ones above all. */
class ReportDescriptorTest {
    private static final Usage JOYSTICK = new Usage(0x01, 0x04);

    private static ReportDescriptor parse(String text) throws DescriptorException {
        return ReportDescriptor.parse(hex(text));
    }

    private static ReportDescriptor parse(DescriptorBuilder builder) throws DescriptorException {
        return ReportDescriptor.parse(builder.bytes());
    }

    private static InputField only(String text) throws DescriptorException {
        List<InputField> fields = parse(text).fields();
        assertEquals(1, fields.size());
        return fields.get(0);
    }

    private static String usages(InputField field) {
        return IntStream.range(0, field.count())
                .mapToObj(field::usage)
                .map(usage -> String.format("%X:%X", usage.page(), usage.id()))
                .toList()
                .toString();
    }

    @ParameterizedTest
    @CsvSource({
        // Section 5.8: unsigned unless the minimum is negative, whatever the top bit of the maximum says.
        "15 00 26 FF FF,                0,           65535",
        "15 00 25 FF,                   0,           255",
        "14 27 FF FF FF FF,             0,           4294967295",
        "15 01 25 80,                   1,           128",
        "15 81 25 7F,                   -127,        127",
        "15 80 25 FF,                   -128,        -1",
        "16 00 80 26 FF 7F,             -32768,      32767",
        "17 00 00 00 80 27 FF FF FF 7F, -2147483648, 2147483647",
        // The maximum may come first; the sign is that of the minimum in effect at the main item.
        "26 FF 7F 16 01 80,             -32767,      32767",
        "25 FF 15 80,                   -128,        -1",
        // No data at all is 0.
        "14 24,                         0,           0",
        "15 FF 24,                      -1,          0"
    })
    void logicalExtents(String items, long minimum, long maximum) throws DescriptorException {
        InputField field = only("05 01 09 30 75 10 95 01 " + items + " 81 02");
        assertEquals(new Extent(minimum, maximum), field.logical());
        assertEquals(minimum < 0, field.signed());
    }

    @Test
    void physicalExtentAndUnit() throws DescriptorException {
        InputField field = only("05 01 09 39 15 00 25 07 35 00 46 3B 01 65 14 55 0E 75 04 95 01 81 42");
        assertEquals(new Extent(0, 315), field.physical());
        assertEquals(0x14, field.unit());
        // Section 6.2.2.7, page 38: the exponent is a signed nibble, 0xE is -2.
        assertEquals(-2, field.unitExponent());
        assertTrue(field.nullState());
        assertFalse(field.relative());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                // A 16-bit usage takes the page in effect at the main item, section 6.2.2.8.
                "05 09 09 01 05 01           | [1:1, 1:1]",
                // Usages that stood under different pages keep them where the last page was used: kernel since 5.4.
                "05 01 09 30 05 02 09 BB     | [1:30, 2:BB]",
                "05 01 09 30 05 02 09 BB 05 01 | [1:30, 1:BB]",
                // An extended usage names its own page and hides none of the others.
                "05 09 0B 30 00 01 00 09 02  | [1:30, 9:2]",
                "0B 30 00 01 00 05 09 09 02  | [1:30, 9:2]",
                "05 09 09 05 0B 30 00 01 00 05 01 | [1:5, 1:30]",
                "05 09 09 05 05 01 0B 02 00 09 00 | [1:5, 9:2]",
                // Fewer usages than values: the last one repeats. More: the rest is unused.
                "05 01 09 30                 | [1:30, 1:30]",
                "05 01 09 30 09 31 09 32     | [1:30, 1:31]",
                // Ranges, alone, in either order, extended, one end extended, and together with single usages.
                "05 09 19 03 29 04           | [9:3, 9:4]",
                "05 09 29 04 19 03           | [9:3, 9:4]",
                "1B 03 00 09 00 2B 04 00 09 00 05 01 | [9:3, 9:4]",
                "1B 03 00 09 00 2A 04 00 05 01 | [9:3, 9:4]",
                "05 09 19 01 29 01 09 08     | [9:1, 9:8]",
                "05 09 19 01 29 01 19 05 29 05 | [9:1, 9:5]",
                // Delimited sets: the first, preferred usage of each counts.
                "05 01 A9 01 09 30 09 31 A9 00 A9 01 09 32 09 33 A9 00 | [1:30, 1:32]",
                "05 01 A9 01 19 30 29 31 19 33 29 34 09 35 A9 00 | [1:30, 1:31]",
                // Designators and strings, single and in ranges, say nothing about usages.
                "05 01 39 01 09 30 79 02 89 01 99 02 49 01 59 02 09 31 | [1:30, 1:31]",
                // None at all: undefined on the page in effect.
                "05 0C                       | [C:0, C:0]"
            })
    void usages(String items, String expected) throws DescriptorException {
        assertEquals(expected, usages(only("15 00 25 7F 75 08 95 02 " + items + " 81 02")));
    }

    @Test
    void localItemsEndWithTheirMainItem() throws DescriptorException {
        List<InputField> fields =
                parse("05 01 75 08 95 01 09 30 81 02 81 02 09 31 91 02 81 02").fields();
        assertEquals("[1:30]", usages(fields.get(0)));
        assertEquals("[1:0]", usages(fields.get(1)));
        assertEquals("[1:0]", usages(fields.get(2)));
        assertEquals("[1:0]", usages(only("05 01 75 08 95 01 09 30 F0 81 02")), "a reserved main item is one too");
    }

    @Test
    void pushKeepsEveryGlobalItemAndPopBringsItBack() throws DescriptorException {
        List<InputField> fields = parse("""
                05 01 15 81 25 7F 35 82 45 7E 65 14 55 0F 75 08 95 02 85 03 A4
                05 09 15 00 25 01 35 00 45 00 65 00 55 00 75 01 95 01 85 04 09 01 81 02
                B4 09 30 81 02""").fields();
        InputField inner = fields.get(0);
        assertEquals(4, inner.reportId());
        assertEquals("[9:1]", usages(inner));
        InputField outer = fields.get(1);
        assertEquals(3, outer.reportId());
        assertEquals("[1:30, 1:30]", usages(outer));
        assertEquals(new Extent(-127, 127), outer.logical());
        assertEquals(new Extent(-126, 126), outer.physical());
        assertEquals(0x14, outer.unit());
        assertEquals(-1, outer.unitExponent());
        assertEquals(8, outer.bitSize());
    }

    @Test
    void longItemsAndReservedItemsArePassedOver() throws DescriptorException {
        // 0xFE, data size, long item tag, data (section 6.2.2.3); then reserved main, local and reserved-type items.
        InputField field = only("FE 03 F0 81 02 C0 05 01 09 30 F9 55 BC FD 01 75 08 95 01 81 02 00 00");
        assertEquals("[1:30]", usages(field));
    }

    @Test
    void collectionsNestAndTheInnermostApplicationCounts() throws DescriptorException {
        ReportDescriptor descriptor = parse(new DescriptorBuilder()
                .application(JOYSTICK)
                .usage(1)
                .collection(DescriptorBuilder.PHYSICAL)
                .collection(DescriptorBuilder.LOGICAL)
                .buttons(1, 8)
                .endCollection()
                .application(new Usage(0xFF00, 1))
                .report(8, 1)
                .input(DescriptorBuilder.VARIABLE)
                .endCollection()
                .report(8, 1)
                .input(DescriptorBuilder.VARIABLE)
                .endCollection()
                .endCollection()
                .report(8, 1)
                .input(DescriptorBuilder.VARIABLE));
        List<InputField> fields = descriptor.fields();
        assertEquals(JOYSTICK, fields.get(0).application().usage());
        assertEquals(new Usage(0xFF00, 1), fields.get(1).application().usage());
        assertEquals(JOYSTICK, fields.get(2).application().usage());
        assertEquals(Usage.NONE, fields.get(3).application().usage());
        assertEquals(2, descriptor.applications().size());
        assertTrue(descriptor.isGameController());
    }

    @Test
    void eachReportIdAndEachReportTypeHasItsOwnOffsets() throws DescriptorException {
        ReportDescriptor descriptor = parse(new DescriptorBuilder()
                .application(JOYSTICK)
                .reportId(7)
                .buttons(1, 12)
                .padToByte()
                .reportId(2)
                .report(16, 3)
                .output(DescriptorBuilder.VARIABLE)
                .feature(DescriptorBuilder.VARIABLE)
                .axis(AxisUsage.X, 16, 0, 65535)
                .reportId(7)
                .axis(AxisUsage.Y, 8, -127, 127)
                .reportId(9)
                .feature(DescriptorBuilder.VARIABLE)
                .endCollection());
        assertEquals(
                List.of(new ReportDescriptor.Report(7, 24), new ReportDescriptor.Report(2, 16)), descriptor.reports());
        assertEquals(
                List.of(0, 12, 0, 16),
                descriptor.fields().stream().map(InputField::bitOffset).toList());
        assertTrue(descriptor.usesReportIds());
        assertEquals(4, descriptor.longestReport());
    }

    @Test
    void reportIdsOfOutputAndFeatureReportsAloneDoNotNumberInputReports() throws DescriptorException {
        ReportDescriptor descriptor = parse(new DescriptorBuilder()
                .application(JOYSTICK)
                .buttons(1, 8)
                .reportId(1)
                .feature(DescriptorBuilder.VARIABLE)
                .endCollection());
        assertFalse(descriptor.usesReportIds());
        assertEquals(1, descriptor.longestReport());
    }

    @Test
    void arrayFieldsKeepTheirUsagesApartFromTheirValues() throws DescriptorException {
        InputField range = only("05 09 19 01 29 40 15 01 25 40 75 08 95 03 81 00");
        assertEquals(Kind.ARRAY, range.kind());
        assertEquals(3, range.count());
        assertEquals(64, range.usages().size());
        assertTrue(range.usages().isRange());
        InputField list = only("05 09 09 04 09 02 09 07 15 00 25 01 75 08 95 03 81 00");
        assertFalse(list.usages().isRange());
        assertEquals(2, list.selectable(), "the logical extent reaches only two of the three usages");
    }

    @Test
    void emptyMainItemsMakeNoField() throws DescriptorException {
        ReportDescriptor descriptor =
                parse("05 01 09 30 75 08 95 00 81 02 09 31 75 00 95 04 81 02 09 32 75 08 95 01 81 02");
        assertEquals(1, descriptor.fields().size());
        assertEquals(0, descriptor.fields().get(0).bitOffset());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "05 01 09             | 2  | has 1 byte(s) of data, but only 0 follow",
                "05 01 27 00 00 00    | 2  | has 4 byte(s) of data, but only 3 follow",
                "FE                   | 0  | long item's header",
                "FE 04                | 0  | long item's header",
                "FE 04 00 01 02 03    | 0  | has 4 byte(s) of data, but only 3 follow",
                "09 04 A1 01          | 4  | End Collection is missing",
                "05 01 C0             | 2  | End Collection without a collection",
                "A4 B4 B4             | 2  | Pop without Push",
                "85 00                | 0  | Report ID 0 is reserved",
                "86 00 01             | 0  | Report ID is 256, more than the 255",
                "C5 01                | 0  | global item 0xC5 is reserved",
                "A9 00                | 0  | end of a delimited set",
                "A9 01 A9 01          | 2  | inside another",
                "15 05 25 04 75 08 95 01 81 02 | 8 | Logical Maximum 4 is below Logical Minimum 5",
                "75 08 96 00 40 81 02 | 5  | the length of report 0 in bits is 131072, more than the 131064",
                "95 01 76 01 01 81 02 | 5  | Report Size is 257, more than the 256",
                "75 FF 97 FF FF FF FF 81 02 | 7 | the length of report 0"
            })
    void malformed(String text, int offset, String reason) {
        DescriptorException e = assertThrows(DescriptorException.class, () -> parse(text));
        assertTrue(e.getMessage().startsWith("byte " + offset + ": "), e.getMessage());
        assertTrue(e.getMessage().contains(reason), e.getMessage());
        assertEquals(offset, e.offset());
    }

    /**
     * What the standard forbids and the kernel accepts is read, with a word. The usages are those of the kernel's
     * hid_parser_local (Linux 6.1, drivers/hid/hid-core.c), which the test against a kernel compares.
     */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "07 01 00 01 00 09 30              | 0  | 6.2.2.7 | more than 16 bits             | [1:30, 1:30]",
                "05 01 A9 01 09 30                 | 14 | 6.2.2.8 | inside a delimited set        | [1:30, 1:30]",
                "05 09 19 03                       | 12 | 6.2.2.8 | without Usage Maximum         | [9:0, 9:0]",
                "05 09 29 03                       | 12 | 6.2.2.8 | without Usage Minimum         | [9:0, 9:1]",
                "05 09 19 02 29 03 29 05           | 16 | 6.2.2.8 | without Usage Minimum         | [9:2, 9:3]",
                "05 09 19 09 29 08                 | 4  | 6.2.2.8 | 0x9 is above Usage Maximum 0x8 | [9:9, 9:A]",
                "1B 01 00 09 00 2B 01 00 0A 00     | 5  | 6.2.2.8 | on different pages            | [9:1, 9:2]",
                "05 09 09 05 19 00 2A FF FF        | 6  | 6.2.2.8 | more than 65536 usages        | [9:5, 9:0]"
            })
    void whatTheKernelReadsIsRead(String items, int offset, String section, String text, String usages)
            throws DescriptorException {
        ReportDescriptor descriptor = parse(items + " 15 00 25 7F 75 08 95 02 81 02");
        assertEquals(usages, usages(descriptor.fields().get(0)));
        DescriptorWarning warning = descriptor.warnings().get(0);
        assertEquals(section, warning.section());
        assertTrue(warning.words().text().contains(text), warning.toString());
        if (!items.contains("A9") && !text.contains("without")) {
            assertEquals(offset, warning.offset());
        } else {
            assertEquals(items.split(" ").length + 8, warning.offset(), "at the main item");
        }
    }

    @Test
    void aFaultInAnOutputOrFeatureItemLeavesTheInputsAlone() throws DescriptorException {
        ReportDescriptor descriptor = parse("05 09 19 01 29 08 15 00 25 01 75 01 95 08 81 02 "
                + "77 FF FF 00 00 95 40 91 02 75 08 97 FF FF FF 00 B1 02 15 05 25 01 91 02");
        assertEquals(1, descriptor.fields().size());
        assertEquals(3, descriptor.warnings().size());
        assertEquals(23, descriptor.warnings().get(0).offset());
    }

    /** Common practice, no source: firmware puts a joystick inside its own collection, or forgets to say what it is. */
    @Test
    void aControllerIsFoundWhereverItIs() throws DescriptorException {
        String axes = "05 01 09 30 09 31 15 00 25 7F 75 08 95 02 81 02 ";
        String buttons = "05 09 19 01 29 08 25 01 75 01 95 08 81 02 ";
        String vendor = "06 00 FF 09 01 A1 01 05 01 09 04 A1 ";
        for (String type : new String[] {"00 ", "01 ", "02 "}) {
            ReportDescriptor nested = parse(vendor + type + axes + buttons + "C0 C0");
            assertTrue(nested.isGameController());
            assertEquals(10, GameControls.of(nested).layout().inputs().size());
        }
        ReportDescriptor undefined = parse("05 01 09 00 A1 01 " + axes + buttons + "C0");
        assertEquals(10, GameControls.of(undefined).layout().inputs().size());
        assertFalse(parse("05 01 09 00 A1 01 " + axes + "C0").isGameController(), "without buttons it may be anything");
        assertFalse(parse("05 01 09 02 A1 01 " + axes + buttons + "C0").isGameController(), "a mouse");
    }

    @Test
    void emptyAndOverlongDescriptors() throws DescriptorException {
        assertEquals(
                0,
                assertThrows(DescriptorException.class, () -> ReportDescriptor.parse(new byte[0]))
                        .offset());
        ReportDescriptor.parse(new byte[DescriptorLimits.MAX_LENGTH]);
        assertThrows(
                DescriptorException.class, () -> ReportDescriptor.parse(new byte[DescriptorLimits.MAX_LENGTH + 1]));
    }

    @Test
    void depthsAreBounded() throws DescriptorException {
        int most = DescriptorLimits.MAX_PUSH_DEPTH;
        parse("A4 ".repeat(most));
        assertEquals(
                most,
                assertThrows(DescriptorException.class, () -> parse("A4 ".repeat(most + 1)))
                        .offset());
        // An item without data is one byte: as deep as a descriptor of the greatest length goes.
        int deepest = DescriptorLimits.MAX_COLLECTION_DEPTH;
        parse("A0 ".repeat(deepest) + "C0 ".repeat(deepest));
        assertEquals(
                deepest,
                assertThrows(DescriptorException.class, () -> parse("A0 ".repeat(deepest + 1)))
                        .offset());
    }

    @Test
    void whatAllFieldsTogetherDeclareIsBounded() throws DescriptorException {
        // 65535 one-bit values in each report: the second one is too many.
        String report = "85 %02X 75 01 96 FF FF 81 02 ";
        parse(String.format(report, 1));
        DescriptorException elements = assertThrows(
                DescriptorException.class, () -> parse(String.format(report, 1) + String.format(report, 2)));
        assertEquals(16, elements.offset());
        String array = "19 00 2A FF FF 81 00 ";
        String start = "75 10 95 01 15 00 27 FF FF 00 00 ";
        parse(start + array.repeat(2));
        assertThrows(DescriptorException.class, () -> parse(start + array.repeat(3)));
        int most = DescriptorLimits.MAX_FIELDS;
        parse("75 01 95 01 " + "81 03 ".repeat(most));
        assertThrows(DescriptorException.class, () -> parse("75 01 95 01 " + "81 03 ".repeat(most + 1)));
    }

    @Test
    void paddingMayCarryAnyLogicalExtent() throws DescriptorException {
        assertEquals(Kind.CONSTANT, only("15 05 25 04 75 08 95 01 81 01").kind());
    }
}
