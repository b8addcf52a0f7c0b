package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.BooleanSupplier;
import javafx.geometry.Bounds;
import javafx.geometry.Point2D;
import javafx.scene.Node;
import javafx.scene.control.Labeled;
import javafx.scene.input.ContextMenuEvent;
import javafx.scene.input.KeyCode;
import javafx.stage.Stage;
import javafx.stage.Window;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.testfx.api.FxRobot;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.robot.KeyboardRobot;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.ui.files.FileQuestions;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Remark;
import ringout.ui.practice.Practice;
import ringout.ui.settings.Folders;
import ringout.ui.settings.SettingsFile;
import ringout.ui.settings.WindowSettings;

/** A real window over boxes under the test's control, worked like a person would. */
@ExtendWith({ApplicationExtension.class, WatchdogExtension.class})
abstract class WindowTestBase {
    /** A simulated check of a small box takes some ten seconds of real time; a loaded machine more. */
    static final int PATIENCE_SECONDS = 180;

    /** How much faster than ours the time of the boxes to practise on passes: tests wait for them, too. */
    int practising = 5;

    /** What boxes under a test's control go by. */
    final LookedAtTime time = new LookedAtTime();

    @TempDir
    static Path folder;

    Stage stage;
    BenchWindow window;

    @AfterEach
    final void closeWindow() {
        if (window != null) {
            BenchWindow closing = window;
            window = null;
            on(() -> {
                stage.setOnHidden(null);
                closing.close();
                stage.hide();
            });
            try {
                closing.awaitEnd();
            } catch (InterruptedException never) {
                throw new AssertionError(never);
            }
        }
    }

    /** Opens the window at 1280 by 800, with settings of its own. */
    final void open(DeviceSource source) {
        open(source, 1280, 800, "light", 1);
    }

    /** With answers to what the dialogs for files would ask. */
    final void open(DeviceSource source, FileQuestions answers) {
        open(source, 1280, 800, "light", 1, answers);
    }

    final void open(DeviceSource source, int width, int height, String theme, double scale) {
        open(source, width, height, theme, scale, (title, near, name, endings) -> java.util.Optional.empty());
    }

    private void open(DeviceSource source, int width, int height, String theme, double scale, FileQuestions answers) {
        Path home = folder.resolve("home-" + System.nanoTime());
        try {
            new SettingsFile(home.resolve("window.properties"))
                    .save(WindowSettings.first()
                            .withTheme(WindowSettings.Theme.valueOf(theme.toUpperCase(java.util.Locale.ROOT)))
                            .withTextScale(scale)
                            .withSound(false)
                            .withSize(width, height));
        } catch (IOException full) {
            throw new UncheckedIOException(full);
        }
        // As the program does: it reads and weighs a plan, which is no work for the window's thread.
        Practice practice = new Practice(practising);
        on(() -> {
            stage = new Stage();
            window = new BenchWindow(stage, new Folders(home, home), source, practice, answers);
            window.open();
        });
    }

    /** Has it done on the application thread, and waits until what it began behind the window is told. */
    final void on(Runnable action) {
        WaitForAsyncUtils.waitForAsyncFx(20_000, action);
        WaitForAsyncUtils.waitForFxEvents();
        if (window != null) {
            await("the end of what was begun", () -> !window.busy());
            WaitForAsyncUtils.waitForFxEvents();
        }
    }

    /** What the application thread says to that, when it comes to it. */
    final <T> T ask(Callable<T> what) {
        time.look();
        return WaitForAsyncUtils.waitForAsyncFx(1000 * PATIENCE_SECONDS, what);
    }

    /** Waits until so much of a simulated box's own time has passed. */
    final void pass(SimulatedConnection box, long millis) {
        long until = box.now() + TimeUnit.MILLISECONDS.toNanos(millis);
        await(millis + " ms of the box", () -> box.now() >= until);
    }

