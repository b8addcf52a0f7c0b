package ringout.ui.sheets;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Supplier;
import javafx.beans.property.DoubleProperty;
import javafx.beans.property.SimpleDoubleProperty;
import javafx.event.EventHandler;
import javafx.geometry.Bounds;
import javafx.geometry.Dimension2D;
import javafx.geometry.Insets;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.ScrollEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.util.Duration;
import ringout.ui.background.WindowThread;
import ringout.ui.parts.Greyed;
import ringout.ui.parts.Remark;
import ringout.ui.parts.Theme;
import ringout.words.Texts;

/**
 * A drawing with a caption, zoom and fit. At zoom 1 the whole drawing fits the space there is; it is laid out anew for
 * each zoom, so that lettering keeps its size.
 */
public abstract class Sheet extends BorderPane {
    private static final double MOST = 8;
    private static final Duration TIP_DELAY = Duration.millis(350);

    /** Holds the drawing. */
    protected final Pane page = new Pane();

    private final ScrollPane scroll = new ScrollPane();
    private final DoubleProperty zoom = new SimpleDoubleProperty(1);
    private final Label caption = new Label();
    private final Remark remark = new Remark("remark");
    /** After a change of the space there is: a page being laid out changes that of all its sheets, and of some repeatedly. */
    private final Runnable redrawSoon = WindowThread.bell(this::redraw);

    private double em = Theme.BASE;
    /** False where even at zoom 1 the drawing needs more than its space; then it scrolls. */
    private boolean fits = true;

    /**
     * Gives a figure a tool tip once the pointer comes to it: each is a scene of its own, and of a large box' figures only
     * few are ever pointed at.
     *
     * @param words asked anew each time it is shown
     */
    static void tip(Node figure, Supplier<String> words) {
        figure.addEventHandler(MouseEvent.MOUSE_ENTERED, new EventHandler<>() {
            @Override
            public void handle(MouseEvent first) {
                figure.removeEventHandler(MouseEvent.MOUSE_ENTERED, this);
                Tooltip tip = new Tooltip();
                tip.setShowDelay(TIP_DELAY);
                tip.setOnShowing(event -> tip.setText(words.get()));
                Tooltip.install(figure, tip);
            }
        });
    }

    public Sheet(String name, String words) {
        getStyleClass().add("sheet");
        page.getStyleClass().add("page");
        caption.setText(words);
        caption.getStyleClass().add("caption");
        caption.setMinWidth(Region.USE_PREF_SIZE);
        Button out = button("−", Texts.say("sheet.smaller"), () -> zoomTo(zoom.get() / 1.25));
        Button in = button("+", Texts.say("sheet.larger"), () -> zoomTo(zoom.get() * 1.25));
        Button fit = button(Texts.say("sheet.fit"), Texts.say("sheet.fit.help"), () -> zoomTo(1));
        out.setId(name + "-zoom-out");
        in.setId(name + "-zoom-in");
        fit.setId(name + "-fit");
        Runnable grey = () -> {
            boolean whole = zoom.get() <= 1 + 1e-6;
            Greyed.set(out, whole, Texts.say("grey.whole"));
            Greyed.set(fit, whole, Texts.say("grey.whole"));
            Greyed.set(in, zoom.get() >= MOST, Texts.say("grey.largest"));
        };
        zoom.addListener((of, was, is) -> grey.run());
        grey.run();
        HBox.setHgrow(remark, Priority.ALWAYS);
        HBox bar = new HBox(caption, remark, out, in, fit);
        bar.getStyleClass().add("sheet-bar");
        bar.setAlignment(Pos.CENTER_LEFT);
        setTop(bar);
        scroll.setContent(page);
        scroll.setPannable(true);
        scroll.getStyleClass().add("sheet-scroll");
        scroll.setFocusTraversable(false);
        setCenter(scroll);
        setId(name);
        scroll.viewportBoundsProperty().addListener((o, was, is) -> {
            if (was == null
                    || Math.abs(was.getWidth() - is.getWidth()) > 0.5
                    || Math.abs(was.getHeight() - is.getHeight()) > 0.5) {
                redrawSoon.run();
            }
        });
        scroll.addEventFilter(ScrollEvent.SCROLL, event -> {
            if (event.isControlDown() && event.getDeltaY() != 0) {
                zoomTo(zoom.get() * Math.pow(1.0015, event.getDeltaY()));
                event.consume();
            }
        });
        addEventHandler(KeyEvent.KEY_PRESSED, event -> {
            if (event.isControlDown() || event.isAltDown() || event.isMetaDown()) {
                return;
            }
            if (event.getText().equals("+") || event.getCode() == KeyCode.ADD || event.getCode() == KeyCode.EQUALS) {
                zoomTo(zoom.get() * 1.25);
                event.consume();
            } else if (event.getText().equals("-") || event.getCode() == KeyCode.SUBTRACT) {
                zoomTo(zoom.get() / 1.25);
                event.consume();
            } else if (event.getText().equals("0")) {
                zoomTo(1);
                event.consume();
            }
        });
        setMinSize(0, 0);
    }

