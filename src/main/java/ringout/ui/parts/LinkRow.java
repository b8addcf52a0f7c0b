package ringout.ui.parts;

import javafx.scene.control.Hyperlink;
import javafx.scene.layout.FlowPane;

/** Links side by side; one that is wider than there is room goes on in the next line. */
public final class LinkRow extends FlowPane {
    public LinkRow() {
        getStyleClass().add("finding-links");
        // A row of links asks for no more room than there is.
        setMinWidth(0);
    }

    /** @param run what following it does */
    public Hyperlink add(String words, Runnable run) {
        Hyperlink link = new Hyperlink(words);
        link.setWrapText(true);
        link.maxWidthProperty().bind(widthProperty());
        link.setOnAction(event -> {
            link.setVisited(false);
            run.run();
        });
        getChildren().add(link);
        return link;
    }
}
