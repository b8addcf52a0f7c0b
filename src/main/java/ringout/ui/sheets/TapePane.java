package ringout.ui.sheets;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.LongFunction;
import javafx.css.CssMetaData;
import javafx.css.SimpleStyleableObjectProperty;
import javafx.css.Styleable;
import javafx.css.StyleableObjectProperty;
import javafx.css.StyleablePropertyFactory;
import javafx.geometry.Orientation;
import javafx.geometry.Pos;
import javafx.geometry.VPos;
import javafx.scene.AccessibleRole;
import javafx.scene.canvas.Canvas;
import javafx.scene.canvas.GraphicsContext;
import javafx.scene.control.Button;
import javafx.scene.control.ComboBox;
import javafx.scene.control.Label;
import javafx.scene.control.ScrollBar;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.Tooltip;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseButton;
import javafx.scene.input.MouseEvent;
import javafx.scene.input.ScrollEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.paint.Color;
import javafx.scene.paint.Paint;
import javafx.scene.text.Font;
import javafx.scene.text.TextAlignment;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.ui.model.Strip;
import ringout.ui.model.TapeFilter;
import ringout.ui.model.TapeMarks;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;
import ringout.ui.model.TapeWindow;
import ringout.ui.model.Wave;
import ringout.ui.parts.Choices;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Remark;
import ringout.ui.parts.Theme;
import ringout.words.Texts;

/** A strip of time per input, like the paper of a chart recorder. */
public final class TapePane extends BorderPane {
    private static final StyleablePropertyFactory<TapePane> FACTORY =
            new StyleablePropertyFactory<>(BorderPane.getClassCssMetaData());
    private static final CssMetaData<TapePane, Paint> INK =
            FACTORY.createPaintCssMetaData("-tape-ink", v -> v.ink, Color.BLACK, false);
    private static final CssMetaData<TapePane, Paint> SOFT =
            FACTORY.createPaintCssMetaData("-tape-soft", v -> v.soft, Color.GRAY, false);
    private static final CssMetaData<TapePane, Paint> RULE =
            FACTORY.createPaintCssMetaData("-tape-rule", v -> v.rule, Color.LIGHTGRAY, false);
    private static final CssMetaData<TapePane, Paint> TRACE =
            FACTORY.createPaintCssMetaData("-tape-trace", v -> v.trace, Color.BLACK, false);
    private static final CssMetaData<TapePane, Paint> LIT =
            FACTORY.createPaintCssMetaData("-tape-lit", v -> v.lit, Color.GOLD, false);
    private static final CssMetaData<TapePane, Paint> FAULT =
            FACTORY.createPaintCssMetaData("-tape-fault", v -> v.fault, Color.RED, false);
    private static final CssMetaData<TapePane, Paint> ASKED =
            FACTORY.createPaintCssMetaData("-tape-asked", v -> v.asked, Color.BLUE, false);
    private static final CssMetaData<TapePane, Paint> SELECTED =
            FACTORY.createPaintCssMetaData("-tape-selected", v -> v.selected, Color.WHITE, false);
    /** Edges in sight up to which bounce is looked for. */
    private static final int MARKED = 4000;

    private static final String TEXT_FONT = "Cabin";
    private static final double LABEL = 0.93;
    private static final double LEAST_LABEL = 0.72;
    /** How wide a normal bounce is drawn before it is named, in pixels. */
    private static final double NORMAL_READ = 16;
    /** Pixels from one mark to the next at least. */
    private static final double MARK_PITCH = 9;
    /** Frames between two drawings while nothing happens: scrolling paper needs no more. */
    private static final int IDLE_FRAMES = 4;

    private final StyleableObjectProperty<Paint> ink = paint(INK, "ink");
    private final StyleableObjectProperty<Paint> soft = paint(SOFT, "soft");
    private final StyleableObjectProperty<Paint> rule = paint(RULE, "rule");
    private final StyleableObjectProperty<Paint> trace = paint(TRACE, "trace");
    private final StyleableObjectProperty<Paint> lit = paint(LIT, "lit");
    private final StyleableObjectProperty<Paint> fault = paint(FAULT, "fault");
    private final StyleableObjectProperty<Paint> asked = paint(ASKED, "asked");
    private final StyleableObjectProperty<Paint> selected = paint(SELECTED, "selected");

