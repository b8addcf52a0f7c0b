package ringout.kernel;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/**
 * A HID device made of nothing: the kernel treats it as plugged in from {@link #plugIn} to {@link #close}.
 *
 * <p>Source: Linux, Documentation/hid/uhid.rst and include/uapi/linux/uhid.h (event numbers and layouts).
 */
final class Uhid implements Plugged {
    private static final int UHID_DESTROY = 1;
    private static final int UHID_CREATE2 = 11;
    private static final int UHID_INPUT2 = 12;
    private static final short BUS_USB = 3;
    private static final int MAX_DESCRIPTOR = 4096;

    private final FileChannel channel;
    private final ByteBuffer event =
            ByteBuffer.allocateDirect(4 + 128 + 64 + 64 + 20 + MAX_DESCRIPTOR).order(ByteOrder.nativeOrder());

    /** What a device says of itself: serial is the kernel's "uniq", port its "phys". */
    record Identity(String name, int vendorId, int productId, String serial, String port) {}

    private Uhid() throws IOException {
        channel = FileChannel.open(Path.of("/dev/uhid"), StandardOpenOption.READ, StandardOpenOption.WRITE);
    }

    static Uhid plugIn(Identity identity, byte[] descriptor) throws IOException {
        Uhid device = new Uhid();
        ByteBuffer e = device.event.clear().putInt(UHID_CREATE2);
        text(e, identity.name(), 128);
        text(e, identity.port(), 64);
        text(e, identity.serial(), 64);
        e.putShort((short) descriptor.length).putShort(BUS_USB);
        e.putInt(identity.vendorId())
                .putInt(identity.productId())
                .putInt(0x0100)
                .putInt(0);
        e.put(descriptor).put(new byte[MAX_DESCRIPTOR - descriptor.length]);
        device.write();
        return device;
    }

    private static void text(ByteBuffer event, String text, int space) {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        event.put(bytes).put(new byte[space - bytes.length]);
    }

    /** Sends an input report; the kernel has parsed it and queued it to every reader when this returns. */
    @Override
    public void report(byte... report) throws IOException {
        event.clear().putInt(UHID_INPUT2).putShort((short) report.length).put(report);
        write();
    }

    private void write() throws IOException {
        event.flip();
        channel.write(event);
    }

    /** Unplugs it. */
    @Override
    public void close() throws IOException {
        event.clear().putInt(UHID_DESTROY);
        write();
        channel.close();
    }
}
