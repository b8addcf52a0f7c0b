package ringout.device;

import com.sun.jna.Native;
import com.sun.jna.NativeLibrary;
import com.sun.jna.Pointer;
import org.jspecify.annotations.Nullable;

/**
 * The two calls of hidapi where hid4java's own binding does not serve: it allocates at every read, and cannot ask why
 * opening failed. Bound directly, so that a call allocates nothing.
 */
final class HidLibrary {
    private HidLibrary() {}

    /** Binds to the library hid4java loaded; call after {@code HidApi.init}. */
    static void load() {
        Native.register(HidLibrary.class, NativeLibrary.getInstance("hidapi"));
    }

    /**
     * {@code int hid_read_timeout(hid_device *, unsigned char *data, size_t length, int milliseconds)}.
     *
     * <p>The length is declared int, which the calling conventions of all supported 64-bit systems widen.
     *
     * @return bytes read, 0 on timeout, -1 on error
     */
    static native int hid_read_timeout(Pointer device, Pointer data, int length, int milliseconds);

    private static native Pointer hid_error(@Nullable Pointer device);

    /** hidapi's words for the last failure of that device, or of opening and listing where it is null. Never null. */
    static String error(@Nullable Pointer device) {
        Pointer text = hid_error(device);
        return text == null ? "unknown error" : text.getWideString(0);
    }
}
