package ringout.ui.practice;

import ringout.device.SimulatedConnection;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/** Works a simulated box as the pointer works its drawn panel. */
public final class Hands implements AutoCloseable {
    private static final long DETENT_NANOS = 60_000_000L;
    private static final long SWEEP_NANOS = 700_000_000L;

    private final SimulatedConnection box;
    private final Plan plan;

    Hands(SimulatedConnection box, Plan plan) {
        this.box = box;
        this.plan = plan;
    }

    public void press(Action action) {
        box.work((nanos, desk) -> {
            switch (action.gesture()) {
                case TURN -> desk.turn(nanos, action.id(), DETENT_NANOS);
                case SWEEP -> desk.slide(nanos, action.id(), 1, SWEEP_NANOS);
                case PRESS, LATCH -> {
                    Control control = plan.control(action.control()).orElseThrow();
                    if (control instanceof Control.Selector) {
                        // Its pointer leaves where it was.
                        control.contacts().forEach(contact -> desk.release(nanos, contact.id()));
                    }
                    action.contacts().forEach(contact -> desk.press(nanos, contact));
                }
            }
        });
    }

    public void release(Action action) {
        box.work((nanos, desk) -> {
            switch (action.gesture()) {
                case SWEEP -> desk.slide(nanos, action.id(), 0, SWEEP_NANOS);
                case PRESS, LATCH -> action.contacts().forEach(contact -> desk.release(nanos, contact));
                case TURN -> {}
            }
        });
    }

    @Override
    public void close() {
        box.close();
    }
}
