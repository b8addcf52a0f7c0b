package ringout.ui;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import javafx.animation.AnimationTimer;
import javafx.application.Application;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.Label;
import javafx.scene.control.Labeled;
import javafx.scene.text.Text;
import javafx.stage.Stage;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.HidSource;
import ringout.ui.practice.Practice;
import ringout.ui.settings.Folders;

/**
 * How long from the start of the program until the window lists a box, beside a JavaFX window with nothing but a word in
 * it: a program of its own, since it needs a display and a quiet computer. {@code mvn -Pwindow-bench
 * -Dwindow.bench=ringout.ui.StartBenchmark test} runs it.
 *
 * <p>Both are started in turns, each time as a new process from compiled classes. The time is that from the start of the
 * Java virtual machine, as it says itself, to the second frame after the word can be seen. The box is added to what the
 * system really lists, so that listing costs what it costs.
 */
public final class StartBenchmark {
    private static final int STARTS = 11;
    private static final String WORD = "Driver's desk";

    private StartBenchmark() {}

    public static void main(String[] arguments) throws Exception {
        if (arguments.length > 0) {
            Application.launch(arguments[0].equals("bare") ? Bare.class : Whole.class);
            System.exit(0);
        }
        System.out.printf(
                Locale.ROOT,
                "%s, %s %s, %d processors, Java %s, load average %.1f%n",
                LocalDate.now(),
                System.getProperty("os.name"),
                System.getProperty("os.arch"),
                Runtime.getRuntime().availableProcessors(),
                System.getProperty("java.version"),
                ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
        long[] bare = new long[STARTS];
        long[] whole = new long[STARTS];
        for (int i = 0; i < STARTS; i++) {
            bare[i] = start("bare");
            whole[i] = start("whole");
        }
        print("a bare window", bare);
        print("the device list", whole);
        System.exit(0);
    }

    private static long start(String which) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        StartBenchmark.class.getName(),
                        which)
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        String said = new String(process.getInputStream().readAllBytes(), java.nio.charset.StandardCharsets.UTF_8);
        process.waitFor();
        return said.lines()
                .filter(line -> line.startsWith("shown "))
                .mapToLong(line -> Long.parseLong(line.substring(6)))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException(which + " showed nothing: " + said));
    }

    private static void print(String what, long[] millis) {
        long[] sorted = millis.clone();
        Arrays.sort(sorted);
        System.out.printf(
                Locale.ROOT,
                "from start to %s: median %d ms, %d to %d ms, %d starts%n",
                what,
                sorted[STARTS / 2],
                sorted[0],
                sorted[STARTS - 1],
                STARTS);
    }

    /** Ends the program two frames after the word can be seen. */
    private static void watch(Stage stage) {
        new AnimationTimer() {
            private int frames;

            @Override
            public void handle(long now) {
                if (stage.isShowing() && shows(stage.getScene().getRoot()) && ++frames == 2) {
                    System.out.println("shown "
                            + (System.currentTimeMillis()
                                    - ManagementFactory.getRuntimeMXBean().getStartTime()));
                    System.out.flush();
                    Runtime.getRuntime().halt(0);
                }
            }
        }.start();
    }

    private static boolean shows(Node node) {
        if (!node.isVisible()) {
            return false;
        }
        String text = node instanceof Labeled labeled ? labeled.getText() : node instanceof Text t ? t.getText() : "";
        return text != null && text.contains(WORD)
                || node instanceof Parent parent
                        && parent.getChildrenUnmodifiable().stream().anyMatch(StartBenchmark::shows);
    }

    /** A window with a word in it. */
    public static final class Bare extends Application {
        @Override
        public void start(Stage stage) {
            stage.setScene(new Scene(new Label(WORD), 1280, 800));
            stage.show();
            watch(stage);
        }
    }

    /** Ringout's window, as {@link WindowApp} opens it, with one more box than there is. */
    public static final class Whole extends Application {
        @Override
        public void start(Stage stage) throws IOException {
            Path home = Files.createTempDirectory("ringout-start");
            new BenchWindow(stage, new Folders(home, home), new OneMore(new HidSource()), new Practice()).open();
            watch(stage);
        }
    }

    private static final class OneMore implements DeviceSource {
        private final DeviceSource real;
        private final DeviceInfo box = DeviceInfo.joystick(WORD, 0x1209, 1, "DESK-01", "bench:desk");

        OneMore(DeviceSource real) {
            this.real = real;
        }

        @Override
        public List<DeviceInfo> list() throws DeviceException {
            List<DeviceInfo> all = new ArrayList<>(real.list());
            all.add(box);
            return all;
        }

        @Override
        public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
            return real.descriptor(device);
        }

        @Override
        public DeviceConnection open(DeviceInfo device) throws DeviceException {
            return real.open(device);
        }
    }
}
