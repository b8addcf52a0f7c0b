package ringout.device;

import java.util.List;
import java.util.Optional;

/**
 * Where boxes come from: the computer's USB and Bluetooth, a simulation, a recording.
 *
 * <p>Implementations are safe to call from several threads. No method of this package keeps a reference to a returned
 * list or array; what is returned belongs to the caller.
 */
public interface DeviceSource {

    /**
     * The game controllers connected now: boxes with an application collection joystick, gamepad or multi-axis
     * controller (HUT 01:04, 01:05, 01:08), also where other collections share the interface. Each box once.
     *
     * <p>Cost: about a millisecond; suitable for a timer, not for the path of a report. Opens nothing for input.
     *
     * <p>Windows lists each top-level collection of an interface as a box of its own, because the system gives each its
     * own handle and reports.
     *
     * @return a snapshot, in the order of the system; empty where none is connected
     * @throws DeviceException {@code IO} where the system cannot be asked at all
     */
    List<DeviceInfo> list() throws DeviceException;

    /**
     * The boxes a person may have meant by what they typed: {@link DeviceInfo#path}, serial, USB ids as
     * {@code 1209:0001}, name, or part of the name; letter case does not matter. A source whose boxes exist only once
     * they are named ({@code sim:…}) makes them here, and lists them from then on.
     *
     * @param text as typed
     * @return the best kind of match only: where a path fits, names are not considered. Empty where nothing fits
     * @throws DeviceException where the text is clearly for this source but its box cannot be had; message says why
     */
    default List<DeviceInfo> find(String text) throws DeviceException {
        return DeviceNames.fitting(text, list());
    }

    /**
     * The report descriptor without opening the box for input.
     *
     * <p>Linux: works without permission to read the box, from sysfs. Windows and macOS: opens the box for a moment.
     *
     * @param device from {@link #list} or {@link #find} of this source
     * @return the bytes, at most 4096 of them; empty where the system does not give them out
     * @throws DeviceException where it has to be opened for them and cannot be, as {@link #open}
     */
    Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException;

    /**
     * Opens a box for reading. Other programs can go on reading it, except where they have taken it exclusively.
     *
     * <p>Linux: needs read and write permission on the node; without, the exception is {@code NO_PERMISSION} and its
     * message holds the udev rule and the commands. Windows: a driver or program that opened it exclusively gives
     * {@code BUSY}. macOS: the terminal (or the packaged program) may need the Input Monitoring permission,
     * {@code NO_PERMISSION}; a program that seized the box gives {@code BUSY}.
     *
     * @param device from {@link #list} or {@link #find} of this source
     * @return an open connection, which the caller closes
     * @throws DeviceException {@code NOT_FOUND} where it is gone, else {@code NO_PERMISSION}, {@code BUSY} or
     *                         {@code IO}; never {@code LOST}
     */
    DeviceConnection open(DeviceInfo device) throws DeviceException;
}
