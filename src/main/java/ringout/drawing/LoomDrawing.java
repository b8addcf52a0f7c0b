package ringout.drawing;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.drawing.PanelDrawing.When;

/**
 * The wiring as a builder would sketch it: board pins at the left, rows and columns as wires in daisy-chain order,
 * contacts and diodes between them.
 *
 * @param width    in pixels
 * @param height   in pixels
 * @param em       size of ordinary lettering in pixels, which everything else is drawn by
 * @param pieces   in painting order
 * @param contacts by id
 * @param pins     where each line leaves the board, by line name; an axis by its id
 * @param runs     each line as its stretches of wire: from pin to the first joint, then from joint to joint in
 *                 daisy-chain order
 */
public record LoomDrawing(
        double width,
        double height,
        double em,
        List<Piece> pieces,
        Map<String, Spot> contacts,
        Map<String, Point> pins,
        Map<String, List<Ink.Line>> runs) {
    public LoomDrawing {
        pieces = List.copyOf(pieces);
        contacts = Map.copyOf(contacts);
        pins = Map.copyOf(pins);
        runs = Map.copyOf(runs);
    }

    /**
     * A stroke and what it belongs to.
     *
     * @param owner {@link #run} of a stretch of wire, {@link #branch} of a contact's own wires and symbols, or empty
     */
    public record Piece(Ink ink, String owner, When when) {}

    /**
     * Where a contact is drawn.
     *
     * @param area     all of it with its lettering
     * @param switched the switch symbol
     * @param diode    the diode symbol
     * @param column   end of the branch at the column, the direct line or the register
     * @param row      end of the branch at the row or at ground
     * @param words    what it is called
     */
    public record Spot(Area area, Area switched, Optional<Area> diode, Point column, Point row, String words) {}

    /** The owner of a stretch of wire: 0 from the pin to the first joint, then one for each further joint. */
    public static String run(String line, int stretch) {
        return line + "#" + stretch;
    }

    /** The owner of what lies between a contact's two joints. */
    public static String branch(String contact) {
        return "contact:" + contact;
    }
}
