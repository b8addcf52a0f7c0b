package ringout.ui.parts;

import java.util.List;
import javafx.geometry.VPos;
import javafx.scene.AccessibleRole;
import javafx.scene.layout.Region;
import javafx.scene.text.Font;
import javafx.scene.text.Text;

/** One sentence in the largest lettering that fits a few lines, to be read from arm's length. */
public final class BigSentence extends Region {
    private static final double LARGEST = 3.1;
    private static final double SMALLEST = 1.5;
    /** Down to this where a single word is wider than there is room. */
    private static final double LEAST = 1;

    private static final int LINES = 4;
    /** What lettering may lose in size for one line less. */
    private static final double THRIFT = 0.8;

    private static final double LEADING = 1.14;

    private final FxLettering lettering;
    private final int least;
    private String words = "";
    private double em = Theme.BASE;

    /** @param least lines of room kept, so that what is below stands still from sentence to sentence */
    public BigSentence(FxLettering lettering, int least) {
        this.lettering = lettering;
        this.least = least;
        getStyleClass().add("big-sentence");
        setAccessibleRole(AccessibleRole.TEXT);
        setMinWidth(0);
    }

    public void setWords(String words) {
        if (!this.words.equals(words)) {
            this.words = words;
            setAccessibleText(words);
            requestLayout();
        }
    }

    public String words() {
        return words;
    }

    public void setEm(double em) {
        this.em = em;
        requestLayout();
    }

    /** A little smaller where that saves a line. */
    private double fitting(double width) {
        double largest = largest(width);
        double smaller = Math.max(SMALLEST * em, largest * THRIFT);
        return lettering.wrap(words, smaller, width).size()
                        < lettering.wrap(words, largest, width).size()
                ? smaller
                : largest;
    }

    private double largest(double width) {
        for (double size = LARGEST * em; size > SMALLEST * em; size -= 1) {
            List<String> lines = lettering.wrap(words, size, width);
            int allowed = size > 2.5 * em ? 2 : size > 2 * em ? 3 : LINES;
            if (lines.size() <= allowed && lettering.widest(lines, size) <= width) {
                return size;
            }
        }
        double size = SMALLEST * em;
        while (size > LEAST * em && lettering.widest(lettering.wrap(words, size, width), size) > width) {
            size -= 1;
        }
        return size;
    }

    @Override
    protected double computePrefHeight(double width) {
        double w = width <= 0 ? getWidth() : width;
        if (w <= 0) {
            return 2 * LARGEST * em;
        }
        double size = fitting(w - 1);
        return Math.max(lettering.wrap(words, size, w - 1).size() * size * LEADING, least * LARGEST * em * LEADING);
    }

    @Override
    protected double computeMinHeight(double width) {
        return computePrefHeight(width);
    }

    @Override
    public javafx.geometry.Orientation getContentBias() {
        return javafx.geometry.Orientation.HORIZONTAL;
    }

    @Override
    protected void layoutChildren() {
        double size = fitting(getWidth() - 1);
        List<String> lines = lettering.wrap(words, size, getWidth() - 1);
        getChildren().clear();
        double y = size * LEADING / 2;
        for (String line : lines) {
            Text text = new Text(line);
            text.getStyleClass().add("big-words");
            text.setFont(Font.font(Theme.DRAWING_FONT, size));
            text.setTextOrigin(VPos.CENTER);
            text.setY(y);
            getChildren().add(text);
            y += size * LEADING;
        }
    }
}
