package ringout.ui.model;

import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import ringout.hid.Direction;
import ringout.plan.Inside;
import ringout.plan.Inside.Shape;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.words.Texts;

/** What the plan editor can do to what is behind the panel: the board, the way out of the cable, and what keeps bodies out. */
public final class InsideModel {
    /** A board whose outline is only begun: common practice, no source. */
    private static final double BOARD_WIDTH_MM = 18;

    private static final double BOARD_HEIGHT_MM = 34;
    private static final double BOARD_TALL_MM = 15;

    /** A screw boss in a corner: common practice, no source. */
    private static final double BOSS_MM = 8;

    private static final double BOSS_FROM_EDGE_MM = 8;
    private static final double RIM_MM = 3;

    private InsideModel() {}

    /** What is behind the panel and has a place of its own. */
    public sealed interface Thing {
        /** The board. */
        record Board() implements Thing {}

        /** Where the cable leaves the box. */
        record Cable() implements Thing {}

        /** A keep-out. */
        record KeepOut(String name) implements Thing {}
    }

    /** The shapes that a keep-out can have. */
    public enum Form {
        POST,
        RECTANGLE,
        RIM;

        /** The one a shape is. */
        public static Form of(Shape shape) {
            return shape instanceof Shape.Disc ? POST : shape instanceof Shape.Block ? RECTANGLE : RIM;
        }
    }

    /** Lengths that can be written, in millimetres. */
    public enum Size {
        X,
        Y,
        /** Of a post, its diameter; of a rim, its own. */
        WIDTH,
        HEIGHT,
        TALL
    }

    private static Inside inside(EditorModel model) {
        return model.plan().inside();
    }

    /** The keep-out of that name. */
    public static Optional<Inside.KeepOut> keepOut(EditorModel model, String name) {
        return inside(model).keepOuts().stream()
                .filter(k -> k.name().equals(name))
                .findFirst();
    }

    /** Where a thing is; empty for a rim, and for what the plan has none of. */
    public static Optional<Mount.Place> place(EditorModel model, Thing thing) {
        if (thing instanceof Thing.KeepOut k) {
            return keepOut(model, k.name())
                    .flatMap(found -> found.shape() instanceof Shape.Disc disc
                            ? Optional.of(disc.centre())
                            : found.shape() instanceof Shape.Block block
                                    ? Optional.of(block.centre())
                                    : Optional.empty());
        }
        return thing instanceof Thing.Cable
                ? inside(model).cable()
                : inside(model).board().map(b -> b.outline().centre());
    }

    /** A length as the plan has it; empty where it has none. */
    public static Optional<Double> size(EditorModel model, Thing thing, Size size) {
        if (size == Size.X || size == Size.Y) {
            return place(model, thing).map(size == Size.X ? Mount.Place::x : Mount.Place::y);
        }
        Optional<Shape> shape = thing instanceof Thing.KeepOut k
                ? keepOut(model, k.name()).map(Inside.KeepOut::shape)
                : inside(model).board().map(Inside.Board::outline);
        return switch (size) {
            case WIDTH -> shape.map(InsideModel::width);
            case HEIGHT -> shape.map(s -> s instanceof Shape.Block block ? block.height() : width(s));
            default ->
                thing instanceof Thing.KeepOut k
                        ? keepOut(model, k.name()).flatMap(Inside.KeepOut::tall)
                        : inside(model).board().flatMap(Inside.Board::tall);
        };
    }

    private static double width(Shape shape) {
        if (shape instanceof Shape.Disc disc) {
            return disc.diameter();
        }
        return shape instanceof Shape.Block block ? block.width() : ((Shape.Rim) shape).width();
    }

    /**
     * Sets a length as written. Nothing for a height of parts is through the whole box; nothing for a place of the cable or
     * a size of the board takes it out. The first length of a board or a cable puts it there.
     */
    public static EditorModel size(EditorModel model, Thing thing, Size size, String written) {
        boolean nothing = written.isBlank();
        Optional<Double> now = size(model, thing, size);
        Optional<Double> mm = EditorModel.millimetres(written).filter(v -> v > 0 || size == Size.X || size == Size.Y);
        if (nothing && now.isEmpty() || !nothing && mm.equals(now) && mm.isPresent()) {
            return model;
        }
        boolean mayBeNothing = size == Size.TALL || !(thing instanceof Thing.KeepOut);
        if (mm.isEmpty() && !(nothing && mayBeNothing)) {
            return model.refuse(Texts.say("editor.refusal.length", written.strip()));
        }
        if (size == Size.X || size == Size.Y) {
            if (mm.isEmpty()) {
                return thing instanceof Thing.Cable
                        ? model.edit(d -> d.setCable(Optional.empty()))
                        : model.edit(d -> d.setBoard(Optional.empty()));
            }
            Mount.Place from = place(model, thing).orElseGet(() -> foot(model));
            return move(
                    model,
                    thing,
                    size == Size.X ? new Mount.Place(mm.get(), from.y()) : new Mount.Place(from.x(), mm.get()));
        }
        if (thing instanceof Thing.KeepOut k) {
            return keepOut(model, k.name(), old -> resized(old, size, mm));
        }
        if (mm.isEmpty() && size != Size.TALL) {
            return model.edit(d -> d.setBoard(Optional.empty()));
        }
        Inside.Board board = boardOrBegun(model);
        Shape.Block b = board.outline();
        return model.edit(d -> d.setBoard(Optional.of(new Inside.Board(
                switch (size) {
                    case WIDTH -> new Shape.Block(b.centre(), mm.orElseThrow(), b.height());
                    case HEIGHT -> new Shape.Block(b.centre(), b.width(), mm.orElseThrow());
                    default -> b;
                },
                size == Size.TALL ? mm : board.tall(),
                board.on(),
                board.connector()))));
    }

