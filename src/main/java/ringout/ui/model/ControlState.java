package ringout.ui.model;

import java.util.Optional;
import java.util.Set;
import ringout.check.CheckView.Status;
import ringout.check.Finding;

/**
 * What the picture of one control shows.
 *
 * @param on      ids of its actions whose planned input is on
 * @param asked   ids of its actions that are asked for now
 * @param status  how it stands in the check
 * @param finding the first finding about it
 * @param suspect true where something in its wiring is suspected
 * @param word    the state in a word or two, written under its name; empty where nothing is to be said
 * @param turn    how far its knob stands from where it began, in degrees clockwise
 * @param slide   where its thumb stands, 0 to 1
 * @param spoken  name, kind, plan and state in one sentence, for screen readers and tool tips
 */
public record ControlState(
        Set<String> on,
        Set<String> asked,
        Status status,
        Optional<Finding> finding,
        boolean suspect,
        String word,
        double turn,
        double slide,
        String spoken) {
    public ControlState {
        on = Set.copyOf(on);
        asked = Set.copyOf(asked);
    }
}
