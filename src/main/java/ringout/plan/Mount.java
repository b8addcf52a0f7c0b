package ringout.plan;

import java.util.Optional;

/**
 * How a control sits in the panel; all lengths in millimetres, each empty where the plan is silent.
 *
 * @param place centre, from the panel's upper left corner, seen from the front
 * @param hole  diameter of the hole
 * @param nut   largest diameter of nut or washer, seen from the front or the back
 * @param body  largest diameter of the body behind the panel
 * @param depth of the body behind the panel
 */
public record Mount(
        Optional<Place> place,
        Optional<Double> hole,
        Optional<Double> nut,
        Optional<Double> body,
        Optional<Double> depth) {
    /** A plan that says nothing. */
    public static final Mount UNKNOWN =
            new Mount(Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty());

    /** A body no wider than its nut or hole. */
    public Mount(Optional<Place> place, Optional<Double> hole, Optional<Double> nut, Optional<Double> depth) {
        this(place, hole, nut, Optional.empty(), depth);
    }

    /** The same somewhere else. */
    public Mount at(Place there) {
        return new Mount(Optional.of(there), hole, nut, body, depth);
    }

    /** A point in millimetres, x to the right and y down. */
    public record Place(double x, double y) {}
}