    private final FxLettering lettering;
    private final Canvas canvas = new Canvas();
    private final Pane paper = new Pane(canvas) {
        @Override
        protected void layoutChildren() {
            // Another size is drawn with it, not a frame later: a recording that stands still has no frames.
            if (canvas.getWidth() != Math.floor(getWidth()) || canvas.getHeight() != Math.floor(getHeight())) {
                draw();
            }
        }
    };
    private final ScrollBar along = new ScrollBar();
    private final ScrollBar down = new ScrollBar();
    private final ComboBox<TapeFilter> filter = new ComboBox<>();
    /** The bars follow what is shown, and say nothing themselves meanwhile. */
    private boolean following;

    private final ToggleButton pause = new ToggleButton(Texts.say("tape.pause"));
    private final Remark readout = new Remark("remark");
    private double em = Theme.BASE;
    private @Nullable TapeStore store;
    private List<TapeRow> all = List.of();
    /** Those of all that are shown. */
    private List<TapeRow> rows = List.of();

    private @Nullable TapeRow chosen;
    private Set<Input> found = Set.of();
    private TapeWindow window = new TapeWindow(0, TapeWindow.USUAL_SPAN, true);
    private int firstRow;
    private int selectedRow;
    private @Nullable Long cursorA;
    private @Nullable Long cursorB;
    private LongFunction<Optional<String>> bytes = nanos -> Optional.empty();
    private boolean dirty = true;
    private int idle;
    private long edgesDrawn = -1;
    private double dragX = Double.NaN;
    private boolean dragged;
    private double longest;
    private final List<Written> written = new ArrayList<>();

    public TapePane(FxLettering lettering) {
        this.lettering = lettering;
        getStyleClass().addAll("sheet", "tape");
        setId("tape");
        Label caption = new Label(Texts.say("tape.caption"));
        caption.getStyleClass().add("caption");
        caption.setMinWidth(Region.USE_PREF_SIZE);
        readout.setId("tape-readout");
        HBox.setHgrow(readout, Priority.ALWAYS);
        pause.setId("tape-pause");
        pause.getStyleClass().add("small-button");
        pause.setMinWidth(Region.USE_PREF_SIZE);
        pause.setTooltip(new Tooltip(Texts.say("tape.pause.help")));
        pause.setOnAction(event -> setLive(!pause.isSelected()));
        HBox bar = new HBox(
                caption,
                readout,
                pause,
                button("tape-zoom-out", "−", Texts.say("tape.more"), () -> zoom(2, centre())),
                button("tape-zoom-in", "+", Texts.say("tape.less"), () -> zoom(0.5, centre())),
                button("tape-all", Texts.say("tape.all"), Texts.say("tape.all.help"), this::showAll));
        bar.getStyleClass().add("sheet-bar");
        bar.setAlignment(Pos.CENTER_LEFT);
        setTop(bar);
        canvas.setManaged(false);
        setCenter(paper);
        bars();
        paper.setMinSize(0, 0);
        paper.setFocusTraversable(true);
        paper.getStyleClass().add("paper");
        paper.setId("tape-paper");
        paper.setAccessibleRole(AccessibleRole.NODE);
        paper.setAccessibleText(Texts.say("tape.spoken"));
        paper.setAccessibleHelp(Texts.say("tape.spoken.help"));
        paper.widthProperty().addListener((o, was, is) -> dirty = true);
        paper.heightProperty().addListener((o, was, is) -> dirty = true);
        paper.focusedProperty().addListener((o, was, is) -> dirty = true);
        paper.addEventHandler(MouseEvent.MOUSE_PRESSED, this::pressed);
        paper.addEventHandler(MouseEvent.MOUSE_DRAGGED, this::dragged);
        paper.addEventHandler(MouseEvent.MOUSE_RELEASED, this::released);
        paper.addEventHandler(ScrollEvent.SCROLL, this::scrolled);
        paper.addEventHandler(KeyEvent.KEY_PRESSED, this::key);
        setMinSize(0, 0);
        clear();
    }

