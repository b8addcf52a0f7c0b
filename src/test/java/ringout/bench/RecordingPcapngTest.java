package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.device.DeviceInfo;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;

/**
 * Reads captures with a reader of its own, written from the IETF draft "PCAP Now Generic (pcapng) Capture File Format"
 * (sections 3.1, 3.5, 4.1 to 4.3, 4.6) and, for the 64 bytes before the data, from the Linux kernel's
 * Documentation/usb/usbmon.rst; both from memory. What an analyser makes of them is in {@code PcapngAnalyserTest}.
 */
class RecordingPcapngTest {
    private static final HexFormat HEX = HexFormat.of();
    private static final Instant START = Instant.parse("2026-05-01T12:00:00.000000007Z");
    private static final long START_NANOS = 1_777_636_800_000_000_007L;
    private static final byte[] DESCRIPTOR =
            HEX.parseHex("05010904a1010509190129081500250175019508810205010930" + "27ff000000750895018102c0");
    private static final byte[] OTHER_DESCRIPTOR = HEX.parseHex("05010904a10105091901290815002501750195088102c0");

    @TempDir
    private Path folder;

    private record Option(int code, byte[] value) {
        String text() {
            return new String(value, StandardCharsets.UTF_8);
        }
    }

    private record Block(int type, ByteBuffer fixed, List<Option> options) {
        List<String> comments() {
            return options.stream()
                    .filter(option -> option.code == 1)
                    .map(Option::text)
                    .toList();
        }

        Option option(int code) {
            return options.stream()
                    .filter(option -> option.code == code)
                    .findFirst()
                    .orElseThrow();
        }
    }

    /** {@code struct usbmon_packet} and the data after it. */
    private record Packet(
            long nanos,
            char event,
            int kind,
            int endpoint,
            int address,
            boolean setupThere,
            byte[] setup,
            int status,
            int length,
            byte[] data,
            List<String> comments,
            long dropped) {}

