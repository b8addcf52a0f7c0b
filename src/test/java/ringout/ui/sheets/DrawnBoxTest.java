package ringout.ui.sheets;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Scene;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.Pane;
import javafx.stage.Stage;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.plan.Plan;
import ringout.ui.TestPlans;
import ringout.ui.parts.FxLettering;

/** Panel, loom and tape in windows of several sizes. */
@ExtendWith(ApplicationExtension.class)
class DrawnBoxTest {
    private static final Plan DESK = TestPlans.fixture("drivers-desk");

    private Stage stage;
    private final BorderPane page = new BorderPane();

    @Start
    void start(Stage given) {
        stage = given;
        stage.setScene(new Scene(page, 950, 650));
        stage.show();
    }

    /** Somebody goes back to the start page, makes the window smaller there, and comes back with another check. */
    @Test
    void theTapeKeepsItsHeightInAWindowMadeSmallerElsewhere() {
        DrawnBox box = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            DrawnBox drawn = new DrawnBox(new FxLettering());
            drawn.setPlan(Optional.of(DESK));
            page.setCenter(drawn);
            return drawn;
        });
        assertTrue(tapeOf(box).getHeight() > 60, "in the large window");
        on(() -> page.setCenter(new Pane()));
        on(() -> {
            stage.setWidth(510);
            stage.setHeight(530);
        });
        on(() -> {
            box.setPlan(Optional.of(DESK));
            page.setCenter(box);
        });
        Bounds tape = tapeOf(box);
        assertTrue(tape.getHeight() > 60 && tape.getMaxY() <= 530, tape::toString);
    }

    private static void on(Runnable action) {
        WaitForAsyncUtils.waitForAsyncFx(20_000, action);
        WaitForAsyncUtils.waitForFxEvents();
    }

    private static Bounds tapeOf(DrawnBox box) {
        WaitForAsyncUtils.waitForFxEvents();
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            // Only once it has its style is the tape in the window at all.
            box.getScene().getRoot().applyCss();
            box.getScene().getRoot().layout();
            Node node = box.tape();
            return node.localToScene(node.getLayoutBounds());
        });
    }
}
