package ringout.check;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalInt;
import ringout.hid.InputLayout;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.signal.Bounce;
import ringout.signal.BoxTiming;
import ringout.signal.ToggleTiming;

/** Measures the switches of a plan that stay where they are put. Not thread-safe. */
public final class ToggleMeters implements BoxTiming.Listener {
    private final Map<String, ToggleTiming> meters = new LinkedHashMap<>();
    /** By switch of the box; null where it is no toggle's. */
    private final ToggleTiming[] meter;

    private final int[] contact;

    /** @param layout inputs the box declares; may lack planned ones */
    public ToggleMeters(Plan plan, InputLayout layout) {
        meter = new ToggleTiming[layout.switches().size()];
        contact = new int[meter.length];
        for (Control control : plan.controls()) {
            if (control instanceof Control.Toggle toggle) {
                ToggleTiming timing = new ToggleTiming(toggle.contacts().size());
                meters.put(toggle.id(), timing);
                for (int i = 0; i < toggle.contacts().size(); i++) {
                    Contact one = toggle.contacts().get(i);
                    OptionalInt index = one.input().map(layout::indexOf).orElse(OptionalInt.empty());
                    if (index.isPresent()) {
                        meter[index.getAsInt()] = timing;
                        contact[index.getAsInt()] = i;
                    }
                }
            }
        }
    }

    @Override
    public void pressed(int i, long nanos, Bounce bounce) {
        if (meter[i] != null) {
            meter[i].closed(contact[i], bounce);
        }
    }

    @Override
    public void released(int i, long nanos, Bounce bounce) {
        if (meter[i] != null) {
            meter[i].opened(contact[i], bounce);
        }
    }

    /** By id of the control, everything measured so far. */
    Map<String, ToggleTiming.Summary> summaries() {
        Map<String, ToggleTiming.Summary> summaries = new LinkedHashMap<>();
        meters.forEach((id, timing) -> summaries.put(id, timing.summary()));
        return summaries;
    }
}
