package ringout.ui;

import javafx.scene.Node;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.VBox;

/** One side of a page: what always shows on top, and below it what scrolls where there is not room for all. */
final class Docket extends VBox {
    Docket(Node head, Node rest) {
        ScrollPane scroll = new ScrollPane(rest);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().addAll("findings-scroll", "start-scroll");
        scroll.setFocusTraversable(false);
        getStyleClass().add("docket");
        getChildren().addAll(head, scroll);
        setVgrow(scroll, Priority.ALWAYS);
        setMinWidth(0);
    }
}
