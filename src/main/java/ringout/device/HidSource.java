package ringout.device;

import com.sun.jna.Memory;
import com.sun.jna.Native;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Stream;
import org.hid4java.jna.HidApi;
import org.hid4java.jna.HidDeviceInfoStructure;
import org.hid4java.jna.HidDeviceStructure;
import ringout.hid.DescriptorException;
import ringout.hid.GameControls;
import ringout.hid.InputField;
import ringout.hid.RebuiltDescriptor;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;
import ringout.words.Texts;

/**
 * The game controllers plugged into this computer, through hid4java and the hidapi it brings along.
 *
 * <p>Only hid4java's thin calls are used. Its own services start a scanning thread and a polling thread per box, which
 * allocate per report and add delay; {@link DeviceWatch} and {@link DeviceReader} replace them.
 */
public final class HidSource implements DeviceSource {
    /** HID_MAX_DESCRIPTOR_SIZE in linux/hid.h and HID_API_MAX_REPORT_DESCRIPTOR_SIZE in hidapi.h. */
    static final int MAX_DESCRIPTOR_BYTES = 4096;

    /** hidapi must not be entered by two threads for anything but reading different boxes. */
    private static final Object HIDAPI = new Object();

    private final Os os = Os.current();
    private boolean initialised;
    /** Linux: what was plugged in when {@link #listed} was made. */
    private List<String> listedFor = List.of();

