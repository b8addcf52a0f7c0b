package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import ringout.drawing.Palette;
import ringout.drawing.Point;
import ringout.plan.Bundle;
import ringout.plan.Clearance;
import ringout.plan.Control;
import ringout.plan.Inside;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.report.Drawing.Anchor;
import ringout.report.Drawing.Board;
import ringout.report.Drawing.Pen;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The inside of the box on the wiring sheet: what does not fit, how deep everything reaches, and how the wires are
 * bundled, tied and held. None of it for a plan that says nothing of the inside.
 */
final class InsideSheet {
    private static final double MOST_WIDTH = 186;
    private static final double MOST_HEIGHT = 110;
    private static final double MOST_DEPTH = 60;
    private static final double ROOM = 7;
    private static final Pen EDGE = new Pen(Palette.INK, 0.4);
    private static final Pen THING = new Pen(Palette.SOFT, 0.25, List.of(2.0, 0.8, 0.4, 0.8));
    private static final Pen BODY = new Pen(Palette.LINE, 0.2, List.of(0.6, 0.9));
    private static final Pen BOARD = new Pen(Palette.SOFT, 0.4);
    private static final String BUNDLE = Palette.ASKED;
    private static final double THIN = 0.5;
    private static final double PER_WIRE = 0.12;
    private static final double MOST_THICK = 3;
    private static final double TIE = 2;

    private final Plan plan;
    private final Plan.Panel panel;
    private final double scale;
    private final Board board = new Board();

    private InsideSheet(Plan plan, Plan.Panel panel) {
        this.plan = plan;
        this.panel = panel;
        scale = Math.min(
                1, Math.min((MOST_WIDTH - 2 * ROOM) / panel.width(), (MOST_HEIGHT - 2 * ROOM) / panel.height()));
    }

    /** The part of the sheet, under a heading of its own; none where the plan says nothing of the inside. */
    static List<Document.Block> of(Plan plan) {
        if (plan.inside().isUnknown()) {
            return List.of();
        }
        List<Document.Block> blocks = new ArrayList<>();
        blocks.add(new Document.Heading(Texts.say("sheet.inside")));
        List<String> misfits = Phrase.texts(Stream.concat(
                        Clearance.of(plan).stream().map(Clearance.Conflict::words),
                        Clearance.ofInside(plan).stream().map(Clearance.Misfit::words))
                .toList());
        blocks.add(
                misfits.isEmpty()
                        ? new Document.Text(Texts.say("sheet.inside.fits"))
                        : new Document.Caution(Texts.say("sheet.inside.misfits"), misfits));
        Optional<Plan.Panel> panel = plan.panel();
        panel.flatMap(Plan.Panel::depth)
                .ifPresent(depth -> blocks.add(new InsideSheet(plan, panel.get()).section(depth)));
        Bundle.of(plan).ifPresent(bundle -> {
            List<Bundle.Wire> wires = CutList.wires(plan);
            blocks.add(new InsideSheet(plan, panel.orElseThrow()).bundle(bundle, wires));
            blocks.add(new Document.Items(Texts.say("sheet.bundle.how"), rules(bundle, wires)));
        });
        return blocks;
    }

    private List<Control> placed() {
        return plan.controls().stream()
                .filter(c -> c.mount().place().isPresent())
                .toList();
    }

    // From above the box, with the panel at the top

