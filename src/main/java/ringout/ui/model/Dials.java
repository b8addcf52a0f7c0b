package ringout.ui.model;

import java.util.HashMap;
import java.util.Map;
import java.util.OptionalInt;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.EdgeHistory;

/** Counts encoder pulses, so that the drawn knob turns with the real one. Fed with snapshots; not thread-safe. */
public final class Dials {
    private final Map<Integer, Step> steps = new HashMap<>();
    private final Map<String, Double> turns = new HashMap<>();
    private long seen;

    private record Step(String control, double degrees) {}

    public Dials(Plan plan, InputLayout layout) {
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder encoder) {
                double degrees = 360.0 / Math.max(1, encoder.detents());
                step(layout, encoder.cw(), encoder.id(), degrees);
                step(layout, encoder.ccw(), encoder.id(), -degrees);
                turns.put(encoder.id(), 0.0);
            }
        }
    }

    private void step(InputLayout layout, Input input, String control, double degrees) {
        OptionalInt index = layout.indexOf(input);
        if (index.isPresent() && !(input instanceof Input.Axis)) {
            steps.put(index.getAsInt(), new Step(control, degrees));
        }
    }

    /** Counts the edges that came since the last call. */
    public void follow(EdgeHistory.Snapshot edges) {
        int from = (int) Math.max(0, seen - edges.dropped());
        for (int i = from; i < edges.size(); i++) {
            Step step = edges.on(i) ? steps.get(edges.switchIndex(i)) : null;
            if (step != null) {
                turns.merge(step.control, step.degrees, Double::sum);
            }
        }
        seen = edges.dropped() + edges.size();
    }

    /** Degrees clockwise from where the knob began; 0 for what is no encoder. */
    public double turn(String control) {
        return turns.getOrDefault(control, 0.0);
    }
}
