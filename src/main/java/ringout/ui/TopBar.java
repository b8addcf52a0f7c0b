package ringout.ui;

import java.util.List;
import java.util.Locale;
import java.util.function.UnaryOperator;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.SimpleBooleanProperty;
import javafx.css.PseudoClass;
import javafx.geometry.Orientation;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.CheckMenuItem;
import javafx.scene.control.Label;
import javafx.scene.control.MenuButton;
import javafx.scene.control.MenuItem;
import javafx.scene.control.RadioMenuItem;
import javafx.scene.control.SeparatorMenuItem;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.control.Tooltip;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Region;
import ringout.ui.parts.Greyed;
import ringout.ui.settings.WindowSettings;
import ringout.words.Texts;

/** The strip along the top: where one is, and what holds for all pages. */
final class TopBar extends Region {
    /** Hands a change of the settings to the window. */
    interface Change {
        void apply(UnaryOperator<WindowSettings> change);
    }

    private static final PseudoClass UNHEARD = PseudoClass.getPseudoClass("unheard");
    /** Between the two sides, and between two rows of them. */
    private static final double GAP = 8;

    /** Room that the box's name and its link have at least before something else gives way, in sizes of text. */
    private static final double LEAST_PLACE = 9;

    private static final double LEAST_STATE = 12;

    private final HBox here;
    private final Label name = new Label(Texts.say("app.title"));
    private final FlowPane tools;
    private final Button back = new Button(Texts.say("top.back"));
    private final Button sheet = new Button(Texts.say("editor.sheet"));
    private final Button hunt = new Button(Texts.say("hunt.about"));
    private final Label place = new Label();
    private final Label state = new Label();
    private final ToggleButton sound = new ToggleButton();
    private final BooleanProperty heard = new SimpleBooleanProperty(true);
    private final ToggleButton speech = new ToggleButton();
    /** What stands in the menu while there is no room for it in the bar. */
    private final List<MenuItem> folded;

    private final MenuButton view = new MenuButton(Texts.say("top.view"));

