import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.File;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.lang.module.ModuleDescriptor;
import java.lang.module.ModuleFinder;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.spi.ToolProvider;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import javax.imageio.ImageIO;

/**
 * Makes the zip for Windows out of the portable one: with a Java runtime and two small programs that start it. Run by the
 * profile "dist", on any system: {@code java WindowsZip.java ZIP VERSION TIMESTAMP}. Where the runtime was not fetched or
 * the compiler for Windows is missing, says so and succeeds: the portable zip runs on Windows with a Java that is there.
 */
final class WindowsZip {
    private static final Path SOURCES = Path.of("src", "dist", "windows");
    private static final String GCC = "x86_64-w64-mingw32-gcc";
    private static final String WINDRES = "x86_64-w64-mingw32-windres";
    /** Of the portable zip, what Windows has no use for, or has from here. */
    private static final Set<String> OTHERS = Set.of("ringout", "ringout.bat", "70-ringout.rules", "README.md");
    /** What Windows' shell shows: lists, taskbar, large icons. */
    private static final int[] ICON_SIZES = {16, 24, 32, 48, 256};

    private final Path zip;
    private final String version;
    private final LocalDateTime time;
    private final Path work;
    private final Map<String, byte[]> files = new TreeMap<>();

    private WindowsZip(Path zip, String version, Instant time) {
        this.zip = zip;
        this.version = version;
        this.time = LocalDateTime.ofInstant(time, ZoneOffset.UTC);
        this.work = zip.toAbsolutePath().getParent().resolve("dist").resolve("windows");
    }

    public static void main(String[] arguments) throws IOException, InterruptedException {
        new WindowsZip(Path.of(arguments[0]), arguments[1], Instant.parse(arguments[2])).make();
    }

    private void make() throws IOException, InterruptedException {
        Path made = zip.resolveSibling("ringout-windows-" + version + ".zip");
        Files.deleteIfExists(made); // whatever happens now, none of an earlier build may pass for this one's
        Path runtime = fetched();
        Path fetchedFor = runtime.resolve("runtime.txt");
        if (!Files.exists(fetchedFor) || Files.mismatch(fetchedFor, SOURCES.resolve("runtime.txt")) != -1) {
            System.out.println("No zip for Windows with a Java of its own: " + SOURCES.resolve("runtime.sh")
                    + " fetches one (needs pip).");
            return;
        }
        if (!onPath(GCC) || !onPath(WINDRES)) {
            System.out.println("No zip for Windows with a Java of its own: " + GCC
                    + " or its windres is missing (Debian: gcc-mingw-w64-x86-64).");
            return;
        }
        portable();
        runtime(runtime.resolve("runtime"));
        modules();
        programs();
        files.put("README.txt", dos(Files.readString(SOURCES.resolve("README.txt"))));
        processors();
        write(made);
        System.out.println(made + ": " + files.size() + " files, " + Files.size(made) / (1 << 20) + " MiB");
    }

    /** Where runtime.sh puts what it fetches. */
    private static Path fetched() {
        Map<String, String> environment = System.getenv();
        String chosen = environment.getOrDefault("RINGOUT_WINDOWS_RUNTIME", "");
        String cache = environment.getOrDefault("XDG_CACHE_HOME", "");
        return chosen.isEmpty()
                ? (cache.isEmpty() ? Path.of(System.getProperty("user.home"), ".cache") : Path.of(cache))
                        .resolve("ringout/windows-runtime")
                : Path.of(chosen);
    }

    private void portable() throws IOException {
        try (ZipFile open = new ZipFile(zip.toFile())) {
            for (ZipEntry entry : Collections.list(open.entries())) {
                String name = entry.getName().substring(entry.getName().indexOf('/') + 1);
                boolean foreign = name.startsWith("lib/javafx/") && !name.endsWith("-win.jar");
                if (!entry.isDirectory() && !foreign && !OTHERS.contains(name)) {
                    try (InputStream in = open.getInputStream(entry)) {
                        files.put(name, in.readAllBytes());
                    }
                }
            }
        }
    }

