package ringout.bench;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;

/**
 * Writes a capture file block by block: one section, little-endian, of one interface whose times are nanoseconds since
 * 1970. Source: IETF draft "PCAP Now Generic (pcapng) Capture File Format" (draft-ietf-opsawg-pcapng), sections 3.1, 3.5,
 * 4.1 to 4.3 and 4.6; codes of blocks and options as there.
 */
final class PcapngWriter {
    private static final int SECTION_HEADER = 0x0A0D0D0A;
    private static final int INTERFACE_DESCRIPTION = 1;
    private static final int INTERFACE_STATISTICS = 5;
    private static final int ENHANCED_PACKET = 6;

    private static final int OPT_END = 0;
    private static final int OPT_COMMENT = 1;
    private static final int SHB_USERAPPL = 4;
    private static final int IF_NAME = 2;
    private static final int IF_DESCRIPTION = 3;
    private static final int IF_TSRESOL = 9;
    private static final int ISB_STARTTIME = 2;
    private static final int ISB_ENDTIME = 3;
    private static final int EPB_DROPCOUNT = 4;

    /** The length of an option is a number of 16 bits. */
    private static final int MAX_OPTION = 0xFFFF;

    private final OutputStream out;

    PcapngWriter(OutputStream out) {
        this.out = out;
    }

    /** Begins the file; of unknown length, so that nothing is to be filled in later. */
    void section(String application, String comment) throws IOException {
        LittleEndian body = new LittleEndian().u32(0x1A2B3C4D).u16(1).u16(0).u64(-1);
        option(body, OPT_COMMENT, comment);
        option(body, SHB_USERAPPL, application);
        block(SECTION_HEADER, body);
    }

    /** The interface all packets come from, of that link type. */
    void link(int type, String name, String description) throws IOException {
        LittleEndian body = new LittleEndian().u16(type).u16(0).u32(0);
        option(body, IF_NAME, name);
        option(body, IF_DESCRIPTION, description);
        option(body, IF_TSRESOL, new byte[] {9});
        block(INTERFACE_DESCRIPTION, body);
    }

    /**
     * One packet.
     *
     * @param nanos   since 1970, unsigned
     * @param dropped how many are missing between it and the one before
     */
    void packet(long nanos, byte[] data, List<String> comments, long dropped) throws IOException {
        LittleEndian body = time(new LittleEndian().u32(0), nanos)
                .u32(data.length)
                .u32(data.length)
                .bytes(data);
        pad(body, data.length);
        comments.forEach(comment -> option(body, OPT_COMMENT, comment));
        if (dropped > 0) {
            option(body, EPB_DROPCOUNT, new LittleEndian().u64(dropped).toByteArray());
        }
        block(ENHANCED_PACKET, body);
    }

    /** What is known of the capture at that moment. */
    void statistics(long start, long now, List<String> comments) throws IOException {
        LittleEndian body = time(new LittleEndian().u32(0), now);
        comments.forEach(comment -> option(body, OPT_COMMENT, comment));
        option(body, ISB_STARTTIME, time(new LittleEndian(), start).toByteArray());
        option(body, ISB_ENDTIME, time(new LittleEndian(), now).toByteArray());
        block(INTERFACE_STATISTICS, body);
    }

    /** The upper half comes first, in whatever byte order. */
    private static LittleEndian time(LittleEndian bytes, long nanos) {
        return bytes.u32((int) (nanos >>> 32)).u32((int) nanos);
    }

    private static void option(LittleEndian body, int code, String text) {
        if (text.isEmpty()) {
            return;
        }
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        int length = Math.min(bytes.length, MAX_OPTION);
        while (length < bytes.length && (bytes[length] & 0xC0) == 0x80) {
            length--;
        }
        option(body, code, Arrays.copyOf(bytes, length));
    }

    private static void option(LittleEndian body, int code, byte[] value) {
        body.u16(code).u16(value.length).bytes(value);
        pad(body, value.length);
    }

    private static void pad(LittleEndian body, int length) {
        body.bytes(new byte[-length & 3]);
    }

    /** Ends the options, which every block here has, and writes the block. */
    private void block(int type, LittleEndian body) throws IOException {
        body.u16(OPT_END).u16(0);
        int length = body.size() + 12;
        out.write(new LittleEndian()
                .u32(type)
                .u32(length)
                .bytes(body.toByteArray())
                .u32(length)
                .toByteArray());
    }
}
