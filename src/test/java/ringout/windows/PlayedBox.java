package ringout.windows;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.StandardProtocolFamily;
import java.net.UnixDomainSocketAddress;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.ClosedChannelException;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import ringout.kernel.Plugged;

/** The other end of {@code src/test/windows/fakehid.c}: a box that Wine takes for one of this computer's. */
final class PlayedBox implements Plugged {
    private static final int BUS_USB = 3; // linux/input.h
    private static final int RELEASE = 0x0100;

    private final ServerSocketChannel server;
    private final Path node;
    private final List<SocketChannel> readers = new CopyOnWriteArrayList<>();

    /** What a box says of itself. */
    record Identity(String name, int vendorId, int productId, String serial) {}

    private PlayedBox(ServerSocketChannel server, Path node) {
        this.server = server;
        this.node = node;
    }

    /** @param folder the one that Wine sees in place of /dev */
    static PlayedBox plugIn(Path folder, Identity identity, byte[] descriptor) throws IOException {
        int number = 0;
        while (Files.exists(folder.resolve("hidraw" + number))) {
            number++;
        }
        Path node = folder.resolve("hidraw" + number);
        Path unseen = folder.resolve("new-" + number);
        ServerSocketChannel server = ServerSocketChannel.open(StandardProtocolFamily.UNIX);
        server.bind(UnixDomainSocketAddress.of(unseen));
        PlayedBox box = new PlayedBox(server, node);
        byte[] facts = facts(identity, "usb-0000:00:14.0-" + (number + 1) + "/input0", descriptor);
        Thread door = new Thread(() -> box.accept(facts), "played-box");
        door.setDaemon(true);
        door.start();
        // It answers before it is seen.
        Files.createLink(node, unseen);
        Files.delete(unseen);
        return box;
    }

    private static byte[] facts(Identity identity, String port, byte[] descriptor) {
        ByteArrayOutputStream facts = new ByteArrayOutputStream();
        ByteBuffer numbers = ByteBuffer.allocate(10).order(ByteOrder.LITTLE_ENDIAN);
        numbers.putInt(BUS_USB).putShort((short) identity.vendorId());
        numbers.putShort((short) identity.productId()).putShort((short) RELEASE);
        facts.writeBytes(numbers.array());
        facts.writeBytes(part(descriptor));
        for (String text : List.of(identity.name(), port, identity.serial(), "Workshop")) {
            facts.writeBytes(part(text.getBytes(StandardCharsets.UTF_8)));
        }
        return facts.toByteArray();
    }

    private static byte[] part(byte[] content) {
        return ByteBuffer.allocate(2 + content.length)
                .order(ByteOrder.LITTLE_ENDIAN)
                .putShort((short) content.length)
                .put(content)
                .array();
    }

    private void accept(byte[] facts) {
        try {
            while (true) {
                SocketChannel reader = server.accept();
                reader.write(ByteBuffer.wrap(facts));
                reader.configureBlocking(false); // who does not read loses reports, as with hidraw
                readers.add(reader);
            }
        } catch (ClosedChannelException unplugged) {
            // It was the last one.
        } catch (IOException broken) {
            throw new AssertionError(broken);
        }
    }

    @Override
    public void report(byte... report) {
        byte[] part = part(report);
        readers.removeIf(reader -> !hears(reader, part));
    }

    private static boolean hears(SocketChannel reader, byte[] part) {
        try {
            reader.write(ByteBuffer.wrap(part));
            return true;
        } catch (IOException closed) {
            return false;
        }
    }

    @Override
    public void close() throws IOException {
        Files.delete(node);
        server.close();
        for (SocketChannel reader : readers) {
            reader.close();
        }
        readers.clear();
    }
}
