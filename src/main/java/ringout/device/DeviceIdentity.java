package ringout.device;

import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.words.Texts;

/**
 * What is kept of a box in order to know it again: the fields of {@link DeviceInfo} of the same names.
 */
public record DeviceIdentity(String name, int vendorId, int productId, String serial, String path, String port) {
    /** Of a device interface path of Windows: interface and collection of a composite device (from memory). */
    private static final Pattern COLLECTION =
            Pattern.compile("&(mi_[0-9a-f]{2}(&col[0-9a-f]{2})?|col[0-9a-f]{2})", Pattern.CASE_INSENSITIVE);

    public DeviceIdentity {
        Objects.requireNonNull(name, "name");
        Objects.requireNonNull(serial, "serial");
        Objects.requireNonNull(path, "path");
        Objects.requireNonNull(port, "port");
    }

    /**
     * A box taken to be the same one.
     *
     * @param device  the box; the first of {@code alike} where there are several
     * @param warning empty where its serial or its socket settles it, else a sentence saying why this may be another box
     * @param alike   all that may be it, where nothing tells them apart but somebody at them; else empty
     */
    public record Match(DeviceInfo device, String warning, List<DeviceInfo> alike) {
        public Match {
            alike = List.copyOf(alike);
        }
    }

    /**
     * Finds this box among others: those of the same vendor and product id, of the same of several collections and, where
     * it has one, of the same serial. Boards of one batch may share even that; then the one in the same socket is taken,
     * or at the same path where the system names no socket; or, where a hub with all its boxes was moved, the one in the
     * same socket of a hub. Where that does not settle it either, all of them may be it.
     *
     * <p>The caller leaves out boxes that were connected all along, which cannot be the one that went away.
     *
     * @param candidates boxes to look among
     * @return empty where no candidate has the vendor, product and serial
     */
    public Optional<Match> among(List<DeviceInfo> candidates) {
        List<DeviceInfo> left = keep(candidates, this::says);
        if (left.isEmpty()) {
            return Optional.empty();
        }
        if (left.size() == 1) {
            return Optional.of(new Match(
                    left.get(0),
                    moved(left.get(0))
                            ? Texts.say("device.other-socket", name, left.get(0).path())
                            : "",
                    List.of()));
        }
        List<DeviceInfo> here = keep(
                left, c -> port.isEmpty() ? c.path().equals(path) : c.port().equals(port));
        if (here.size() == 1) {
            return Optional.of(new Match(here.get(0), "", List.of()));
        }
        Optional<Integer> socket = UsbPath.of(port).map(UsbPath::socket);
        List<DeviceInfo> sameOnHub = keep(
                left,
                c -> socket.isPresent()
                        && UsbPath.of(c.port()).map(UsbPath::socket).equals(socket));
        if (sameOnHub.size() == 1) {
            return Optional.of(new Match(
                    sameOnHub.get(0),
                    Texts.say(
                            "device.same-socket",
                            left.size(),
                            name,
                            sameOnHub.get(0).path()),
                    List.of()));
        }
        return Optional.of(new Match(
                left.get(0),
                Texts.say("device.alike", left.size(), name, left.get(0).usbId()),
                left));
    }

    /** True where a box says of itself what this one does; a serial counts where this one has one. */
    boolean says(DeviceInfo box) {
        return box.vendorId() == vendorId
                && box.productId() == productId
                && collection(box.path()).equals(collection(path))
                && (serial.isEmpty() || box.serial().equals(serial));
    }

    /** Which collection of its interface a path is about; Windows alone has a path for each. */
    private static String collection(String path) {
        Matcher matcher = COLLECTION.matcher(path);
        return matcher.find() ? matcher.group().toLowerCase(Locale.ROOT) : "";
    }

    private boolean moved(DeviceInfo device) {
        return serial.isEmpty() && !port.isEmpty() && !port.equals(device.port());
    }

    private static List<DeviceInfo> keep(List<DeviceInfo> devices, Predicate<DeviceInfo> condition) {
        return devices.stream().filter(condition).toList();
    }
}
