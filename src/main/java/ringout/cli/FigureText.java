package ringout.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import ringout.signal.Measured;

/** One measured figure as JSON. */
final class FigureText {
    private FigureText() {}

    /** A length of time with its resolution, in milliseconds whatever unit people are shown; all else in its own unit. */
    static ObjectNode put(ObjectNode node, Measured figure) {
        return switch (figure.unit()) {
            case MILLISECONDS -> node.put("ms", figure.value()).put("resolutionMs", figure.resolution());
            case SECONDS -> node.put("ms", 1000 * figure.value()).put("resolutionMs", 1000 * figure.resolution());
            default ->
                node.put("value", figure.value())
                        .put("unit", figure.unit().symbol())
                        .put("resolution", figure.resolution());
        };
    }
}
