package ringout.device;

import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import com.sun.jna.Platform;
import com.sun.jna.Pointer;
import org.jspecify.annotations.Nullable;

/**
 * The calls of Linux's C library that reading an event node takes, bound directly, so that a call allocates nothing.
 * Each returns what the C library does, -1 being a failure whose reason is {@link Native#getLastError}.
 */
final class Libc {
    // asm-generic/fcntl.h and poll.h.
    static final int O_RDONLY = 0;
    static final int O_NONBLOCK = 0x800;
    static final int O_CLOEXEC = 0x80000;
    static final short POLLIN = 1;
    static final short POLLERR = 8;
    static final short POLLHUP = 0x10;

    static {
        Native.register(Libc.class, "c");
    }

    private Libc() {}

    /**
     * True where the numbers used here are those of the system: 64- and 32-bit x86 and ARM, RISC-V and all others with
     * the generic ones; not MIPS and POWER, which number their requests differently (asm/ioctl.h).
     */
    static boolean isKnown() {
        return Platform.isLinux() && !Platform.isMIPS() && !Platform.isPPC() && !Platform.isSPARC();
    }

    static native int open(String path, int flags);

    /** Lengths and counts are declared int, which the calling conventions of all these systems widen. */
    static native int read(int file, Pointer buffer, int length);

    static native int poll(Pointer files, int count, int milliseconds);

    static native int ioctl(int file, NativeLong request, @Nullable Pointer argument);

    static native int close(int file);
}
