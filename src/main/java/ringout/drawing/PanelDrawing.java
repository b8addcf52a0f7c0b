package ringout.drawing;

import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * The panel from the front, ready to be inked.
 *
 * @param width    of the whole sheet in pixels, dimension lines included
 * @param height   likewise
 * @param scale    pixels per millimetre
 * @param toScale  false where the plan places no control, so that the arrangement is ours
 * @param outline  the panel's edge
 * @param sheet    edge and dimension lines
 * @param controls in plan order
 * @param numbered ids of those for whose names there is no room, and whose numbers in plan order, from 1, stand for them
 */
public record PanelDrawing(
        double width,
        double height,
        double scale,
        boolean toScale,
        Area outline,
        List<Ink> sheet,
        List<Figure> controls,
        Set<String> numbered) {
    public PanelDrawing {
        sheet = List.copyOf(sheet);
        controls = List.copyOf(controls);
        numbered = Set.copyOf(numbered);
    }

    /**
     * One control.
     *
     * @param id    of the control
     * @param body  what the control itself covers
     * @param pivot what a knob turns around
     * @param slide how far a slider's thumb travels from its least to its greatest value
     * @param parts in painting order
     * @param label its name or number; empty where there is no room at this scale
     * @param note  one line under the name, for what the control does now
     * @param badge where the mark of a finding is drawn
     */
    public record Figure(
            String id,
            Area body,
            Point pivot,
            Point slide,
            List<Part> parts,
            List<Ink.Text> label,
            Optional<Ink.Text> note,
            Area badge) {
        public Figure {
            parts = List.copyOf(parts);
            label = List.copyOf(label);
        }
    }

    /**
     * A stroke that may depend on what the control does.
     *
     * @param action the action that decides, or empty where nothing does
     */
    public record Part(Ink ink, String action, When when, Motion motion) {}

    /** When a part is shown. */
    public enum When {
        ALWAYS,
        ON,
        OFF,
        ASKED
    }

    /** How a part moves with the input. */
    public enum Motion {
        NONE,
        TURNS,
        SLIDES
    }
}
