package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * Whether the controls fit the panel and each other: holes, nuts, the panel's edge and the room behind it.
 *
 * <p>All lengths in millimetres. The two limits are common practice, no source.
 */
public final class Clearance {
    /** Panel to leave between two holes: common practice, no source. */
    public static final double LEAST_PANEL_MM = 2;

    /** Room behind a body for its wires to bend in: common practice, no source. */
    public static final double WIRING_ROOM_MM = 10;

    private Clearance() {}

    /** Something that does not fit. */
    public sealed interface Conflict {
        /** Id of the control to move or change; of two, the later in the plan. */
        String control();

        /** What does not fit, in words. */
        String text();
    }

    /** Hole or nut reach beyond the panel's edge by {@code by}. */
    public record BeyondEdge(String control, String label, double by) implements Conflict {
        @Override
        public String text() {
            return label + " reaches " + mm(by) + " beyond the panel's edge";
        }
    }

    /** The nuts of two controls overlap by {@code by}. */
    public record NutsOverlap(String control, String label, String other, String otherLabel, double by)
            implements Conflict {
        @Override
        public String text() {
            return "the nuts of " + otherLabel + " and " + label + " overlap by " + mm(by);
        }
    }

    /** Less than {@link #LEAST_PANEL_MM} is left between two holes; {@code left} is 0 where they meet. */
    public record HolesClose(String control, String label, String other, String otherLabel, double left)
            implements Conflict {
        @Override
        public String text() {
            return "only " + mm(left) + " of panel is left between the holes of " + otherLabel + " and " + label
                    + "; leave at least " + mm(LEAST_PANEL_MM);
        }
    }

    /** Body and {@link #WIRING_ROOM_MM} need more than the room behind the panel. */
    public record TooDeep(String control, String label, double body, double room) implements Conflict {
        @Override
        public String text() {
            return label + " reaches " + mm(body) + " behind the panel and its wires need " + mm(WIRING_ROOM_MM)
                    + " more, but the box has room for " + mm(room);
        }
    }

    /** Everything that does not fit, by control in plan order. */
    public static List<Conflict> of(Plan plan) {
        List<Conflict> found = new ArrayList<>();
        List<Control> before = new ArrayList<>();
        for (Control control : plan.controls()) {
            found.addAll(of(control, control.mount(), before, plan.panel()));
            before.add(control);
        }
        return List.copyOf(found);
    }

    /**
     * What would not fit if one control were somewhere else, as a drag tries it.
     *
     * @param control id of a control of the plan
     * @param place   where it would be
     */
    public static List<Conflict> at(Plan plan, String control, Mount.Place place) {
        Control moved = plan.control(control).orElseThrow();
        Mount mount = moved.mount();
        return of(
                moved,
                new Mount(Optional.of(place), mount.hole(), mount.nut(), mount.depth()),
                plan.controls().stream().filter(c -> c != moved).toList(),
                plan.panel());
    }

    private static List<Conflict> of(Control control, Mount mount, List<Control> others, Optional<Plan.Panel> panel) {
        List<Conflict> found = new ArrayList<>();
        panel.flatMap(Plan.Panel::depth)
                .ifPresent(room -> mount.depth().ifPresent(body -> {
                    if (body + WIRING_ROOM_MM > room) {
                        found.add(new TooDeep(control.id(), control.label(), body, room));
                    }
                }));
        if (mount.place().isEmpty()) {
            return found;
        }
        panel.ifPresent(p -> {
            double room = edge(mount, p);
            if (room < 0) {
                found.add(new BeyondEdge(control.id(), control.label(), -room));
            }
        });
        for (Control other : others) {
            if (other.mount().place().isEmpty()) {
                continue;
            }
            double nuts = gap(mount, mount.nut(), other.mount(), other.mount().nut());
            double holes = gap(mount, mount.hole(), other.mount(), other.mount().hole());
            if (nuts < 0) {
                found.add(new NutsOverlap(control.id(), control.label(), other.id(), other.label(), -nuts));
            } else if (holes < LEAST_PANEL_MM) {
                found.add(new HolesClose(control.id(), control.label(), other.id(), other.label(), Math.max(0, holes)));
            }
        }
        return found;
    }

    /** From the rim of nut or hole to the nearest edge; negative beyond it. The mount has a place. */
    private static double edge(Mount mount, Plan.Panel panel) {
        Mount.Place p = mount.place().orElseThrow();
        double radius = Math.max(mount.hole().orElse(0.0), mount.nut().orElse(0.0)) / 2;
        return Math.min(Math.min(p.x(), panel.width() - p.x()), Math.min(p.y(), panel.height() - p.y())) - radius;
    }

    private static double gap(Mount one, Optional<Double> oneDiameter, Mount other, Optional<Double> otherDiameter) {
        Mount.Place p = one.place().orElseThrow();
        Mount.Place q = other.place().orElseThrow();
        return Math.hypot(p.x() - q.x(), p.y() - q.y()) - (oneDiameter.orElse(0.0) + otherDiameter.orElse(0.0)) / 2;
    }

    private static String mm(double length) {
        return String.format(Locale.ROOT, "%.1f mm", length);
    }
}