    TopBar(WindowSettings settings, boolean voice, Change change, Runnable goBack, Runnable print, Runnable findOut) {
        getStyleClass().add("top-bar");
        name.getStyleClass().add("wordmark");
        name.setMinWidth(Region.USE_PREF_SIZE);
        back.setId("back");
        back.setTooltip(new Tooltip(Texts.say("top.back.help")));
        back.setOnAction(event -> goBack.run());
        back.setMinWidth(Region.USE_PREF_SIZE);
        sheet.setId("bench-sheet");
        sheet.setTooltip(new Tooltip(Texts.say("editor.sheet.help")));
        sheet.setOnAction(event -> print.run());
        sheet.setMinWidth(Region.USE_PREF_SIZE);
        hunt.setId("bench-hunt");
        hunt.setTooltip(new Tooltip(Texts.say("step.key", Texts.say("hunt.about.help"), "D")));
        hunt.setOnAction(event -> findOut.run());
        hunt.setMinWidth(Region.USE_PREF_SIZE);
        place.getStyleClass().add("place");
        place.setMinWidth(0);
        state.getStyleClass().add("link-state");
        state.setId("link-state");
        state.setMinWidth(0);
        sound.setId("sound");
        sound.setSelected(settings.sound());
        audible(true);
        sound.setOnAction(event -> change.apply(s -> s.withSound(sound.isSelected())));
        speech.setId("speech");
        speech.setSelected(settings.speech() && voice);
        Greyed.set(speech, !voice, Texts.say("grey.speech"));
        speech.setTooltip(new Tooltip(Texts.say("top.speech.help")));
        speech.setOnAction(event -> change.apply(s -> s.withSpeech(speech.isSelected())));
        sound.textProperty()
                .bind(javafx.beans.binding.Bindings.when(sound.selectedProperty())
                        .then(javafx.beans.binding.Bindings.when(heard)
                                .then(Texts.say("top.sound.on"))
                                .otherwise(Texts.say("top.sound.none")))
                        .otherwise(Texts.say("top.sound.off")));
        speech.textProperty()
                .bind(javafx.beans.binding.Bindings.when(speech.selectedProperty())
                        .then(Texts.say("top.speech.on"))
                        .otherwise(voice ? Texts.say("top.speech.off") : Texts.say("top.speech.none")));
        sound.setMinWidth(Region.USE_PREF_SIZE);
        speech.setMinWidth(Region.USE_PREF_SIZE);
        view.setId("view");
        view.setMinWidth(Region.USE_PREF_SIZE);
        CheckMenuItem soundItem = item("sound-item", sound);
        soundItem.setOnAction(event -> change.apply(s -> s.withSound(soundItem.isSelected())));
        CheckMenuItem speechItem = item("speech-item", speech);
        speechItem.setOnAction(event -> change.apply(s -> s.withSpeech(speechItem.isSelected())));
        speechItem.setDisable(!voice);
        SeparatorMenuItem line = new SeparatorMenuItem();
        folded = List.of(soundItem, speechItem, line);
        folded.forEach(item -> item.setVisible(false));
        view.getItems().addAll(folded);
        ToggleGroup themes = new ToggleGroup();
        for (WindowSettings.Theme theme : WindowSettings.Theme.values()) {
            RadioMenuItem item = new RadioMenuItem(theme.words());
            item.setId("theme-" + theme.name().toLowerCase(Locale.ROOT));
            item.setToggleGroup(themes);
            item.setSelected(settings.theme() == theme);
            item.setOnAction(event -> change.apply(s -> s.withTheme(theme)));
            view.getItems().add(item);
        }
        view.getItems().add(new SeparatorMenuItem());
        ToggleGroup scales = new ToggleGroup();
        for (double scale : WindowSettings.SCALES) {
            RadioMenuItem item = new RadioMenuItem(Texts.say("top.scale", Math.round(scale * 100)));
            item.setId("scale-" + Math.round(scale * 100));
            item.setToggleGroup(scales);
            item.setSelected(settings.textScale() == scale);
            item.setOnAction(event -> change.apply(s -> s.withTextScale(scale)));
            view.getItems().add(item);
        }
        here = new HBox(GAP, name, back, place, state);
        here.setAlignment(Pos.CENTER_LEFT);
        tools = new FlowPane(GAP, GAP, hunt, sheet, sound, speech, view);
        tools.setAlignment(Pos.CENTER_RIGHT);
        tools.setPrefWrapLength(Double.MAX_VALUE);
        getChildren().addAll(here, tools);
        atStart();
    }

    /** The same switch in the menu, where there is no room for it beside the others. */
    private static CheckMenuItem item(String id, ToggleButton button) {
        CheckMenuItem item = new CheckMenuItem();
        item.setId(id);
        item.textProperty().bind(button.textProperty());
        item.selectedProperty().bindBidirectional(button.selectedProperty());
        return item;
    }

    @Override
    public Orientation getContentBias() {
        return Orientation.HORIZONTAL;
    }

    @Override
    protected double computeMinWidth(double height) {
        // With large text it takes more rows, never more width than there is.
        return 0;
    }

    @Override
    protected double computePrefWidth(double height) {
        return snappedLeftInset() + here.prefWidth(-1) + GAP + toolsWidth(true) + snappedRightInset();
    }

    @Override
    protected double computePrefHeight(double width) {
        double inner = width < 0 ? Double.MAX_VALUE : width - snappedLeftInset() - snappedRightInset();
        double rows = onOneRow(inner)
                ? Math.max(here.prefHeight(-1), view.prefHeight(-1))
                : here.prefHeight(-1) + GAP + rows(inner);
        return snappedTopInset() + rows + snappedBottomInset();
    }

    @Override
    protected double computeMinHeight(double width) {
        return computePrefHeight(width);
    }

    /** @param all with those that may stand in the menu */
    private double toolsWidth(boolean all) {
        double sum = 0;
        for (Node tool : tools.getChildren()) {
            boolean foldable = tool == sound || tool == speech;
            sum += foldable ? all ? tool.prefWidth(-1) + GAP : 0 : tool.isManaged() ? tool.prefWidth(-1) + GAP : 0;
        }
        return Math.ceil(sum) + 1;
    }

