package ringout.kernel;

import com.sun.jna.Library;
import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;

/** The system calls that Java does not offer, as the guest needs them. Constants are those of Linux on x86-64. */
interface Libc extends Library {
    Libc C = Native.load("c", Libc.class);

    int O_RDWR = 2;
    int O_NONBLOCK = 0x800;
    /** setresuid(2) in the system call table of x86-64 (asm/unistd_64.h). */
    int SYS_SETRESUID = 117;

    int open(String path, int flags);

    NativeLong read(int fd, Pointer buffer, NativeLong length);

    NativeLong write(int fd, Pointer buffer, NativeLong length);

    int ioctl(int fd, NativeLong request, Pointer argument);

    int close(int fd);

    /** The bare call: unlike the C library's wrapper it changes the calling thread only. */
    NativeLong syscall(NativeLong number, NativeLong a, NativeLong b, NativeLong c);
}