    /** Bars for what is out of sight, and which strips are shown. */
    private void bars() {
        filter.setId("tape-filter");
        filter.getStyleClass().add("small-button");
        filter.getItems().setAll(TapeFilter.values());
        filter.setValue(TapeFilter.EVERYTHING);
        filter.setConverter(Choices.said(TapeFilter::words));
        filter.setAccessibleText(Texts.say("tape.filter.help"));
        filter.setTooltip(new Tooltip(Texts.say("tape.filter.help")));
        filter.valueProperty().addListener((of, was, is) -> {
            chosen = selectedRow < rows.size() ? rows.get(selectedRow) : null;
            sift();
            say();
        });
        along.setId("tape-along");
        along.setAccessibleText(Texts.say("tape.time"));
        along.valueProperty().addListener((of, was, is) -> {
            if (!following && store != null) {
                long end = store.from() + Math.round(is.doubleValue()) + window.span();
                window = new TapeWindow(Math.min(end, Math.max(store.to(), window.span())), window.span(), false);
                pause.setSelected(true);
                dirty = true;
            }
        });
        down.setId("tape-down");
        down.setOrientation(Orientation.VERTICAL);
        down.setAccessibleText(Texts.say("tape.inputs"));
        down.valueProperty().addListener((of, was, is) -> {
            if (!following) {
                firstRow = (int) Math.round(is.doubleValue());
                dirty = true;
            }
        });
        along.setFocusTraversable(false);
        down.setFocusTraversable(false);
        // Where there is nothing to scroll they are not seen; their room is kept, so that nothing moves.
        along.setVisible(false);
        down.setVisible(false);
        HBox.setHgrow(along, Priority.ALWAYS);
        along.setMinWidth(0);
        filter.setMinWidth(Region.USE_PREF_SIZE);
        Label show = new Label(Texts.say("tape.filter"));
        show.setLabelFor(filter);
        show.setMinWidth(Region.USE_PREF_SIZE);
        HBox foot = new HBox(show, filter, along);
        foot.getStyleClass().add("tape-foot");
        setRight(down);
        setBottom(foot);
    }

    /** Which inputs findings are about. */
    void found(Set<Input> inputs) {
        if (!inputs.equals(found)) {
            found = Set.copyOf(inputs);
            if (filter.getValue() == TapeFilter.FOUND) {
                sift();
            }
        }
    }

    /** Leaves on the paper what the filter lets through; what was chosen stays so, where it is left. */
    private void sift() {
        if (store == null) {
            return;
        }
        TapeRow at = selectedRow < rows.size() ? rows.get(selectedRow) : null;
        TapeRow one = chosen == null && !all.isEmpty() ? all.get(0) : chosen;
        List<TapeRow> left = one == null ? List.of() : filter.getValue().of(all, store, found, one);
        if (!left.equals(rows)) {
            rows = left;
            selectedRow = Math.max(0, rows.indexOf(at));
            intoSight(selectedRow);
            dirty = true;
        }
    }

    private void followed() {
        following = true;
        int visible = visibleRows();
        int most = Math.max(0, rows.size() - visible);
        down.setVisible(most > 0);
        down.setMax(most);
        down.setVisibleAmount(most == 0 ? 0 : most * visible / (double) rows.size());
        down.setUnitIncrement(1);
        down.setBlockIncrement(visible);
        down.setValue(firstRow);
        long length = store == null ? 0 : store.to() - store.from();
        long rest = length - window.span();
        along.setVisible(rest > 0);
        along.setMax(Math.max(1, rest));
        along.setVisibleAmount(rest <= 0 ? 0 : rest * (window.span() / (double) length));
        along.setUnitIncrement(window.span() / 10.0);
        along.setBlockIncrement(window.span() * 0.8);
        along.setValue(store == null ? 0 : Math.max(0, Math.min(rest, window.from() - store.from())));
        following = false;
    }

    private StyleableObjectProperty<Paint> paint(CssMetaData<TapePane, Paint> data, String name) {
        return new SimpleStyleableObjectProperty<>(data, this, name, data.getInitialValue(this)) {
            @Override
            protected void invalidated() {
                dirty = true;
            }
        };
    }

    @Override
    public List<CssMetaData<? extends Styleable, ?>> getCssMetaData() {
        return FACTORY.getCssMetaData();
    }

    private Button button(String id, String text, String help, Runnable run) {
        Button button = new Button(text);
        button.setId(id);
        button.getStyleClass().add("small-button");
        button.setTooltip(new Tooltip(help));
        button.setAccessibleText(help);
        button.setOnAction(event -> run.run());
        button.setMinWidth(Region.USE_PREF_SIZE);
        return button;
    }

    void setEm(double em) {
        this.em = em;
        longest = all.stream()
                .mapToDouble(row -> lettering.width(row.label(), em * LABEL))
                .max()
                .orElse(0);
        dirty = true;
    }

    /** An empty tape. */
    void clear() {
        store = null;
        all = List.of();
        rows = List.of();
        chosen = null;
        found = Set.of();
        filter.setValue(TapeFilter.EVERYTHING);
        cursorA = null;
        cursorB = null;
        window = new TapeWindow(0, TapeWindow.USUAL_SPAN, true);
        pause.setSelected(false);
        readout.setWords(Texts.say("tape.none"), "");
        dirty = true;
    }

