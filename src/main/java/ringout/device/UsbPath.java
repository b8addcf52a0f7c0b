package ringout.device;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Where on the bus a box is plugged in, as Linux names it: {@code usb-0000:00:14.0-2.3/input0} is socket 3 of the hub in
 * socket 2 of the controller at 0000:00:14.0.
 *
 * <p>Source: Linux, include/linux/usb.h, {@code usb_make_path}: bus name and device path; drivers/hid/usbhid/hid-core.c adds
 * the interface. From memory; the tests read it off a real kernel.
 *
 * @param controller the host controller, as its bus names it
 * @param sockets    from the controller to the box: of each hub on the way, the socket; never empty
 */
public record UsbPath(String controller, List<Integer> sockets) {
    private static final Pattern PATH = Pattern.compile("usb-(.+)-(\\d+(?:\\.\\d+)*)(?:/.*)?");

    public UsbPath {
        sockets = List.copyOf(sockets);
    }

    /** The path in {@link DeviceInfo#port()}; empty where the system names none, or the box is not on USB. */
    public static Optional<UsbPath> of(String port) {
        Matcher matcher = PATH.matcher(port);
        if (!matcher.matches()) {
            return Optional.empty();
        }
        try {
            List<Integer> sockets = new ArrayList<>();
            for (String socket : matcher.group(2).split("\\.")) {
                sockets.add(Integer.parseInt(socket));
            }
            return Optional.of(new UsbPath(matcher.group(1), sockets));
        } catch (NumberFormatException huge) {
            return Optional.empty();
        }
    }

    /** The socket on the last hub. */
    public int socket() {
        return sockets.get(sockets.size() - 1);
    }

    /** The same as steps: the controller, then every socket. */
    public List<String> steps() {
        List<String> steps = new ArrayList<>(List.of(controller));
        sockets.forEach(socket -> steps.add(String.valueOf(socket)));
        return steps;
    }
}
