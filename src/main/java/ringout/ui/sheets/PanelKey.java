package ringout.ui.sheets;

import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import javafx.geometry.VPos;
import javafx.scene.Node;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.FlowPane;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.ui.background.WindowThread;

/** Which number stands for which name, beneath a panel on which there is no room for names; else it takes no room. */
public final class PanelKey extends ScrollPane {
    /** Of the height of its sheet: most of the room is the drawing's. */
    public static final double SHARE = 0.26;

    private final FlowPane entries = new FlowPane();

    private final Consumer<String> picked;
    private List<Control> listed = List.of();
    private boolean cramped;

    /** @param picked told the id of a control whose name is clicked */
    public PanelKey(Consumer<String> picked) {
        this.picked = picked;
        setContent(entries);
        entries.getStyleClass().add("panel-key");
        entries.setRowValignment(VPos.TOP);
        viewportBoundsProperty().addListener((of, was, is) -> WindowThread.soon(this::columns));
        setId("panel-key");
        setFitToWidth(true);
        setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        getStyleClass().addAll("findings-scroll", "panel-key-scroll");
        setFocusTraversable(false);
        setVisible(false);
        setManaged(false);
    }

    /**
     * Lists the names of controls that have numbers in their place, or goes away where there are none. It takes room from the drawing that asks for it, and never makes
     * any for names: the two come to rest.
     */
    public void show(Plan plan, Set<String> numbered) {
        List<Control> wanted = plan.controls().stream()
                .filter(control -> numbered.contains(control.id()))
                .toList();
        if (!wanted.equals(listed)) {
            listed = wanted;
            entries.getChildren().clear();
            int number = 0;
            for (Control control : plan.controls()) {
                number++;
                if (!numbered.contains(control.id())) {
                    continue;
                }
                Label entry = new Label(number + "  " + control.label());
                entry.getStyleClass().add("panel-key-entry");
                entry.setMinWidth(0);
                entry.setWrapText(true);
                entry.setOnMouseClicked(event -> picked.accept(control.id()));
                entries.getChildren().add(entry);
            }
        }
        WindowThread.soon(() -> {
            appear();
            columns();
        });
    }

    /** Columns as wide as the longest name, none wider than the list: only the row of a name that wraps grows. */
    private void columns() {
        double room = getViewportBounds().getWidth() - entries.snappedLeftInset() - entries.snappedRightInset();
        if (room <= 0) {
            return;
        }
        entries.applyCss();
        double widest = 0;
        for (Node entry : entries.getChildren()) {
            ((Label) entry).setPrefWidth(USE_COMPUTED_SIZE);
            widest = Math.max(widest, Math.ceil(entry.prefWidth(-1)));
        }
        for (Node entry : entries.getChildren()) {
            ((Label) entry).setPrefWidth(Math.min(widest, room));
        }
        entries.setPrefWrapLength(room);
    }

    /** While something else needs its room it is not there. */
    void setCramped(boolean now) {
        cramped = now;
        appear();
    }

    private void appear() {
        setVisible(!listed.isEmpty() && !cramped);
        setManaged(isVisible());
    }
}