    /**
     * All of the runtime but its other programs, what only compilers use, and the C runtime that is a part of Windows
     * since Windows 10.
     */
    private void runtime(Path runtime) throws IOException {
        try (Stream<Path> all = Files.walk(runtime)) {
            for (Path file : (Iterable<Path>) all.filter(Files::isRegularFile)::iterator) {
                String name = runtime.relativize(file).toString().replace(File.separatorChar, '/');
                boolean left = name.endsWith(".exe") && !name.equals("bin/java.exe")
                        || name.endsWith(".lib")
                        || name.startsWith("include/")
                        || name.startsWith("bin/api-ms-win-")
                        || name.equals("bin/ucrtbase.dll");
                if (!left) {
                    files.put("runtime/" + name, Files.readAllBytes(file));
                }
            }
        }
    }

    /** The runtime has every module of Java that the program's classes and modules ask for, as jdeps finds them. */
    private void modules() throws IOException {
        Path jars = work.resolve("jars");
        List<Path> unpacked = new ArrayList<>();
        for (Map.Entry<String, byte[]> file : files.entrySet()) {
            if (file.getKey().endsWith(".jar") && !file.getKey().startsWith("runtime/")) {
                Path jar = jars.resolve(file.getKey());
                Files.createDirectories(jar.getParent());
                unpacked.add(Files.write(jar, file.getValue()));
            }
        }
        List<String> arguments =
                new ArrayList<>(List.of("--multi-release", "17", "--ignore-missing-deps", "--print-module-deps"));
        unpacked.forEach(jar -> arguments.add(jar.toString()));
        StringWriter found = new StringWriter();
        ToolProvider jdeps = ToolProvider.findFirst("jdeps").orElseThrow();
        if (jdeps.run(new PrintWriter(found), new PrintWriter(found), arguments.toArray(new String[0])) != 0) {
            throw new IllegalStateException("jdeps failed:\n" + found);
        }
        Set<String> needed =
                new TreeSet<>(Arrays.asList(found.toString().strip().split(",")));
        ModuleFinder system = ModuleFinder.ofSystem();
        ModuleFinder.of(unpacked.toArray(new Path[0])).findAll().stream()
                .flatMap(module -> module.descriptor().requires().stream())
                .filter(required -> !required.modifiers().contains(ModuleDescriptor.Requires.Modifier.STATIC))
                .map(ModuleDescriptor.Requires::name)
                .filter(name -> system.find(name).isPresent())
                .forEach(needed::add);
        String release = new String(files.get("runtime/release"), StandardCharsets.UTF_8);
        Set<String> there = Set.of(
                release.replaceAll("(?s).*\\bMODULES=\"([^\"]*)\".*", "$1").split(" "));
        if (!there.containsAll(needed)) {
            throw new IllegalStateException("the runtime has the modules " + there + ", but needed are " + needed);
        }
    }

    /** Ringout.exe opens the window, ringout.com is for terminals, which take a .com before an .exe of the same name. */
    private void programs() throws IOException, InterruptedException {
        Files.createDirectories(work);
        Files.write(work.resolve("ringout.ico"), icon(Path.of("src/main/resources/ringout/ui/ringout.png")));
        program("Ringout.exe", "-DWINDOW", "-mwindows");
        program("ringout.com", "-DTERMINAL", "-mconsole");
    }

    private void program(String name, String... kind) throws IOException, InterruptedException {
        List<String> numbers =
                new ArrayList<>(Arrays.asList((version.replaceAll("[^0-9.].*", "") + ".0.0.0").split("\\.")));
        Path resources = work.resolve(name + ".o");
        run(
                WINDRES,
                "-I",
                work.toString(),
                "-I",
                SOURCES.toString(),
                "-DVERSION_NUMBERS=" + String.join(",", numbers.subList(0, 4)),
                "-DVERSION_TEXT=\\\"" + version + "\\\"",
                kind[0],
                SOURCES.resolve("launcher.rc").toString(),
                "-O",
                "coff",
                "-o",
                resources.toString());
        Path include = Path.of(System.getProperty("java.home"), "include");
        List<String> command = new ArrayList<>(List.of(
                GCC,
                "-O2",
                "-s",
                "-Wall",
                "-Wextra",
                "-Werror",
                "-Wno-cast-function-type",
                "-Wl,--no-insert-timestamp"));
        command.addAll(List.of(kind));
        command.addAll(List.of("-I", include.toString()));
        try (Stream<Path> systems = Files.list(include)) {
            // jni.h includes one of these, whose content launcher.c takes the place of.
            systems.filter(Files::isDirectory).forEach(folder -> command.addAll(List.of("-I", folder.toString())));
        }
        Path program = work.resolve(name);
        command.addAll(List.of(
                SOURCES.resolve("launcher.c").toString(), resources.toString(), "-o", program.toString(), "-lshell32"));
        run(command.toArray(new String[0]));
        files.put(name, Files.readAllBytes(program));
    }

