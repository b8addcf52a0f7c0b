package ringout.device;

import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * What Linux says about a hidraw node without opening it.
 *
 * @param node the device node, {@code /dev/hidraw3}
 * @param sys  its directory in sysfs, {@code /sys/class/hidraw/hidraw3}
 */
record LinuxNode(Path node, Path sys) {

    private static final Path NODES = Path.of("/sys/class/hidraw");

    static LinuxNode of(String path) {
        Path node = Path.of(path);
        return new LinuxNode(node, NODES.resolve(node.getFileName()));
    }

    /**
     * What is plugged in now, of any kind: a name per node, which holds the kernel's count of HID devices so far, so that
     * a replugged box has another name than before. Empty where nothing is, or the kernel does not say.
     */
    static List<String> pluggedIn() {
        List<String> names = new ArrayList<>();
        try (DirectoryStream<Path> nodes = Files.newDirectoryStream(NODES)) {
            for (Path node : nodes) {
                names.add(Files.readSymbolicLink(node).toString());
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
        String rule = String.format(Locale.ROOT,
                "SUBSYSTEM==\"hidraw\", KERNELS==\"*:%04X:%04X.*\", TAG+=\"uaccess\"", vendorId, productId);
        String file = String.format(Locale.ROOT, "/etc/udev/rules.d/70-ringout-%04x-%04x.rules", vendorId, productId);
        return "No permission to open " + node + ". Allow whoever sits at this computer to use this kind of box:\n"
                + "  echo '" + rule + "' | sudo tee " + file + "\n"
                + "  sudo udevadm control --reload-rules\n"
                + "  sudo udevadm trigger --subsystem-match=hidraw\n"
                + "then unplug the box and plug it in again.";
    }
}
