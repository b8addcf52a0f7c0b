package ringout.ui.parts;

import java.util.List;
import javafx.scene.AccessibleRole;
import javafx.scene.Node;
import javafx.scene.layout.Region;
import javafx.scene.shape.Polygon;
import javafx.scene.shape.Rectangle;
import ringout.check.CheckView.Status;

/**
 * Progress as a ruler with one division per step: a good one is filled to half its height, one with a finding stands
 * full, a skipped one is hollow, and a pointer stands over the current one.
 */
final class Ruler extends Region {
    private static final double HEIGHT = 18;
    private static final double POINTER = 6;
    private List<Status> steps = List.of();

    Ruler() {
        getStyleClass().add("ruler");
        setAccessibleRole(AccessibleRole.PROGRESS_INDICATOR);
        setMinHeight(HEIGHT + POINTER + 2);
        setPrefHeight(HEIGHT + POINTER + 2);
        setMaxHeight(HEIGHT + POINTER + 2);
    }

    void show(List<Status> steps, String words) {
        setAccessibleText(words);
        if (!this.steps.equals(steps)) {
            this.steps = steps;
            requestLayout();
        }
    }

    @Override
    protected void layoutChildren() {
        getChildren().clear();
        double width = getWidth();
        double bottom = POINTER + 1 + HEIGHT;
        getChildren().add(box(0, bottom - 1, width, 1, "ruler-base"));
        int n = steps.size();
        if (n == 0) {
            return;
        }
        double pitch = width / n;
        double gap = pitch > 5 ? 1.5 : 0;
        for (int i = 0; i < n; i++) {
            double x = i * pitch + gap / 2;
            double w = Math.max(0.8, pitch - gap);
            switch (steps.get(i)) {
                case GOOD -> getChildren().add(box(x, bottom - HEIGHT / 2, w, HEIGHT / 2, "ruler-good"));
                case FAULTY -> getChildren().add(box(x, bottom - HEIGHT, w, HEIGHT, "ruler-fault"));
                case SKIPPED ->
                    getChildren()
                            .add(box(
                                    x + 0.5,
                                    bottom - HEIGHT / 2 + 0.5,
                                    Math.max(1, w - 1),
                                    HEIGHT / 2 - 1,
                                    "ruler-skipped"));
                case CURRENT -> {
                    getChildren().add(box(x, bottom - 3, w, 3, "ruler-current"));
                    double c = x + w / 2;
                    Polygon pointer =
                            new Polygon(c - 5, bottom - HEIGHT, c + 5, bottom - HEIGHT, c, bottom - HEIGHT + 9);
                    pointer.getStyleClass().add("ruler-pointer");
                    getChildren().add(pointer);
                }
                case WAITING ->
                    getChildren().add(box(x, bottom - 3, Math.max(0.8, Math.min(w, 1)), 3, "ruler-waiting"));
            }
        }
    }

    private static Node box(double x, double y, double w, double h, String style) {
        Rectangle box = new Rectangle(x, y, w, h);
        box.getStyleClass().add(style);
        return box;
    }
}