    /**
     * An icon file of PNGs: a directory, then the pictures (Windows' ICONDIR and ICONDIRENTRY: size 0 is 256, one plane, 32
     * bits, length, offset; from memory).
     */
    private static byte[] icon(Path picture) throws IOException {
        BufferedImage full = ImageIO.read(picture.toFile());
        List<byte[]> pictures = new ArrayList<>();
        for (int size : ICON_SIZES) {
            BufferedImage scaled = full;
            while (scaled.getWidth() > size) {
                // By halves, so that no pixel is passed over.
                int next = Math.max(size, scaled.getWidth() / 2);
                BufferedImage half = new BufferedImage(next, next, BufferedImage.TYPE_INT_ARGB);
                Graphics2D graphics = half.createGraphics();
                graphics.setRenderingHint(
                        RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
                graphics.drawImage(scaled, 0, 0, next, next, null);
                graphics.dispose();
                scaled = half;
            }
            ByteArrayOutputStream png = new ByteArrayOutputStream();
            ImageIO.write(scaled, "png", png);
            pictures.add(png.toByteArray());
        }
        int offset = 6 + 16 * pictures.size();
        ByteBuffer icon = ByteBuffer.allocate(
                        offset + pictures.stream().mapToInt(p -> p.length).sum())
                .order(ByteOrder.LITTLE_ENDIAN);
        icon.putShort((short) 0).putShort((short) 1).putShort((short) pictures.size());
        for (int i = 0; i < pictures.size(); i++) {
            byte size = (byte) ICON_SIZES[i];
            icon.put(size).put(size).putShort((short) 0).putShort((short) 1).putShort((short) 32);
            icon.putInt(pictures.get(i).length).putInt(offset);
            offset += pictures.get(i).length;
        }
        pictures.forEach(icon::put);
        return icon.array();
    }

    /** Every program file outside of the jars is for x86-64 (PE Format: header's offset at 0x3c, machine 4 bytes into it). */
    private void processors() {
        files.forEach((name, bytes) -> {
            if (name.matches(".*\\.(exe|com|dll)")) {
                ByteBuffer file = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
                if (file.getShort(0) != 0x5A4D || (file.getShort(file.getInt(0x3C) + 4) & 0xFFFF) != 0x8664) {
                    throw new IllegalStateException(name + " is no program of Windows for x86-64");
                }
            }
        });
    }

    private void write(Path made) throws IOException {
        try (OutputStream out = Files.newOutputStream(made);
                ZipOutputStream zipped = new ZipOutputStream(out)) {
            for (Map.Entry<String, byte[]> file : files.entrySet()) {
                ZipEntry entry = new ZipEntry("ringout-" + version + "/" + file.getKey());
                entry.setTimeLocal(time);
                zipped.putNextEntry(entry);
                zipped.write(file.getValue());
                zipped.closeEntry();
            }
        }
    }

    private static byte[] dos(String text) {
        return text.replace("\n", "\r\n").getBytes(StandardCharsets.UTF_8);
    }

    private static boolean onPath(String tool) {
        return Stream.of(System.getenv("PATH").split(File.pathSeparator))
                .anyMatch(f -> Files.isExecutable(Path.of(f, tool)) || Files.isExecutable(Path.of(f, tool + ".exe")));
    }

    private static void run(String... command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        if (process.waitFor() != 0) {
            throw new IllegalStateException(Stream.of(command).collect(Collectors.joining(" ")) + " failed:\n" + out);
        }
    }
}
