package ringout.kernel;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;

/**
 * A Linux kernel in an emulator, running one Java class of this build on this computer's own files (shared read-only).
 *
 * <p>Always emulated in software: hardware virtualisation is not to be had in most build services, and where it is
 * offered it may hang.
 */
public final class Guest implements AutoCloseable {
    private static final String QEMU = "qemu-system-x86_64";
    private static final Path SCRIPTS = Path.of("src/test/kernel");
    /** A guest that says nothing for so long is stuck, in seconds. */
    private static final long SILENCE = 120;

    private static final int LAST_WORDS = 30;

    private final Process emulator;
    private final Path console;
    private final BlockingQueue<String> lines = new LinkedBlockingQueue<>();
    private final Deque<String> lastWords = new ArrayDeque<>();

    private Guest(Process emulator, Path console) {
        this.emulator = emulator;
        this.console = console;
        Thread reader = new Thread(this::read, "kernel-guest-output");
        reader.setDaemon(true);
        reader.start();
    }

    /** True where a guest that cannot run is a failure. */
    public static boolean required() {
        return "required".equals(System.getProperty("ringout.kernel"))
                || "required".equals(System.getenv("RINGOUT_KERNEL"));
    }

    /** What is missing for a guest, and how to get it; empty where it can run. */
    public static String missing() {
        if (!"amd64".equals(System.getProperty("os.arch")) || !new File("/proc/version").exists()) {
            return "it shares this computer's programs with an x86-64 Linux guest, and this is "
                    + System.getProperty("os.name") + " on " + System.getProperty("os.arch");
        }
        List<String> missing = new ArrayList<>();
        if (find(QEMU) == null) {
            missing.add(QEMU + " (Debian: sudo apt-get install qemu-system-x86)");
        }
        if (find("udevadm") == null) {
            missing.add("udevadm (Debian: sudo apt-get install udev)");
        }
        Path directory = directory();
        try {
            if (!Files.exists(directory.resolve("package"))) {
                missing.add("the guest's kernel (Debian: sudo apt-get install busybox-static cpio, then "
                        + SCRIPTS.resolve("prepare.sh") + ")");
            } else if (outdated(directory, "init") || outdated(directory, "prepare.sh")) {
                missing.add("an up-to-date guest (run " + SCRIPTS.resolve("prepare.sh") + " again)");
            }
        } catch (IOException unreadable) {
            missing.add("a readable guest in " + directory + " (" + unreadable + ")");
        }
        return missing.isEmpty() ? "" : "missing: " + String.join("; ", missing);
    }

    private static boolean outdated(Path directory, String file) throws IOException {
        Path made = directory.resolve(file);
        return !Files.exists(made) || Files.mismatch(made, SCRIPTS.resolve(file)) != -1;
    }

