package ringout.ui.parts;

import javafx.scene.Node;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;

/** One side of a page: what always shows on top, if anything, and below it what scrolls where there is not room for all. */
public final class Docket extends VBox {
    /** What borders take, in pixels. */
    private static final double MARGIN = 2;

    private final ScrollPane scroll;

    public Docket(Node head, Node rest) {
        this(new ScrollPane(), rest);
        scroll.getStyleClass().add("start-scroll");
        getChildren().add(0, head);
    }

    /** A side that scrolls as a whole, and never gets narrower than its widest button: what is cut off there cannot be scrolled to. */
    public Docket(Node all) {
        this(new ScrollPane(), all);
        setMinWidth(USE_COMPUTED_SIZE);
    }

    private Docket(ScrollPane scroll, Node content) {
        this.scroll = scroll;
        scroll.setContent(content);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().add("findings-scroll");
        scroll.setFocusTraversable(false);
        getStyleClass().add("docket");
        getChildren().add(scroll);
        setVgrow(scroll, Priority.ALWAYS);
        setMinWidth(0);
    }

    @Override
    protected double computeMinWidth(double height) {
        // Its bar comes and goes, so the room for it counts always.
        Node bar = scroll.lookup(".scroll-bar:vertical");
        return scroll.getContent().minWidth(-1) + (bar == null ? 0 : bar.prefWidth(-1)) + MARGIN;
    }

    /** What scrolls. */
    public ScrollPane scroll() {
        return scroll;
    }
}
