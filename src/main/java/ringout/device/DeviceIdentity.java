package ringout.device;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * What is kept of a box in order to know it again: the fields of {@link DeviceInfo} of the same names.
 */
public record DeviceIdentity(String name, int vendorId, int productId, String serial, String path, String port) {

    public DeviceIdentity {
        Objects.requireNonNull(name, "name");
        Objects.requireNonNull(serial, "serial");
        Objects.requireNonNull(path, "path");
        Objects.requireNonNull(port, "port");
    }

    /**
     * A box taken to be the same one.
     *
     * @param device  the box
     * @param warning empty where its serial or its socket settles it, else a sentence saying why this may be another box
     */
    public record Match(DeviceInfo device, String warning) {}

    /**
     * Finds this box among others: those of the same vendor and product id and, where it has one, the same serial. Boards
     * of one batch may share even that; then the one in the same socket is taken, or at the same path where the system
     * names no socket. Where that does not settle it either, the first is taken, with a warning.
     *
     * <p>The caller leaves out boxes that were connected all along, which cannot be the one that went away.
     *
     * @param candidates boxes to look among
     * @return empty where no candidate has the vendor, product and serial
     */
    public Optional<Match> among(List<DeviceInfo> candidates) {
        List<DeviceInfo> left = keep(candidates, c -> c.vendorId() == vendorId && c.productId() == productId);
        if (!serial.isEmpty()) {
            left = keep(left, c -> c.serial().equals(serial));
        }
        if (left.isEmpty()) {
            return Optional.empty();
        }
        if (left.size() == 1) {
            return Optional.of(new Match(
                    left.get(0),
                    moved(left.get(0))
                            ? name + " has no serial number and is in another socket than before ("
                                    + left.get(0).path()
                                    + "). If this is a second box of the same kind, plug the first one in again."
                            : ""));
        }
        List<DeviceInfo> here = keep(
                left, c -> port.isEmpty() ? c.path().equals(path) : c.port().equals(port));
        if (here.size() == 1) {
            return Optional.of(new Match(here.get(0), ""));
        }
        DeviceInfo chosen = left.get(0);
        return Optional.of(new Match(
                chosen,
                left.size() + " boxes look like " + name + " (" + chosen.usbId()
                        + ") and nothing tells them apart; took " + chosen.path()
                        + ". Unplug the others, or give each board its own serial number."));
    }

    private boolean moved(DeviceInfo device) {
        return serial.isEmpty() && !port.isEmpty() && !port.equals(device.port());
    }

    private static List<DeviceInfo> keep(List<DeviceInfo> devices, Predicate<DeviceInfo> condition) {
        return devices.stream().filter(condition).toList();
    }
}
