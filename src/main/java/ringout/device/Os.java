package ringout.device;

import com.sun.jna.Platform;

/** The systems that differ in how they list, open and frame; everything else is treated like Linux without sysfs. */
enum Os {
    LINUX,
    WINDOWS,
    MAC,
    OTHER;

    static Os current() {
        return Platform.isLinux() ? LINUX : Platform.isWindows() ? WINDOWS : Platform.isMac() ? MAC : OTHER;
    }
}