    /** Another box's tape. */
    public void open(TapeStore store, List<TapeRow> rows) {
        clear();
        this.store = store;
        this.all = List.copyOf(rows);
        this.rows = all;
        longest = all.stream()
                .mapToDouble(row -> lettering.width(row.label(), em * LABEL))
                .max()
                .orElse(0);
        firstRow = 0;
        selectedRow = 0;
        readout.setWords("");
        say();
    }

    /** Where the raw bytes of the report at or before a time come from. */
    public void setBytes(LongFunction<Optional<String>> bytes) {
        this.bytes = bytes;
    }

    public TapeWindow window() {
        return window;
    }

    public List<TapeRow> rows() {
        return rows;
    }

    /** The strip of an input; null where there is none. */
    public @Nullable Strip strip(Input input) {
        return store == null ? null : store.strip(input);
    }

    /** Called once per frame with the newest time. */
    public void frame(long now, long edges) {
        if (store == null) {
            if (dirty) {
                draw();
            }
            return;
        }
        boolean news = edges != edgesDrawn;
        if (window.live()) {
            idle++;
            if (!dirty && !news && idle < IDLE_FRAMES) {
                return;
            }
            window = window.at(now);
        } else if (!dirty && !(news && now < window.end())) {
            return;
        }
        if (news && filter.getValue() == TapeFilter.CHANGED) {
            sift();
        }
        idle = 0;
        edgesDrawn = edges;
        draw();
    }

    /** Puts an input's strip in sight and chooses it. */
    public void reveal(Input input) {
        if (rows.stream().noneMatch(row -> row.input().equals(input))) {
            if (filter.getValue() == TapeFilter.CONTROL) {
                all.stream()
                        .filter(row -> row.input().equals(input))
                        .findFirst()
                        .ifPresent(row -> chosen = row);
                sift();
            } else {
                filter.setValue(TapeFilter.EVERYTHING);
            }
        }
        for (int i = 0; i < rows.size(); i++) {
            if (rows.get(i).input().equals(input)) {
                selectedRow = i;
                intoSight(i);
                dirty = true;
                say();
                return;
            }
        }
    }

    /** Puts an input's strip in sight while the tape is live and nobody is working on it. */
    void follow(Input input) {
        if (window.live()
                && !paper.isFocused()
                && !paper.isHover()
                && rows.stream().anyMatch(row -> row.input().equals(input))) {
            reveal(input);
        }
    }

    /** Shows a stretch of time, standing still. */
    public void show(long from, long to) {
        window = new TapeWindow(to, Math.max(TapeWindow.LEAST_SPAN, to - from), false);
        pause.setSelected(true);
        dirty = true;
    }

    /** The whole tape, standing still. */
    void showAll() {
        if (store != null && !store.isEmpty()) {
            long margin = Math.max(1_000_000L, (store.to() - store.from()) / 50);
            show(store.from() - margin, store.to() + margin);
            say();
        }
    }

    private void setLive(boolean live) {
        window = live && store != null ? new TapeWindow(store.to(), window.span(), true) : window.paused();
        pause.setSelected(!live);
        dirty = true;
    }

    private void zoom(double factor, long about) {
        long longest = store == null ? 0 : (long) ((store.to() - store.from()) * 1.1);
        window = window.zoom(factor, about, longest);
        dirty = true;
        say();
    }

    private long centre() {
        return cursorA != null && cursorA >= window.from() && cursorA <= window.end()
                ? cursorA
                : window.end() - window.span() / 2;
    }

    // ---- geometry

    /** As wide as the longest name wants, within reason. */
    private double gutter() {
        return Math.min(Math.max(12.5 * em, longest + 1.6 * em), paper.getWidth() * 0.35);
    }

    /** Names are set smaller, down to this share, before they are squeezed. */
    private double labelSize(String label, double room) {
        double size = em * LABEL;
        return Math.max(size * LEAST_LABEL, size * Math.min(1, room / Math.max(1, lettering.width(label, size))));
    }

    /** Something lettered on the paper and the area it takes, for a test: a canvas has no nodes to ask. */
    public record Written(String text, double x, double y, double width, double height) {}

    /** What stands on the paper now. */
    public List<Written> written() {
        return written;
    }

