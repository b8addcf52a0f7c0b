import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.lang.module.ModuleDescriptor;
import java.lang.module.ModuleFinder;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileTime;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.spi.ToolProvider;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;

/**
 * Makes the native package of the system it runs on out of the portable zip, with a Java runtime of its own. Run by the
 * profile "dist": {@code java -cp ringout.jar NativePackage.java ZIP VERSION DESCRIPTION TIMESTAMP}; everything comes to
 * lie beside the zip.
 *
 * <p>Linux: a folder with the program, and a .deb of it where dpkg-deb is. Windows and macOS: whatever jpackage makes there
 * by default. Where a tool is missing, says so and succeeds: the zip is complete without.
 */
final class NativePackage {
    private static final String SYSTEM = System.getProperty("os.name").toLowerCase(Locale.ROOT);

    /** A tool that is there ends with an error; the message holds what it printed. */
    private static final class ToolFailed extends RuntimeException {
        private static final long serialVersionUID = 1;

        ToolFailed(String message) {
            super(message);
        }
    }

    private final Path zip;
    private final String version;
    private final String description;
    private final Instant time;
    private final Path target;
    /** What the zip holds, as far as this system needs it. */
    private final Path content;

    private NativePackage(Path zip, String version, String description, Instant time) {
        this.zip = zip;
        this.version = version;
        this.description = description;
        this.time = time;
        this.target = zip.toAbsolutePath().getParent();
        this.content = target.resolve("dist").resolve("content");
    }

    public static void main(String[] arguments) throws IOException, InterruptedException {
        new NativePackage(Path.of(arguments[0]), arguments[1], arguments[2], Instant.parse(arguments[3])).make();
    }

    private void make() throws IOException, InterruptedException {
        Optional<String> javafx = ringout.Window.javafx(System.getProperty("os.name"), System.getProperty("os.arch"));
        if (javafx.isEmpty() || ToolProvider.findFirst("jpackage").isEmpty()) {
            System.out.println("No native package: this Java has no jpackage, or its system no JavaFX.");
            return;
        }
        unpack(javafx.get());
        List<String> arguments = new ArrayList<>(List.of(
                "--name",
                "ringout",
                // macOS takes no version that begins with zero (from memory); "ringout --version" tells the right one.
                "--app-version",
                SYSTEM.contains("mac") ? version.replaceFirst("^0\\.", "1.") : version,
                "--vendor",
                "Ringout",
                "--description",
                description,
                "--input",
                input().toString(),
                "--main-jar",
                "ringout.jar",
                "--main-class",
                "ringout.Main",
                "--add-modules",
                String.join(",", modules()),
                "--java-options",
                "-XX:TieredStopAtLevel=1",
                // Debug information stays: a stack trace without line numbers helps nobody. AWT's own windows go: they
                // want libraries of their own, and AWT is only used to write PDF.
                "--jlink-options",
                "--strip-native-commands --no-header-files --no-man-pages --compress=2"
                        + " --exclude-files=**libawt_xawt.so,**libjawt.so,**libsplashscreen.so"));
        if (SYSTEM.contains("linux")) {
            Path image = target.resolve("dist").resolve("image");
            deleteTree(image);
            arguments.addAll(List.of("--type", "app-image", "--dest", image.toString()));
            run("jpackage", arguments);
            // jpackage's own; the icon of the menu entry is a drawing.
            Files.delete(image.resolve("ringout/lib/ringout.png"));
            debian(image.resolve("ringout"));
        } else {
            arguments.addAll(List.of(
                    "--dest",
                    target.toString(),
                    "--license-file",
                    content.resolve("LICENSE").toString()));
            byte[] picture = Files.readAllBytes(Path.of("src/main/resources/ringout/ui/ringout.png"));
            boolean windows = SYSTEM.contains("win");
            Path icon = Files.write(
                    content.resolve(windows ? "ringout.ico" : "ringout.icns"),
                    windows ? windowsIcon(picture) : macIcon(picture));
            arguments.addAll(List.of("--icon", icon.toString()));
            if (windows) {
                arguments.addAll(List.of("--win-console", "--win-menu", "--win-per-user-install"));
            }
            try {
                run("jpackage", arguments);
            } catch (ToolFailed failed) {
                // Its packages need tools of the system, WiX for one.
                System.out.println("No native package: " + failed.getMessage());
            }
        }
    }

