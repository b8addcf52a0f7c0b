package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.hid.Descriptors.fixture;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Whatever bytes come, parsing ends in a descriptor or a {@link DescriptorException}, and any report can be decoded. */
class ReportDescriptorRobustnessTest {
    private static final List<String> SEEDS =
            List.of("hid-1.11-e.10-mouse", "hid-1.11-b.1-keyboard", "hid-1.11-d.1-joystick", "drivers-desk", "awkward");

    private final byte[] report = new byte[DescriptorLimits.MAX_REPORT_BITS / 8 + 1];

    @Test
    void mutatedDescriptors() {
        SplittableRandom random = new SplittableRandom(1);
        int parsed = 0;
        for (int i = 0; i < 40_000; i++) {
            parsed += survives(mutate(fixture(SEEDS.get(i % SEEDS.size())), random), random) ? 1 : 0;
        }
        // Otherwise the mutations would be too coarse to get past the parser.
        assertTrue(parsed > 4_000, parsed + " parsed");
        assertTrue(parsed < 36_000, parsed + " parsed");
    }

    @Test
    void randomBytes() {
        SplittableRandom random = new SplittableRandom(2);
        for (int i = 0; i < 20_000; i++) {
            byte[] bytes = new byte[random.nextInt(64)];
            random.nextBytes(bytes);
            survives(bytes, random);
        }
        byte[] longest = new byte[DescriptorLimits.MAX_LENGTH];
        for (int i = 0; i < 200; i++) {
            random.nextBytes(longest);
            survives(longest, random);
        }
    }

    @Test
    void randomItems() {
        SplittableRandom random = new SplittableRandom(3);
        int[] prefixes = {
            0x05, 0x09, 0x0B, 0x15, 0x19, 0x25, 0x26, 0x29, 0x75, 0x81, 0x81, 0x85, 0x95, 0x96, 0xA1, 0xA4, 0xA9, 0xB4,
            0xC0, 0x2B, 0x1B, 0x17, 0x27
        };
        for (int i = 0; i < 20_000; i++) {
            byte[] bytes = new byte[16 + random.nextInt(200)];
            for (int at = 0; at < bytes.length; ) {
                int prefix = prefixes[random.nextInt(prefixes.length)];
                bytes[at++] = (byte) prefix;
                for (int size = (prefix & 3) == 3 ? 4 : prefix & 3; size > 0 && at < bytes.length; size--) {
                    bytes[at++] = (byte) (random.nextInt(4) == 0 ? random.nextInt() : random.nextInt(10));
                }
            }
            survives(bytes, random);
        }
    }

    /** The costliest descriptors there can be, all limits used up at once or over and over. */
    @Test
    void allocationIsBounded() {
        String joystick = "05 01 09 04 A1 01 05 09 15 00 ";
        String array = "27 FF FF 00 00 75 10 95 01 19 00 2A FF FF 81 00 19 00 2A FF FF 81 00 ";
        List<String> costly = List.of(
                // Every value a button, each of a number already taken.
                joystick + "25 01 75 01 09 01 96 00 80 85 01 81 02 09 01 85 02 81 02 C0",
                joystick + array + "C0",
                joystick + "75 01 95 01 " + "81 03 ".repeat(DescriptorLimits.MAX_FIELDS) + "C0",
                joystick + "75 01 95 01 09 01 " + "81 02 ".repeat(DescriptorLimits.MAX_FIELDS) + "C0",
                "09 01 ".repeat(2000),
                "A1 01 C0 ".repeat(1365),
                "05 01 " + "09 04 A1 01 C0 ".repeat(818),
                "A4 ".repeat(4000),
                array.repeat(170));
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        for (String text : costly) {
            byte[] bytes = Descriptors.hex(text);
            long before = threads.getCurrentThreadAllocatedBytes();
            survives(bytes, new SplittableRandom(4));
            long allocated = threads.getCurrentThreadAllocatedBytes() - before;
            assertTrue(allocated < 64L << 20, allocated + " bytes for " + text.substring(0, 40));
        }
    }

    private boolean survives(byte[] bytes, SplittableRandom random) {
        ReportDescriptor descriptor;
        try {
            descriptor = ReportDescriptor.parse(bytes);
        } catch (DescriptorException e) {
            assertTrue(e.offset() >= 0 && e.offset() <= bytes.length, e.getMessage());
            assertTrue(e.getMessage().startsWith("byte " + e.offset() + ": "), e.getMessage());
            return false;
        }
        ReportDecoder decoder = new ReportDecoder(descriptor);
        InputState state = decoder.layout().newState();
        int length = random.nextInt(descriptor.longestReport() + 2);
        for (int i = 0; i < length; i++) {
            report[i] = (byte) random.nextInt();
        }
        if (length > 0 && !descriptor.reports().isEmpty()) {
            report[0] = (byte) descriptor
                    .reports()
                    .get(random.nextInt(descriptor.reports().size()))
                    .id();
        }
        byte[] exact = Arrays.copyOf(report, length);
        decoder.decode(exact, length, state);
        DecodedReport.of(descriptor, exact, length);
        return true;
    }

    private static byte[] mutate(byte[] bytes, SplittableRandom random) {
        byte[] mutated = bytes;
        for (int i = 1 + random.nextInt(4); i > 0; i--) {
            int at = random.nextInt(mutated.length);
            switch (random.nextInt(6)) {
                case 0 -> mutated[at] = (byte) random.nextInt();
                case 1 -> mutated[at] ^= (byte) (1 << random.nextInt(8));
                case 2 -> mutated[at] = new byte[] {0, 1, 0x7F, (byte) 0x80, (byte) 0xFF}[random.nextInt(5)];
                case 3 -> mutated = Arrays.copyOf(mutated, Math.max(1, at));
                case 4 -> mutated = spliced(mutated, at, at, 1 + random.nextInt(6));
                default -> mutated = spliced(mutated, at, random.nextInt(mutated.length), 1 + random.nextInt(12));
            }
        }
        return mutated;
    }

    /** With up to {@code length} bytes from {@code from} put in at {@code at}. */
    private static byte[] spliced(byte[] bytes, int at, int from, int length) {
        int taken = Math.min(length, bytes.length - from);
        byte[] result = new byte[bytes.length + taken];
        System.arraycopy(bytes, 0, result, 0, at);
        System.arraycopy(bytes, from, result, at, taken);
        System.arraycopy(bytes, at, result, at + taken, bytes.length - at);
        return result;
    }
}
