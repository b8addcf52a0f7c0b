package ringout.device;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.hid4java.jna.HidApi;
import org.hid4java.jna.HidDeviceInfoStructure;
import org.hid4java.jna.HidDeviceStructure;

/**
 * The game controllers plugged into this computer, through hid4java and the hidapi it brings along.
 *
 * <p>Only hid4java's thin calls are used. Its own services start a scanning thread and a polling thread per box, which
 * allocate per report and add delay; {@link DeviceWatch} and {@link DeviceReader} replace them.
 */
public final class HidSource implements DeviceSource {
    /** HID_MAX_DESCRIPTOR_SIZE in linux/hid.h and HID_API_MAX_REPORT_DESCRIPTOR_SIZE in hidapi.h. */
    static final int MAX_DESCRIPTOR_BYTES = 4096;

    private static final int GENERIC_DESKTOP = 0x01;

    /** hidapi must not be entered by two threads for anything but reading different boxes. */
    private static final Object HIDAPI = new Object();

    private final Os os = Os.current();
    private boolean initialised;
    /** Linux: what was plugged in when {@link #listed} was made. */
    private List<String> listedFor = List.of();

    private List<DeviceInfo> listed = List.of();

    /** Nothing is loaded before the first call of a method. */
    public HidSource() {}

    /**
     * {@inheritDoc}
     *
     * <p>Linux: asks hidapi only after something was plugged in or out, since hidapi reads several files per node.
     */
    @Override
    public List<DeviceInfo> list() throws DeviceException {
        synchronized (HIDAPI) {
            initialise();
            List<String> pluggedIn = os == Os.LINUX ? LinuxNode.pluggedIn() : List.of();
            if (pluggedIn.isEmpty() || !pluggedIn.equals(listedFor)) {
                listed = merge(enumerate()).stream().map(this::describe).toList();
                listedFor = pluggedIn;
            }
            return listed.stream().map(this::withPermission).toList();
        }
    }

    private static List<Entry> enumerate() {
        List<Entry> entries = new ArrayList<>();
        HidDeviceInfoStructure first = HidApi.enumerateDevices(0, 0);
        if (first != null) {
            for (HidDeviceInfoStructure entry = first; entry != null; entry = entry.next()) {
                entries.add(Entry.of(entry));
            }
            HidApi.freeEnumeration(first);
        }
        return entries;
    }

    /** One line of hidapi's enumeration. */
    record Entry(String path, int vendorId, int productId, String serial, String product, int usagePage, int usage) {
        static Entry of(HidDeviceInfoStructure entry) {
            return new Entry(
                    entry.path,
                    entry.vendor_id & 0xFFFF,
                    entry.product_id & 0xFFFF,
                    entry.serial_number == null
                            ? ""
                            : entry.serial_number.toString().strip(),
                    entry.product_string == null
                            ? ""
                            : entry.product_string.toString().strip(),
                    entry.usage_page & 0xFFFF,
                    entry.usage & 0xFFFF);
        }

        /** Joystick, gamepad, multi-axis controller: HID Usage Tables, Generic Desktop page, usages 04, 05 and 08. */
        boolean isGameController() {
            return usagePage == GENERIC_DESKTOP && (usage == 0x04 || usage == 0x05 || usage == 0x08);
        }
    }

    /**
     * One entry per path: hidapi lists an interface once per top-level collection (on Linux all under one path), and the
     * first is often a keyboard or a vendor's own.
     *
     * @return for each path with a game-controller collection, the entry of its first one
     */
    static List<Entry> merge(List<Entry> entries) {
        Map<String, Entry> byPath = new LinkedHashMap<>();
        for (Entry entry : entries) {
            if (entry.isGameController()) {
                byPath.putIfAbsent(entry.path(), entry);
            }
        }
        return List.copyOf(byPath.values());
    }

    private DeviceInfo describe(Entry entry) {
        String name = entry.product().isEmpty()
                ? String.format(Locale.ROOT, "Controller %04x:%04x", entry.vendorId(), entry.productId())
                : entry.product();
        String port = switch (os) {
            case LINUX -> LinuxNode.of(entry.path()).port();
            case WINDOWS -> entry.path();
            default -> "";
        };
        return new DeviceInfo(
                name,
                entry.vendorId(),
                entry.productId(),
                entry.serial(),
                entry.path(),
                port,
                entry.usagePage(),
                entry.usage(),
                true,
                "");
    }

