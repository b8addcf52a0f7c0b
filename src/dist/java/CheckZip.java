import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.jar.JarInputStream;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipInputStream;

/**
 * Lists the portable zip and says what is missing, foreign or built for the wrong processor. Run by the profile "dist":
 * {@code java CheckZip.java ZIP TIMESTAMP}. Exit status 1 with one line per problem.
 */
final class CheckZip {
    /** A processor, as a program file names it. */
    private enum Machine {
        X86_64,
        AARCH64
    }

    /**
     * @param classifier of JavaFX's jars
     * @param prefix     of JNA's folders for the system and processor
     * @param javafx     native libraries that JavaFX's window cannot do without
     * @param hidapi     the library's file name
     * @param jna        the library's file name
     */
    private record Platform(
            String classifier, String prefix, Machine machine, List<String> javafx, String hidapi, String jna) {}

    private static final List<String> LINUX_JAVAFX = List.of(
            "libdecora_sse.so",
            "libglass.so",
            "libglassgtk3.so",
            "libjavafx_font.so",
            "libjavafx_font_freetype.so",
            "libjavafx_font_pango.so",
            "libjavafx_iio.so",
            "libprism_common.so",
            "libprism_es2.so",
            "libprism_sw.so");
    private static final List<String> MAC_JAVAFX = List.of(
            "libdecora_sse.dylib",
            "libglass.dylib",
            "libjavafx_font.dylib",
            "libjavafx_iio.dylib",
            "libprism_common.dylib",
            "libprism_es2.dylib",
            "libprism_sw.dylib");
    private static final List<String> WINDOWS_JAVAFX = List.of(
            "decora_sse.dll",
            "glass.dll",
            "javafx_font.dll",
            "javafx_iio.dll",
            "prism_common.dll",
            "prism_d3d.dll",
            "prism_sw.dll",
            "msvcp140.dll",
            "vcruntime140.dll");

    private static final List<Platform> PLATFORMS = List.of(
            new Platform("linux", "linux-x86-64", Machine.X86_64, LINUX_JAVAFX, "libhidapi.so", "libjnidispatch.so"),
            new Platform(
                    "linux-aarch64",
                    "linux-aarch64",
                    Machine.AARCH64,
                    LINUX_JAVAFX,
                    "libhidapi.so",
                    "libjnidispatch.so"),
            new Platform("win", "win32-x86-64", Machine.X86_64, WINDOWS_JAVAFX, "hidapi.dll", "jnidispatch.dll"),
            new Platform(
                    "mac", "darwin-x86-64", Machine.X86_64, MAC_JAVAFX, "libhidapi.dylib", "libjnidispatch.jnilib"),
            new Platform(
                    "mac-aarch64",
                    "darwin-aarch64",
                    Machine.AARCH64,
                    MAC_JAVAFX,
                    "libhidapi.dylib",
                    "libjnidispatch.jnilib"));

    private static final List<String> FILES = List.of(
            "ringout",
            "ringout.bat",
            "ringout.jar",
            "README.md",
            "LICENSE",
            "THIRD-PARTY.txt",
            "70-ringout.rules",
            "plans/drivers-desk.yaml",
            "docs/install.md",
            "licenses/OFL-1.1.txt");

    private static final Pattern NATIVE = Pattern.compile(".*\\.(so|dll|dylib|jnilib)");
    private static final Pattern JAVAFX_JAR = Pattern.compile("(javafx-[a-z]+)-([0-9.]+)-(.+)\\.jar");

    private final Map<String, byte[]> files = new TreeMap<>();
    private final List<String> problems = new ArrayList<>();
    private int natives;

    public static void main(String[] arguments) throws IOException {
        CheckZip check = new CheckZip();
        check.check(Path.of(arguments[0]), Instant.parse(arguments[1]));
        check.problems.forEach(problem -> System.err.println(arguments[0] + ": " + problem));
        if (!check.problems.isEmpty()) {
            System.exit(1);
        }
        System.out.println(arguments[0] + ": " + check.files.size() + " files, " + check.natives
                + " native libraries, each for the processor it is meant for");
    }

    private void check(Path zip, Instant time) throws IOException {
        read(zip, time);
        executable(zip);
        for (String file : FILES) {
            if (!files.containsKey(file)) {
                problems.add(file + " is missing");
            }
        }
        if (problems.isEmpty()) {
            libraries();
            javafx();
            for (Platform platform : PLATFORMS) {
                natives(platform);
            }
            licences();
        }
    }

