package ringout.ui.parts;

import java.util.Optional;
import javafx.beans.binding.Bindings;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.SimpleBooleanProperty;
import javafx.collections.ListChangeListener;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.control.ScrollPane;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;
import ringout.ui.background.WindowThread;

/**
 * One side of a page: what always shows on top, if anything, and below it what scrolls where there is not room for all. It
 * never gets narrower than its widest button: what is cut off there cannot be scrolled to.
 */
public final class Docket extends VBox {
    /** What borders take, in pixels. */
    private static final double MARGIN = 2;
    /** Of the height, the least that is left to what scrolls; else the top scrolls with it. */
    private static final double LEAST_SHARE = 0.3;

    private final ScrollPane scroll;
    private final Optional<Region> head;
    private final Region rest;
    /** Whether the top scrolls, too. */
    private final BooleanProperty whole = new SimpleBooleanProperty();

    /** @param rest takes no room while there is nothing in it */
    public Docket(Region head, Pane rest) {
        this(new ScrollPane(), Optional.of(head), rest);
        scroll.getStyleClass().add("start-scroll");
        scroll.visibleProperty().bind(Bindings.isNotEmpty(rest.getChildren()).or(whole));
        scroll.managedProperty().bind(scroll.visibleProperty());
        arrange();
    }

    /** A side that scrolls as a whole. */
    public Docket(Region all) {
        this(new ScrollPane(), Optional.empty(), all);
        // Another card is read from its beginning.
        all.getChildrenUnmodifiable().addListener((ListChangeListener<Node>) change -> toTop());
    }

    private Docket(ScrollPane scroll, Optional<Region> head, Region content) {
        this.scroll = scroll;
        this.head = head;
        this.rest = content;
        scroll.setContent(content);
        scroll.setFitToWidth(true);
        scroll.setHbarPolicy(ScrollPane.ScrollBarPolicy.NEVER);
        scroll.getStyleClass().add("findings-scroll");
        scroll.setFocusTraversable(false);
        getStyleClass().add("docket");
        getChildren().add(scroll);
        setVgrow(scroll, Priority.ALWAYS);
    }

    private void arrange() {
        Node focused = getScene() == null ? null : getScene().getFocusOwner();
        scroll.setContent(null);
        if (whole.get()) {
            getChildren().setAll(scroll);
            VBox all = new VBox(head.orElseThrow(), rest);
            all.getStyleClass().add("docket");
            scroll.setContent(all);
        } else {
            getChildren().setAll(head.orElseThrow(), scroll);
            scroll.setContent(rest);
        }
        if (focused != null) {
            focused.requestFocus();
        }
    }

    @Override
    protected void layoutChildren() {
        super.layoutChildren();
        head.ifPresent(top -> {
            double width = getWidth() - bar() - MARGIN;
            double left = getHeight() - top.prefHeight(width);
            boolean tight = left
                    < Math.min(
                            rest.getChildrenUnmodifiable().isEmpty() ? 0 : rest.prefHeight(width),
                            LEAST_SHARE * getHeight());
            if (tight != whole.get() && getHeight() > 0) {
                whole.set(tight);
                // Not in the midst of being laid out.
                WindowThread.soon(this::arrange);
            }
        });
    }

    /** Its bar comes and goes, so the room for it counts always. */
    private double bar() {
        Node bar = scroll.lookup(".scroll-bar:vertical");
        return bar == null ? 0 : bar.prefWidth(-1);
    }

    @Override
    protected double computeMinWidth(double height) {
        double least =
                Math.max(rest.minWidth(-1), head.map(top -> top.minWidth(-1)).orElse(0.0));
        return least + bar() + MARGIN;
    }

    /** Scrolls as little as it takes to show something in it, once it is laid out. */
    public void reveal(Node wanted) {
        WindowThread.soon(() -> {
            applyCss();
            layout();
            Bounds view = scroll.getViewportBounds();
            Bounds at = scroll.getContent().sceneToLocal(wanted.localToScene(wanted.getLayoutBounds()));
            double spare = scroll.getContent().getLayoutBounds().getHeight() - view.getHeight();
            double top = scroll.getVvalue() * spare;
            if (spare > 0 && (at.getMinY() < top || at.getMaxY() > top + view.getHeight())) {
                double least = at.getMinY() < top ? at.getMinY() : at.getMaxY() - view.getHeight();
                scroll.setVvalue(Math.max(0, Math.min(1, least / spare)));
            }
        });
    }

    /** Shows its beginning. */
    public void toTop() {
        scroll.setVvalue(0);
    }

    /** What scrolls. */
    public ScrollPane scroll() {
        return scroll;
    }
}
