package ringout.device;

import com.sun.jna.Native;
import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.words.Texts;

/**
 * What Linux says about a hidraw node without opening it.
 *
 * @param node the device node, {@code /dev/hidraw3}
 * @param sys  its directory in sysfs, {@code /sys/class/hidraw/hidraw3}
 */
record LinuxNode(Path node, Path sys) {

    private static final Path NODES = Path.of("/sys/class/hidraw");
    /** How long the system's rules may take with a new node; common practice is some tens of milliseconds, no source. */
    private static final Duration SETTLING = Duration.ofSeconds(1);

    static LinuxNode of(String path) {
        Path node = Path.of(path);
        return new LinuxNode(node, NODES.resolve(node.getFileName()));
    }

    /**
     * What is plugged in now, of any kind: a name per node, which holds the kernel's count of HID devices so far, so that
     * a replugged box has another name than before. Empty where nothing is, or the kernel does not say.
     */
    static List<String> pluggedIn() {
        return links(NODES, "*");
    }

    /** Where the links of a folder lead to, in an order of their own; empty where that cannot be told. */
    static List<String> links(Path folder, String glob) {
        List<String> names = new ArrayList<>();
        try (DirectoryStream<Path> links = Files.newDirectoryStream(folder, glob)) {
            for (Path link : links) {
                names.add(Files.readSymbolicLink(link).toString());
            }
        } catch (IOException | DirectoryIteratorException changing) {
            return List.of();
        }
        names.sort(null);
        return names;
    }

    boolean exists() {
        return Files.exists(node);
    }

    /** hidapi opens for reading and writing, so both are needed. */
    boolean mayOpen() {
        return Files.isReadable(node) && Files.isWritable(node);
    }

    /**
     * As {@link #mayOpen}, but gives the system's rules a moment with a node that has just been made: it belongs to root
     * until they have run.
     */
    boolean mayOpenSoon() {
        try {
            Instant settled = Files.getLastModifiedTime(node).toInstant().plus(SETTLING);
            while (!mayOpen() && Instant.now().isBefore(settled)) {
                Thread.sleep(20);
            }
        } catch (IOException gone) {
            // Then it cannot be opened either.
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
        }
        return mayOpen();
    }

    /** Name of the kernel driver that the box is bound to; empty where the kernel does not say. */
    String driver() {
        try {
            return Files.readSymbolicLink(sys.resolve("device/driver"))
                    .getFileName()
                    .toString();
        } catch (IOException gone) {
            return "";
        }
    }

    /** The input devices that the kernel made of the box, in the order in which it made them. */
    List<EventNode> eventNodes() {
        List<EventNode> nodes = new ArrayList<>();
        try (DirectoryStream<Path> inputs = Files.newDirectoryStream(sys.resolve("device/input"), "input*")) {
            for (Path input : inputs) {
                try (DirectoryStream<Path> events = Files.newDirectoryStream(input, "event*")) {
                    for (Path event : events) {
                        nodes.add(eventNode(Path.of("/dev/input").resolve(event.getFileName()), input));
                    }
                }
            }
        } catch (IOException | DirectoryIteratorException none) {
            return List.of();
        }
        nodes.sort(Comparator.comparingInt(EventNode::number));
        return nodes;
    }

    /**
     * An input device.
     *
     * @param node its device node, {@code /dev/input/event5}
     * @param keys codes of the keys it has
     * @param axes codes of the absolute axes it has
     */
    record EventNode(Path node, BitSet keys, BitSet axes) {
        private int number() {
            return Integer.parseInt(node.getFileName().toString().substring("event".length()));
        }

        /** Reading is all it takes. */
        boolean mayOpen() {
            return Files.isReadable(node);
        }
    }

    /** @param input the input device's folder */
    static EventNode eventNode(Path node, Path input) throws IOException {
        return new EventNode(node, bits(input.resolve("capabilities/key")), bits(input.resolve("capabilities/abs")));
    }

    private static BitSet bits(Path capabilities) throws IOException {
        return bits(Files.readString(capabilities), Native.LONG_SIZE * 8);
    }

    /**
     * Reads a set of bits as the kernel writes it: words in hexadecimal, the highest first, leading zeros left out
     * (drivers/input/input.c, input_print_bitmap).
     *
     * @param size of a word in bits: that of a long in this program, which the kernel goes by
     */
    static BitSet bits(String text, int size) {
        String[] words = text.strip().split("\\s+");
        BitSet bits = new BitSet();
        for (int i = 0; i < words.length; i++) {
            long word = Long.parseUnsignedLong(words[words.length - 1 - i], 16);
            for (int bit = 0; bit < size; bit++) {
                bits.set(i * size + bit, (word >>> bit & 1) != 0);
            }
        }
        return bits;
    }

    /** The socket in the kernel's words ({@code HID_PHYS} of the HID device); empty where it has none. */
    String port() {
        try {
            for (String line : Files.readAllLines(sys.resolve("device/uevent"))) {
                if (line.startsWith("HID_PHYS=")) {
                    return line.substring("HID_PHYS=".length());
                }
            }
        } catch (IOException | RuntimeException gone) {
            // Unplugged meanwhile, or not valid text: no socket known.
        }
        return "";
    }

    /** The report descriptor as the kernel uses it; world-readable whatever the node's permissions. */
    Optional<byte[]> descriptor() {
        try {
            byte[] bytes = Files.readAllBytes(sys.resolve("device/report_descriptor"));
            return bytes.length == 0 ? Optional.empty() : Optional.of(bytes);
        } catch (IOException gone) {
            return Optional.empty();
        }
    }

    /**
     * How to get permission. The rule's name must sort before {@code 73-seat-late.rules}, where systemd turns the
     * {@code uaccess} tag into an access list for whoever sits at the computer. It matches the HID device's kernel name
     * ({@code bus:vendor:product.instance}, upper-case hexadecimal), which Bluetooth boxes have too.
     */
    String permissionAdvice(int vendorId, int productId) {
        String rule = String.format(
                Locale.ROOT,
                "SUBSYSTEM==\"hidraw\", KERNELS==\"*:%04X:%04X.*\", TAG+=\"uaccess\"",
                vendorId,
                productId);
        String file = String.format(Locale.ROOT, "/etc/udev/rules.d/70-ringout-%04x-%04x.rules", vendorId, productId);
        return Texts.say("device.no-permission", node) + "\n"
                + "  echo '" + rule + "' | sudo tee " + file + "\n"
                + "  sudo udevadm control --reload-rules\n"
                + "  sudo udevadm trigger --subsystem-match=hidraw\n"
                + Texts.say("device.then-replug");
    }
}
