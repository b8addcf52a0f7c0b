package ringout.device;

import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.Objects;

/**
 * A connected box as the system lists it, before it is opened. Text is never null; what the box does not say is empty.
 *
 * @param name      product name, as the box gives it; where it gives none, made from the USB ids
 * @param vendorId  USB vendor id, 0 to 0xFFFF
 * @param productId USB product id, 0 to 0xFFFF
 * @param serial    serial number. Stock firmware often gives none, or the same one to every board of a batch
 * @param path      what {@link DeviceSource#open} needs and a person can type; unique among the boxes listed at one
 *                  moment. Linux: {@code /dev/hidraw3}, numbered in order of plugging in, so it may change on a
 *                  replug. Windows: the device interface path. macOS: a registry id that changes on every replug.
 *                  Simulated boxes and recordings: {@code sim:} and {@code rec:} followed by what they come from
 * @param port      which socket it is plugged into, in the system's own words. Linux: the kernel's physical path, such
 *                  as {@code usb-0000:00:14.0-2/input0}. Windows: same as {@code path}. macOS: empty
 * @param usagePage usage page of its first game-controller collection (HUT: 0x01, Generic Desktop)
 * @param usage     usage of that collection (HUT: 0x04 joystick, 0x05 gamepad, 0x08 multi-axis controller)
 * @param readable  false where opening would fail for want of permission
 * @param problem   possibly several lines; where it is not readable, why and what to do. Where it is readable in a
 *                  roundabout way only (Linux: through evdev), what is lost by that, in the first line, and what to do.
 *                  Else empty
 */
public record DeviceInfo(
        String name,
        int vendorId,
        int productId,
        String serial,
        String path,
        String port,
        int usagePage,
        int usage,
        boolean readable,
        String problem) {

    public DeviceInfo {
        Objects.requireNonNull(name, "name");
        Objects.requireNonNull(serial, "serial");
        Objects.requireNonNull(path, "path");
        Objects.requireNonNull(port, "port");
        Objects.requireNonNull(problem, "problem");
    }

    /** A readable joystick (0x01:0x04) that is plugged into no socket: what simulated boxes and recordings are. */
    public static DeviceInfo joystick(String name, int vendorId, int productId, String serial, String path) {
        return new DeviceInfo(name, vendorId, productId, serial, path, "", 0x01, 0x04, true, "");
    }

    /** The same box with other access: readable or not, and what is wrong with that. */
    public DeviceInfo withAccess(boolean nowReadable, String nowWrong) {
        return new DeviceInfo(name, vendorId, productId, serial, path, port, usagePage, usage, nowReadable, nowWrong);
    }

    /** What finds this box again after it was unplugged and plugged in. */
    public DeviceIdentity identity() {
        return new DeviceIdentity(name, vendorId, productId, serial, path, port);
    }

    /** True where another box says the same of itself, so that only its path or its socket tells them apart. */
    public boolean looksLike(DeviceInfo other) {
        return identity().says(other);
    }

    /** Its name, with what tells it apart where others of these have the same: its serial, or else its path. */
    public String nameAmong(Collection<DeviceInfo> all) {
        List<DeviceInfo> namesakes = all.stream()
                .filter(other -> !other.path().equals(path) && other.name().equals(name))
                .toList();
        boolean known = !serial.isEmpty()
                && namesakes.stream().noneMatch(other -> other.serial().equals(serial));
        return namesakes.isEmpty() ? name : name + " (" + (known ? serial : path) + ")";
    }

    /** The USB ids as everyone writes them: {@code 1209:0001}. */
    public String usbId() {
        return String.format(Locale.ROOT, "%04x:%04x", vendorId, productId);
    }

    /** One line for messages: name, USB ids, path. */
    public String describe() {
        return name + " (" + usbId() + ", " + path + ")";
    }
}