    /** Every body, board and keep-out as wide as it is across the panel and as deep as it reaches. */
    private Document.Figure section(double depth) {
        double deep = Math.min(scale, MOST_DEPTH / depth);
        double width = panel.width() * scale;
        double height = depth * deep;
        board.line(EDGE, new Point(ROOM, ROOM), new Point(ROOM + width, ROOM));
        board.box(Optional.of(new Pen(Palette.INK, 0.2)), Optional.of(Palette.SHEET), ROOM, ROOM, width, height);
        for (Control control : placed()) {
            Mount.Place p = control.mount().place().orElseThrow();
            double across = Math.max(2, Inside.bodyWidth(control.mount()));
            board.box(
                    Optional.of(new Pen(Palette.LINE, 0.2)),
                    Optional.empty(),
                    mirrored(p.x() + across / 2),
                    ROOM,
                    across * scale,
                    Inside.bodyDepth(control) * deep);
            board.box(
                    Optional.of(BODY),
                    Optional.empty(),
                    mirrored(p.x() + across / 2),
                    ROOM + Inside.bodyDepth(control) * deep,
                    across * scale,
                    Clearance.WIRING_ROOM_MM * deep);
        }
        plan.inside().board().ifPresent(b -> standing(b.outline(), b.tall(), b.on(), depth, deep, BOARD));
        for (Inside.KeepOut keepOut : plan.inside().keepOuts()) {
            if (!(keepOut.shape() instanceof Inside.Shape.Rim)) {
                keepOut.shape()
                        .blocks(plan.panel())
                        .forEach(b -> standing(b, keepOut.tall(), keepOut.on(), depth, deep, THING));
            }
        }
        board.words(
                new Point(ROOM + width / 2, ROOM - 2),
                2.4,
                Anchor.MIDDLE,
                false,
                Palette.SOFT,
                Texts.say("sheet.section.panel"));
        board.words(
                new Point(ROOM + width / 2, ROOM + height + 4),
                2.4,
                Anchor.MIDDLE,
                false,
                Palette.SOFT,
                Texts.say("sheet.section.floor", DrillTemplate.millimetres(depth)));
        return new Document.Figure(
                board.drawing(
                        width + 2 * ROOM,
                        height + 2 * ROOM,
                        Texts.say("sheet.section.title", plan.box().name())),
                Texts.say("sheet.section.caption", (int) Clearance.WIRING_ROOM_MM));
    }

    /** Seen from the solder side, as the figure of the bundle: what is left on the front is right. */
    private double mirrored(double x) {
        return ROOM + (panel.width() - x) * scale;
    }

    private void standing(
            Inside.Shape.Block block, Optional<Double> tall, Inside.On on, double depth, double deep, Pen pen) {
        double height = Math.min(depth, tall.orElse(depth)) * deep;
        board.box(
                Optional.of(pen),
                Optional.empty(),
                mirrored(block.right()),
                ROOM + (on == Inside.On.PANEL ? 0 : depth * deep - height),
                block.width() * scale,
                height);
    }

    // From the solder side

    private Point at(Mount.Place place) {
        return new Point(mirrored(place.x()), ROOM + place.y() * scale);
    }

    private void block(Inside.Shape.Block block, Pen pen) {
        Point corner = at(new Mount.Place(block.right(), block.top()));
        board.box(
                Optional.of(pen),
                Optional.empty(),
                corner.x(),
                corner.y(),
                block.width() * scale,
                block.height() * scale);
    }

