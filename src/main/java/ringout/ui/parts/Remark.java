package ringout.ui.parts;

import java.util.List;
import javafx.geometry.VPos;
import javafx.scene.AccessibleRole;
import javafx.scene.layout.Region;
import javafx.scene.text.Text;

/** One line that says as much as there is room for: the first of several wordings that fits, never half of one. */
public final class Remark extends Region {
    private final Text text = new Text();
    private List<String> wordings = List.of("");

    public Remark(String style) {
        getStyleClass().add("remark-box");
        text.getStyleClass().add(style);
        text.setTextOrigin(VPos.CENTER);
        getChildren().add(text);
        setAccessibleRole(AccessibleRole.TEXT);
        setMinWidth(0);
        setMaxWidth(Double.MAX_VALUE);
    }

    /** Wordings of the same, the longest first. */
    public void setWords(List<String> wordings) {
        if (!this.wordings.equals(wordings)) {
            this.wordings = List.copyOf(wordings);
            setAccessibleText(wordings.isEmpty() ? "" : wordings.get(0));
            requestLayout();
        }
    }

    public void setWords(String... wordings) {
        setWords(List.of(wordings));
    }

    /** What is shown. */
    String shown() {
        return text.getText();
    }

    /** The fullest wording, shown or not. */
    public String words() {
        return wordings.isEmpty() ? "" : wordings.get(0);
    }

    @Override
    protected double computePrefWidth(double height) {
        return 10;
    }

    @Override
    protected double computePrefHeight(double width) {
        return text.getLayoutBounds().getHeight();
    }

    @Override
    protected void layoutChildren() {
        double room = getWidth() - snappedLeftInset() - snappedRightInset();
        String chosen = "";
        for (String wording : wordings) {
            text.setText(wording);
            if (text.getLayoutBounds().getWidth() <= room) {
                chosen = wording;
                break;
            }
        }
        text.setText(chosen);
        text.setX(snappedLeftInset());
        text.setY(getHeight() / 2);
    }
}
