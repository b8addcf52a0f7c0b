package ringout.ui;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Locale;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.text.Font;

/** Fonts and stylesheet of the window. */
final class Theme {
    /** Family the drawings and the big sentence are lettered in. */
    static final String DRAWING_FONT = "Ringout Drafting";
    /** Size of ordinary text in pixels at scale 1. */
    static final double BASE = 14;

    private Theme() {}

    /** Loads the fonts that come with the program. Harmless when called again. */
    static void loadFonts() {
        for (String name : List.of("ringout-drafting.ttf", "Cabin-Regular.otf", "Cabin-Bold.otf")) {
            try (InputStream font = Theme.class.getResourceAsStream("fonts/" + name)) {
                Font.loadFont(font, BASE);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    /** Dresses a scene. */
    static void apply(Scene scene, boolean dark, double textScale) {
        String sheet = Theme.class.getResource("bench.css").toExternalForm();
        if (!scene.getStylesheets().contains(sheet)) {
            scene.getStylesheets().add(sheet);
        }
        Parent root = scene.getRoot();
        root.getStyleClass().removeAll("light", "dark");
        root.getStyleClass().add(dark ? "dark" : "light");
        root.setStyle(String.format(Locale.ROOT, "-fx-font-size: %.1fpx;", BASE * textScale));
    }
}
