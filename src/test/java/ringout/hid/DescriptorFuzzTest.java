package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.Arrays;

/** Fuzzed with coverage as the guide, see DEVELOPERS.md; in an ordinary run, the inputs kept so far. */
class DescriptorFuzzTest {

    /** Whatever the bytes are: a descriptor or a {@link DescriptorException}, within the bounds, and it can be compiled. */
    @FuzzTest(maxDuration = "5m")
    void descriptor(byte[] bytes) {
        try {
            ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
            assertTrue(descriptor.fields().size() <= DescriptorLimits.MAX_FIELDS);
            assertTrue(
                    descriptor.fields().stream().mapToLong(InputField::count).sum() <= DescriptorLimits.MAX_ELEMENTS);
            for (InputField field : descriptor.fields()) {
                ReportDescriptor.Report report =
                        descriptor.report(field.reportId()).orElseThrow();
                assertTrue(field.bitOffset() + field.bits() <= report.bits(), "a field beyond its report");
            }
            ReportDecoder decoder = new ReportDecoder(descriptor);
            for (Input input : decoder.layout().inputs()) {
                assertEquals(input, Input.parse(input.text()).orElseThrow());
            }
        } catch (DescriptorException malformed) {
            assertTrue(malformed.offset() >= 0 && malformed.offset() <= bytes.length, malformed.getMessage());
        }
    }

    /**
     * Whatever the report is, for whatever descriptor: decoding says how it compares, keeps axes within their extent, and
     * gives the same again. The first byte is the descriptor's length.
     */
    @FuzzTest(maxDuration = "5m")
    void report(byte[] bytes) {
        int length = bytes.length == 0 ? 0 : Math.min(bytes[0] & 0xFF, bytes.length - 1);
        byte[] report = Arrays.copyOfRange(bytes, Math.min(bytes.length, 1 + length), bytes.length);
        ReportDescriptor descriptor;
        try {
            descriptor = ReportDescriptor.parse(
                    Arrays.copyOfRange(bytes, Math.min(bytes.length, 1), Math.min(bytes.length, 1 + length)));
        } catch (DescriptorException malformed) {
            return;
        }
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState state = decoder.layout().newState();
        ReportOutcome outcome = decoder.decode(report, report.length, state);
        InputState again = state.copy();
        assertEquals(outcome, decoder.decode(report, report.length, again));
        assertEquals(state.onInputs(), again.onInputs());
        DecodedReport values = DecodedReport.of(descriptor, report, report.length);
        assertEquals(outcome, values.outcome());
        for (int i = 0; i < decoder.layout().axes().size(); i++) {
            InputLayout.Axis axis = decoder.layout().axes().get(i);
            assertEquals(state.axis(i), again.axis(i));
            assertTrue(
                    axis.minimum() >= axis.maximum()
                            || state.axis(i) == 0
                            || state.axis(i) >= axis.minimum() && state.axis(i) <= axis.maximum(),
                    axis + " at " + state.axis(i));
        }
    }
}
