package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.Program;
import ringout.device.DeviceInfo;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.journal.RecordingReader;

/**
 * A protocol analyser, tshark of the Wireshark project, reads what {@code export} writes: it finds the same reports at the
 * same times, nothing malformed, and from the descriptor in the capture decodes the same buttons and axes as we do.
 */
class PcapngAnalyserTest {
    private static final HexFormat HEX = HexFormat.of();

    @TempDir
    private Path folder;

    @BeforeEach
    void analyserIsThere() {
        assumeTrue(
                Program.installed("tshark"),
                "tshark is not installed (Debian package tshark), so captures cannot be compared with what it reads");
    }

    /** What the analyser makes of one packet; what it has not is empty, what it has several times stands with semicolons. */
    private record Packet(
            String time,
            String kind,
            String status,
            String report,
            String buttons,
            String axis,
            String vendor,
            String product,
            String address,
            String collections,
            String comments,
            String malformed,
            String severities) {
        private static final List<String> FIELDS = List.of(
                "frame.time_epoch",
                "usb.transfer_type",
                "usb.urb_status",
                "usbhid.data",
                "usbhid.data.button",
                "usbhid.data.axis.z",
                "usb.idVendor",
                "usb.idProduct",
                "usb.device_address",
                "usbhid.item.main.colltype",
                "frame.comment",
                "_ws.malformed",
                "_ws.expert.severity");

        static Packet of(String line) {
            String[] f = line.split("\\|", -1);
            assertEquals(FIELDS.size(), f.length, line);
            return new Packet(f[0], f[1], f[2], f[3], f[4], f[5], f[6], f[7], f[8], f[9], f[10], f[11], f[12]);
        }

        boolean isInterrupt() {
            return Integer.decode(kind) == 1;
        }

        /** Comments are remarks, too, of a severity of their own; 0x600000 is a warning. */
        boolean isDoubtful() {
            return !malformed.isEmpty()
                    || Stream.of(severities.split(";")).anyMatch(s -> !s.isEmpty() && Long.decode(s) >= 0x600000);
        }
    }

    private List<Packet> analyse(Path capture) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of(
                "tshark", "-n", "-r", capture.toString(), "-T", "fields", "-E", "separator=|", "-E", "aggregator=;"));
        Packet.FIELDS.forEach(field -> command.addAll(List.of("-e", field)));
        Path out = folder.resolve("analysed.txt");
        Path err = folder.resolve("analyser.txt");
        Process analyser = new ProcessBuilder(command)
                .redirectOutput(out.toFile())
                .redirectError(err.toFile())
                .start();
        if (analyser.waitFor() != 0) {
            fail(command + " failed: " + Files.readString(err));
        }
        List<Packet> packets = Files.readAllLines(out).stream().map(Packet::of).toList();
        assertEquals(
                List.of(), packets.stream().filter(Packet::isDoubtful).toList(), "packets that the analyser warns of");
        return packets;
    }

    private Path export(Path recording) {
        Path capture = folder.resolve(recording.getFileName() + ".pcapng");
        CommandRun run = CommandRun.of("export", recording.toString(), "--out", capture.toString());
        assertEquals(0, run.status(), run.err());
        return capture;
    }

    /** Compares all reports; returns how many there were. */
    private static int compare(Path recording, List<Packet> packets) throws Exception {
        try (RecordingReader reader = RecordingReader.open(recording)) {
            List<Packet> read = packets.stream()
                    .filter(p -> p.isInterrupt() && p.status.equals("0"))
                    .toList();
            ReportDecoder decoder =
                    new ReportDecoder(ReportDescriptor.parse(reader.header().descriptor()));
            InputLayout layout = decoder.layout();
            InputState state = layout.newState();
            int buttons = (int) layout.switches().stream()
                    .filter(input -> input instanceof Input.Button)
                    .count();
            int[] axis = IntStream.range(0, layout.axes().size())
                    .filter(i -> layout.axes().get(i).input().usage() == AxisUsage.Z)
                    .toArray();
            int count = 0;
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                if (entry.get() instanceof Entry.Report report) {
                    Packet packet = read.get(count++);
                    Instant at = reader.header().start().plusNanos(report.nanos());
                    assertEquals(
                            new BigDecimal(at.getEpochSecond() + "." + String.format("%09d", at.getNano())),
                            new BigDecimal(packet.time));
                    assertEquals(HEX.formatHex(report.bytes()), packet.report);
                    decoder.decode(report.bytes(), report.bytes().length, state);
                    String on = String.join(
                            ";",
                            IntStream.range(0, buttons)
                                    .mapToObj(i -> state.isOn(i) ? "1" : "0")
                                    .toList());
                    assertEquals(on, packet.buttons, "buttons of " + packet.report);
                    assertEquals(
                            axis.length == 0 ? "" : Long.toString(state.axis(axis[0])),
                            packet.axis,
                            "axis of " + packet.report);
                }
            }
            assertEquals(count, read.size());
            return count;
        }
    }

    @Test
    void aCheckOfAnExampleReadsTheSame() throws Exception {
        for (String plan : List.of("drivers-desk", "lamp-switches")) {
            Path recording = folder.resolve(plan + ".jsonl");
            assertEquals(
                    0,
                    CommandRun.of(
                                    "simulate",
                                    "--plan",
                                    "fixtures/plans/" + plan + ".yaml",
                                    "--out",
                                    recording.toString())
                            .status());
            List<Packet> packets = analyse(export(recording));
            assertTrue(compare(recording, packets) > 20, plan);
            assertTrue(packets.stream().anyMatch(p -> p.comments.contains("prompt: Hold ")), "what was asked is there");
        }
    }

    @Test
    void aBoxWithoutReportIdsThatComesBackReadsTheSame() throws Exception {
        byte[] descriptor =
                HEX.parseHex("05010904a1010509190129081500250175019508810205010932150026ff00750895018102c0");
        Path recording = folder.resolve("back.jsonl");
        DeviceInfo desk = DeviceInfo.joystick("Driver's desk", 0x1209, 0x0001, "DESK-01", "/dev/hidraw3");
        Instant start = Instant.parse("2026-05-01T12:00:00.000000007Z");
        try (RecordingFile file = RecordingFile.create(
                recording, new RecordingHeader(start, desk, descriptor, Optional.empty(), false))) {
            file.add(new Entry.Report(1, new byte[] {1, 0}));
            file.add(new Entry.Report(1_000_000_002L, new byte[] {0, 7}));
            file.add(new Entry.Lost(2_000_000_000L, "unplugged"));
            file.add(new Entry.Found(3_000_000_000L, descriptor, ""));
            file.add(new Entry.Dropped(3_000_000_001L, 5));
            file.add(new Entry.Report(3_000_000_002L, new byte[] {(byte) 0x82, (byte) 0xFF}));
        }
        List<Packet> packets = analyse(export(recording));
        assertEquals(3, compare(recording, packets));
        assertEquals(
                List.of("-108"),
                packets.stream()
                        .filter(Packet::isInterrupt)
                        .map(Packet::status)
                        .filter(status -> !status.equals("0"))
                        .toList(),
                "ESHUTDOWN");
        assertEquals(
                List.of("0x1209 0x0001 2", "0x1209 0x0001 3"),
                packets.stream()
                        .filter(p -> !p.vendor.isEmpty())
                        .map(p -> p.vendor + " " + p.product + " " + p.address)
                        .toList());
        assertEquals(2, packets.stream().filter(p -> !p.collections.isEmpty()).count(), "its report descriptor, twice");
    }
}
