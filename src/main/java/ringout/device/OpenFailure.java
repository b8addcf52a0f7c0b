package ringout.device;

import java.util.Locale;
import ringout.words.Texts;

/** Says why a box could not be opened, from what the system left behind. */
final class OpenFailure {
    // errno values common to every Linux architecture Java runs on (asm-generic/errno-base.h).
    private static final int ENOENT = 2;
    private static final int ENXIO = 6;
    private static final int EACCES = 13;
    private static final int EBUSY = 16;
    private static final int ENODEV = 19;
    private static final int EPERM = 1;
    // Windows system error codes (winerror.h).
    private static final int ERROR_FILE_NOT_FOUND = 2;
    private static final int ERROR_PATH_NOT_FOUND = 3;
    private static final int ERROR_ACCESS_DENIED = 5;
    private static final int ERROR_SHARING_VIOLATION = 32;
    private static final int ERROR_DEVICE_NOT_CONNECTED = 1167;
    // IOReturn values (IOKit/IOReturn.h), as hidapi prints them.
    private static final String IO_NOT_PRIVILEGED = "0xe00002c1";
    private static final String IO_EXCLUSIVE_ACCESS = "0xe00002c5";
    private static final String IO_NOT_PERMITTED = "0xe00002e2";

    private OpenFailure() {}

    /**
     * @param errorCode errno on Linux, {@code GetLastError} on Windows; not used on macOS
     * @param text      hidapi's own message; on macOS it holds the IOReturn value
     */
    static DeviceException explain(Os os, DeviceInfo device, int errorCode, String text) {
        DeviceException.Reason reason = switch (os) {
            case LINUX, OTHER ->
                switch (errorCode) {
                    case ENOENT, ENXIO, ENODEV -> DeviceException.Reason.NOT_FOUND;
                    case EACCES, EPERM -> DeviceException.Reason.NO_PERMISSION;
                    case EBUSY -> DeviceException.Reason.BUSY;
                    default -> DeviceException.Reason.IO;
                };
            case WINDOWS ->
                switch (errorCode) {
                    case ERROR_FILE_NOT_FOUND, ERROR_PATH_NOT_FOUND, ERROR_DEVICE_NOT_CONNECTED ->
                        DeviceException.Reason.NOT_FOUND;
                    case ERROR_ACCESS_DENIED -> DeviceException.Reason.NO_PERMISSION;
                    case ERROR_SHARING_VIOLATION -> DeviceException.Reason.BUSY;
                    default -> DeviceException.Reason.IO;
                };
            case MAC -> {
                String lower = text.toLowerCase(Locale.ROOT);
                yield lower.contains(IO_EXCLUSIVE_ACCESS)
                        ? DeviceException.Reason.BUSY
                        : lower.contains(IO_NOT_PERMITTED) || lower.contains(IO_NOT_PRIVILEGED)
                                ? DeviceException.Reason.NO_PERMISSION
                                : DeviceException.Reason.IO;
            }
        };
        return new DeviceException(reason, message(os, device, reason, text));
    }

    /** That another program has the box for itself. */
    static DeviceException held(DeviceInfo device) {
        return new DeviceException(DeviceException.Reason.BUSY, Texts.say("device.held", device.describe()));
    }

    private static String message(Os os, DeviceInfo device, DeviceException.Reason reason, String text) {
        return switch (reason) {
            case NOT_FOUND -> Texts.say("device.gone", device.describe());
            case BUSY -> held(device).getMessage();
            case NO_PERMISSION ->
                switch (os) {
                    case LINUX, OTHER ->
                        LinuxNode.of(device.path()).permissionAdvice(device.vendorId(), device.productId());
                    case MAC -> Texts.say("device.mac", device.describe());
                    case WINDOWS -> Texts.say("device.windows", device.describe());
                };
            default -> Texts.say("device.cannot-open", device.describe(), text);
        };
    }
}