    /** True where words may begin on a row without lying on the words of the mark before. */
    private boolean free(double x, double y, double width) {
        if (written.isEmpty()) {
            return true;
        }
        Written last = written.get(written.size() - 1);
        return last.x() + last.width() + 0.4 * em < x
                || x + width < last.x()
                || Math.abs(last.y() + last.height() / 2 - y) > 1;
    }

    private void write(
            GraphicsContext g, String text, double x, double y, TextAlignment align, String font, double size) {
        g.setFont(Font.font(font, size));
        g.setTextAlign(align);
        g.fillText(text, x, y);
        double width = lettering.width(text, size);
        double left = align == TextAlignment.LEFT ? x : align == TextAlignment.RIGHT ? x - width : x - width / 2;
        written.add(new Written(text, left, y - size / 2, width, size));
    }

    private double rowHeight() {
        return 1.75 * em;
    }

    private double scale() {
        return 1.7 * em;
    }

    private int visibleRows() {
        return Math.max(1, (int) ((paper.getHeight() - scale()) / rowHeight()));
    }

    private void intoSight(int row) {
        int visible = visibleRows();
        if (row < firstRow) {
            firstRow = row;
        } else if (row >= firstRow + visible) {
            firstRow = row - visible + 1;
        }
        firstRow = Math.max(0, Math.min(firstRow, Math.max(0, rows.size() - visible)));
    }

    private double x(long nanos) {
        double width = paper.getWidth() - gutter();
        return gutter() + width * (nanos - window.from()) / window.span();
    }

    private long nanos(double x) {
        double width = Math.max(1, paper.getWidth() - gutter());
        return window.from() + Math.round((x - gutter()) / width * window.span());
    }

    // ---- hands

    private void pressed(MouseEvent event) {
        paper.requestFocus();
        dragX = event.getX();
        dragged = false;
        int row = firstRow + (int) ((event.getY() - scale()) / rowHeight());
        if (event.getY() > scale() && row < rows.size()) {
            selectedRow = row;
        }
        dirty = true;
    }

    private void dragged(MouseEvent event) {
        if (Double.isNaN(dragX) || !dragged && Math.abs(event.getX() - dragX) < 4) {
            return;
        }
        dragged = true;
        double width = Math.max(1, paper.getWidth() - gutter());
        window = window.pan((dragX - event.getX()) / width);
        pause.setSelected(true);
        dragX = event.getX();
        dirty = true;
    }

    private void released(MouseEvent event) {
        if (!dragged && event.getX() > gutter() && store != null) {
            long at = snap(nanos(event.getX()));
            if (event.isShiftDown() || event.getButton() == MouseButton.SECONDARY) {
                cursorB = at;
            } else {
                cursorA = at;
            }
            setLive(false);
            say();
        }
        dragX = Double.NaN;
    }

    /** The nearest edge of the chosen strip within a few pixels, else the time itself. */
    private long snap(long nanos) {
        Strip strip = selectedStrip();
        if (strip == null) {
            return nanos;
        }
        long reach = window.span() / Math.max(1, (long) (paper.getWidth() - gutter())) * 7;
        int i = strip.firstAtOrAfter(nanos);
        long best = nanos;
        long distance = reach;
        for (int k = Math.max(0, i - 1); k <= Math.min(strip.size() - 1, i); k++) {
            long d = Math.abs(strip.nanos(k) - nanos);
            if (d < distance) {
                distance = d;
                best = strip.nanos(k);
            }
        }
        return best;
    }

    private @Nullable Strip selectedStrip() {
        return store == null || selectedRow >= rows.size()
                ? null
                : store.strip(rows.get(selectedRow).input());
    }

    private void scrolled(ScrollEvent event) {
        if (event.isControlDown() && event.getDeltaY() != 0) {
            zoom(Math.pow(0.998, event.getDeltaY()), nanos(Math.max(gutter(), event.getX())));
        } else if (event.getDeltaX() != 0 || event.isShiftDown()) {
            double delta = event.getDeltaX() != 0 ? event.getDeltaX() : event.getDeltaY();
            window = window.pan(-delta / Math.max(1, paper.getWidth() - gutter()));
            pause.setSelected(true);
        } else if (event.getDeltaY() != 0) {
            firstRow = Math.max(
                    0,
                    Math.min(
                            Math.max(0, rows.size() - visibleRows()), firstRow - (int) Math.signum(event.getDeltaY())));
        }
        dirty = true;
        event.consume();
    }

