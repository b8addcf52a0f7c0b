package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.hid.Direction;
import ringout.words.Phrase;

/**
 * What is behind the panel beside the controls. All lengths in millimetres; places are seen from the front, from the
 * panel's upper left corner, like those of the controls.
 *
 * @param board    the board; empty where the plan gives no outline
 * @param cable    where the cable leaves the box; empty where the plan is silent
 * @param slack    extra wire between panel and a board on the floor, so that the panel can be laid open; empty where the
 *                 plan is silent
 * @param keepOuts what no body may be in: bosses, lugs, the lid's rim
 */
public record Inside(
        Optional<Board> board, Optional<Mount.Place> cable, Optional<Double> slack, List<KeepOut> keepOuts) {
    /** A plan that says nothing. */
    public static final Inside UNKNOWN = new Inside(Optional.empty(), Optional.empty(), Optional.empty(), List.of());

    /** Wire to lay the panel open beside the box, where the plan is silent: common practice, no source. */
    public static final double SLACK_MM = 100;

    /** A plug and the first bend of its cable, straight out of the connector: common practice, no source. */
    public static final double PLUG_MM = 30;

    /** Across a plug: common practice, no source. */
    public static final double PLUG_WIDTH_MM = 14;

    public Inside {
        keepOuts = List.copyOf(keepOuts);
    }

    /** True where the plan says nothing of the inside. */
    public boolean isUnknown() {
        return equals(UNKNOWN);
    }

    /** Wire for laying the panel open: as planned, else {@link #SLACK_MM}. */
    public double lidSlack() {
        return slack.orElse(SLACK_MM);
    }

    /** What a thing stands on. */
    public enum On {
        /** What is opposite the panel; the thing reaches up from there. */
        FLOOR,
        /** The panel's back. */
        PANEL;

        /** As plans write it. */
        public String word() {
            return this == FLOOR ? "floor" : "panel";
        }
    }

    /**
     * The board.
     *
     * @param outline   of the board, its place is its middle
     * @param tall      how far it reaches from what it stands on, parts and plugs included; empty for through the whole box
     * @param connector the side its plug is on, seen from the front; empty where the plan is silent
     */
    public record Board(Shape.Block outline, Optional<Double> tall, On on, Optional<Direction> connector) {
        /** The middle of the side the plug is on. */
        public Optional<Mount.Place> plug() {
            Mount.Place middle = outline.centre();
            return connector.map(side -> new Mount.Place(
                    middle.x() + across(side) * outline.width() / 2, middle.y() + down(side) * outline.height() / 2));
        }
    }

    /** True where the cable leaves straight ahead of the connector, so that the plug may be in the wall or beyond it. */
    boolean straightOut() {
        return ahead().isPresent();
    }

    /** How far straight ahead of the connector the cable leaves the box; empty where it does not. */
    private Optional<Double> ahead() {
        return board.flatMap(Board::connector)
                .flatMap(side ->
                        cable.flatMap(exit -> board.flatMap(Board::plug).flatMap(plug -> {
                            double dx = exit.x() - plug.x();
                            double dy = exit.y() - plug.y();
                            double ahead = across(side) * dx + down(side) * dy;
                            double aside = Math.abs(across(side) == 0 ? dx : dy);
                            return ahead >= 0 && aside <= PLUG_WIDTH_MM / 2 ? Optional.of(ahead) : Optional.empty();
                        })));
    }

    /** The room a plug and the first bend of its cable take within the box, see {@link #PLUG_MM}. */
    public Optional<Shape.Block> plugRoom() {
        double reach = Math.min(PLUG_MM, ahead().orElse(PLUG_MM));
        return reach <= 0
                ? Optional.empty()
                : board.flatMap(b -> b.connector()
                        .flatMap(side -> b.plug()
                                .map(at -> new Shape.Block(
                                        new Mount.Place(
                                                at.x() + across(side) * reach / 2, at.y() + down(side) * reach / 2),
                                        across(side) == 0 ? PLUG_WIDTH_MM : reach,
                                        down(side) == 0 ? PLUG_WIDTH_MM : reach))));
    }

    /** 1 for to the right, -1 for to the left, seen from the front. */
    static int across(Direction side) {
        return side == Direction.RIGHT ? 1 : side == Direction.LEFT ? -1 : 0;
    }

    /** 1 for down, -1 for up. */
    static int down(Direction side) {
        return side == Direction.DOWN ? 1 : side == Direction.UP ? -1 : 0;
    }

    /**
     * What no body may be in.
     *
     * @param name unique in the plan, for people
     * @param tall how far it reaches from what it stands on; empty for through the whole box
     */
    public record KeepOut(String name, Shape shape, Optional<Double> tall, On on) {}

    /** An outline, seen from the front. */
    public sealed interface Shape {
        /**
         * From a point to the outline; negative within it.
         *
         * @param panel where the plan gives its size; a rim is nowhere without it
         */
        double gap(double x, double y, Optional<Plan.Panel> panel);

        /** The rectangles it lies within; a disc's is around it. */
        List<Block> blocks(Optional<Plan.Panel> panel);

        /** A post. */
        record Disc(Mount.Place centre, double diameter) implements Shape {
            @Override
            public double gap(double x, double y, Optional<Plan.Panel> panel) {
                return Math.hypot(x - centre.x(), y - centre.y()) - diameter / 2;
            }

            @Override
            public List<Block> blocks(Optional<Plan.Panel> panel) {
                return List.of(new Block(centre, diameter, diameter));
            }
        }

        /** A rectangle with its sides along the panel's. */
        record Block(Mount.Place centre, double width, double height) implements Shape {
            @Override
            public double gap(double x, double y, Optional<Plan.Panel> panel) {
                double outX = Math.abs(x - centre.x()) - width / 2;
                double outY = Math.abs(y - centre.y()) - height / 2;
                return outX > 0 && outY > 0 ? Math.hypot(outX, outY) : Math.max(outX, outY);
            }

            @Override
            public List<Block> blocks(Optional<Plan.Panel> panel) {
                return List.of(this);
            }

            public double left() {
                return centre.x() - width / 2;
            }

            public double right() {
                return centre.x() + width / 2;
            }

            public double top() {
                return centre.y() - height / 2;
            }

            public double bottom() {
                return centre.y() + height / 2;
            }

            /** How far two lie within each other, by the way that parts them soonest; 0 and less for clear. */
            double overlap(Block other) {
                return Math.min(
                        Math.min(right(), other.right()) - Math.max(left(), other.left()),
                        Math.min(bottom(), other.bottom()) - Math.max(top(), other.top()));
            }
        }

        /** A strip along the whole edge of the panel. */
        record Rim(double width) implements Shape {
            @Override
            public double gap(double x, double y, Optional<Plan.Panel> panel) {
                return panel.map(p -> Math.min(Math.min(x, p.width() - x), Math.min(y, p.height() - y)) - width)
                        .orElse(Double.POSITIVE_INFINITY);
            }

            @Override
            public List<Block> blocks(Optional<Plan.Panel> panel) {
                if (panel.isEmpty()) {
                    return List.of();
                }
                double across = panel.get().width();
                double down = panel.get().height();
                return List.of(
                        new Block(new Mount.Place(across / 2, width / 2), across, width),
                        new Block(new Mount.Place(across / 2, down - width / 2), across, width),
                        new Block(new Mount.Place(width / 2, down / 2), width, down),
                        new Block(new Mount.Place(across - width / 2, down / 2), width, down));
            }
        }
    }

    /**
     * A thing that takes room behind the panel, whatever it is.
     *
     * @param name of a keep-out, as the plan has it; empty for the others
     */
    public record Thing(Kind kind, String name, Shape shape, Optional<Double> tall, On on) {
        /** What it is. */
        public enum Kind {
            BOARD,
            PLUG,
            KEEP_OUT
        }

        /** What it is called. */
        Phrase words() {
            return switch (kind) {
                case BOARD -> Phrase.of("inside.board");
                case PLUG -> Phrase.of("inside.plug");
                case KEEP_OUT -> Phrase.verbatim(name);
            };
        }
    }

    /** Everything that takes room behind the panel but the controls: board, its plug, keep-outs in plan order. */
    List<Thing> things() {
        List<Thing> things = new ArrayList<>();
        board.ifPresent(b -> {
            things.add(new Thing(Thing.Kind.BOARD, "", b.outline(), b.tall(), b.on()));
            plugRoom().ifPresent(room -> things.add(new Thing(Thing.Kind.PLUG, "", room, b.tall(), b.on())));
        });
        keepOuts.forEach(k -> things.add(new Thing(Thing.Kind.KEEP_OUT, k.name(), k.shape(), k.tall(), k.on())));
        return things;
    }

    /**
     * How far a control's body reaches behind the panel, terminals included: as planned, else what is usual for its kind,
     * which is common practice, no source.
     */
    public static double bodyDepth(Control control) {
        return control.mount()
                .depth()
                .orElseGet(() -> NewBox.Part.of(control).mount().depth().orElseThrow());
    }

    /** Across a body behind the panel: as planned, else nut or hole; 0 where the plan gives none of them. */
    public static double bodyWidth(Mount mount) {
        return mount.body()
                .orElse(Math.max(mount.nut().orElse(0.0), mount.hole().orElse(0.0)));
    }
}
