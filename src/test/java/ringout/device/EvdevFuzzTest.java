package ringout.device;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.hid.ReportOutcome;

/** Fuzzed with coverage as the guide, see DEVELOPERS.md; in an ordinary run, the inputs kept so far. */
class EvdevFuzzTest {
    private static final int EVENT_BYTES = 4;

    /**
     * Whatever descriptor a box has and whatever events come: reports come of it that fit the descriptor. The first byte
     * is the descriptor's length; then type and device, code in two bytes, and value of each event.
     */
    @FuzzTest(maxDuration = "5m")
    void events(byte[] bytes) {
        int length = bytes.length == 0 ? 0 : Math.min(bytes[0] & 0xFF, bytes.length - 1);
        ReportDescriptor descriptor;
        try {
            descriptor = ReportDescriptor.parse(
                    Arrays.copyOfRange(bytes, Math.min(bytes.length, 1), Math.min(bytes.length, 1 + length)));
        } catch (DescriptorException malformed) {
            return;
        }
        EvdevMapping mapping = EvdevMapping.of(descriptor);
        List<BitSet> keys = new ArrayList<>();
        mapping.devices().forEach(device -> keys.add(device.keys()));
        EvdevReports reports = new EvdevReports(descriptor, mapping, keys);
        EvdevBox.names(reports.unseen());
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState state = decoder.layout().newState();
        byte[] report = new byte[descriptor.longestReport() + 1];
        for (int at = 1 + length; at + EVENT_BYTES <= bytes.length && !keys.isEmpty(); at += EVENT_BYTES) {
            reports.event(
                    (bytes[at] >>> 2 & 0x3F) % keys.size(),
                    bytes[at] & 3,
                    (bytes[at + 1] & 0xFF) << 2 | bytes[at + 2] & 3,
                    bytes[at + 3]);
            for (int size = reports.take(report); size > 0; size = reports.take(report)) {
                assertEquals(ReportOutcome.OK, decoder.decode(report, size, state));
            }
        }
    }
}