    private void read(Path zip, Instant time) throws IOException {
        String root = zip.getFileName().toString().replaceFirst("\\.zip$", "/");
        try (ZipFile open = new ZipFile(zip.toFile())) {
            for (ZipEntry entry : Collections.list(open.entries())) {
                // Entries hold a local time without a zone; the build writes UTC.
                if (!entry.getTimeLocal().toInstant(ZoneOffset.UTC).equals(time)) {
                    problems.add(entry.getName() + " is of " + entry.getTimeLocal() + ", so two builds would differ");
                }
                if (!entry.getName().startsWith(root)) {
                    problems.add(entry.getName() + " is outside of " + root);
                } else if (!entry.isDirectory()) {
                    try (InputStream in = open.getInputStream(entry)) {
                        files.put(entry.getName().substring(root.length()), in.readAllBytes());
                    }
                }
            }
        }
    }

    private void executable(Path zip) throws IOException {
        try (FileSystem entries = FileSystems.newFileSystem(zip, Map.of("enablePosixFileAttributes", true))) {
            Path start = entries.getPath(zip.getFileName().toString().replaceFirst("\\.zip$", ""), "ringout");
            Set<PosixFilePermission> mode = Files.getPosixFilePermissions(start);
            if (!mode.equals(PosixFilePermissions.fromString("rwxr-xr-x"))) {
                problems.add("the start script is " + PosixFilePermissions.toString(mode));
            }
        }
        if (!new String(files.get("ringout.bat"), StandardCharsets.UTF_8).contains("\r\n")) {
            problems.add("ringout.bat has not the line ends of Windows");
        }
    }

    /** The class path in the manifest names what is in lib, no more and no less. */
    private void libraries() throws IOException {
        Set<String> named;
        try (JarInputStream jar = new JarInputStream(new ByteArrayInputStream(files.get("ringout.jar")))) {
            named = new TreeSet<>(Arrays.asList(
                    jar.getManifest().getMainAttributes().getValue("Class-Path").split(" ")));
        }
        Set<String> present = matching(f -> f.startsWith("lib/") && !f.startsWith("lib/javafx/"));
        if (!named.equals(present)) {
            problems.add("the class path is " + named + ", but lib has " + present);
        }
    }

    /** Every platform has the same JavaFX modules, once each and of one version. */
    private void javafx() {
        Map<String, List<String>> modules = new TreeMap<>();
        Set<String> versions = new TreeSet<>();
        for (String file : matching(f -> f.startsWith("lib/javafx/"))) {
            Matcher name = JAVAFX_JAR.matcher(file.substring("lib/javafx/".length()));
            if (name.matches()) {
                modules.computeIfAbsent(name.group(3), c -> new ArrayList<>()).add(name.group(1));
                versions.add(name.group(2));
            } else {
                problems.add(file + " does not belong there");
            }
        }
        if (versions.size() != 1) {
            problems.add("JavaFX comes in versions " + versions);
        }
        Set<String> classifiers =
                PLATFORMS.stream().map(Platform::classifier).collect(Collectors.toCollection(TreeSet::new));
        if (!modules.keySet().equals(classifiers)) {
            problems.add("JavaFX is there for " + modules.keySet() + " instead of " + classifiers);
        }
        if (Set.copyOf(modules.values()).size() != 1) {
            problems.add("JavaFX's modules differ: " + modules);
        }
    }

    private void natives(Platform platform) throws IOException {
        Map<String, byte[]> javafx = nativesIn(
                f -> f.startsWith("lib/javafx/javafx-graphics-") && f.endsWith("-" + platform.classifier() + ".jar"));
        requireAll(platform, javafx, platform.javafx());
        javafx.forEach((name, bytes) -> check(platform, name, bytes));
        for (String library : List.of("hid4java", "jna")) {
            String folder = library.equals("jna") ? "com/sun/jna/" + platform.prefix() : platform.prefix();
            String file = library.equals("jna") ? platform.jna() : platform.hidapi();
            Map<String, byte[]> inside = nativesIn(f -> f.startsWith("lib/" + library + "-"));
            requireAll(platform, inside, List.of(folder + "/" + file));
            inside.forEach((name, bytes) -> {
                if (name.startsWith(folder + "/")) {
                    check(platform, name, bytes);
                }
            });
        }
    }

