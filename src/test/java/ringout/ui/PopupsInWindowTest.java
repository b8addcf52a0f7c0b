package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import javafx.css.CssParser;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.control.MenuButton;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.Tooltip;
import javafx.scene.image.WritableImage;
import javafx.scene.paint.Color;
import javafx.scene.text.Text;
import javafx.stage.PopupWindow;
import javafx.stage.Window;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.testfx.api.FxRobot;
import org.testfx.util.WaitForAsyncUtils;
import ringout.device.SimulatedSource;
import ringout.ui.parts.StylesheetTest;

/**
 * What opens over the window has a scene of its own, and the window's theme all the same. Ratio and threshold as in
 * {@link StylesheetTest}.
 */
class PopupsInWindowTest extends WindowTestBase {
    private List<String> complaints;

    private void open(String theme) {
        on(() -> CssParser.errorsProperty().clear());
        open(new SimulatedSource(time), 1280, 800, theme, 1);
    }

    @ParameterizedTest
    @ValueSource(strings = {"light", "dark"})
    void aMenuCanBeRead(String theme) {
        open(theme);
        on(() -> ((MenuButton) window.scene().lookup("#view")).show());
        assertReadable("popup-menu-" + theme, 5);
    }

    @ParameterizedTest
    @ValueSource(strings = {"light", "dark"})
    void aTooltipCanBeRead(String theme) {
        open(theme);
        on(() -> {
            Node sound = window.scene().lookup("#sound");
            Tooltip tip = ((ToggleButton) sound).getTooltip();
            tip.show(sound, stage.getX() + 200, stage.getY() + 200);
        });
        assertReadable("popup-tooltip-" + theme, 1);
    }

    @Test
    void aGreyButtonSaysWhy(FxRobot robot) {
        open("light");
        on(() -> window.openFile(Path.of("fixtures", "plans", "guards-panel.yaml")));
        robot.clickOn("#edit-plan");
        await("the editor", () -> window.scene().lookup("#editor") != null);
        robot.moveTo("#undo");
        await("the words", () -> shows("Nothing was changed since the plan was opened."));
        robot.moveTo("#add");
        await("no words", () -> !shows("Nothing was changed since the plan was opened."));
    }

    private static boolean shows(String words) {
        return Window.getWindows().stream()
                .filter(Window::isShowing)
                .anyMatch(open -> open instanceof Tooltip tip && tip.getText().equals(words));
    }

    /** Every text in the popup that is shown, against the pixel just left above it; and that no colour was unknown. */
    private void assertReadable(String name, int least) {
        WaitForAsyncUtils.waitForFxEvents();
        on(() -> {
            Scene popup = Window.getWindows().stream()
                    .filter(w -> w instanceof PopupWindow && w.isShowing())
                    .findFirst()
                    .orElseThrow()
                    .getScene();
            Pictures.shoot(popup, name);
            WritableImage image = popup.snapshot(null);
            List<Text> texts = popup.getRoot().lookupAll("*").stream()
                    .filter(n -> n instanceof Text t && !t.getText().isBlank())
                    .map(Text.class::cast)
                    .toList();
            assertTrue(texts.size() >= least, () -> "only " + texts);
            for (Text text : texts) {
                Bounds at = text.localToScene(text.getLayoutBounds());
                Color paper = image.getPixelReader().getColor((int) at.getMinX() - 2, (int) at.getMinY());
                double ratio = StylesheetTest.ratio(hex((Color) text.getFill()), hex(paper));
                assertTrue(
                        ratio >= StylesheetTest.TEXT,
                        () -> text.getText() + ": " + text.getFill() + " on " + paper + " is " + ratio + " to 1");
            }
            complaints = CssParser.errorsProperty().stream()
                    .map(CssParser.ParseError::getMessage)
                    .distinct()
                    .toList();
        });
        assertEquals(List.of(), complaints);
    }

    private static String hex(Color colour) {
        return String.format(
                "#%02X%02X%02X",
                Math.round(colour.getRed() * 255),
                Math.round(colour.getGreen() * 255),
                Math.round(colour.getBlue() * 255));
    }
}