    /** How high the tools are in rows of their own. */
    private double rows(double inner) {
        double row = view.prefHeight(-1);
        double width = 0;
        int rows = 1;
        for (Node tool : List.of(hunt, sheet, view)) {
            double wanted = tool.isManaged() ? tool.prefWidth(-1) : 0;
            if (width > 0 && width + GAP + wanted > inner) {
                rows++;
                width = 0;
            }
            width += wanted + (wanted > 0 && width > 0 ? GAP : 0);
        }
        return rows * row + (rows - 1) * GAP;
    }

    /**
     * What has to be seen of where one is.
     *
     * @param wordmark whether the program's own name is part of it
     */
    private double hereWidth(boolean wordmark) {
        double em = place.getFont().getSize();
        return (wordmark ? name.prefWidth(-1) + GAP : 0)
                + (back.isManaged() ? back.prefWidth(-1) + GAP : 0)
                + Math.min(place.prefWidth(-1), LEAST_PLACE * em)
                + GAP
                + Math.min(state.prefWidth(-1), LEAST_STATE * em);
    }

    /** Where box and link would be cut off beyond reading, sound and speech go into the menu, then the program's name goes. */
    private boolean onOneRow(double inner) {
        return hereWidth(!back.isManaged()) + GAP + toolsWidth(false) <= inner;
    }

    private void fold(boolean fold) {
        if (sound.isManaged() == fold) {
            for (ToggleButton button : List.of(sound, speech)) {
                button.setManaged(!fold);
                button.setVisible(!fold);
            }
            folded.forEach(item -> item.setVisible(fold));
        }
    }

    @Override
    protected void layoutChildren() {
        double left = snappedLeftInset();
        double top = snappedTopInset();
        double inner = getWidth() - left - snappedRightInset();
        double height = getHeight() - top - snappedBottomInset();
        boolean fold = hereWidth(true) + GAP + toolsWidth(true) > inner;
        fold(fold);
        boolean wordmark =
                !back.isManaged() || hereWidth(true) + (onOneRow(inner) ? GAP + toolsWidth(!fold) : 0) <= inner;
        if (name.isManaged() != wordmark) {
            name.setManaged(wordmark);
            name.setVisible(wordmark);
        }
        if (onOneRow(inner)) {
            double right = toolsWidth(!fold);
            here.resizeRelocate(left, top, inner - right - GAP, height);
            tools.resizeRelocate(left + inner - right, top, right, height);
        } else {
            double row = here.prefHeight(-1);
            here.resizeRelocate(left, top, inner, row);
            tools.resizeRelocate(left, top + row + GAP, inner, height - row - GAP);
        }
    }

    /** Whether tones can be heard; where not, the switch says what to do. */
    void audible(boolean now) {
        heard.set(now);
        sound.pseudoClassStateChanged(UNHEARD, !now);
        sound.setTooltip(new Tooltip(now ? Texts.say("top.sound.help") : Texts.say("grey.sound")));
        sound.setAccessibleHelp(now ? null : Texts.say("grey.sound"));
    }

    /** Whether there is a plan on the bench whose wiring sheet can be printed. */
    void offerSheet(boolean possible) {
        sheet.setVisible(possible);
        sheet.setManaged(possible);
    }

    /** Whether there is a box on the bench of which it can be found out why a control is dead. */
    void offerHunt(boolean possible) {
        hunt.setVisible(possible);
        hunt.setManaged(possible);
    }

    /** On the start page there is nothing to go back from. */
    void atStart() {
        show("", "", false);
        back.setVisible(false);
        back.setManaged(false);
        offerSheet(false);
        offerHunt(false);
    }

    /** On the bench: which box, and how it is connected. */
    void atBench(String box, String link, boolean trouble) {
        back.setVisible(true);
        back.setManaged(true);
        show(box, link, trouble);
    }

    private void show(String box, String link, boolean trouble) {
        if (!place.getText().equals(box)) {
            place.setText(box);
        }
        if (!state.getText().equals(link)) {
            state.setText(link);
        }
        state.pseudoClassStateChanged(PseudoClass.getPseudoClass("trouble"), trouble);
    }
}