    /** Permission can change while a box stays plugged in, so it is asked for every time. */
    private DeviceInfo withPermission(DeviceInfo device) {
        LinuxNode node = os == Os.LINUX ? LinuxNode.of(device.path()) : null;
        if (node == null || node.mayOpen()) {
            return device;
        }
        String advice = node.permissionAdvice(device.vendorId(), device.productId());
        Optional<EvdevBox> around = EvdevBox.of(node).filter(EvdevBox::mayOpen);
        return device.withAccess(
                around.isPresent(),
                around.map(box -> box.loss() + "\n" + advice).orElse(advice));
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) {
        if (os == Os.LINUX) {
            return LinuxNode.of(device.path()).descriptor();
        }
        try (DeviceConnection connection = open(device)) {
            return Optional.of(connection.descriptor());
        } catch (DeviceException unreadable) {
            return Optional.empty();
        }
    }

    @Override
    public DeviceConnection open(DeviceInfo device) throws DeviceException {
        if (os == Os.LINUX && !LinuxNode.of(device.path()).mayOpenSoon()) {
            Optional<EvdevBox> around = EvdevBox.of(LinuxNode.of(device.path())).filter(EvdevBox::mayOpen);
            if (around.isPresent()) {
                return around.get().open(withPermission(device));
            }
        }
        synchronized (HIDAPI) {
            initialise();
            HidDeviceStructure handle = HidApi.open(device.path());
            if (handle == null) {
                throw OpenFailure.explain(os, device, Native.getLastError(), HidLibrary.error(null));
            }
            byte[] descriptor = descriptor(device, handle);
            if (descriptor.length == 0) {
                HidApi.close(handle);
                throw new DeviceException(
                        DeviceException.Reason.IO,
                        device.describe()
                                + " does not give out its report descriptor, without which its reports mean nothing. "
                                + "Unplug it, plug it in and try again.");
            }
            return new HidConnection(os, device, handle, descriptor);
        }
    }

    private byte[] descriptor(DeviceInfo device, HidDeviceStructure handle) {
        byte[] bytes = new byte[MAX_DESCRIPTOR_BYTES];
        int length = HidApi.getReportDescriptor(handle, bytes, bytes.length);
        if (length > 0) {
            return Arrays.copyOf(bytes, length);
        }
        return os == Os.LINUX ? LinuxNode.of(device.path()).descriptor().orElse(new byte[0]) : new byte[0];
    }

    private void initialise() throws DeviceException {
        if (initialised) {
            return;
        }
        try {
            // macOS would otherwise take the box away from every other program (IOHIDDeviceOpen, seize option).
            HidApi.darwinOpenDevicesNonExclusive = true;
            HidApi.init();
            HidLibrary.load();
            initialised = true;
        } catch (LinkageError missing) {
            throw new DeviceException(
                    DeviceException.Reason.IO,
                    "The USB library hidapi cannot be loaded here: "
                            + missing.getMessage()
                            + (os == Os.LINUX
                                    ? "\nIt needs libudev (Debian and Ubuntu: sudo apt install libudev1)."
                                    : ""),
                    missing);
        }
    }

    /** An open box. */
    private static final class HidConnection extends NativeConnection {
        /** The longest report Linux hands out (HID_MAX_BUFFER_SIZE in linux/hid.h). */
        private static final int MAX_REPORT_BYTES = 16 * 1024;

        private static final int EINTR = 4;
        private static final int NO_POLL = -1;

        private final Os os;
        private final HidDeviceStructure handle;
        private final PaddedReports padded;
        private final Memory buffer = new Memory(MAX_REPORT_BYTES);
        private boolean hungUp;

        HidConnection(Os os, DeviceInfo info, HidDeviceStructure handle, byte[] descriptor) {
            super(info, descriptor);
            this.os = os;
            this.handle = handle;
            this.padded = os == Os.WINDOWS ? PaddedReports.of(descriptor) : PaddedReports.NONE;
        }

        @Override
        int receive(byte[] into, int timeoutMillis) throws DeviceException {
            int length = call(into.length, timeoutMillis);
            if (length > 0) {
                buffer.read(0, into, 0, length);
            }
            return padded.unpadded(into, length);
        }

        private int call(int space, int timeoutMillis) throws DeviceException {
            int most = Math.min(space, MAX_REPORT_BYTES);
            int length = HidLibrary.hid_read_timeout(handle.ptr(), buffer, most, hungUp ? NO_POLL : timeoutMillis);
            if (length >= 0) {
                return length;
            }
            if (os == Os.LINUX && !hungUp) {
                // hidapi reports the hang-up before the reports that are still queued. Without its poll, the kernel
                // hands those out and then fails, never waits, since the device no longer exists (hidraw_read).
                if (HidLibrary.error(handle.ptr()).contains("poll error")) {
                    hungUp = true;
                    return call(space, timeoutMillis);
                }
                if (Native.getLastError() == EINTR
                        && LinuxNode.of(info().path()).exists()) {
                    return 0;
                }
            }
            throw lost();
        }

        @Override
        void release() {
            synchronized (HIDAPI) {
                HidApi.close(handle);
            }
            buffer.close();
        }
    }
}