    private Document.Figure bundle(Bundle bundle, List<Bundle.Wire> wires) {
        board.box(
                Optional.of(EDGE),
                Optional.of(Palette.SHEET),
                ROOM,
                ROOM,
                panel.width() * scale,
                panel.height() * scale);
        board.words(
                new Point(ROOM, ROOM - 2), 2.8, Anchor.START, true, Palette.FAULT, Texts.say("sheet.back.mirrored"));
        for (Inside.KeepOut keepOut : plan.inside().keepOuts()) {
            if (keepOut.shape() instanceof Inside.Shape.Disc disc) {
                board.circle(Optional.of(THING), Optional.empty(), at(disc.centre()), disc.diameter() / 2 * scale);
            } else if (keepOut.shape() instanceof Inside.Shape.Block b) {
                block(b, THING);
            } else if (keepOut.shape() instanceof Inside.Shape.Rim rim) {
                block(
                        new Inside.Shape.Block(
                                new Mount.Place(panel.width() / 2, panel.height() / 2),
                                panel.width() - 2 * rim.width(),
                                panel.height() - 2 * rim.width()),
                        THING);
            }
        }
        for (Control control : placed()) {
            board.circle(
                    Optional.of(BODY),
                    Optional.empty(),
                    at(control.mount().place().orElseThrow()),
                    Math.max(2, Inside.bodyWidth(control.mount())) / 2 * scale);
        }
        List<Bundle.Run> runs = bundle.runs(wires);
        for (Bundle.Run run : runs) {
            board.line(
                    new Pen(BUNDLE, Math.min(MOST_THICK, THIN + run.wires() * PER_WIRE)), at(run.from()), at(run.to()));
        }
        for (Control control : placed()) {
            Point end = at(control.mount().place().orElseThrow());
            if (wires.stream().anyMatch(w -> w.to().equals(control.id()))) {
                board.line(new Pen(BUNDLE, THIN), at(bundle.on(Optional.of(control.id()))), end);
                board.circle(Optional.empty(), Optional.of(BUNDLE), end, 0.8);
            }
        }
        board.line(new Pen(BUNDLE, THIN), at(bundle.on(Optional.empty())), at(bundle.board()));
        plan.inside().board().ifPresent(b -> block(b.outline(), BOARD));
        Pen tie = new Pen(Palette.INK, 0.5);
        for (Mount.Place place : bundle.ties(wires)) {
            Point p = at(place);
            board.line(tie, new Point(p.x() - TIE, p.y() - TIE), new Point(p.x() + TIE, p.y() + TIE));
        }
        for (Mount.Place place : bundle.reliefs(wires)) {
            Point p = at(place);
            board.box(Optional.of(tie), Optional.of(Palette.FAULT), p.x() - TIE / 2, p.y() - TIE / 2, TIE, TIE);
        }
        plan.inside().cable().ifPresent(exit -> {
            Point p = at(exit);
            board.box(Optional.of(tie), Optional.of(Palette.FAULT), p.x() - TIE / 2, p.y() - TIE / 2, TIE, TIE);
            plan.inside()
                    .board()
                    .flatMap(Inside.Board::plug)
                    .ifPresent(plug -> board.line(new Pen(Palette.INK, 0.8, List.of(1.6, 0.8)), at(plug), p));
        });
        for (Control control : placed()) {
            Point c = at(control.mount().place().orElseThrow());
            board.wordsOn(
                    Palette.FACE,
                    new Point(c.x(), c.y() + Inside.bodyWidth(control.mount()) / 2 * scale + 2.8),
                    2.1,
                    Anchor.MIDDLE,
                    false,
                    Palette.INK,
                    control.label());
        }
        return new Document.Figure(
                board.drawing(
                        panel.width() * scale + 2 * ROOM,
                        panel.height() * scale + 2 * ROOM,
                        Texts.say("sheet.bundle.title", plan.box().name())),
                Texts.say("sheet.bundle.caption"));
    }

    private static List<String> rules(Bundle bundle, List<Bundle.Wire> wires) {
        Plan plan = bundle.plan();
        List<String> rules = new ArrayList<>();
        boolean floor =
                plan.inside().board().map(b -> b.on() == Inside.On.FLOOR).orElse(true);
        rules.add(Texts.say(
                "sheet.bundle.tie", (int) Bundle.TIE_MM, bundle.ties(wires).size()));
        rules.add(Texts.say("sheet.bundle.relief", (int) Bundle.RELIEF_MM));
        if (plan.inside().cable().isPresent()) {
            rules.add(Texts.say("sheet.bundle.cable"));
        }
        if (floor) {
            rules.add(Texts.say(
                    "sheet.bundle.slack",
                    DrillTemplate.millimetres(plan.inside().lidSlack())));
        }
        if (!bundle.pressed().isEmpty()) {
            rules.add(Texts.say(
                    "sheet.bundle.pressed",
                    Phrase.commas(bundle.pressed().stream()
                            .map(id -> plan.control(id).orElseThrow().label())
                            .toList())));
        }
        return rules;
    }
}
