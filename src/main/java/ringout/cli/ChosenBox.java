package ringout.cli;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.FirstPress;
import ringout.words.Texts;

/** From what a person typed behind {@code --device} to one box; boxes that say the same of themselves are told apart by a press. */
final class ChosenBox {
    /** Instead of a name: the box on which something is pressed first. */
    static final String PRESS = "press";

    /** Long enough to get up and walk to the box. */
    private static final Duration PATIENCE = Duration.ofMinutes(1);

    private ChosenBox() {}

    /**
     * The one box that was meant.
     *
     * @param text as typed; blank for the only one there is
     * @param say  asks for a press
     * @throws DeviceException where none or several fit, or nothing was pressed
     */
    static DeviceInfo of(DeviceCatalog catalog, String text, Consumer<String> say) throws DeviceException {
        if (!text.equals(PRESS)) {
            try {
                return catalog.choose(text);
            } catch (DeviceException problem) {
                throw problem.reason() == DeviceException.Reason.AMBIGUOUS
                        ? new DeviceException(
                                problem.reason(), problem.getMessage() + "\n" + Texts.say("chosen.or-press"))
                        : problem;
            }
        }
        List<DeviceInfo> boxes = catalog.list();
        return boxes.size() < 2 ? catalog.choose("") : pressed(catalog, boxes, Texts.say("chosen.press"), say);
    }

    /**
     * Gives each of several plans its box, where they all fit all of them: by a press on each in turn.
     *
     * @param names of the plans
     * @return the boxes in that order
     */
    static List<DeviceInfo> each(
            DeviceCatalog catalog, List<DeviceInfo> boxes, List<String> names, Consumer<String> say)
            throws DeviceException {
        List<DeviceInfo> left = new ArrayList<>(boxes);
        List<DeviceInfo> chosen = new ArrayList<>();
        for (String name : names) {
            DeviceInfo box = left.size() == 1
                    ? left.get(0)
                    : pressed(catalog, left, Texts.say("chosen.press-plan", left.size(), name), say);
            left.remove(box);
            chosen.add(box);
        }
        return chosen;
    }

    private static DeviceInfo pressed(
            DeviceCatalog catalog, List<DeviceInfo> boxes, String question, Consumer<String> say)
            throws DeviceException {
        say.accept(question);
        Optional<DeviceInfo> pressed = FirstPress.among(catalog, boxes, PATIENCE, () -> true);
        DeviceInfo box = pressed.orElseThrow(() -> new DeviceException(
                DeviceException.Reason.AMBIGUOUS, Texts.say("chosen.nothing", PATIENCE.toSeconds())));
        say.accept(Texts.say("chosen.is", box.describe()));
        return box;
    }
}