    private static List<Block> blocks(byte[] file) {
        ByteBuffer bytes = ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN);
        List<Block> blocks = new ArrayList<>();
        while (bytes.hasRemaining()) {
            int type = bytes.getInt();
            int length = bytes.getInt();
            assertEquals(0, length % 4, "block lengths are multiples of four");
            ByteBuffer body = bytes.slice(bytes.position(), length - 12).order(ByteOrder.LITTLE_ENDIAN);
            bytes.position(bytes.position() + length - 12);
            assertEquals(length, bytes.getInt(), "the length stands at both ends");
            int fixed = switch (type) {
                case 0x0A0D0D0A -> 16;
                case 1 -> 8;
                case 5 -> 12;
                case 6 -> 20 + (body.getInt(12) + 3) / 4 * 4;
                default -> throw new AssertionError("unknown block " + type);
            };
            blocks.add(new Block(
                    type, body.slice(0, fixed).order(ByteOrder.LITTLE_ENDIAN), options(body.position(fixed))));
        }
        return blocks;
    }

    private static List<Option> options(ByteBuffer bytes) {
        List<Option> options = new ArrayList<>();
        while (bytes.hasRemaining()) {
            int code = bytes.getShort() & 0xFFFF;
            byte[] value = new byte[bytes.getShort() & 0xFFFF];
            bytes.get(value);
            for (int i = value.length; i % 4 != 0; i++) {
                assertEquals(0, bytes.get(), "padding");
            }
            if (code == 0) {
                assertEquals(0, value.length);
                assertFalse(bytes.hasRemaining(), "the options end with the block");
            }
            options.add(new Option(code, value));
        }
        return options;
    }

    private static Packet packet(Block block) {
        ByteBuffer b = block.fixed;
        assertEquals(0, b.getInt(0), "the first interface");
        long nanos = (b.getInt(4) & 0xFFFFFFFFL) << 32 | b.getInt(8) & 0xFFFFFFFFL;
        assertEquals(b.getInt(12), b.getInt(16), "captured whole");
        ByteBuffer u = b.slice(20, b.getInt(12)).order(ByteOrder.LITTLE_ENDIAN);
        assertEquals(nanos / 1_000_000_000, u.getLong(16), "both times agree");
        assertEquals(nanos % 1_000_000_000 / 1000, u.getInt(24), "both times agree");
        byte[] data = new byte[u.limit() - 64];
        u.get(64, data);
        assertEquals(data.length, u.getInt(36), "length of the data");
        byte[] setup = new byte[8];
        u.get(40, setup);
        long dropped = block.options.stream()
                .filter(option -> option.code == 4)
                .map(option -> ByteBuffer.wrap(option.value)
                        .order(ByteOrder.LITTLE_ENDIAN)
                        .getLong())
                .findFirst()
                .orElse(0L);
        return new Packet(
                nanos,
                (char) u.get(8),
                u.get(9),
                u.get(10) & 0xFF,
                u.get(11),
                u.get(14) == 0,
                setup,
                u.getInt(28),
                u.getInt(32),
                data,
                block.comments(),
                dropped);
    }

    private static List<Packet> packets(List<Block> blocks) {
        return blocks.stream()
                .filter(block -> block.type == 6)
                .map(RecordingPcapngTest::packet)
                .toList();
    }

    private List<Block> export(List<Entry> entries) throws JournalException, IOException {
        return export(START, DESCRIPTOR, entries);
    }

    private List<Block> export(Instant start, byte[] descriptor, List<Entry> entries)
            throws JournalException, IOException {
        Path recording = Files.createTempDirectory(folder, "rec").resolve("rec.jsonl");
        DeviceInfo desk = DeviceInfo.joystick("Driver's desk", 0x1209, 0x0001, "DESK-01", "/dev/hidraw3");
        try (RecordingFile file = RecordingFile.create(
                recording, new RecordingHeader(start, desk, descriptor, Optional.empty(), false))) {
            entries.forEach(file::add);
        }
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        long written = RecordingPcapng.write(recording, out, note -> {});
        List<Block> blocks = blocks(out.toByteArray());
        assertEquals(written, packets(blocks).size());
        return blocks;
    }

    private static Entry report(long nanos, String hex) {
        return new Entry.Report(nanos, HEX.parseHex(hex));
    }

    @Test
    void theFileSaysThatItWasRebuiltAndCountsInNanoseconds() throws Exception {
        List<Block> blocks = export(List.of());
        Block section = blocks.get(0);
        assertEquals(0x0A0D0D0A, section.type);
        assertEquals(0x1A2B3C4D, section.fixed.getInt(0));
        assertEquals(1, section.fixed.getShort(4));
        assertEquals(0, section.fixed.getShort(6));
        assertEquals(-1, section.fixed.getLong(8), "its length is not known beforehand");
        String comment = section.comments().get(0);
        assertTrue(comment.contains("not captured on the bus"), comment);
        assertTrue(comment.contains("Made up: the numbers of bus, device"), comment);
        Block link = blocks.get(1);
        assertEquals(1, link.type);
        assertEquals(220, link.fixed.getShort(0), "LINKTYPE_USB_LINUX_MMAPPED");
        assertArrayEquals(new byte[] {9}, link.option(9).value, "if_tsresol: nanoseconds");
        assertEquals("/dev/hidraw3", link.option(2).text());
        assertEquals("Driver's desk", link.option(3).text());
    }

    @Test
    void theDescriptorsComeFirst() throws Exception {
        List<Packet> packets = packets(export(List.of(report(5_000_000, "0180"))));
        assertEquals(7, packets.size());
        byte[][] answers = new byte[3][];
        int[] values = {0x0100, 0x0200, 0x2200};
        for (int i = 0; i < 3; i++) {
            Packet request = packets.get(2 * i);
            Packet answer = packets.get(2 * i + 1);
            answers[i] = answer.data;
            assertEquals('S', request.event);
            assertEquals('C', answer.event);
            assertTrue(request.setupThere);
            ByteBuffer setup = ByteBuffer.wrap(request.setup).order(ByteOrder.LITTLE_ENDIAN);
            assertEquals(
                    i == 2 ? 0x81 : 0x80, setup.get(0) & 0xFF, "to the host, standard, of the device or interface");
            assertEquals(6, setup.get(1), "GET_DESCRIPTOR");
            assertEquals(values[i], setup.getShort(2));
            assertEquals(answer.data.length, setup.getShort(6));
            assertEquals(answer.data.length, request.length);
            for (Packet packet : List.of(request, answer)) {
                assertEquals(2, packet.kind, "control");
                assertEquals(0x80, packet.endpoint);
                assertEquals(START_NANOS, packet.nanos);
                assertTrue(packet.comments.get(0).startsWith("made up by Ringout"), packet.comments.toString());
            }
        }
        assertEquals("09120100", HEX.formatHex(Arrays.copyOfRange(answers[0], 8, 12)), "vendor and product");
        assertEquals(answers[1].length, answers[1][2], "wTotalLength");
        assertEquals(DESCRIPTOR.length, answers[1][9 + 9 + 7], "wDescriptorLength");
        assertArrayEquals(DESCRIPTOR, answers[2]);
    }

    @Test
    void aReportIsACompletedInterruptTransferAtItsTime() throws Exception {
        List<Packet> packets =
                packets(export(List.of(report(1, "01"), report(2_500_000_003L, "0280ff"), report(2_600_000_000L, ""))));
        List<Packet> reports = packets.subList(6, packets.size());
        assertEquals(
                List.of("01", "0280ff", ""),
                reports.stream().map(p -> HEX.formatHex(p.data)).toList());
        assertEquals(
                List.of(START_NANOS + 1, START_NANOS + 2_500_000_003L, START_NANOS + 2_600_000_000L),
                reports.stream().map(Packet::nanos).toList());
        for (Packet report : reports) {
            assertEquals('C', report.event);
            assertEquals(1, report.kind, "interrupt");
            assertEquals(0x81, report.endpoint);
            assertEquals(0, report.status);
            assertFalse(report.setupThere);
            assertEquals(report.data.length, report.length);
            assertEquals(List.of(), report.comments);
        }
    }

    @Test
    void aBoxThatComesBackIsAskedForItsDescriptorAgain() throws Exception {
        List<Packet> packets = packets(export(List.of(
                report(1, "0100"),
                new Entry.Lost(10, "unplugged"),
                new Entry.Found(20, OTHER_DESCRIPTOR, "it has other buttons"),
                report(30, "02"))));
        Packet lost = packets.get(7);
        assertTrue(lost.status < 0);
        assertEquals(0, lost.data.length);
        assertEquals(List.of("0.000000010 s lost: unplugged", "made up by Ringout"), lost.comments);
        assertEquals(
                "0.000000020 s found: it has other buttons",
                packets.get(8).comments.get(0));
        assertArrayEquals(OTHER_DESCRIPTOR, packets.get(13).data);
        Packet after = packets.get(14);
        assertEquals(packets.get(6).address + 1, after.address, "a bus gives the next address");
        assertEquals("02", HEX.formatHex(after.data));
    }

    @Test
    void addressesStayWithinWhatUsbHas() throws Exception {
        List<Entry> entries = new ArrayList<>();
        for (int i = 0; i < 300; i++) {
            entries.add(new Entry.Found(i, DESCRIPTOR, ""));
        }
        List<Packet> packets = packets(export(entries));
        assertTrue(packets.stream().allMatch(p -> p.address >= 2 && p.address <= 127));
        for (int i = 6; i < packets.size(); i += 6) {
            assertTrue(packets.get(i).address != packets.get(i - 1).address);
        }
    }

    @Test
    void eventsAreCommentsOnTheNextPacketAndMissingReportsAreCounted() throws Exception {
        List<Block> blocks = export(List.of(
                new Entry.Dropped(1, 7),
                new Entry.Dropped(2, 5),
                new Entry.Beat(3, 12),
                report(4, "0100"),
                report(5, "0000"),
                new Entry.Noticed(1_000_000_006L, 6, "bounce", List.of("button 1"), "button 1 bounced 4 ms"),
                new Entry.Ended(2_000_000_000L, "the disk is full")));
        List<Packet> packets = packets(blocks);
        assertEquals(
                List.of("0.000000001 s dropped: 7 reports", "0.000000002 s dropped: 5 reports"),
                packets.get(6).comments);
        assertEquals(12, packets.get(6).dropped);
        assertEquals(0, packets.get(7).dropped);
        Block last = blocks.get(blocks.size() - 1);
        assertEquals(5, last.type, "what no packet follows is in the statistics");
        assertEquals(
                List.of("1.000000006 s bounce: button 1 bounced 4 ms", "2.000000000 s end: the disk is full"),
                last.comments());
        ByteBuffer end = ByteBuffer.wrap(last.option(3).value).order(ByteOrder.LITTLE_ENDIAN);
        assertEquals(START_NANOS + 2_000_000_000L, (long) end.getInt(0) << 32 | end.getInt(4) & 0xFFFFFFFFL);
    }

    /** However many events there are without a report, and however long they are, none is lost and none is kept for long. */
    @Test
    void eventsWithoutReportsDoNotPileUp() throws Exception {
        String tooLong = "é".repeat(40_000);
        List<Entry> entries = new ArrayList<>();
        for (int i = 0; i < 1000; i++) {
            entries.add(new Entry.Gap(i, i));
        }
        entries.add(new Entry.Ended(1000, tooLong));
        List<Block> blocks = export(entries);
        assertTrue(blocks.stream().allMatch(block -> block.comments().size() <= 64));
        List<String> comments = blocks.stream()
                .filter(block -> block.type == 5)
                .flatMap(block -> block.comments().stream())
                .toList();
        assertEquals(1001, comments.size());
        assertEquals("0.000000999 s gap: 999 lines", comments.get(999));
        String cut = comments.get(1000);
        assertTrue(
                cut.endsWith("éé") && cut.getBytes(StandardCharsets.UTF_8).length <= 0xFFFF, "cut between two letters");
    }

    @Test
    void aStartThatNoCaptureCanHoldIsRefused() {
        for (String start : List.of("1969-12-31T23:59:59Z", "+10000-01-01T00:00:00Z")) {
            String message = assertThrows(
                            JournalException.class, () -> export(Instant.parse(start), DESCRIPTOR, List.of()))
                    .getMessage();
            assertTrue(message.contains("between 1970 and 2262"), message);
        }
        assertThrows(JournalException.class, () -> export(START, new byte[0x10000], List.of()));
    }

    @Test
    void aFullDiskIsSaid() throws Exception {
        Path recording = folder.resolve("rec.jsonl");
        DeviceInfo desk = DeviceInfo.joystick("Driver's desk", 0x1209, 0x0001, "", "/dev/hidraw3");
        RecordingFile.create(recording, new RecordingHeader(START, desk, DESCRIPTOR, Optional.empty(), true))
                .close();
        OutputStream full = new OutputStream() {
            @Override
            public void write(int b) throws IOException {
                throw new IOException("no space left");
            }
        };
        assertThrows(IOException.class, () -> RecordingPcapng.write(recording, full, note -> {}));
    }
}
