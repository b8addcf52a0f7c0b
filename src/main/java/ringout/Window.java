package ringout;

import java.io.File;
import java.io.IOException;
import java.lang.module.Configuration;
import java.lang.module.FindException;
import java.lang.module.ModuleDescriptor;
import java.lang.module.ModuleFinder;
import java.lang.module.ModuleReference;
import java.lang.module.ResolutionException;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.words.Texts;

/**
 * Starts the window, where there is a display to show it on.
 *
 * <p>{@code java -jar} puts everything on the class path, where JavaFX warns on stderr that it is not supported. So the
 * window runs in a module layer made of the same jar, its {@code lib} folder and, from {@code lib/javafx}, the JavaFX of
 * this computer: there JavaFX is the named modules it wants to be, in one process and without options on the command
 * line, and one folder serves every system.
 */
public final class Window {
    private static final String APPLICATION = "ringout.ui.WindowApp";
    private static final String SYSTEM = System.getProperty("os.name", "");
    private static final String MACHINE = System.getProperty("os.arch", "");

    private Window() {}

    /**
     * Opens the window and returns when it is closed.
     *
     * @param arguments passed on to the window
     * @return empty after the window was open; else the reason why there can be none, in one line
     */
    static Optional<String> open(List<String> arguments) {
        if (javafx(SYSTEM, MACHINE).isEmpty()) {
            return Optional.of(Texts.say("window.no-javafx", SYSTEM, MACHINE));
        }
        // Half of a start until the window's classes are there; the other half meanwhile.
        FutureTask<Optional<String>> display = new FutureTask<>(Window::obstacle);
        Thread looking = new Thread(display, "ringout-display");
        looking.setDaemon(true);
        looking.start();
        try {
            Class<?> application = applicationClass();
            Optional<String> obstacle = display.get();
            if (obstacle.isPresent()) {
                return obstacle;
            }
            StartArchive.makeIfAsked();
            Thread.currentThread().setContextClassLoader(application.getClassLoader());
            application.getMethod("open", String[].class).invoke(null, (Object) arguments.toArray(new String[0]));
            return Optional.empty();
        } catch (InvocationTargetException failed) {
            Throwable cause = failed;
            for (Throwable next = failed; next != null; next = next.getCause()) {
                cause = next;
            }
            return Optional.of(Texts.say("window.cannot-open", String.valueOf(cause.getMessage())));
        } catch (ExecutionException mistake) {
            throw new IllegalStateException(mistake.getCause());
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
            return Optional.of(Texts.say("window.interrupted"));
        } catch (ReflectiveOperationException | IOException | FindException | ResolutionException problem) {
            return Optional.of(Texts.say("window.damaged", problem));
        }
    }

    /** What JavaFX needs on Linux, an X display and GTK 3, and would only complain of in a stack trace. */
    private static Optional<String> obstacle() {
        if (!SYSTEM.toLowerCase(Locale.ROOT).contains("linux") || System.getProperty("glass.platform") != null) {
            return Optional.empty();
        }
        String display = System.getenv("DISPLAY");
        if (display == null || display.isBlank()) {
            return Optional.of(Texts.say("window.no-display"));
        }
        for (String library : List.of("libX11.so.6", "libgtk-3.so.0")) {
            try {
                com.sun.jna.NativeLibrary.getInstance(library);
            } catch (UnsatisfiedLinkError missing) {
                return Optional.of(Texts.say("window.no-library", library));
            }
        }
        com.sun.jna.Function open =
                com.sun.jna.NativeLibrary.getInstance("libX11.so.6").getFunction("XOpenDisplay");
        com.sun.jna.Pointer connection = open.invokePointer(new Object[] {display});
        if (connection == null) {
            return Optional.of(Texts.say("window.display-silent", display));
        }
        com.sun.jna.NativeLibrary.getInstance("libX11.so.6")
                .getFunction("XCloseDisplay")
                .invokeInt(new Object[] {connection});
        return Optional.empty();
    }

