package ringout.drawing;

import java.util.List;
import java.util.Optional;
import ringout.plan.Wiring;

/**
 * The wiring as a small table of crossings that reads like the loom: columns come down from their pins, rows from the
 * left, each slot is a place to solder a contact to.
 *
 * @param width  in pixels
 * @param height in pixels
 * @param em     size of ordinary lettering in pixels
 * @param sheet  wires and captions, in painting order
 * @param slots  places for contacts, and contacts that have none yet
 * @param heads  where each line begins
 */
public record CrossingDrawing(
        double width, double height, double em, List<Ink> sheet, List<Slot> slots, List<Head> heads) {
    public CrossingDrawing {
        sheet = List.copyOf(sheet);
        slots = List.copyOf(slots);
        heads = List.copyOf(heads);
    }

    /**
     * One place.
     *
     * @param wiring  what soldering a contact here means; unknown for a contact that is not wired yet
     * @param contact id of the contact there; empty where the place is free
     * @param area    for the pointer
     * @param ink     the contact with its name, or the mark of a free place
     */
    public record Slot(Wiring wiring, Optional<String> contact, Area area, List<Ink> ink) {
        public Slot {
            ink = List.copyOf(ink);
        }
    }

    /**
     * The beginning of a line.
     *
     * @param line its name
     * @param area for the pointer
     * @param ink  pin and names
     */
    public record Head(String line, Area area, List<Ink> ink) {
        public Head {
            ink = List.copyOf(ink);
        }
    }
}
