package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.Time;
import ringout.hid.Descriptors;

/** {@code fields} and {@code decode}: their documents, their tables, and what they say about bad input. */
class DescriptorCommandsTest {
    private static final String DESK = "fixtures/descriptors/drivers-desk.hex";
    private static final String AWKWARD = "fixtures/descriptors/awkward.hex";
    private static final String KEYBOARD = "fixtures/descriptors/hid-1.11-b.1-keyboard.hex";

    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();

    @TempDir
    private Path folder;

    private int run(String... arguments) {
        return Ringout.commandLine(window -> Optional.of("no window in this test"), Time.OURS)
                .setOut(new PrintWriter(out, true))
                .setErr(new PrintWriter(err, true))
                .execute(arguments);
    }

    private JsonNode json(String... arguments) throws IOException {
        assertEquals(0, run(arguments), err.toString());
        return new ObjectMapper().readTree(out.toString());
    }

    private JsonNode fields(String descriptor) throws IOException {
        return json("fields", "--descriptor", descriptor, "--json");
    }

    private static JsonNode tree(String text) throws IOException {
        return new ObjectMapper().readTree(text.replace('\'', '"'));
    }

    private void badInput(String message, String... arguments) {
        assertEquals(2, run(arguments));
        assertEquals("ringout: " + message, err.toString().strip());
        assertEquals("", out.toString());
    }

    @Test
    void fieldsAsJsonHasOneEntryForEachValue() throws IOException {
        JsonNode document = fields(DESK);
        assertEquals(32 + 1 + 1 + 1 + 8, document.get("fields").size());
        assertEquals(
                tree("{'reportId':1,'bitOffset':31,'bitSize':1,'usagePage':9,'usage':32,'logicalMinimum':0,"
                        + "'logicalMaximum':1,'kind':'variable','relative':false,'nullState':false,'signed':false,"
                        + "'application':[1,5]}"),
                document.get("fields").get(31));
        assertEquals(
                tree("{'reportId':1,'bitOffset':32,'bitSize':4,'usagePage':1,'usage':57,'logicalMinimum':0,"
                        + "'logicalMaximum':7,'kind':'variable','relative':false,'nullState':true,'signed':false,"
                        + "'application':[1,5]}"),
                document.get("fields").get(32));
        assertEquals("constant", document.get("fields").get(33).get("kind").asText());
        assertEquals(65535, document.get("fields").get(34).get("logicalMaximum").asLong());
        assertEquals(tree("[65280,1]"), document.get("fields").get(35).get("application"));
        assertEquals(tree("[{'reportId':1,'inputBytes':7},{'reportId':2,'inputBytes':8}]"), document.get("reports"));
    }

    @Test
    void fieldsAsJsonHasOneEntryForEachArraySlot() throws IOException {
        JsonNode slots = fields(KEYBOARD).get("fields");
        assertEquals(8 + 1 + 6, slots.size());
        assertEquals(
                tree("{'reportId':0,'bitOffset':56,'bitSize':8,'usagePage':7,'usage':0,'logicalMinimum':0,"
                        + "'logicalMaximum':255,'kind':'array','relative':false,'nullState':false,'signed':false,"
                        + "'application':[1,6],'usageMinimum':0,'usageMaximum':255}"),
                slots.get(14));
    }

    @Test
    void fieldsAsJsonListsUsagesThatAreNoRange() throws IOException {
        JsonNode slot = fields("05 09 09 05 09 02 0B 90 00 01 00 15 01 25 03 75 02 95 01 81 00")
                .get("fields")
                .get(0);
        assertEquals(tree("[5, 2, 65680]"), slot.get("usages"));
        assertEquals(9, slot.get("usagePage").asInt());
        assertTrue(slot.path("usageMinimum").isMissingNode());
    }

    @Test
    void fieldsAsJsonMarksSignedAndRelativeOnes() throws IOException {
        JsonNode wheel = null;
        for (JsonNode field : fields(AWKWARD).get("fields")) {
            wheel = field.get("usage").asInt() == 0x38 ? field : wheel;
        }
        assertTrue(wheel.get("signed").asBoolean() && wheel.get("relative").asBoolean());
        assertEquals(Integer.MIN_VALUE, wheel.get("logicalMinimum").asLong());
    }

    @Test
    void fieldsAsTable() {
        assertEquals(0, run("fields", "--descriptor", DESK));
        assertEquals("""
                Report  Bits   Size    Usage                  Range       Kind                  In
                ------  -----  ------  ---------------------  ----------  --------------------  ------------------
                1       0-31   32 x 1  Button 1 to Button 32  0 to 1      variable              Game Pad
                1       32-35  4       Hat Switch             0 to 7      variable, null state  Game Pad
                1       36-39  4                                          constant              Game Pad
                1       40-55  16      Slider                 0 to 65535  variable              Game Pad
                2       0-63   8 x 8   Vendor 0xFF00:0x02     0 to 255    variable              Vendor 0xFF00:0x01

                Report 1: 7 bytes after the ID byte
                Report 2: 8 bytes after the ID byte
                """, out.toString().replace(System.lineSeparator(), "\n"));
    }