    final void await(String what, BooleanSupplier condition) {
        try {
            WaitForAsyncUtils.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS, () -> {
                time.look();
                return WaitForAsyncUtils.asyncFx(condition::getAsBoolean).get();
            });
        } catch (TimeoutException late) {
            throw new AssertionError("never came: " + what, late);
        }
        // What came may move other things when it is laid out, and the pointer goes where they are.
        WaitForAsyncUtils.waitForAsyncFx(
                20_000,
                () -> Window.getWindows().forEach(open -> {
                    open.getScene().getRoot().applyCss();
                    open.getScene().getRoot().layout();
                }));
        // Sheets are drawn once they know their space.
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {});
    }

    final String text(String id) {
        Node node = window.scene().lookup("#" + id);
        return node instanceof BigSentence big
                ? big.words()
                : node instanceof Remark remark ? remark.words() : ((Labeled) node).getText();
    }

    final void awaitText(String id, String part) {
        try {
            await(
                    "\"" + part + "\" in " + id,
                    () -> window.scene().lookup("#" + id) != null && text(id).contains(part));
        } catch (AssertionError never) {
            throw new AssertionError(never.getMessage() + "; last it said \"" + text(id) + "\"", never);
        }
    }

    final SessionView view() {
        return window.shown().orElseThrow();
    }

    final CheckView check() {
        return view().check().orElseThrow();
    }

    final void awaitFinished() {
        await(
                "the end of the check",
                () -> window.shown().map(SessionView::over).orElse(false));
    }

    /** Moves the keyboard's focus on by tab until it is at a node; fails where it never gets there. */
    final void tabTo(FxRobot robot, String id) {
        for (int i = 0; i < 150; i++) {
            Node focused = ask(() -> window.scene().getFocusOwner());
            if (focused != null && id.equals(focused.getId())) {
                return;
            }
            // push() would wait after each half of it, for a tenth of a second in all.
            KeyboardRobot keys = robot.robotContext().getKeyboardRobot();
            keys.pressNoWait(KeyCode.TAB);
            keys.releaseNoWait(KeyCode.TAB);
            WaitForAsyncUtils.waitForFxEvents();
        }
        throw new AssertionError("the keyboard never reaches " + id);
    }

    /**
     * Opens a node's own menu with the right mouse button. The headless toolkit makes no menu request of a right click, as
     * every system does, so there the request is made here, where the pointer is.
     */
    final void openMenu(FxRobot robot, String id) {
        robot.rightClickOn("#" + id);
        if ("Monocle".equals(System.getProperty("glass.platform"))) {
            Node node = window.scene().lookup("#" + id);
            on(() -> {
                Bounds at = node.localToScreen(node.getBoundsInLocal());
                double x = at.getCenterX();
                double y = at.getCenterY();
                Point2D inside = node.screenToLocal(x, y);
                node.fireEvent(new ContextMenuEvent(
                        ContextMenuEvent.CONTEXT_MENU_REQUESTED, inside.getX(), inside.getY(), x, y, false, null));
            });
        }
    }

    /** Takes a picture and fails on what is cut or overlaps in it. */
    final void picture(String name) {
        WaitForAsyncUtils.waitForFxEvents();
        List<String> faults = ask(() -> {
            Pictures.shoot(window.scene(), name);
            return Pictures.faults(window.scene());
        });
        assertEquals(List.of(), faults, () -> "see " + Pictures.FOLDER.resolve(name + ".png"));
    }

    static void assertContains(String text, String part) {
        assertTrue(text.contains(part), () -> "\"" + part + "\" is not in \"" + text + "\"");
    }

    /** All words in a part of the window; none while it is not shown. */
    final String all(String id) {
        return ask(() -> {
            StringBuilder words = new StringBuilder();
            for (Node node : window.scene().getRoot().lookupAll("#" + id + " .label")) {
                words.append(((Labeled) node).getText()).append('\n');
            }
            return words.toString();
        });
    }
}