    private void requireAll(Platform platform, Map<String, byte[]> present, Collection<String> required) {
        for (String name : required) {
            if (!present.containsKey(name)) {
                problems.add(name + " for " + platform.prefix() + " is missing");
            }
        }
    }

    private void check(Platform platform, String name, byte[] bytes) {
        natives++;
        Set<Machine> machines = machines(bytes);
        if (!machines.contains(platform.machine())) {
            problems.add(name + " for " + platform.prefix() + " is for "
                    + (machines.isEmpty() ? "no known processor" : machines));
        }
    }

    /**
     * The processors that a shared library is for.
     *
     * <p>ELF: System V ABI, e_machine at offset 18 (62: EM_X86_64, 183: EM_AARCH64). Windows: PE Format, offset of the
     * header at 0x3c, machine four bytes into it (0x8664, 0xAA64). macOS: Mach-O header, magic 0xFEEDFACF and CPU type, or a
     * universal file, magic 0xCAFEBABE, count, and records of 20 bytes that begin with the CPU type (0x01000007: x86-64,
     * 0x0100000C: ARM64).
     */
    private static Set<Machine> machines(byte[] file) {
        Set<Machine> machines = new TreeSet<>();
        ByteBuffer little = ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN);
        ByteBuffer big = ByteBuffer.wrap(file);
        if (big.getInt(0) == 0x7F454C46) {
            add(machines, little.getShort(18) & 0xFFFF, 62, 183);
        } else if (big.getShort(0) == 0x4D5A) {
            int header = little.getInt(0x3C);
            if (big.getInt(header) == 0x50450000) {
                add(machines, little.getShort(header + 4) & 0xFFFF, 0x8664, 0xAA64);
            }
        } else if (little.getInt(0) == 0xFEEDFACF) {
            add(machines, little.getInt(4), 0x01000007, 0x0100000C);
        } else if (big.getInt(0) == 0xCAFEBABE) {
            for (int i = 0; i < big.getInt(4); i++) {
                add(machines, big.getInt(8 + 20 * i), 0x01000007, 0x0100000C);
            }
        }
        return machines;
    }

    private static void add(Set<Machine> machines, int value, int x86, int arm) {
        if (value == x86) {
            machines.add(Machine.X86_64);
        } else if (value == arm) {
            machines.add(Machine.AARCH64);
        }
    }

    /** Every library stands in the notice, and every licence it names is there as a text. */
    private void licences() {
        String notice = new String(files.get("THIRD-PARTY.txt"), StandardCharsets.UTF_8);
        for (String file : matching(f -> f.startsWith("lib/"))) {
            String name = file.substring(file.lastIndexOf('/') + 1).replaceFirst("-([0-9.]+)(-.*)?\\.jar$", " $1\n");
            if (!notice.contains("\n" + name)) {
                problems.add("THIRD-PARTY.txt does not name " + file);
            }
        }
        Matcher licence =
                Pattern.compile("^    licence: (.*)$", Pattern.MULTILINE).matcher(notice);
        while (licence.find()) {
            if (Arrays.stream(licence.group(1).split(" or "))
                    .noneMatch(l -> files.containsKey("licenses/" + l + ".txt"))) {
                problems.add("there is no text of " + licence.group(1) + " in licenses");
            }
        }
    }

    private Set<String> matching(Predicate<String> wanted) {
        return files.keySet().stream().filter(wanted).collect(Collectors.toCollection(TreeSet::new));
    }

    /** The native libraries in the one jar that matches; none where there is no such jar. */
    private Map<String, byte[]> nativesIn(Predicate<String> wanted) throws IOException {
        Map<String, byte[]> found = new TreeMap<>();
        for (String jar : matching(wanted)) {
            try (ZipInputStream in = new ZipInputStream(new ByteArrayInputStream(files.get(jar)))) {
                for (ZipEntry entry = in.getNextEntry(); entry != null; entry = in.getNextEntry()) {
                    if (NATIVE.matcher(entry.getName()).matches()) {
                        found.put(entry.getName(), in.readAllBytes());
                    }
                }
            }
        }
        return found;
    }
}
