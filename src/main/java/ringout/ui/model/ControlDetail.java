package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Texts;

/** What is known of one control, for whoever points at it: wiring, input, and what it did so far. */
public final class ControlDetail {
    private ControlDetail() {}

    /**
     * Lines of text, the name first.
     *
     * @param store the tape; null where there is none
     */
    public static List<String> of(Plan plan, Control control, @Nullable TapeStore store) {
        List<String> lines = new ArrayList<>();
        lines.add(control.label() + ", " + control.kind());
        for (Contact contact : control.contacts()) {
            String part = contact.id().contains(".")
                    ? contact.id().substring(contact.id().indexOf('.') + 1) + ": "
                    : "";
            lines.add(part + LoomModel.place(plan, contact));
        }
        if (control instanceof Control.Axis axis) {
            lines.add(axis.pin().orElse(Texts.say("panel.no-pin")));
        }
        for (Action action : control.actions()) {
            action.input().ifPresent(input -> lines.add(history(control, action, input, store)));
        }
        return lines;
    }

    private static String history(Control control, Action action, Input input, @Nullable TapeStore store) {
        String part = control.actions().size() == 1
                ? ""
                : action.id().substring(action.id().indexOf('.') + 1) + ": ";
        @Nullable Strip strip = store == null ? null : store.strip(input);
        if (strip == null) {
            return part + input.words().text();
        }
        int presses = 0;
        long last = 0;
        for (int i = 0; i < strip.size(); i++) {
            // Bounce is not another press.
            if (strip.levelAfter(i) && (i == 0 || strip.nanos(i) - strip.nanos(i - 1) >= TapeMarks.HUMAN_GAP)) {
                presses++;
                last = strip.nanos(i);
            }
        }
        return part
                + (presses == 0
                        ? Texts.say("panel.unpressed", input.words())
                        : Texts.say("panel.pressed", input.words(), presses, TapeWindow.clock(last, 100_000_000L)));
    }
}