    private static Inside.KeepOut resized(Inside.KeepOut old, Size size, Optional<Double> mm) {
        if (size == Size.TALL) {
            return new Inside.KeepOut(old.name(), old.shape(), mm, old.on());
        }
        double length = mm.orElseThrow();
        Shape shape = old.shape();
        if (shape instanceof Shape.Block block) {
            shape = size == Size.WIDTH
                    ? new Shape.Block(block.centre(), length, block.height())
                    : new Shape.Block(block.centre(), block.width(), length);
        } else {
            shape = shape instanceof Shape.Disc disc ? new Shape.Disc(disc.centre(), length) : new Shape.Rim(length);
        }
        return new Inside.KeepOut(old.name(), shape, old.tall(), old.on());
    }

    private static Inside.Board boardOrBegun(EditorModel model) {
        return inside(model)
                .board()
                .orElseGet(() -> new Inside.Board(
                        new Shape.Block(
                                model.plan().board().orElseGet(() -> foot(model)), BOARD_WIDTH_MM, BOARD_HEIGHT_MM),
                        Optional.of(BOARD_TALL_MM),
                        Inside.On.FLOOR,
                        Optional.empty()));
    }

    /** Where a board or a cable begins that has no place yet: inside the middle of the panel's lower edge. */
    private static Mount.Place foot(EditorModel model) {
        return model.plan()
                .panel()
                .map(p -> new Mount.Place(p.width() / 2, Math.max(0, p.height() - BOARD_HEIGHT_MM / 2)))
                .orElse(new Mount.Place(0, 0));
    }

    /** Puts a thing somewhere else; the wires end where the board goes. */
    public static EditorModel move(EditorModel model, Thing thing, Mount.Place place) {
        Mount.Place to = new Mount.Place(EditorModel.round(place.x()), EditorModel.round(place.y()));
        if (place(model, thing).equals(Optional.of(to))) {
            return model;
        }
        if (thing instanceof Thing.Cable) {
            return model.edit(d -> d.setCable(Optional.of(to)));
        }
        if (thing instanceof Thing.KeepOut k) {
            return keepOut(
                    model,
                    k.name(),
                    old -> new Inside.KeepOut(old.name(), moved(old.shape(), to), old.tall(), old.on()));
        }
        Inside.Board board = boardOrBegun(model);
        Mount.Place from = board.outline().centre();
        Inside.Board next = new Inside.Board(
                new Shape.Block(to, board.outline().width(), board.outline().height()),
                board.tall(),
                board.on(),
                board.connector());
        Optional<Plan.Panel> panel = model.plan()
                .panel()
                .flatMap(p -> p.board()
                        .map(end -> new Plan.Panel(
                                p.width(),
                                p.height(),
                                p.depth(),
                                Optional.of(new Mount.Place(
                                        EditorModel.round(Math.max(0, end.x() + to.x() - from.x())),
                                        EditorModel.round(Math.max(0, end.y() + to.y() - from.y())))))));
        return model.edit(d -> {
            PlanDocument moved = d.setBoard(Optional.of(next));
            return panel.map(moved::setPanel).orElse(moved);
        });
    }

    private static Shape moved(Shape shape, Mount.Place to) {
        if (shape instanceof Shape.Disc disc) {
            return new Shape.Disc(to, disc.diameter());
        }
        return shape instanceof Shape.Block block ? new Shape.Block(to, block.width(), block.height()) : shape;
    }

    /** Moves a thing by millimetres, within the panel. */
    public static EditorModel nudge(EditorModel model, Thing thing, double dx, double dy) {
        return place(model, thing)
                .map(p -> move(
                        model,
                        thing,
                        new Mount.Place(
                                within(p.x() + dx, model.plan().panel().map(Plan.Panel::width)),
                                within(p.y() + dy, model.plan().panel().map(Plan.Panel::height)))))
                .orElse(model);
    }

    private static double within(double at, Optional<Double> most) {
        return Math.max(0, Math.min(at, most.orElse(10_000.0)));
    }

