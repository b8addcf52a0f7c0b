package ringout.ui.parts;

import java.util.HashMap;
import java.util.Map;
import javafx.scene.text.Font;
import javafx.scene.text.Text;
import ringout.drawing.Lettering;

/** Measures with the font the drawings are lettered in. For the application thread only. */
public final class FxLettering implements Lettering {
    private static final double REFERENCE = 100;

    private final Text ruler = new Text();
    private final Map<String, Double> widths = new HashMap<>();

    public FxLettering() {
        ruler.setFont(Font.font(Theme.DRAWING_FONT, REFERENCE));
    }

    @Override
    public double width(String text, double size) {
        return widths.computeIfAbsent(text, t -> {
                    ruler.setText(t);
                    return ruler.getLayoutBounds().getWidth();
                })
                * size
                / REFERENCE;
    }
}