    private void key(KeyEvent event) {
        if (event.isControlDown() || event.isAltDown() || event.isMetaDown()) {
            return;
        }
        boolean used = true;
        switch (event.getCode()) {
            case UP -> choose(selectedRow - 1);
            case DOWN -> choose(selectedRow + 1);
            case LEFT -> step(-1, event.isShiftDown());
            case RIGHT -> step(1, event.isShiftDown());
            case PAGE_UP -> pan(-0.8);
            case PAGE_DOWN -> pan(0.8);
            case HOME -> showAll();
            case END -> setLive(true);
            case SPACE -> setLive(!window.live());
            case ADD, PLUS, EQUALS -> zoom(0.5, centre());
            case SUBTRACT, MINUS -> zoom(2, centre());
            case DIGIT0, NUMPAD0 -> showAll();
            default -> used = false;
        }
        if (used) {
            dirty = true;
            event.consume();
        }
    }

    private void pan(double share) {
        window = window.pan(share);
        pause.setSelected(true);
    }

    private void choose(int row) {
        selectedRow = Math.max(0, Math.min(rows.size() - 1, row));
        intoSight(selectedRow);
        say();
    }

    /** Moves a cursor to the next or last edge of the chosen strip. */
    private void step(int way, boolean second) {
        Strip strip = selectedStrip();
        if (strip == null || strip.size() == 0) {
            return;
        }
        @Nullable Long cursor = second ? cursorB : cursorA;
        long at = cursor == null ? window.end() : cursor;
        int i = way > 0 ? strip.firstAtOrAfter(at + 1) : strip.firstAtOrAfter(at) - 1;
        i = Math.max(0, Math.min(strip.size() - 1, i));
        long target = strip.nanos(i);
        if (second) {
            cursorB = target;
        } else {
            cursorA = target;
        }
        if (target < window.from() || target > window.end() || window.live()) {
            window = new TapeWindow(target + window.span() / 2, window.span(), false);
            pause.setSelected(true);
        }
        say();
    }

    /** Words for what the cursors show. */
    public void say() {
        if (store == null) {
            return;
        }
        String label = "";
        String input = "";
        String level = "";
        if (selectedRow < rows.size()) {
            TapeRow row = rows.get(selectedRow);
            label = row.label();
            input = row.label().equals(row.input().text())
                    ? ""
                    : " (" + row.input().text() + ")";
            Strip strip = store.strip(row.input());
            level = cursorA == null || strip == null
                    ? ""
                    : strip.on(cursorA) ? ": " + Texts.say("tape.on") : ": " + Texts.say("tape.off");
        }
        String at = cursorA == null ? "" : " " + Texts.say("tape.at", TapeWindow.clock(cursorA, 1000));
        String apart = cursorA == null || cursorB == null
                ? ""
                : ", " + Texts.say("tape.apart", TapeWindow.duration(cursorB - cursorA));
        String report = cursorA == null
                ? ""
                : bytes.apply(cursorA)
                        .map(hex -> ", " + Texts.say("tape.report", hex))
                        .orElse("");
        readout.setWords(
                label + input + level + at + apart + report,
                label + level + at + apart + report,
                label + level + at + apart,
                cursorA == null ? label : at.strip() + apart,
                "");
        paper.setAccessibleText(Texts.say("tape.caption") + ". " + readout.words());
    }

    // ---- ink

    private void draw() {
        dirty = false;
        written.clear();
        double width = Math.floor(paper.getWidth());
        double height = Math.floor(paper.getHeight());
        if (width < 10 || height < 10) {
            return;
        }
        if (canvas.getWidth() != width || canvas.getHeight() != height) {
            canvas.setWidth(width);
            canvas.setHeight(height);
        }
        firstRow = Math.max(0, Math.min(firstRow, rows.size() - visibleRows()));
        followed();
        GraphicsContext g = canvas.getGraphicsContext2D();
        g.clearRect(0, 0, width, height);
        g.setTextBaseline(VPos.CENTER);
        double left = gutter();
        double top = scale();
        TapeStore shown = store;
        if (rows.isEmpty() || shown == null) {
            g.setFill(soft.get());
            List<String> lines = lettering.wrap(
                    all.isEmpty() ? Texts.say("tape.empty") : filter.getValue().nothing(), em, width - 2 * em);
            for (int i = 0; i < lines.size(); i++) {
                write(
                        g,
                        lines.get(i),
                        width / 2,
                        height / 2 + (i - (lines.size() - 1) / 2.0) * 1.4 * em,
                        TextAlignment.CENTER,
                        Theme.DRAWING_FONT,
                        em);
            }
            return;
        }
        timeScale(g, left, top, width, height);
        int visible = Math.min(rows.size() - firstRow, visibleRows() + 1);
        for (int k = 0; k < visible; k++) {
            row(g, shown, firstRow + k, left, top + k * rowHeight(), width, height);
        }
        cursor(g, cursorA, true, top, height);
        cursor(g, cursorB, false, top, height);
        if (paper.isFocused()) {
            g.setStroke(asked.get());
            g.setLineWidth(2);
            g.strokeRect(1, 1, width - 2, height - 2);
        }
    }

