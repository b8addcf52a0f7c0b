package ringout.ui;

import java.nio.file.Path;
import java.util.List;
import javafx.application.Application;
import javafx.application.Platform;
import javafx.stage.Stage;
import ringout.device.DeviceCatalog;
import ringout.device.HidSource;
import ringout.ui.background.Early;
import ringout.ui.background.WindowThread;
import ringout.ui.practice.Practice;
import ringout.ui.settings.Folders;

/**
 * The window as a program.
 *
 * <p>Arguments: {@code --demo} starts the simulated driver's desk at once, with the faults that {@code --seed=N} hides, or
 * with those named by {@code --fault=F}; a path opens that plan or recording.
 */
public final class WindowApp extends Application {
    private static final String SEED = "--seed=";
    private static final String FAULT = "--fault=";

    /** What can be made without JavaFX, begun before it is started. */
    private static final Early<Practice> PRACTICE = Early.begin("ringout-practice", Practice::new);

    @SuppressWarnings("NullAway.Init") // start() makes it
    private BenchWindow window;

    /**
     * Opens the window and returns when it is closed, by hand or because the system told the program to end.
     *
     * @param arguments see above
     */
    public static void open(String... arguments) {
        EndSignals.take(() -> WindowThread.soon(Platform::exit));
        Application.launch(WindowApp.class, arguments);
        EndSignals.end();
    }

    @Override
    public void start(Stage stage) {
        window = new BenchWindow(stage, Folders.ofUser(), new DeviceCatalog(List.of(new HidSource())), PRACTICE.take());
        Thread.setDefaultUncaughtExceptionHandler((thread, mistake) -> {
            // Whoever maintains the program needs the trace; who uses it needs a sentence.
            mistake.printStackTrace();
            WindowThread.soon(() -> window.trouble(mistake));
        });
        window.open();
        Peephole.openIfAsked(window.scene());
        List<String> arguments = getParameters().getRaw();
        if (arguments.contains("--demo")) {
            window.demo(values(arguments, SEED).stream().map(Long::valueOf).findFirst(), values(arguments, FAULT));
        }
        arguments.stream().filter(a -> !a.startsWith("--")).findFirst().ifPresent(a -> window.openFile(Path.of(a)));
    }

    @Override
    public void stop() throws InterruptedException {
        if (window != null) {
            window.close();
            // There is no window any more that could be held up.
            window.awaitEnd();
        }
    }

    private static List<String> values(List<String> arguments, String option) {
        return arguments.stream()
                .filter(a -> a.startsWith(option))
                .map(a -> a.substring(option.length()))
                .toList();
    }
}