    /**
     * An icon file that holds one PNG of 256 by 256 pixels: directory of one entry, size 0 for 256, one plane, 32 bits
     * (Windows' ICONDIR and ICONDIRENTRY; from memory).
     */
    static byte[] windowsIcon(byte[] png) {
        ByteBuffer icon = ByteBuffer.allocate(22 + png.length).order(ByteOrder.LITTLE_ENDIAN);
        icon.putShort((short) 0).putShort((short) 1).putShort((short) 1);
        icon.put(new byte[4])
                .putShort((short) 1)
                .putShort((short) 32)
                .putInt(png.length)
                .putInt(22);
        return icon.put(png).array();
    }

    /** An icon file that holds one PNG of 256 by 256 pixels, type "ic08" (Apple Icon Image format; from memory). */
    static byte[] macIcon(byte[] png) {
        ByteBuffer icon = ByteBuffer.allocate(16 + png.length);
        icon.put("icns".getBytes(StandardCharsets.US_ASCII)).putInt(16 + png.length);
        icon.put("ic08".getBytes(StandardCharsets.US_ASCII)).putInt(8 + png.length);
        return icon.put(png).array();
    }

    /** The program's own part of the content. */
    private Path input() {
        return content.resolve("program");
    }

    /** Unpacks the zip: program and libraries into one folder, the rest beside it. */
    private void unpack(String javafx) throws IOException {
        deleteTree(content);
        try (ZipFile open = new ZipFile(zip.toFile())) {
            for (ZipEntry entry : Collections.list(open.entries())) {
                String name = entry.getName().substring(entry.getName().indexOf('/') + 1);
                boolean foreign = name.startsWith("lib/javafx/") && !name.endsWith("-" + javafx + ".jar");
                if (!entry.isDirectory() && !foreign) {
                    Path file = (name.endsWith(".jar") ? input() : content).resolve(name);
                    Files.createDirectories(file.getParent());
                    try (InputStream in = open.getInputStream(entry)) {
                        Files.copy(in, file);
                    }
                }
            }
        }
    }

    /**
     * The modules of Java that the program needs: what its classes refer to, as jdeps finds it, and what its modules
     * require, without which the window's module layer cannot be resolved.
     */
    private Set<String> modules() throws IOException {
        List<String> jars;
        try (Stream<Path> files = Files.walk(input())) {
            jars = files.map(Path::toString)
                    .filter(f -> f.endsWith(".jar"))
                    .sorted()
                    .collect(Collectors.toList());
        }
        List<String> arguments =
                new ArrayList<>(List.of("--multi-release", "17", "--ignore-missing-deps", "--print-module-deps"));
        arguments.addAll(jars);
        Set<String> modules =
                new TreeSet<>(Arrays.asList(run("jdeps", arguments).strip().split(",")));
        ModuleFinder system = ModuleFinder.ofSystem();
        ModuleFinder.of(jars.stream().map(Path::of).toArray(Path[]::new)).findAll().stream()
                .flatMap(module -> module.descriptor().requires().stream())
                .filter(required -> !required.modifiers().contains(ModuleDescriptor.Requires.Modifier.STATIC))
                .map(ModuleDescriptor.Requires::name)
                .filter(name -> system.find(name).isPresent())
                .forEach(modules::add);
        System.out.println("Java modules in the package: " + String.join(" ", modules));
        return modules;
    }