    private List<DeviceInfo> listed = List.of();
    private List<String> padsFor = List.of();
    private List<EvdevPad> pads = List.of();

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
                listed = merge(enumerate(), this::inside).stream()
                        .map(this::describe)
                        .toList();
                listedFor = pluggedIn;
            }
            return Stream.concat(
                            listed.stream().map(this::withPermission),
                            pads().stream().map(EvdevPad::info))
                    .toList();
        }
    }

    /** Controllers that are no HID devices; elsewhere than on Linux the system gives no way to read them. */
    private List<EvdevPad> pads() {
        if (os != Os.LINUX) {
            return List.of();
        }
        List<String> pluggedIn = EvdevPad.pluggedIn();
        if (!pluggedIn.equals(padsFor)) {
            pads = EvdevPad.among(pluggedIn);
            padsFor = pluggedIn;
        }
        return pads;
    }

    private Optional<EvdevPad> pad(DeviceInfo device) {
        synchronized (HIDAPI) {
            return pads().stream()
                    .filter(pad -> pad.path().equals(device.path()))
                    .findFirst();
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

        boolean isGameController() {
            return GameControls.isController(new Usage(usagePage, usage));
        }

        Entry as(Usage other) {
            return new Entry(path, vendorId, productId, serial, product, other.page(), other.id());
        }
    }

    /**
     * One entry per path: hidapi lists an interface once per top-level collection (on Linux all under one path), and the
     * first is often a keyboard or a vendor's own.
     *
     * @param inside what is looked for inside the collections of a path that are no game controllers by themselves
     * @return for each path with a game-controller collection, the entry of its first one
     */
    static List<Entry> merge(List<Entry> entries, Function<Entry, Optional<Usage>> inside) {
        Map<String, Entry> byPath = new LinkedHashMap<>();
        Set<String> paths = new LinkedHashSet<>();
        for (Entry entry : entries) {
            paths.add(entry.path());
            if (entry.isGameController()) {
                byPath.putIfAbsent(entry.path(), entry);
            }
        }
        for (Entry entry : entries) {
            if (paths.remove(entry.path()) && !byPath.containsKey(entry.path())) {
                inside.apply(entry).ifPresent(usage -> byPath.put(entry.path(), entry.as(usage)));
            }
        }
        return List.copyOf(byPath.values());
    }

    /**
     * The usage of a game controller that hidapi does not list: inside a collection of another kind, or one that does not
     * say what it is. Linux tells from its descriptor without opening anything; elsewhere it would have to be opened, and
     * so is looked for only where a collection is undefined.
     */
    private Optional<Usage> inside(Entry entry) {
        if (os != Os.LINUX && (entry.usage() != 0 || entry.usagePage() > 1)) {
            return Optional.empty();
        }
        try {
            Optional<byte[]> bytes = descriptor(describe(entry));
            if (bytes.isEmpty()) {
                return Optional.empty();
            }
            ReportDescriptor descriptor = ReportDescriptor.parse(bytes.get());
            return descriptor.applications().stream()
                    .filter(descriptor::isGameController)
                    .findFirst()
                    .map(InputField.Application::usage);
        } catch (DeviceException | DescriptorException unreadable) {
            return Optional.empty(); // then nothing says that it is one
        }
    }

    private DeviceInfo describe(Entry entry) {
        String product = printable(entry.product());
        String name = product.isEmpty()
                ? String.format(Locale.ROOT, "Controller %04x:%04x", entry.vendorId(), entry.productId())
                : product;
        String port = switch (os) {
            case LINUX -> LinuxNode.of(entry.path()).port();
            case WINDOWS -> entry.path();
            default -> "";
        };
        return new DeviceInfo(
                name,
                entry.vendorId(),
                entry.productId(),
                printable(entry.serial()),
                entry.path(),
                port,
                entry.usagePage(),
                entry.usage(),
                true,
                "");
    }

    /** The bidirectional formatting characters of the Unicode Standard (annex 9, section 2), and the byte order mark. */
    private static final String TURNS =
            "\u061C\u200E\u200F\u202A\u202B\u202C\u202D\u202E\u2066\u2067\u2068\u2069\uFEFF";

    /** Text in any script, without what would steer a terminal or turn lines around. */
    static String printable(String text) {
        StringBuilder printable = new StringBuilder();
        text.codePoints().forEach(c -> {
            int type = Character.getType(c);
            boolean steers = type == Character.CONTROL
                    || type == Character.SURROGATE
                    || type == Character.LINE_SEPARATOR
                    || type == Character.PARAGRAPH_SEPARATOR
                    || TURNS.indexOf(c) >= 0;
            printable.appendCodePoint(steers ? ' ' : c);
        });
        return printable.toString().strip().replaceAll(" {2,}", " ");
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
    public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
        Optional<EvdevPad> pad = pad(device);
        if (pad.isPresent()) {
            return Optional.of(pad.get().descriptor(device));
        }
        if (os == Os.LINUX) {
            return LinuxNode.of(device.path()).descriptor();
        }
        try (DeviceConnection connection = open(device)) {
            return Optional.of(connection.descriptor());
        }
    }

    @Override
    public DeviceConnection open(DeviceInfo device) throws DeviceException {
        Optional<EvdevPad> pad = pad(device);
        if (pad.isPresent()) {
            return pad.get().open(device);
        }
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
                        DeviceException.Reason.IO, Texts.say("device.no-descriptor", device.describe()));
            }
            HidConnection connection = new HidConnection(os, device, handle, descriptor);
            if (os == Os.WINDOWS) {
                connection.proveReadable();
            }
            return connection;
        }
    }

    private byte[] descriptor(DeviceInfo device, HidDeviceStructure handle) {
        byte[] bytes = new byte[MAX_DESCRIPTOR_BYTES];
        int length = HidApi.getReportDescriptor(handle, bytes, bytes.length);
        if (length > 0) {
            byte[] given = Arrays.copyOf(bytes, length);
            return os == Os.WINDOWS ? RebuiltDescriptor.bytes(given) : given;
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
                    Texts.say("device.no-hidapi", String.valueOf(missing.getMessage()))
                            + (os == Os.LINUX ? "\n" + Texts.say("device.libudev") : ""),
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
        /** Length of a report that waits in {@link #buffer}; 0 for none. */
        private int waiting;

        HidConnection(Os os, DeviceInfo info, HidDeviceStructure handle, byte[] descriptor) {
            super(info, descriptor);
            this.os = os;
            this.handle = handle;
            this.padded = os == Os.WINDOWS ? PaddedReports.of(descriptor) : PaddedReports.NONE;
        }

        /**
         * Where another program holds a box for itself, hidapi on Windows opens it without access instead of failing
         * (hid_open_path), and every read of it fails. So one is tried here; a report that it brings is kept.
         *
         * @throws DeviceException {@code BUSY}; the box is closed again
         */
        void proveReadable() throws DeviceException {
            int length = HidLibrary.hid_read_timeout(handle.ptr(), buffer, MAX_REPORT_BYTES, 0);
            if (length < 0) {
                close();
                throw OpenFailure.held(info());
            }
            waiting = length;
        }

        @Override
        int receive(byte[] into, int timeoutMillis) throws DeviceException {
            int length = waiting > 0 ? Math.min(waiting, into.length) : call(into.length, timeoutMillis);
            waiting = 0;
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