    private void timeScale(GraphicsContext g, double left, double top, double width, double height) {
        long step = window.tick(8.5 * em / Math.max(1, width - left));
        g.setLineWidth(1);
        long minor = step / 5;
        for (long t = Math.floorDiv(window.from(), minor) * minor; t <= window.end(); t += minor) {
            double x = Math.round(x(t)) + 0.5;
            if (x < left) {
                continue;
            }
            boolean major = Math.floorMod(t, step) == 0;
            g.setStroke(rule.get());
            g.setGlobalAlpha(major ? 1 : 0.45);
            g.strokeLine(x, major ? top - 0.5 * em : top, x, height);
            g.setGlobalAlpha(1);
            if (major && t >= 0) {
                String words = TapeWindow.clock(t, step);
                if (x + lettering.width(words, em * 0.85) + 4 < width) {
                    g.setFill(soft.get());
                    write(g, words, x + 3, top * 0.5, TextAlignment.LEFT, TEXT_FONT, em * 0.85);
                }
            }
        }
        // The holes the paper is moved by.
        g.setFill(rule.get());
        double pitch = 1.4 * em;
        double shift = window.live() ? (window.end() / (double) window.span() * (width - left)) % pitch : 0;
        for (double x = width - shift % pitch; x > left + em; x -= pitch) {
            g.fillOval(x - 1.5, height - 5, 3, 3);
        }
    }

    private void row(
            GraphicsContext g, TapeStore store, int index, double left, double y, double width, double height) {
        TapeRow row = rows.get(index);
        double h = rowHeight();
        if (y + h > height - 4) {
            return;
        }
        if (index == selectedRow) {
            g.setFill(selected.get());
            g.fillRect(0, y, width, h);
        }
        g.setStroke(rule.get());
        g.setLineWidth(1);
        g.strokeLine(0, Math.round(y + h) - 0.5, width, Math.round(y + h) - 0.5);
        g.setFill(ink.get());
        String label = row.label();
        double room = left - 0.8 * em - 6;
        double size = labelSize(label, room);
        write(g, label, 0.8 * em, y + h / 2, TextAlignment.LEFT, Theme.DRAWING_FONT, size);
        String input = row.input().text();
        if (row.planned() && lettering.width(label, size) + lettering.width(input, em * 0.8) + em < room) {
            g.setFill(soft.get());
            write(g, input, left - 6, y + h / 2, TextAlignment.RIGHT, TEXT_FONT, em * 0.8);
        }
        double high = y + h * 0.2;
        double low = y + h * 0.84;
        Strip strip = store.strip(row.input());
        Wave wave = store.wave(row.input());
        if (strip != null) {
            trace(g, store, strip, left, high, low, width);
        } else if (wave != null) {
            wave(g, store, wave, left, high, low, width);
        }
    }

    /** The pen's line: only columns in which something changes cost anything. */
    private void trace(
            GraphicsContext g, TapeStore store, Strip strip, double left, double high, double low, double width) {
        long end = Math.min(window.end(), store.to());
        double stop = Math.min(width, x(end));
        double from = Math.max(left, x(store.from()));
        int last = strip.firstAtOrAfter(end + 1);
        int i = strip.firstAtOrAfter(nanos(from));
        boolean on = i == 0 ? strip.size() > 0 && !strip.levelAfter(0) : strip.levelAfter(i - 1);
        double x = from;
        g.setStroke(trace.get());
        g.setLineWidth(1.4);
        if (i > 0 && strip.denseAfter(i - 1)) {
            double to = i < strip.size() ? Math.min(stop, x(strip.nanos(i))) : stop;
            dense(g, x, to, high, low);
            x = to;
        }
        while (i < last) {
            double at = x(strip.nanos(i));
            level(g, on, x, at, high, low);
            // Edges that share a column of pixels are one dark stroke.
            long columnEnd = nanos(Math.floor(at) + 1);
            int next = Math.max(i + 1, strip.firstAtOrAfter(columnEnd));
            if (strip.denseAfter(next - 1) && next < strip.size()) {
                double to = Math.min(stop, x(strip.nanos(next)));
                dense(g, at, to, high, low);
                x = to;
            } else {
                g.strokeLine(at, high, at, low);
                if (next - i > 2) {
                    dense(g, at - 0.5, at + 1, high, low);
                }
                x = at;
            }
            on = strip.levelAfter(next - 1);
            i = next;
        }
        level(g, on, x, stop, high, low);
        double marked = Double.NEGATIVE_INFINITY;
        for (TapeMarks.Mark mark : TapeMarks.of(strip, window.from(), end, MARKED)) {
            // Marks on one another would tell no more than the first of them.
            if (x(mark.from()) - marked > MARK_PITCH) {
                marked = x(mark.from());
                mark(g, mark, high, low, width);
            }
        }
    }