    @Test
    void fieldsAsTableOfArraysAndOfNothing() {
        run("fields", "--descriptor", "05 09 09 05 09 02 09 07 15 01 25 03 75 02 95 04 81 00");
        assertTrue(out.toString().contains("4 x 2  Button 5, Button 2, Button 7  1 to 3  array"), out.toString());
        run("fields", "--descriptor", "05 09 09 05 09 02 09 07 09 08 09 09 15 01 25 03 75 02 95 04 81 00");
        assertTrue(out.toString().contains("Button 8 and 1 more"), out.toString());
        run("fields", "--descriptor", "05 01");
        assertTrue(out.toString().contains("The descriptor has no input fields."), out.toString());
    }

    @Test
    void descriptorFromBinaryTextAndTypedHexIsTheSame() throws IOException {
        byte[] bytes = Descriptors.fixture("drivers-desk");
        Path binary = Files.write(folder.resolve("desk.bin"), bytes);
        List<String> numbers = new ArrayList<>();
        for (byte b : bytes) {
            numbers.add(String.format("0x%02x", b));
        }
        Path array =
                Files.writeString(folder.resolve("desk.h"), "\uFEFF// the desk\r\n" + String.join(",\r\n", numbers));
        JsonNode expected = fields(DESK);
        for (String source : List.of(
                binary.toString(),
                array.toString(),
                String.join(" ", numbers),
                String.join(",", numbers),
                String.join("", numbers).replace("0x", ""))) {
            out.getBuffer().setLength(0);
            assertEquals(expected, fields(source));
        }
    }

    @Test
    void decodeAsJson() throws IOException {
        assertEquals(
                tree(
                        "{'ringout':'decode','version':1,'reportId':2,'values':[{'usagePage':9,'usage':20,'value':1},{'usagePage':9,'usage':3,'value':1},"
                                + "{'usagePage':1,'usage':56,'value':-2},{'usagePage':1,'usage':144,'value':1},"
                                + "{'usagePage':1,'usage':145,'value':0},{'usagePage':1,'usage':146,'value':0},"
                                + "{'usagePage':1,'usage':147,'value':1}]}"),
                json("decode", "--descriptor", AWKWARD, "--report", "02 14 0C FE FF FF FF 09", "--json"));
        assertEquals("", err.toString());
    }

    @Test
    void decodeShowsTheNullState() throws IOException {
        JsonNode values = json("decode", "--descriptor", DESK, "--report", "01 00000000 0F 3412", "--json")
                .get("values");
        assertEquals(tree("{'usagePage':1,'usage':57,'value':null}"), values.get(32));
        assertEquals(0x1234, values.get(33).get("value").asInt());
        out.getBuffer().setLength(0);
        run("decode", "--descriptor", DESK, "--report", "01 00000000 0F 3412");
        assertTrue(out.toString().contains("Hat Switch  none (null state)"), out.toString());
    }

    @Test
    void decodeTakesWhatThereIsAndWarns() throws IOException {
        JsonNode values = json("decode", "--descriptor", DESK, "--report", "01 0102", "--json")
                .get("values");
        assertEquals(16, values.size());
        assertEquals(
                "ringout: the report has 3 bytes, the descriptor declares 8; fields not wholly present are left out",
                err.toString().strip());
        err.getBuffer().setLength(0);
        run("decode", "--descriptor", DESK, "--report", "01 00000000 00 0000 00");
        assertEquals(
                "ringout: the report has 9 bytes, the descriptor declares 8; the rest is ignored",
                err.toString().strip());
        err.getBuffer().setLength(0);
        out.getBuffer().setLength(0);
        assertEquals(
                0,
                json("decode", "--descriptor", DESK, "--report", "07 00", "--json")
                        .get("values")
                        .size());
        assertEquals(
                "ringout: the descriptor has no input report 7, but 1, 2",
                err.toString().strip());
    }

    @Test
    void badInputNamesFileAndPlace() throws IOException {
        Path file = Files.write(folder.resolve("broken.bin"), new byte[] {5, 1, 9, 4, (byte) 0xA1, 1, (byte) 0x85, 0});
        badInput(file + ": byte 6: Report ID 0 is reserved", "fields", "--descriptor", file.toString());
    }

    @Test
    void badHexTextNamesLineAndColumn() throws IOException {
        Path file = Files.writeString(folder.resolve("broken.hex"), "05 01\n09 O4\n");
        badInput(
                file + ": line 2, column 4: 'O' where a hex digit was expected",
                "fields",
                "--descriptor",
                file.toString());
    }

    @Test
    void badArguments() {
        badInput(
                "--descriptor: byte 2: End Collection without a collection",
                "fields",
                "--descriptor",
                "0501C0",
                "--json");
        err.getBuffer().setLength(0);
        badInput(
                "--descriptor: there is no file desk.bin, and it is not hex bytes either (line 1, column 3: 's' where a hex "
                        + "digit was expected)",
                "fields",
                "--descriptor",
                "desk.bin");
        err.getBuffer().setLength(0);
        badInput(
                "cannot read the descriptor " + folder + ": it is a directory",
                "fields",
                "--descriptor",
                folder.toString());
        err.getBuffer().setLength(0);
        badInput(
                "--report: line 1, column 1: an odd number of hex digits, 3",
                "decode",
                "--descriptor",
                DESK,
                "--report",
                "012");
        err.getBuffer().setLength(0);
        badInput(
                "--report: there are no bytes; write them in hex, as in --report \"01 80 7F\"",
                "decode",
                "--descriptor",
                DESK,
                "--report",
                "");
    }
}