    /**
     * Packs the image for Debian and its kin: the program under /usr/lib/ringout, its command, menu entry, icon and udev
     * rule where the system looks for them. jpackage's own .deb could hold none of these.
     */
    private void debian(Path image) throws IOException, InterruptedException {
        try (Stream<Path> old = Files.list(target)) {
            // Whatever happens now, no package of an earlier build may pass for this one's.
            for (Path deb : old.filter(f -> f.toString().endsWith(".deb")).collect(Collectors.toList())) {
                Files.delete(deb);
            }
        }
        for (String tool : List.of("dpkg", "dpkg-deb", "dpkg-shlibdeps", "objdump")) {
            if (!onPath(tool)) {
                System.out.println("No .deb: " + tool + " is missing. The program is in " + image);
                return;
            }
        }
        Path sources = Path.of("src", "dist", "linux").toAbsolutePath();
        Path root = target.resolve("dist").resolve("deb");
        deleteTree(root);
        copyTree(image, root.resolve("usr/lib/ringout"));
        startAsTheZip(root.resolve("usr/lib/ringout"));
        shareClasses(root.resolve("usr/lib/ringout/lib/runtime"));
        Files.createDirectories(root.resolve("usr/bin"));
        Files.createSymbolicLink(root.resolve("usr/bin/ringout"), Path.of("../lib/ringout/bin/ringout"));
        copy(content.resolve("70-ringout.rules"), root.resolve("usr/lib/udev/rules.d/70-ringout.rules"));
        copy(sources.resolve("ringout.desktop"), root.resolve("usr/share/applications/ringout.desktop"));
        copy(sources.resolve("ringout.svg"), root.resolve("usr/share/icons/hicolor/scalable/apps/ringout.svg"));
        Path doc = root.resolve("usr/share/doc/ringout");
        copyTree(content.resolve("docs"), doc);
        copyTree(content.resolve("plans"), doc.resolve("examples"));
        copyTree(content.resolve("fixtures"), doc.resolve("fixtures"));
        copyTree(content.resolve("licenses"), doc.resolve("licenses"));
        Files.writeString(
                doc.resolve("copyright"),
                Files.readString(content.resolve("LICENSE")) + "\n\n"
                        + Files.readString(content.resolve("THIRD-PARTY.txt")));

        String architecture = run(List.of("dpkg", "--print-architecture")).strip();
        Path control = Files.createDirectories(root.resolve("DEBIAN"));
        for (String script : List.of("postinst", "postrm")) {
            copy(sources.resolve(script), control.resolve(script));
            control.resolve(script).toFile().setExecutable(true);
        }
        String depends;
        try {
            depends = depends(root);
        } catch (ToolFailed failed) {
            System.out.println(
                    "No .deb: a library that the program uses is not installed here. " + failed.getMessage());
            return;
        }
        Files.writeString(
                control.resolve("control"),
                Files.readString(sources.resolve("control"))
                        .replace("@VERSION@", version)
                        .replace("@ARCHITECTURE@", architecture)
                        .replace("@DEPENDS@", depends)
                        .replace("@SIZE@", Long.toString(kibibytes(root))));
        settlePermissions(root);
        Path deb = target.resolve("ringout_" + version + "_" + architecture + ".deb");
        ProcessBuilder pack = new ProcessBuilder(
                "dpkg-deb", "--root-owner-group", "-Zgzip", "--build", root.toString(), deb.toString());
        // dpkg-deb gives no file a later time than this one. What it packs is compressed already: xz would take 25
        // times as
        // long to make it 6 % smaller.
        pack.environment().put("SOURCE_DATE_EPOCH", Long.toString(time.getEpochSecond()));
        System.out.print(run(pack));
    }

    /** Puts the zip's script, and Java's own launcher for it, in the place of jpackage's, which takes no archive of a person's. */
    private void startAsTheZip(Path program) throws IOException {
        for (String launcher : List.of("bin/ringout", "lib/libapplauncher.so", "lib/app/ringout.cfg")) {
            Files.delete(program.resolve(launcher));
        }
        Path script = program.resolve("lib/app/ringout");
        copy(content.resolve("ringout"), script);
        script.toFile().setExecutable(true, false);
        Files.createSymbolicLink(program.resolve("bin/ringout"), Path.of("../lib/app/ringout"));
        copy(Path.of(System.getProperty("java.home"), "bin", "java"), program.resolve("lib/runtime/bin/java"));
    }

    /**
     * Gives the package's Java the archive of its own classes that every installed Java has and jlink 17 leaves out: without
     * it each start reads a thousand classes one by one. Where the archive does not fit the runtime, Java does without it.
     */
    private void shareClasses(Path runtime) throws IOException, InterruptedException {
        // Java holds the archive against the time of this file, and dpkg-deb gives none a later one.
        Files.setLastModifiedTime(runtime.resolve("lib/modules"), FileTime.from(time));
        try {
            run(List.of(runtime.resolve("bin/java").toString(), "-Xshare:dump"));
        } catch (ToolFailed failed) {
            System.out.println("No archive of Java's classes, the package starts more slowly: " + failed.getMessage());
        }
    }

