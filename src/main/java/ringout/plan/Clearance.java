package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.words.Phrase;

/**
 * Whether the controls fit the panel and each other: holes, nuts, bodies, the panel's edge and the room behind it, with
 * what else is in there; and whether that fits the box.
 *
 * <p>All lengths in millimetres. The limits are common practice, no source.
 */
public final class Clearance {
    /** Panel to leave between two holes: common practice, no source. */
    public static final double LEAST_PANEL_MM = 2;

    /** Room behind a body for its wires to bend in: common practice, no source. */
    public static final double WIRING_ROOM_MM = 10;

    /** {@link Misfit#where} of the board and its plug. */
    static final String BOARD = "board";

    /** {@link Misfit#where} of the place where the cable leaves the box. */
    static final String CABLE = "cable";

    private static final double ROUNDING = 1e-9;

    private Clearance() {}

    /** {@link Misfit#where} of a keep-out. */
    static String keepOut(String name) {
        return "keep-out " + name;
    }

    /** Something that does not fit. */
    public sealed interface Conflict {
        /** Id of the control to move or change; of two, the later in the plan. */
        String control();

        /** What does not fit, and what to do about it. */
        Phrase words();
    }

    /** Hole or nut reach beyond the panel's edge by {@code by}. */
    public record BeyondEdge(String control, String label, double by) implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.beyond-edge", label, mm(by));
        }
    }

    /** The nuts of two controls overlap by {@code by}. */
    public record NutsOverlap(String control, String label, String other, String otherLabel, double by)
            implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.nuts", otherLabel, label, mm(by));
        }
    }

    /** Less than {@link #LEAST_PANEL_MM} is left between two holes; {@code left} is 0 where they meet. */
    public record HolesClose(String control, String label, String other, String otherLabel, double left)
            implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.holes", mm(left), otherLabel, label, mm(LEAST_PANEL_MM));
        }
    }

    /**
     * Body and {@link #WIRING_ROOM_MM} need more than the room behind the panel.
     *
     * @param usual true where the plan does not say how deep the body is, so that it is what is usual for its kind
     */
    public record TooDeep(String control, String label, double body, boolean usual, double room) implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.too-deep", reaches(label, body, usual), mm(WIRING_ROOM_MM), mm(room));
        }
    }

    /** The bodies of two controls overlap by {@code by} behind the panel, though their nuts do not. */
    public record BodiesOverlap(String control, String label, String other, String otherLabel, double by)
            implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.bodies", otherLabel, label, mm(by));
        }
    }

    /** A body, nut or washer is {@code by} within something that stands on the panel or goes through the whole box. */
    public record InTheWay(String control, String label, Inside.Thing thing, double by) implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.in-the-way", label, mm(by), thing.words());
        }
    }

    /** Body and {@link #WIRING_ROOM_MM} need more than the {@code room} between the panel and something below the body. */
    public record OverThing(String control, String label, Inside.Thing thing, double body, boolean usual, double room)
            implements Conflict {
        @Override
        public Phrase words() {
            return Phrase.of(
                    "clearance.over-thing",
                    reaches(label, body, usual),
                    thing.words(),
                    mm(WIRING_ROOM_MM),
                    mm(Math.max(0, room)));
        }
    }

    private static Phrase reaches(String label, double body, boolean usual) {
        return usual
                ? Phrase.of("clearance.reaches.usual", label, mm(body))
                : Phrase.of("clearance.reaches", label, mm(body));
    }

    /** Something behind the panel, other than a control, that does not fit. */
    public sealed interface Misfit {
        /** What in the plan's "inside" it is about; empty for all of it. */
        String where();

        /** What does not fit, and what to do about it. */
        Phrase words();
    }

    /** Something reaches {@code by} beyond the panel's edge. */
    public record BeyondWall(String where, Inside.Thing thing, double by) implements Misfit {
        @Override
        public Phrase words() {
            return thing.kind() == Inside.Thing.Kind.PLUG
                    ? Phrase.of("clearance.plug-beyond-edge", thing.words(), mm(by), mm(Inside.PLUG_MM))
                    : Phrase.of("clearance.beyond-edge", thing.words(), mm(by));
        }
    }

    /** The board or its plug is {@code by} within a keep-out. */
    public record InKeepOut(String where, Inside.Thing thing, Inside.Thing keepOut, double by) implements Misfit {
        @Override
        public Phrase words() {
            return thing.kind() == Inside.Thing.Kind.PLUG
                    ? Phrase.of("clearance.plug-within", thing.words(), mm(by), keepOut.words(), mm(Inside.PLUG_MM))
                    : Phrase.of("clearance.within", thing.words(), mm(by), keepOut.words());
        }
    }

    /** Something is taller than the box is deep. */
    public record TooTall(String where, Inside.Thing thing, double tall, double room) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.too-tall", thing.words(), mm(tall), mm(room));
        }
    }

    /** The place where the cable leaves the box is {@code by} beyond the panel's edge. */
    public record ExitBeyondWall(String where, double by) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.beyond-edge", Phrase.of("clearance.exit"), mm(by));
        }
    }

    /** The cable leaves the box where something is. */
    public record ExitBlocked(String where, Inside.Thing thing) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.exit-blocked", thing.words());
        }
    }

    /** The cable leaves the box nearer to the connector than it can bend, and not straight ahead of it. */
    public record ExitTooNear(String where, double distance) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.exit-near", mm(distance), mm(Inside.PLUG_MM));
        }
    }

    /** Nothing can be said of how things fit in depth, because the plan does not say how deep the box is. */
    public record DepthUnknown(String where) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.no-depth");
        }
    }

    /** Nothing can be said of edges, because the plan does not give the panel. */
    public record PanelUnknown(String where) implements Misfit {
        @Override
        public Phrase words() {
            return Phrase.of("clearance.no-panel");
        }
    }

    /** Everything that does not fit, by control in plan order. */
    public static List<Conflict> of(Plan plan) {
        List<Conflict> found = new ArrayList<>();
        List<Control> before = new ArrayList<>();
        for (Control control : plan.controls()) {
            found.addAll(of(control, control.mount(), before, plan));
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
        return of(
                moved,
                moved.mount().at(place),
                plan.controls().stream().filter(c -> c != moved).toList(),
                plan);
    }

    private static List<Conflict> of(Control control, Mount mount, List<Control> others, Plan plan) {
        List<Conflict> found = new ArrayList<>();
        Optional<Plan.Panel> panel = plan.panel();
        Optional<Double> depth = panel.flatMap(Plan.Panel::depth);
        double body = Inside.bodyDepth(control);
        boolean usual = mount.depth().isEmpty();
        if (!usual || !plan.inside().isUnknown()) {
            depth.filter(room -> body + WIRING_ROOM_MM > room)
                    .ifPresent(room -> found.add(new TooDeep(control.id(), control.label(), body, usual, room)));
        }
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
            double bodies = gap(
                    mount,
                    Optional.of(Inside.bodyWidth(mount)),
                    other.mount(),
                    Optional.of(Inside.bodyWidth(other.mount())));
            if (nuts >= 0 && bodies < 0) {
                found.add(new BodiesOverlap(control.id(), control.label(), other.id(), other.label(), -bodies));
            }
        }
        found.addAll(behind(control, mount, plan));
        return found;
    }

    /** What a control would meet behind the panel, other than controls. */
    static List<Conflict> behind(Control control, Plan plan) {
        return behind(control, control.mount(), plan);
    }

    private static List<Conflict> behind(Control control, Mount mount, Plan plan) {
        List<Conflict> found = new ArrayList<>();
        Optional<Double> depth = plan.panel().flatMap(Plan.Panel::depth);
        double body = Inside.bodyDepth(control);
        boolean usual = mount.depth().isEmpty();
        Mount.Place at = mount.place().orElseThrow();
        for (Inside.Thing thing : plan.inside().things()) {
            double by = Inside.bodyWidth(mount) / 2 - thing.shape().gap(at.x(), at.y(), plan.panel());
            if (by <= ROUNDING) {
                continue;
            }
            if (thing.tall().isEmpty() || thing.on() == Inside.On.PANEL) {
                found.add(new InTheWay(control.id(), control.label(), thing, by));
            } else if (depth.isPresent()) {
                double room = depth.get() - thing.tall().get();
                if (body + WIRING_ROOM_MM > room + ROUNDING) {
                    found.add(new OverThing(control.id(), control.label(), thing, body, usual, room));
                }
            }
        }
        return found;
    }

    /** What of the things behind the panel does not fit the box or each other, in the order of the plan. */
    public static List<Misfit> ofInside(Plan plan) {
        Inside inside = plan.inside();
        List<Misfit> found = new ArrayList<>();
        if (inside.isUnknown()) {
            return found;
        }
        Optional<Double> depth = plan.panel().flatMap(Plan.Panel::depth);
        if (plan.panel().isEmpty()) {
            found.add(new PanelUnknown(""));
        }
        List<Inside.Thing> things = inside.things();
        if (plan.panel().isPresent()
                && depth.isEmpty()
                && things.stream().anyMatch(t -> t.tall().isPresent() && t.on() == Inside.On.FLOOR)) {
            found.add(new DepthUnknown(""));
        }
        for (Inside.Thing thing : things) {
            String where = where(thing);
            plan.panel()
                    .ifPresent(p -> thing.shape().blocks(plan.panel()).stream()
                            .mapToDouble(b -> Math.max(
                                    Math.max(-b.left(), b.right() - p.width()),
                                    Math.max(-b.top(), b.bottom() - p.height())))
                            .filter(by -> by > ROUNDING)
                            .max()
                            .ifPresent(by -> found.add(new BeyondWall(where, thing, by))));
            if (thing.kind() == Inside.Thing.Kind.PLUG) {
                continue;
            }
            thing.tall()
                    .ifPresent(tall -> depth.filter(room -> tall > room)
                            .ifPresent(room -> found.add(new TooTall(where, thing, tall, room))));
        }
        for (Inside.Thing one : things) {
            for (Inside.Thing other : things) {
                boolean keptOut = one.kind() != Inside.Thing.Kind.KEEP_OUT
                        && other.kind() == Inside.Thing.Kind.KEEP_OUT
                        && meetInDepth(one, other, depth);
                // Where the cable leaves straight ahead, its plug is in the wall, and so in the rim.
                boolean wall = one.kind() == Inside.Thing.Kind.PLUG
                        && other.shape() instanceof Inside.Shape.Rim
                        && inside.straightOut();
                if (keptOut && !wall) {
                    double by = within((Inside.Shape.Block) one.shape(), other.shape(), plan.panel());
                    if (by > ROUNDING) {
                        found.add(new InKeepOut(where(one), one, other, by));
                    }
                }
            }
        }
        inside.cable().ifPresent(exit -> exit(plan, exit, things, found));
        return List.copyOf(found);
    }

    private static void exit(Plan plan, Mount.Place exit, List<Inside.Thing> things, List<Misfit> found) {
        Inside inside = plan.inside();
        plan.panel().ifPresent(p -> {
            double by = Math.max(exit.x() - p.width(), exit.y() - p.height());
            if (by > ROUNDING) {
                found.add(new ExitBeyondWall(CABLE, by));
            }
        });
        for (Inside.Thing thing : things) {
            if (thing.kind() == Inside.Thing.Kind.KEEP_OUT
                    && !(thing.shape() instanceof Inside.Shape.Rim)
                    && thing.shape().gap(exit.x(), exit.y(), plan.panel()) < -ROUNDING) {
                found.add(new ExitBlocked(CABLE, thing));
            }
        }
        inside.board()
                .flatMap(Inside.Board::plug)
                .filter(plug -> !inside.straightOut())
                .ifPresent(plug -> {
                    double distance = Math.hypot(exit.x() - plug.x(), exit.y() - plug.y());
                    if (distance < Inside.PLUG_MM) {
                        found.add(new ExitTooNear(CABLE, distance));
                    }
                });
    }

    private static String where(Inside.Thing thing) {
        return thing.kind() == Inside.Thing.Kind.KEEP_OUT ? keepOut(thing.name()) : BOARD;
    }

    /** Whether two things reach into the same depth; what the plan does not say is taken not to. */
    private static boolean meetInDepth(Inside.Thing one, Inside.Thing other, Optional<Double> depth) {
        if (one.on() == other.on() || one.tall().isEmpty() || other.tall().isEmpty()) {
            return true;
        }
        return depth.filter(room -> one.tall().get() + other.tall().get() > room)
                .isPresent();
    }

    /** How far a rectangle is within a shape; 0 and less where they are clear. */
    private static double within(Inside.Shape.Block one, Inside.Shape other, Optional<Plan.Panel> panel) {
        if (other instanceof Inside.Shape.Disc disc) {
            return -one.gap(disc.centre().x(), disc.centre().y(), panel) + disc.diameter() / 2;
        }
        return other.blocks(panel).stream().mapToDouble(one::overlap).max().orElse(0);
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

    private static Phrase mm(double length) {
        return Phrase.of("length.mm", Phrase.decimal(length, 1));
    }
}