    private static Path find(String program) {
        return Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator))
                .map(directory -> Path.of(directory, program))
                .filter(Files::isExecutable)
                .findFirst()
                .orElse(null);
    }

    /** Where prepare.sh puts the guest. */
    private static Path directory() {
        String chosen = System.getenv("RINGOUT_KERNEL_GUEST");
        if (chosen != null && !chosen.isEmpty()) {
            return Path.of(chosen);
        }
        String cache = System.getenv("XDG_CACHE_HOME");
        return (cache == null || cache.isEmpty() ? Path.of(System.getProperty("user.home"), ".cache") : Path.of(cache))
                .resolve("ringout/kernel-guest");
    }

    /**
     * Starts a guest that runs the main method of that class and ends when it returns.
     *
     * @param folder in target, for its console; of no other guest
     */
    static Guest start(Class<?> main, String folder, List<String> arguments) throws IOException {
        return start(main, folder, arguments, List.of());
    }

    /** The same with a network card, behind which this computer is 10.0.2.2. */
    public static Guest startConnected(Class<?> main, List<String> arguments) throws IOException {
        return start(
                main,
                "kernel-usb",
                arguments,
                List.of("-netdev", "user,id=n0", "-device", "virtio-net-pci,netdev=n0,romfile="));
    }

    private static Guest start(Class<?> main, String folder, List<String> arguments, List<String> devices)
            throws IOException {
        Path work = Files.createDirectories(Path.of("target", folder).toAbsolutePath());
        Path console = work.resolve("console.log");
        Files.writeString(work.resolve("run.sh"), script(main, arguments));
        Path directory = directory();
        // However the thread that starts it ends, the emulator ends with it: also where this JVM is killed.
        List<String> command = new ArrayList<>(List.of(
                "setpriv",
                "--pdeathsig",
                "KILL",
                QEMU,
                "-M",
                "pc",
                "-accel",
                "tcg,thread=multi",
                "-cpu",
                "max",
                "-smp",
                "2",
                "-m",
                "2048",
                "-nodefaults",
                "-no-user-config",
                "-display",
                "none",
                "-no-reboot",
                "-kernel",
                directory.resolve("vmlinuz").toString(),
                "-initrd",
                directory.resolve("initramfs.gz").toString(),
                "-append",
                "console=ttyS0 panic=-1 quiet",
                "-serial",
                "file:" + console.toString().replace(",", ",,"),
                "-serial",
                "stdio",
                "-virtfs",
                share("host", Path.of("/")),
                "-virtfs",
                share("work", work)));
        command.addAll(devices);
        Process emulator = new ProcessBuilder(command).redirectErrorStream(true).start();
        emulator.getOutputStream().close();
        return new Guest(emulator, console);
    }

    private static String share(String tag, Path directory) {
        return "local,path=" + directory.toString().replace(",", ",,") + ",mount_tag=" + tag
                + ",security_model=none,readonly=on,multidevs=remap";
    }

    private static String script(Class<?> main, List<String> arguments) {
        return """
                stty -F /dev/ttyS1 raw -echo
                if [ -e /sys/class/net/eth0 ]; then
                    busybox ifconfig lo up
                    busybox ifconfig eth0 10.0.2.15 netmask 255.255.255.0 up
                fi
                cd %s
                export HOME=/tmp
                exec %s -XX:TieredStopAtLevel=1 -XX:+UseSerialGC -Xmx512m -Dringout.replugs=%d -cp %s %s %s > /dev/ttyS1 2>&1
                """.formatted(
                quote(Path.of("").toAbsolutePath().toString()),
                quote(Path.of(System.getProperty("java.home"), "bin/java").toString()),
                ReplugChecks.CYCLES,
                quote(System.getProperty("java.class.path")),
                main.getName(),
                String.join(" ", arguments));
    }

    private static String quote(String text) {
        return "'" + text.replace("'", "'\\''") + "'";
    }

    private void read() {
        try (BufferedReader in =
                new BufferedReader(new InputStreamReader(emulator.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                lines.add(line);
            }
        } catch (IOException closed) {
            // The emulator was ended.
        }
        lines.add("@gone");
    }

    /** The next line that is a result, or a text for people saying why none comes. Prints all other lines. */
    public String nextResult() {
        try {
            while (true) {
                String line = lines.poll(SILENCE, TimeUnit.SECONDS);
                if (line == null) {
                    return "the guest said nothing for " + SILENCE + " s" + context();
                }
                if (line.equals("@gone")) {
                    return "the guest ended early" + context();
                }
                if (line.startsWith("@")) {
                    return line;
                }
                System.out.println("guest: " + line);
                lastWords.add(line);
                if (lastWords.size() > LAST_WORDS) {
                    lastWords.remove();
                }
            }
        } catch (InterruptedException interrupted) {
            Thread.currentThread().interrupt();
            return "the test was interrupted";
        }
    }

    private String context() {
        try {
            return "; it said last:\n" + String.join("\n", lastWords) + "\nkernel:\n" + Files.readString(console);
        } catch (IOException unreadable) {
            throw new UncheckedIOException(unreadable);
        }
    }

    @Override
    public void close() {
        emulator.destroyForcibly();
    }
}
