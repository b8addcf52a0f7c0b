package ringout.plan;

import java.util.Comparator;
import java.util.Optional;
import java.util.function.ToDoubleFunction;

/** Where a dragged control comes to rest: in line with another control where one is near, else on the grid. */
public final class Snap {
    private Snap() {}

    /**
     * A place to rest.
     *
     * @param column id of the control it is straight above or below of, for a guide line
     * @param row    id of the control it is straight left or right of
     */
    public record Rest(Mount.Place place, Optional<String> column, Optional<String> row) {}

    /**
     * The place to rest for a place under the pointer; never outside a panel whose size is known.
     *
     * @param control id of the dragged control, which is in line with itself everywhere and so does not count
     * @param grid    pitch of the grid in millimetres, above 0
     * @param reach   how far in millimetres another control's line attracts
     */
    public static Rest rest(Plan plan, String control, Mount.Place place, double grid, double reach) {
        Optional<Control> column = near(plan, control, place.x(), Mount.Place::x, reach);
        Optional<Control> row = near(plan, control, place.y(), Mount.Place::y, reach);
        double x = column.map(c -> c.mount().place().orElseThrow().x()).orElse(Math.round(place.x() / grid) * grid);
        double y = row.map(c -> c.mount().place().orElseThrow().y()).orElse(Math.round(place.y() / grid) * grid);
        Mount.Place rest = new Mount.Place(
                within(x, plan.panel().map(Plan.Panel::width)),
                within(y, plan.panel().map(Plan.Panel::height)));
        return new Rest(rest, column.map(Control::id), row.map(Control::id));
    }

    private static double within(double value, Optional<Double> most) {
        return Math.max(0, most.map(m -> Math.min(m, value)).orElse(value));
    }

    private static Optional<Control> near(
            Plan plan, String control, double value, ToDoubleFunction<Mount.Place> coordinate, double reach) {
        ToDoubleFunction<Control> away =
                c -> Math.abs(coordinate.applyAsDouble(c.mount().place().orElseThrow()) - value);
        return plan.controls().stream()
                .filter(c -> !c.id().equals(control) && c.mount().place().isPresent() && away.applyAsDouble(c) <= reach)
                .min(Comparator.comparingDouble(away));
    }
}
