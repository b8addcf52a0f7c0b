package ringout.windows;

import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import java.util.zip.CRC32;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;

/**
 * A Windows of its own, played by Wine, with the shipped zip unpacked in it and boxes that tests play. What Wine is told
 * is told here: settings of winebus by the names of Wine 8.0's dlls/winebus.sys/main.c, variables by its manual.
 */
final class Wine implements AutoCloseable {
    private static final Path SOURCES = Path.of("src", "test", "windows");
    private static final String MINGW = "x86_64-w64-mingw32-gcc";
    private static final int PATIENCE_SECONDS = 120;
    /** Letters of three scripts and a space: one that every code page has, and some that no single one has. */
    static final String FOLDER = "Prüfstand Ω 制御";

    private static final String WINEBUS = """
            REGEDIT4

            [HKEY_LOCAL_MACHINE\\System\\CurrentControlSet\\Services\\winebus]
            "Enable SDL"=dword:00000000
            "DisableUdevd"=dword:00000001
            "DisableHidraw"=dword:00000000
            "DisableInput"=dword:00000001
            """;

    private final Path folder;
    private final Path loader;
    /** What Wine sees in place of /dev. */
    final Path boxes;
    /** The unpacked zip, as this computer sees it. */
    final Path program;

    /** What a program left behind. */
    record Ended(int status, String out, String err) {}

    /** A program that runs; what it prints is in files, because Wine's own processes would keep a pipe open. */
    record Running(Process process, Path out, Path err) {
        String said() throws IOException {
            return Files.readString(err).replace("\r\n", "\n");
        }

        Ended end() throws IOException, InterruptedException {
            if (!process.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                throw new AssertionError("it does not end; it said:\n" + Files.readString(out) + "\n" + said());
            }
            return new Ended(process.exitValue(), Files.readString(out), said());
        }
    }

    /** @param folder on this computer, with a short path: sockets lie in it */
    Wine(Path folder, Path zip) throws IOException, InterruptedException {
        this.folder = folder;
        loader = loader().orElseThrow();
        boxes = Files.createDirectories(folder.resolve("boxes"));
        Files.createDirectories(folder.resolve("home"));
        // However the tests end, it does not outlive them.
        Runtime.getRuntime().addShutdownHook(new Thread(this::close, "wine-end"));
        command(List.of(
                "gcc",
                "-shared",
                "-fPIC",
                "-O1",
                "-Wall",
                "-o",
                preload().toString(),
                SOURCES.resolve("fakehid.c").toString(),
                "-ldl"));
        Files.writeString(folder.resolve("winebus.reg"), WINEBUS);
        command(List.of(loader.toString(), "wineboot", "--init"));
        command(List.of(
                loader.toString(),
                "regedit",
                "/S",
                folder.resolve("winebus.reg").toString()));
        restart(); // winebus reads it when it starts
        Path unpacked = folder.resolve("prefix/drive_c").resolve(FOLDER);
        unzip(zip, unpacked);
        try (Stream<Path> roots = Files.list(unpacked)) {
            program = roots.findFirst().orElseThrow();
        }
        for (String place : List.of("", "runtime/bin")) {
            command(List.of(
                    MINGW,
                    "-shared",
                    "-O1",
                    "-Wall",
                    "-o",
                    program.resolve(place).resolve("cfgmgr32.dll").toString(),
                    SOURCES.resolve("cfgmgr32.c").toString(),
                    SOURCES.resolve("cfgmgr32.def").toString(),
                    "-lsetupapi"));
        }
    }

    /** True where it is a failure that Wine cannot be used. */
    static boolean required() {
        return "required".equals(System.getenv("RINGOUT_WINE"));
    }

    /** The zip for Windows, if it was built. */
    static Optional<Path> zip() throws IOException {
        if (!Files.isDirectory(Path.of("target"))) {
            return Optional.empty();
        }
        try (Stream<Path> files = Files.list(Path.of("target"))) {
            return files.filter(f -> f.getFileName().toString().matches("ringout-windows-.*\\.zip"))
                    .findFirst();
        }
    }

    /** What is missing, and how to get it; empty where it can run. */
    static String missing() throws IOException {
        List<String> missing = new ArrayList<>();
        if (!"amd64".equals(System.getProperty("os.arch")) || !new File("/proc/version").exists()) {
            missing.add("an x86-64 Linux");
        }
        if (loader().isEmpty()) {
            missing.add("wine64 (Debian: sudo apt-get install wine64)");
        }
        if (find("gcc").isEmpty()) {
            missing.add("gcc (Debian: sudo apt-get install gcc libc6-dev)");
        }
        if (find(MINGW).isEmpty()) {
            missing.add(MINGW + " (Debian: sudo apt-get install gcc-mingw-w64-x86-64)");
        }
        if (find("script").isEmpty()) {
            missing.add("script (Debian: sudo apt-get install bsdutils)");
        }
        if (zip().isEmpty() || !ofThisBuild(zip().get())) {
            missing.add("the zip for Windows of this build (bash src/dist/windows/runtime.sh, then "
                    + "mvn -B -Pdist -DskipTests package)");
        }
        return missing.isEmpty() ? "" : "missing: " + String.join("; ", missing);
    }