    /**
     * The packages that hold the libraries which the package's own need, of this system or newer, as Debian's own tool
     * finds them: those of the runtime, of which a Debian Java shares many with the system, and those inside the jars.
     */
    private String depends(Path root) throws IOException, InterruptedException {
        Path work = target.resolve("dist").resolve("depends");
        deleteTree(work);
        Files.createDirectories(work.resolve("debian"));
        Files.writeString(work.resolve("debian/control"), "Source: ringout\n\nPackage: ringout\nArchitecture: any\n");
        List<Path> jars;
        try (Stream<Path> files = Files.walk(input())) {
            jars = files.filter(f -> f.toString().endsWith(".jar")).sorted().collect(Collectors.toList());
        }
        // Not hidapi's other one, which goes through libusb and is never loaded.
        Pattern used = Pattern.compile(
                "[^/]+\\.so|.*\\b" + com.sun.jna.Platform.RESOURCE_PREFIX + "/(libhidapi|libjnidispatch)\\.so");
        for (Path jar : jars) {
            try (ZipFile open = new ZipFile(jar.toFile())) {
                for (ZipEntry entry : Collections.list(open.entries())) {
                    if (used.matcher(entry.getName()).matches()) {
                        Files.copy(
                                open.getInputStream(entry),
                                work.resolve(Path.of(entry.getName()).getFileName()));
                    }
                }
            }
        }
        Path runtime = root.resolve("usr/lib/ringout/lib/runtime/lib");
        List<String> command = new ArrayList<>(List.of(
                "dpkg-shlibdeps",
                "-Tsubstvars",
                "-l" + runtime,
                "-l" + runtime.resolve("server"),
                root.resolve("usr/lib/ringout/lib/runtime/bin/java").toString()));
        for (Path folder : List.of(work, root.resolve("usr/lib/ringout"))) {
            try (Stream<Path> files = Files.walk(folder)) {
                files.filter(f -> f.toString().endsWith(".so") && !Files.isSymbolicLink(f))
                        .sorted()
                        .forEach(f -> command.add(f.toString()));
            }
        }
        // It warns of many things that matter for libraries others link to, and says so with status 0.
        run(new ProcessBuilder(command).directory(work.toFile()));
        return Files.readString(work.resolve("substvars")).strip().replaceFirst("^shlibs:Depends=", "");
    }

    private static boolean onPath(String tool) {
        return Stream.of(System.getenv("PATH").split(":")).anyMatch(f -> Files.isExecutable(Path.of(f, tool)));
    }

    private static long kibibytes(Path root) throws IOException {
        long bytes = 0;
        try (Stream<Path> files = Files.walk(root)) {
            for (Path file : (Iterable<Path>) files::iterator) {
                bytes += Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) ? Files.size(file) : 0;
            }
        }
        return bytes / 1024;
    }

    /** Everybody may read all, and run what the owner may, whatever the umask of who builds. */
    private static void settlePermissions(Path root) throws IOException {
        try (Stream<Path> files = Files.walk(root)) {
            for (Path file : (Iterable<Path>) files.filter(f -> !Files.isSymbolicLink(f))::iterator) {
                Files.setPosixFilePermissions(
                        file, PosixFilePermissions.fromString(Files.isExecutable(file) ? "rwxr-xr-x" : "rw-r--r--"));
            }
        }
    }

    private static void copy(Path from, Path to) throws IOException {
        Files.createDirectories(to.getParent());
        Files.copy(from, to);
    }

    private static void copyTree(Path from, Path to) throws IOException {
        try (Stream<Path> files = Files.walk(from)) {
            for (Path file : (Iterable<Path>) files::iterator) {
                Path copy = to.resolve(from.relativize(file).toString());
                if (Files.isDirectory(file, LinkOption.NOFOLLOW_LINKS)) {
                    Files.createDirectories(copy);
                } else {
                    Files.copy(file, copy, LinkOption.NOFOLLOW_LINKS, StandardCopyOption.COPY_ATTRIBUTES);
                }
            }
        }
    }

    private static void deleteTree(Path root) throws IOException {
        if (Files.exists(root, LinkOption.NOFOLLOW_LINKS)) {
            try (Stream<Path> files = Files.walk(root)) {
                for (Path file : files.sorted(Comparator.reverseOrder()).collect(Collectors.toList())) {
                    Files.delete(file);
                }
            }
        }
    }

    /** Runs one of Java's own tools and returns what it printed. */
    private static String run(String tool, List<String> arguments) {
        StringWriter out = new StringWriter();
        int status = ToolProvider.findFirst(tool)
                .orElseThrow(() -> new IllegalStateException("this Java has no " + tool))
                .run(new PrintWriter(out), new PrintWriter(out), arguments.toArray(new String[0]));
        if (status != 0) {
            throw new ToolFailed(tool + " " + String.join(" ", arguments) + " failed:\n" + out);
        }
        return out.toString();
    }

    private static String run(List<String> command) throws IOException, InterruptedException {
        return run(new ProcessBuilder(command));
    }

    private static String run(ProcessBuilder command) throws IOException, InterruptedException {
        Process process = command.redirectErrorStream(true).start();
        String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        if (process.waitFor() != 0) {
            throw new ToolFailed(String.join(" ", command.command()) + " failed:\n" + out);
        }
        return out;
    }
}
