package ringout.ui.parts;

import javafx.scene.Node;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;

/** One side of a page: what always shows on top, if anything, and below it what scrolls where there is not room for all. */
public final class Docket extends VBox {
    private final ScrollPane scroll;

    public Docket(Node head, Node rest) {
        this(new ScrollPane(), rest);
        scroll.getStyleClass().add("start-scroll");
        getChildren().add(0, head);
    }

    /** A side that scrolls as a whole. */
    public Docket(Node all) {
        this(new ScrollPane(), all);
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

    /** What scrolls. */
    public ScrollPane scroll() {
        return scroll;
    }
}
