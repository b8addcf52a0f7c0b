package ringout.ui.files;

import java.io.File;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Consumer;
import javafx.css.PseudoClass;
import javafx.scene.Scene;
import javafx.scene.input.DragEvent;
import javafx.scene.input.TransferMode;

/** Files dropped on the window. */
public final class DroppedFiles {
    private static final PseudoClass DROPPING = PseudoClass.getPseudoClass("dropping");

    private DroppedFiles() {}

    /** Has the files opened that are dropped on a scene together. */
    public static void take(Scene scene, Consumer<List<Path>> open) {
        scene.addEventHandler(DragEvent.DRAG_OVER, event -> {
            if (event.getDragboard().hasFiles()) {
                event.acceptTransferModes(TransferMode.COPY);
                dropping(scene, true);
            }
            event.consume();
        });
        scene.addEventHandler(DragEvent.DRAG_EXITED, event -> dropping(scene, false));
        scene.addEventHandler(DragEvent.DRAG_DROPPED, event -> {
            dropping(scene, false);
            event.setDropCompleted(event.getDragboard().hasFiles());
            open.accept(
                    event.getDragboard().getFiles().stream().map(File::toPath).toList());
            event.consume();
        });
    }

    private static void dropping(Scene scene, boolean now) {
        scene.getRoot().pseudoClassStateChanged(DROPPING, now);
    }
}