    private Button button(String text, String help, Runnable run) {
        Button button = new Button(text);
        button.getStyleClass().add("small-button");
        button.setTooltip(new Tooltip(help));
        button.setAccessibleText(help);
        button.setOnAction(event -> run.run());
        button.setMinWidth(Region.USE_PREF_SIZE);
        return button;
    }

    /** Size of ordinary text in pixels; drawings letter with it. */
    protected final double em() {
        return em;
    }

    public final void setEm(double em) {
        if (this.em != em) {
            this.em = em;
            redraw();
        }
    }

    /** Says something beside the caption: the first of several wordings that there is room for. */
    protected final void setRemark(List<String> wordings) {
        remark.setWords(wordings);
    }

    final void zoomTo(double wanted) {
        double next = Math.max(1, Math.min(MOST, Math.abs(wanted - 1) < 0.05 ? 1 : wanted));
        if (next != zoom.get()) {
            zoom.set(next);
            redraw();
        }
    }

    /** Lays the drawing out for the space there is. */
    protected final void redraw() {
        Bounds view = scroll.getViewportBounds();
        if (view.getWidth() < 20 || view.getHeight() < 20) {
            return;
        }
        boolean fitted = zoom.get() == 1;
        scroll.setHbarPolicy(fitted && fits ? ScrollPane.ScrollBarPolicy.NEVER : ScrollPane.ScrollBarPolicy.AS_NEEDED);
        scroll.setVbarPolicy(scroll.getHbarPolicy());
        // Whoever is at something drawn stays at it when it is drawn anew.
        Optional<String> at = page.getChildren().stream()
                .filter(Node::isFocused)
                .flatMap(node -> Optional.ofNullable(node.getId()).stream())
                .findFirst();
        List<Node> figures = new ArrayList<>();
        Dimension2D size = draw(figures, view.getWidth(), view.getHeight(), zoom.get());
        show(figures);
        boolean fitsNow = size.getWidth() <= view.getWidth() && size.getHeight() <= view.getHeight();
        if (fitted && fitsNow != fits) {
            fits = fitsNow;
            redrawSoon.run();
        }
        // A drawing smaller than its space stands in the middle of it.
        double left = Math.max(0, Math.floor((view.getWidth() - size.getWidth()) / 2));
        double top = Math.max(0, Math.floor((view.getHeight() - size.getHeight()) / 2));
        for (Node node : figures) {
            node.setTranslateX(left);
            node.setTranslateY(top);
        }
        page.setPrefSize(Math.max(view.getWidth(), size.getWidth()), Math.max(view.getHeight(), size.getHeight()));
        page.setPadding(Insets.EMPTY);
        at.flatMap(id ->
                        figures.stream().filter(node -> id.equals(node.getId())).findFirst())
                .ifPresent(Node::requestFocus);
    }

    /** Figures that stay are left where they are: whatever comes is styled, which takes longer than all else. */
    private void show(List<Node> figures) {
        List<Node> shown = page.getChildren();
        shown.retainAll(Set.copyOf(figures));
        List<Node> stay = figures.stream().filter(Set.copyOf(shown)::contains).toList();
        if (!stay.equals(shown)) {
            page.getChildren().setAll(figures);
            return;
        }
        for (int from = 0; from < figures.size(); ) {
            int to = from;
            while (to < figures.size() && (from >= shown.size() || figures.get(to) != shown.get(from))) {
                to++;
            }
            shown.addAll(from, figures.subList(from, to));
            from = to + 1;
        }
    }

    /** Puts a node in sight; what is in sight already moves nothing. */
    protected final void reveal(Node node) {
        Bounds inPage = page.sceneToLocal(node.localToScene(node.getBoundsInLocal()));
        Bounds view = scroll.getViewportBounds();
        double spareX = page.getWidth() - view.getWidth();
        double spareY = page.getHeight() - view.getHeight();
        if (spareX > 0 && !within(inPage.getMinX(), inPage.getMaxX(), scroll.getHvalue() * spareX, view.getWidth())) {
            scroll.setHvalue(Math.max(0, Math.min(1, (inPage.getCenterX() - view.getWidth() / 2) / spareX)));
        }
        if (spareY > 0 && !within(inPage.getMinY(), inPage.getMaxY(), scroll.getVvalue() * spareY, view.getHeight())) {
            scroll.setVvalue(Math.max(0, Math.min(1, (inPage.getCenterY() - view.getHeight() / 2) / spareY)));
        }
    }

    private static boolean within(double from, double to, double scrolled, double room) {
        return from >= scrolled && to <= scrolled + room;
    }

    /**
     * Draws anew.
     *
     * @param figures takes what is drawn, from back to front; what it drew before may be among that
     * @return the size of the drawing in pixels
     */
    protected abstract Dimension2D draw(List<Node> figures, double width, double height, double zoom);
}