    /** The side the board's plug is on; empty where the plan is silent. */
    public static Optional<Direction> connector(EditorModel model) {
        return inside(model).board().flatMap(Inside.Board::connector);
    }

    /** Says on which side the board's plug is; empty for not said. */
    public static EditorModel connector(EditorModel model, Optional<Direction> side) {
        if (connector(model).equals(side)) {
            return model;
        }
        Inside.Board board = boardOrBegun(model);
        return model.edit(
                d -> d.setBoard(Optional.of(new Inside.Board(board.outline(), board.tall(), board.on(), side))));
    }

    /** The extra wire for laying the panel open, as written; nothing for what is usual. */
    public static EditorModel slack(EditorModel model, String written) {
        Optional<Double> mm = EditorModel.millimetres(written).filter(v -> v > 0);
        if (mm.equals(inside(model).slack()) && (mm.isPresent() || written.isBlank())) {
            return model;
        }
        return mm.isEmpty() && !written.isBlank()
                ? model.refuse(Texts.say("editor.refusal.length", written.strip()))
                : model.edit(d -> d.setSlack(mm));
    }

    /** One more keep-out: a screw boss in the first corner that has none, or in the middle. */
    public static EditorModel addKeepOut(EditorModel model) {
        Set<String> taken =
                inside(model).keepOuts().stream().map(Inside.KeepOut::name).collect(Collectors.toSet());
        int number = 1;
        while (taken.contains(Texts.say("editor.keep-out.name", number))) {
            number++;
        }
        String name = Texts.say("editor.keep-out.name", number);
        double across = model.plan().panel().map(Plan.Panel::width).orElse(0.0);
        double down = model.plan().panel().map(Plan.Panel::height).orElse(0.0);
        double in = BOSS_FROM_EDGE_MM;
        Mount.Place at = java.util.stream.Stream.of(
                        new Mount.Place(in, in),
                        new Mount.Place(across - in, in),
                        new Mount.Place(across - in, down - in),
                        new Mount.Place(in, down - in))
                .filter(p -> p.x() > 0 && p.y() > 0)
                .filter(p -> inside(model).keepOuts().stream()
                        .noneMatch(k -> !(k.shape() instanceof Shape.Rim)
                                && k.shape().gap(p.x(), p.y(), model.plan().panel()) < 0))
                .findFirst()
                .orElse(new Mount.Place(EditorModel.round(across / 2), EditorModel.round(down / 2)));
        return model.edit(d ->
                d.addKeepOut(new Inside.KeepOut(name, new Shape.Disc(at, BOSS_MM), Optional.empty(), Inside.On.FLOOR)));
    }

    /** Takes a thing out of the plan. */
    public static EditorModel remove(EditorModel model, Thing thing) {
        return thing instanceof Thing.KeepOut k
                ? removeKeepOut(model, k.name())
                : thing instanceof Thing.Cable
                        ? model.edit(d -> d.setCable(Optional.empty()))
                        : model.edit(d -> d.setBoard(Optional.empty()));
    }

    public static EditorModel removeKeepOut(EditorModel model, String name) {
        return model.edit(d -> d.removeKeepOut(name));
    }

    /** Calls a keep-out otherwise. */
    public static EditorModel rename(EditorModel model, String name, String written) {
        String next = written.strip();
        return next.isEmpty()
                ? model.refuse(Texts.say("editor.refusal.keep-out"))
                : keepOut(model, name, old -> new Inside.KeepOut(next, old.shape(), old.tall(), old.on()));
    }

    /** Makes a keep-out stand on something else. */
    public static EditorModel stand(EditorModel model, String name, Inside.On on) {
        return keepOut(model, name, old -> new Inside.KeepOut(name, old.shape(), old.tall(), on));
    }

    /** Gives a keep-out another shape, where it is and as large as before. */
    public static EditorModel form(EditorModel model, String name, Form form) {
        return keepOut(model, name, old -> {
            if (Form.of(old.shape()) == form) {
                return old;
            }
            Mount.Place at = place(model, new Thing.KeepOut(name))
                    .orElseGet(() -> model.plan()
                            .panel()
                            .map(p -> new Mount.Place(p.width() / 2, p.height() / 2))
                            .orElse(new Mount.Place(0, 0)));
            double width = old.shape() instanceof Shape.Rim ? BOSS_MM : width(old.shape());
            Shape shape = switch (form) {
                case POST -> new Shape.Disc(at, width);
                case RECTANGLE -> new Shape.Block(at, width, width);
                case RIM -> new Shape.Rim(RIM_MM);
            };
            return new Inside.KeepOut(name, shape, old.tall(), old.on());
        });
    }

    private static EditorModel keepOut(
            EditorModel model, String name, Function<Inside.KeepOut, Inside.KeepOut> change) {
        Inside.KeepOut old = keepOut(model, name).orElseThrow();
        Inside.KeepOut next = change.apply(old);
        return next.equals(old) ? model : model.edit(d -> d.setKeepOut(name, next));
    }
}
