package ringout.ui;

import java.nio.file.Path;
import java.util.List;
import javafx.application.Application;
import javafx.stage.Stage;
import ringout.device.DeviceCatalog;
import ringout.device.HidSource;

/**
 * The window as a program.
 *
 * <p>Arguments: {@code --demo} starts the simulated driver's desk at once; a path opens that plan or recording.
 */
public final class WindowApp extends Application {
    private BenchWindow window;

    /**
     * Opens the window and returns when it is closed.
     *
     * @param arguments see above
     */
    public static void open(String... arguments) {
        Application.launch(WindowApp.class, arguments);
    }

    @Override
    public void start(Stage stage) {
        window = new BenchWindow(stage, Folders.ofUser(), new DeviceCatalog(List.of(new HidSource())));
        window.open();
        List<String> arguments = getParameters().getRaw();
        if (arguments.contains("--demo")) {
            window.demo();
        }
        arguments.stream().filter(a -> !a.startsWith("--")).findFirst().ifPresent(a -> window.openFile(Path.of(a)));
    }
}
