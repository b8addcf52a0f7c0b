package ringout.ui.parts;

import javafx.scene.control.Label;
import javafx.scene.layout.Region;

/** Words that take as many lines as they need. */
public final class Labels {
    private Labels() {}

    /** A label still without words. */
    public static Label words(String style) {
        return words("", style);
    }

    /** A label with words, dressed as the style sheet says. */
    public static Label words(String text, String style) {
        Label label = new Label(text);
        label.getStyleClass().add(style);
        label.setWrapText(true);
        label.setMinHeight(Region.USE_PREF_SIZE);
        return label;
    }

    /** Words above a part of a page. */
    public static Label heading(String text) {
        return words(text, "heading");
    }
}