    private static Class<?> applicationClass() throws ReflectiveOperationException, IOException {
        if (ModuleLayer.boot().findModule("javafx.controls").isPresent()) {
            // As the zip's script starts it, so that an archive of classes can hold the window's, too.
            return Class.forName(APPLICATION);
        }
        Path jar = ownLocation();
        Path lib = jar.resolveSibling("lib");
        if (!Files.isRegularFile(jar) || !Files.isDirectory(lib)) {
            // Started from compiled classes, as an IDE does; the warning is harmless there.
            return Class.forName(APPLICATION);
        }
        List<Path> modules = new ArrayList<>(List.of(jar));
        modules.addAll(filesEndingWith(".jar", lib));
        String ending = "-" + javafx(SYSTEM, MACHINE).orElseThrow() + ".jar";
        List<Path> javafx = filesEndingWith(ending, lib.resolve("javafx"));
        if (javafx.isEmpty()) {
            throw new FindException(Texts.say("window.no-modules", "*" + ending, lib.resolve("javafx")));
        }
        modules.addAll(javafx);
        ModuleFinder finder = ModuleFinder.of(modules.toArray(new Path[0]));
        Set<String> roots = finder.findAll().stream()
                .map(ModuleReference::descriptor)
                .map(ModuleDescriptor::name)
                .collect(Collectors.toSet());
        Configuration configuration =
                Configuration.resolve(finder, List.of(ModuleLayer.boot().configuration()), ModuleFinder.of(), roots);
        ModuleLayer.Controller controller = ModuleLayer.defineModulesWithOneLoader(
                configuration, List.of(ModuleLayer.boot()), ClassLoader.getPlatformClassLoader());
        allowNativeAccess(controller);
        ModuleLayer layer = controller.layer();
        return layer.findLoader("ringout").loadClass(APPLICATION);
    }

    /** What the jar's manifest does for the class path, for the modules that load libraries; from Java 22 on. */
    private static void allowNativeAccess(ModuleLayer.Controller controller) throws ReflectiveOperationException {
        Method allow;
        try {
            allow = ModuleLayer.Controller.class.getMethod("enableNativeAccess", Module.class);
        } catch (NoSuchMethodException older) {
            return; // nor does it warn
        }
        for (Module module : controller.layer().modules()) {
            if (module.getName().equals("com.sun.jna") || module.getName().startsWith("javafx.")) {
                allow.invoke(controller, module);
            }
        }
    }

    private static List<Path> filesEndingWith(String end, Path folder) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.filter(f -> f.toString().endsWith(end)).sorted().collect(Collectors.toList());
        }
    }

    /**
     * Which build of JavaFX a computer needs. Public for the native package, which brings only that one along.
     *
     * @param system  as in the system property {@code os.name}
     * @param machine as in the system property {@code os.arch}; that of the Java in use, not of the processor
     * @return the classifier that ends the names of its jars; empty where none is published
     */
    public static Optional<String> javafx(String system, String machine) {
        String os = system.toLowerCase(Locale.ROOT);
        boolean arm = machine.equals("aarch64");
        if (!arm && !machine.equals("amd64") && !machine.equals("x86_64")) {
            return Optional.empty();
        }
        if (os.contains("linux")) {
            return Optional.of(arm ? "linux-aarch64" : "linux");
        }
        if (os.startsWith("mac")) {
            return Optional.of(arm ? "mac-aarch64" : "mac");
        }
        return os.startsWith("windows") && !arm ? Optional.of("win") : Optional.empty();
    }

    private static Path ownLocation() {
        try {
            return new File(Window.class
                            .getProtectionDomain()
                            .getCodeSource()
                            .getLocation()
                            .toURI())
                    .toPath();
        } catch (URISyntaxException impossible) {
            throw new IllegalStateException(impossible);
        }
    }
}