    private static boolean ofThisBuild(Path zip) throws IOException {
        Path jar = Path.of("target", "ringout.jar");
        try (ZipFile open = new ZipFile(zip.toFile())) {
            ZipEntry inside = Collections.list(open.entries()).stream()
                    .filter(entry -> entry.getName().endsWith("/ringout.jar"))
                    .findFirst()
                    .orElseThrow();
            CRC32 sum = new CRC32();
            sum.update(Files.exists(jar) ? Files.readAllBytes(jar) : new byte[0]);
            return inside.getCrc() == sum.getValue();
        }
    }

    private static Optional<Path> find(String tool) {
        return Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator))
                .map(place -> Path.of(place, tool))
                .filter(Files::isExecutable)
                .findFirst();
    }

    private static Optional<Path> loader() {
        // Debian's wine64 without its package "wine" puts nothing on the path.
        return find("wine64")
                .or(() -> Optional.of(Path.of("/usr/lib/wine/wine64")).filter(Files::isExecutable));
    }

    private static Path server() {
        return find("wineserver").orElse(Path.of("/usr/lib/wine/wineserver64"));
    }

    private Path preload() {
        return folder.resolve("fakehid.so");
    }

    private static void unzip(Path zip, Path into) throws IOException {
        try (ZipFile open = new ZipFile(zip.toFile())) {
            for (ZipEntry entry : Collections.list(open.entries())) {
                Path file = into.resolve(entry.getName());
                Files.createDirectories(file.getParent());
                try (InputStream in = open.getInputStream(entry)) {
                    Files.copy(in, file);
                }
            }
        }
    }

    /** The name of one of this computer's files for a program in Wine. */
    String windows(Path path) {
        Path drive = folder.resolve("prefix/drive_c");
        Path whole = path.toAbsolutePath();
        return (whole.startsWith(drive) ? "C:\\" + drive.relativize(whole) : "Z:" + whole).replace('/', '\\');
    }

    /** The folder that all programs may write to. */
    Path drive() {
        return folder.resolve("prefix/drive_c");
    }

    /** The folder of the one who uses it. */
    Path user() throws IOException {
        try (Stream<Path> users = Files.list(folder.resolve("prefix/drive_c/users"))) {
            return users.filter(user -> !user.getFileName().toString().equals("Public"))
                    .findFirst()
                    .orElseThrow();
        }
    }

    /** Starts one of the shipped programs. */
    Running start(String name, String... arguments) throws IOException {
        return start(Map.of(), name, arguments);
    }

    /** The same with other variables. */
    Running start(Map<String, String> environment, String name, String... arguments) throws IOException {
        List<String> command = commandOf(name);
        command.addAll(List.of(arguments));
        ProcessBuilder start = new ProcessBuilder(command);
        prepare(start);
        start.environment().putAll(environment);
        return launch(start);
    }

    /** How one of the shipped programs is started. */
    private List<String> commandOf(String name) {
        return new ArrayList<>(List.of(loader.toString(), program.resolve(name).toString()));
    }

    /** Starts a class of the tests in the shipped Java, beside the shipped classes. */
    Running startClass(Class<?> main, String... arguments) throws IOException {
        // Java's own starter finds nothing in a folder whose name is not of one code page; ours does.
        Path plain = folder.resolve("plain");
        if (!Files.exists(plain)) {
            Files.createSymbolicLink(plain, program);
        }
        List<String> command = new ArrayList<>(List.of(
                loader.toString(),
                plain.resolve("runtime/bin/java.exe").toString(),
                "-cp",
                windows(plain.resolve("ringout.jar")) + ";" + windows(Path.of("target", "test-classes")),
                main.getName()));
        command.addAll(List.of(arguments));
        ProcessBuilder start = new ProcessBuilder(command);
        prepare(start);
        return launch(start);
    }

    private Running launch(ProcessBuilder start) throws IOException {
        Path out = Files.createTempFile(folder, "out", ".txt");
        Path err = Files.createTempFile(folder, "err", ".txt");
        start.redirectInput(new File("/dev/null")).redirectOutput(out.toFile()).redirectError(err.toFile());
        return new Running(start.start(), out, err);
    }

    /** Starts one of the shipped programs and waits for its end. */
    Ended run(String name, String... arguments) throws IOException, InterruptedException {
        return start(name, arguments).end();
    }

    /** What a person sees who runs that batch file in a terminal, in the program's folder. */
    String terminal(String batch) throws IOException, InterruptedException {
        Path file = Files.writeString(program.resolve("terminal.bat"), batch.replace("\n", "\r\n"));
        ProcessBuilder start = new ProcessBuilder("script", "-qec", loader + " cmd /c terminal.bat", "/dev/null")
                .directory(program.toFile());
        prepare(start);
        start.environment().put("TERM", "xterm");
        String seen = launch(start).end().out();
        Files.delete(file);
        return seen;
    }

    /** Runs one of the shipped programs in a terminal; what is to happen is done once it has printed that, then Ctrl-C typed. */
    String interrupted(String printed, Runnable happens, String name, String... arguments)
            throws IOException, InterruptedException {
        List<String> words = commandOf(name);
        words.addAll(List.of(arguments));
        String line = words.stream().map(word -> "'" + word + "'").collect(Collectors.joining(" "));
        // Where Wine reads the terminal itself, Ctrl-C is a key for its program; in between it interrupts all that run
        // there.
        ProcessBuilder start =
                new ProcessBuilder("script", "-qec", "trap : INT; " + line + "; echo status $?", "/dev/null");
        prepare(start);
        start.environment().put("TERM", "xterm");
        Path out = Files.createTempFile(folder, "terminal", ".txt");
        Process process =
                start.redirectErrorStream(true).redirectOutput(out.toFile()).start();
        try (OutputStream keys = process.getOutputStream()) {
            // A terminal breaks lines where it likes.
            while (!Files.readString(out).replaceAll("\\s", "").contains(printed.replaceAll("\\s", ""))) {
                if (!process.isAlive()) {
                    throw new AssertionError(Files.readString(out));
                }
                Thread.sleep(50);
            }
            happens.run();
            keys.write(3);
            keys.flush();
            return new Running(process, out, out).end().out();
        }
    }

    /** How a program of Windows is started by a command that needs nothing of its surroundings but a display. */
    List<String> alone(String... words) {
        ProcessBuilder bare = new ProcessBuilder();
        prepare(bare);
        List<String> command = new ArrayList<>(List.of(
                "sh",
                "-c",
                // Wine draws letters of coloured edges as white boxes.
                "JAVA_TOOL_OPTIONS=\"$JAVA_TOOL_OPTIONS -Dprism.lcdtext=false\" exec env \"$@\"",
                "sh"));
        bare.environment().forEach((key, value) -> {
            if (key.startsWith("WINE")
                    || Set.of("HOME", "LANG", "LD_PRELOAD", "RINGOUT_BOXES").contains(key)) {
                command.add(key + "=" + value);
            }
        });
        command.add(loader.toString());
        command.addAll(List.of(words));
        return command;
    }

    private void prepare(ProcessBuilder start) {
        Map<String, String> environment = start.environment();
        environment.keySet().removeIf(name -> name.startsWith("XDG_") || name.startsWith("RINGOUT"));
        environment.remove("TERM"); // a terminal of another kind of system
        environment.put("HOME", folder.resolve("home").toString());
        environment.put("LANG", "C.UTF-8");
        environment.put("DISPLAY", "");
        environment.put("WINEPREFIX", folder.resolve("prefix").toString());
        environment.put("WINEARCH", "win64");
        environment.put("WINEDEBUG", "-all");
        // Our cfgmgr32.dll; and nothing of Wine's that would want to be downloaded or put into menus.
        environment.put("WINEDLLOVERRIDES", "cfgmgr32=n,b;mscoree,mshtml=;winemenubuilder.exe=");
        environment.put("RINGOUT_BOXES", boxes.toString());
        environment.put("LD_PRELOAD", preload().toString());
    }

    private void command(List<String> command) throws IOException, InterruptedException {
        ProcessBuilder start = new ProcessBuilder(command);
        prepare(start);
        start.environment().remove("LD_PRELOAD");
        Ended ended = launch(start).end();
        if (ended.status() != 0) {
            throw new AssertionError(
                    command.stream().collect(Collectors.joining(" ")) + " failed:\n" + ended.out() + ended.err());
        }
    }

    /** Ends everything in it, so that what is started next finds all of it as after switching on. */
    void restart() {
        try {
            ProcessBuilder end = new ProcessBuilder(server().toString(), "-k");
            prepare(end);
            end.environment().remove("LD_PRELOAD");
            end.redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start()
                    .waitFor();
        } catch (IOException gone) {
            // Nothing was started then.
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
        }
    }

    /** The same for good. */
    @Override
    public void close() {
        try (Stream<Path> drives = Files.list(folder.resolve("prefix/dosdevices"))) {
            // Links to all of this computer, which whoever deletes the folder shall not meet.
            for (Path drive : drives.collect(Collectors.toList())) {
                Files.delete(drive);
            }
        } catch (IOException gone) {
            // Closed before, or never made.
        }
        restart();
    }
}
