package ringout.ui.parts;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Locale;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.text.Font;

/** Fonts and stylesheet of the window. */
public final class Theme {
    /** Family the drawings and the big sentence are lettered in. */
    public static final String DRAWING_FONT = "Ringout Drafting";
    /** Size of ordinary text in pixels at scale 1. */
    public static final double BASE = 14;

    /** Where fonts and stylesheet are. */
    private static final String PLACE = "/ringout/ui/";

    private Theme() {}

    /** Loads the fonts that come with the program. Harmless when called again. */
    public static void loadFonts() {
        for (String name : List.of("ringout-drafting.ttf", "Cabin-Regular.otf", "Cabin-Bold.otf")) {
            try (InputStream font = Theme.class.getResourceAsStream(PLACE + "fonts/" + name)) {
                Font.loadFont(font, BASE);
            } catch (IOException e) {
                throw new UncheckedIOException(e);
            }
        }
    }

    /** Dresses a scene. */
    public static void apply(Scene scene, boolean dark, double textScale) {
        String sheet = Theme.class.getResource(PLACE + "bench.css").toExternalForm();
        if (!scene.getStylesheets().contains(sheet)) {
            scene.getStylesheets().add(sheet);
        }
        Parent root = scene.getRoot();
        root.getStyleClass().removeAll("light", "dark");
        root.getStyleClass().add(dark ? "dark" : "light");
        root.setStyle(String.format(Locale.ROOT, "-fx-font-size: %.1fpx;", BASE * textScale));
    }
}