    private void level(GraphicsContext g, boolean on, double from, double to, double high, double low) {
        if (to <= from) {
            return;
        }
        if (on) {
            g.setFill(lit.get());
            g.fillRect(from, high, to - from, low - high);
        }
        double y = on ? high : low;
        g.strokeLine(from, y, to, y);
    }

    private void dense(GraphicsContext g, double from, double to, double high, double low) {
        g.setFill(trace.get());
        g.fillRect(from, high, Math.max(1, to - from), low - high);
    }

    private void mark(GraphicsContext g, TapeMarks.Mark mark, double high, double low, double width) {
        double a = x(mark.from());
        double b = Math.max(a + 3, x(mark.to()));
        Paint colour = mark.normal() ? soft.get() : fault.get();
        g.setStroke(colour);
        g.setFill(colour);
        g.setLineWidth(1.6);
        g.strokeLine(a - 1, low + 2.5, b + 1, low + 2.5);
        if (mark.kind() == TapeMarks.Kind.BOUNCE) {
            g.fillPolygon(new double[] {a - 4, a + 4, a}, new double[] {low + 6, low + 6, low + 1}, 3);
        } else {
            g.strokeLine(a - 3, high - 1, a + 3, high + 5);
            g.strokeLine(a + 3, high - 1, a - 3, high + 5);
        }
        if (mark.normal() && x(mark.to()) - a < NORMAL_READ) {
            // Words over the press, for what is as it should be, come when somebody looks closely.
            g.setStroke(trace.get());
            g.setLineWidth(1.4);
            return;
        }
        String words = mark.word() + " " + TapeWindow.duration(mark.to() - mark.from());
        double size = em * 0.8;
        double room = lettering.width(words, size);
        double middle = (high + low) / 2;
        if (b + 5 + room < width && free(b + 5, middle, room)) {
            g.setFill(selected.get());
            g.fillRect(b + 3, middle - size * 0.6, room + 4, size * 1.2);
            g.setFill(colour);
            write(g, words, b + 5, middle, TextAlignment.LEFT, TEXT_FONT, size);
        }
        g.setStroke(trace.get());
        g.setLineWidth(1.4);
    }

    private void wave(
            GraphicsContext g, TapeStore store, Wave wave, double left, double high, double low, double width) {
        float[] band = new float[2];
        g.setStroke(trace.get());
        g.setLineWidth(1.4);
        long end = Math.min(window.end(), store.to());
        double stop = Math.min(width, x(end));
        double before = Double.NaN;
        for (double x = Math.max(left, x(store.from())); x < stop; x += 1) {
            if (!wave.range(nanos(x), nanos(x + 1), band)) {
                before = Double.NaN;
                continue;
            }
            double least = low - band[0] * (low - high);
            double most = low - band[1] * (low - high);
            double from = Double.isNaN(before) ? least : before;
            g.strokeLine(x, Math.max(from, least), x + 1, Math.min(from, most));
            before = (least + most) / 2;
        }
    }

    private void cursor(GraphicsContext g, @Nullable Long at, boolean first, double top, double height) {
        if (at == null || at < window.from() || at > window.end()) {
            return;
        }
        double x = Math.round(x(at)) + 0.5;
        g.setStroke(asked.get());
        g.setLineWidth(1.5);
        g.strokeLine(x, top - 2, x, height);
        // A pencil's point, filled at the first moment and hollow at the second.
        double[] xs = {x - 0.45 * em, x + 0.45 * em, x};
        double[] ys = {top - 1.1 * em, top - 1.1 * em, top - 2};
        if (first) {
            g.setFill(asked.get());
            g.fillPolygon(xs, ys, xs.length);
        } else {
            g.strokePolygon(xs, ys, xs.length);
        }
    }
}
