package ringout.ui.parts;

import javafx.animation.PauseTransition;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.ButtonBase;
import javafx.scene.control.Tooltip;
import javafx.scene.input.MouseEvent;
import javafx.util.Duration;
import org.jspecify.annotations.Nullable;

/** Buttons that cannot be used now, and say why: to the pointer, as a tip, and to whoever has the window read out. */
public final class Greyed {
    private static final Object WHY = new Object();
    private static final Duration DELAY = Duration.millis(400);
    /** From the pointer to the tip, in pixels. */
    private static final double BELOW = 18;

    private Greyed() {}

    /**
     * Greys a button, or not.
     *
     * @param why in a sentence
     */
    public static void set(ButtonBase button, boolean grey, String why) {
        button.setDisable(grey);
        if (grey) {
            button.getProperties().put(WHY, why);
            button.setAccessibleHelp(why);
        } else {
            button.getProperties().remove(WHY);
            button.setAccessibleHelp(null);
        }
    }

    /** Why a button is grey; empty where it is not, or where nothing was said. */
    public static String why(Node button) {
        return (String) button.getProperties().getOrDefault(WHY, "");
    }

    /** Tells of what is grey under the pointer: the toolkit hands nothing to what is disabled, so the scene looks. */
    public static void tell(Scene scene) {
        Tooltip tip = new Tooltip();
        PauseTransition resting = new PauseTransition(DELAY);
        scene.addEventFilter(MouseEvent.MOUSE_MOVED, event -> {
            tip.hide();
            resting.stop();
            ButtonBase under = under(scene.getRoot(), event.getSceneX(), event.getSceneY());
            if (under != null && !why(under).isEmpty()) {
                resting.setOnFinished(rested -> {
                    if (under.isDisabled() && under.getScene() == scene) {
                        tip.setText(why(under));
                        tip.show(under, event.getScreenX(), event.getScreenY() + BELOW);
                    }
                });
                resting.playFromStart();
            }
        });
        scene.addEventFilter(MouseEvent.MOUSE_EXITED_TARGET, event -> {
            if (event.getTarget() == scene.getRoot()) {
                resting.stop();
                tip.hide();
            }
        });
    }

    /** The disabled button at a place of the scene; null for none. */
    private static @Nullable ButtonBase under(Node node, double x, double y) {
        if (!node.isVisible()) {
            return null;
        }
        if (node instanceof ButtonBase button) {
            Bounds bounds = button.localToScene(button.getLayoutBounds());
            return button.isDisable() && bounds.contains(x, y) ? button : null;
        }
        if (node instanceof Parent parent
                && parent.localToScene(parent.getLayoutBounds()).contains(x, y)) {
            for (Node child : parent.getChildrenUnmodifiable()) {
                ButtonBase found = under(child, x, y);
                if (found != null) {
                    return found;
                }
            }
        }
        return null;
    }
}
