package ringout.report;

import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import ringout.drawing.Area;
import ringout.drawing.Ink;
import ringout.drawing.Lettering;
import ringout.drawing.Palette;
import ringout.drawing.Point;
import ringout.plan.Known;

/**
 * Puts the strokes of panel and loom onto paper: in the colours of the window by daylight.
 */
final class Sketch {
    /** Millimetres on paper for one unit of a stroke, so that lettering of ten units is 6 pt and can be read from paper. */
    static final double MM = 0.22;

    private static final Look PLAIN = new Look("", Palette.INK, 1.2);
    private static final Map<String, Look> LOOKS = looks();

    /**
     * How a stroke is drawn.
     *
     * @param fill   colour; empty for none; of lettering, its colour
     * @param stroke colour; empty for none
     * @param width  of the stroke in units
     * @param dash   as in {@link Drawing.Pen}, in units
     */
    private record Look(String fill, String stroke, double width, List<Double> dash) {
        Look(String fill, String stroke, double width) {
            this(fill, stroke, width, List.of());
        }
    }

    private final Drawing.Board board = new Drawing.Board();
    private final double mm;

    /** @param mm millimetres for one unit */
    Sketch(double mm) {
        this.mm = mm;
    }

    private static Map<String, Look> looks() {
        Map<String, Look> looks = new HashMap<>();
        looks.put("squared", new Look("", Palette.SQUARED, 0.8));
        looks.put("panel-edge", new Look("", Palette.INK, 1.6));
        looks.put("dimension", new Look("", Palette.LINE, 1));
        looks.put("dimension-text", new Look(Palette.SOFT, "", 0));
        looks.put("body", new Look(Palette.FACE, Palette.INK, 1.4));
        looks.put("cap", new Look(Palette.CAP, Palette.INK, 1.1));
        looks.put("recess", new Look(Palette.SQUARED, Palette.INK, 1));
        looks.put("shine", new Look("", Palette.FACE, 1.6));
        looks.put("tick", new Look("", Palette.LINE, 1));
        looks.put("slot", new Look("", Palette.INK, 2.6));
        looks.put("thumb", new Look(Palette.CAP, Palette.INK, 1.2));
        looks.put("pointer", new Look("", Palette.INK, 1.8));
        looks.put("chevron", new Look("", Palette.LINE, 1.2));
        looks.put("numeral", new Look(Palette.SOFT, "", 0));
        looks.put("control-label", new Look(Palette.INK, "", 0));
        looks.put("control-note", new Look(Palette.SOFT, "", 0));
        looks.put("note-good", new Look(Palette.GOOD, "", 0));
        looks.put("note-fault", new Look(Palette.FAULT, "", 0));
        looks.put("badge-fault", new Look(Palette.FACE, Palette.FAULT, 1.6));
        looks.put("mark-fault", new Look("", Palette.FAULT, 1.4));
        looks.put("mark-verdict", new Look("", Palette.FAULT, 2.4));
        looks.put("mark-fault-fill", new Look(Palette.FAULT, "", 0));
        looks.put("mark-fault-dashed", new Look("", Palette.FAULT, 1.2, List.of(2.0, 2.4)));
        looks.put("mark-good", new Look("", Palette.GOOD, 2.4));
        looks.put("mark-skipped", new Look("", Palette.SOFT, 2.4));
        looks.put("mark-open-fill", new Look(Document.Tone.OPEN.colour(), "", 0));
        looks.put("board", new Look(Palette.FACE, Palette.INK, 1.6));
        looks.put("pin", new Look(Palette.FACE, Palette.INK, 1.3));
        looks.put("pin-name", new Look(Palette.SOFT, "", 0));
        looks.put("loom-note", new Look(Palette.SOFT, "", 0));
        looks.put("line-name", new Look(Palette.INK, "", 0));
        looks.put("contact-name", new Look(Palette.SOFT, "", 0));
        looks.put("contact-fault", new Look(Palette.FAULT, "", 0));
        looks.put("wire", new Look("", Palette.INK, 1.6));
        looks.put("joint", new Look(Palette.INK, "", 0));
        looks.put("terminal", new Look(Palette.FACE, Palette.INK, 1.2));
        looks.put("lever-open", new Look("", Palette.INK, 1.6));
        looks.put("diode", new Look(Palette.CAP, Palette.INK, 1.2));
        looks.put("diode-bar", new Look("", Palette.INK, 2));
        looks.put("register", new Look(Palette.FACE, Palette.INK, 1.4));
        looks.put("resistor", new Look(Palette.FACE, Palette.INK, 1.2));
        looks.put("ground", new Look("", Palette.INK, 1.4));
        looks.put("fault-line", new Look("", Palette.FAULT, 2.6));
        looks.put("fault-erased", new Look("", Palette.FACE, 7));
        looks.put("fault-patch", new Look(Palette.FACE, "", 0));
        looks.put("fault-shape", new Look(Palette.FACE, Palette.FAULT, 2.2));
        looks.put("fault-dot", new Look(Palette.FAULT, "", 0));
        looks.put("fault-ring", new Look("", Palette.FAULT, 1.6, List.of(4.0, 4.0)));
        looks.put("fault-tag", new Look(Palette.FACE, Palette.FAULT, 1.4));
        looks.put("fault-word", new Look(Palette.FAULT, "", 0));
        return Map.copyOf(looks);
    }

    void ink(List<? extends Ink> inks) {
        inks.forEach(this::ink);
    }

    void ink(Ink ink) {
        Look look = LOOKS.getOrDefault(ink.style(), PLAIN);
        Optional<Drawing.Pen> pen = look.stroke.isEmpty()
                ? Optional.empty()
                : Optional.of(new Drawing.Pen(
                        look.stroke,
                        look.width * mm,
                        look.dash.stream().map(d -> d * mm).toList()));
        Optional<String> fill = look.fill.isEmpty() ? Optional.empty() : Optional.of(look.fill);
        if (ink instanceof Ink.Line line) {
            board.path(
                    line.points().stream().map(this::at).toList(),
                    line.closed(),
                    pen,
                    line.closed() ? fill : Optional.empty());
        } else if (ink instanceof Ink.Disc disc) {
            board.circle(pen, fill, at(disc.centre()), disc.radius() * mm);
        } else if (ink instanceof Ink.Box box) {
            board.path(
                    rounded(
                            box.area(),
                            Math.min(
                                    box.corner(),
                                    Math.min(box.area().width(), box.area().height()) / 2)),
                    true,
                    pen,
                    fill);
        } else if (ink instanceof Ink.Text text) {
            letter(text, fill.orElse(Palette.INK));
        }
    }

    private Point at(Point p) {
        return new Point(p.x() * mm, p.y() * mm);
    }

    private List<Point> rounded(Area a, double r) {
        List<Point> points = new ArrayList<>();
        List<Point> centres = List.of(
                new Point(a.right() - r, a.y() + r),
                new Point(a.right() - r, a.bottom() - r),
                new Point(a.x() + r, a.bottom() - r),
                new Point(a.x() + r, a.y() + r));
        for (int corner = 0; corner < centres.size(); corner++) {
            for (int i = 0; i <= 4; i++) {
                points.add(at(centres.get(corner).polar(r, 90 * corner + 22.5 * i)));
            }
        }
        return points;
    }

    /** Half a capital's height below the middle: capitals are 0.72 of the size in Liberation Sans. */
    private void letter(Ink.Text text, String colour) {
        Area area = text.area();
        double x = switch (text.align()) {
            case LEFT -> area.x();
            case CENTRE -> area.centre().x();
            case RIGHT -> area.right();
        };
        Drawing.Anchor anchor = switch (text.align()) {
            case LEFT -> Drawing.Anchor.START;
            case CENTRE -> Drawing.Anchor.MIDDLE;
            case RIGHT -> Drawing.Anchor.END;
        };
        board.words(
                at(new Point(x, area.centre().y() + 0.35 * text.size())),
                text.size() * mm,
                anchor,
                false,
                colour,
                text.text());
    }

    /** All that was inked. */
    Drawing drawing(double width, double height, String title) {
        return board.drawing(width * mm, height * mm, title);
    }

    /** Measures with the font that documents are set in; what the font lacks counts as wide as its letter M. */
    static Lettering lettering() {
        try (InputStream in = PDDocument.class.getResourceAsStream(PdfWriter.FONT);
                TrueTypeFont font = new TTFParser().parse(new RandomAccessReadBuffer(in))) {
            CmapLookup glyphs = font.getUnicodeCmapLookup();
            Map<Integer, Double> widths = new HashMap<>();
            double em = font.getUnitsPerEm();
            for (int c = ' '; c < 0x2100; c++) {
                int glyph = glyphs.getGlyphId(c);
                if (glyph > 0) {
                    widths.put(c, font.getAdvanceWidth(glyph) / em);
                }
            }
            double wide = Known.in(widths, (int) 'M');
            return (text, size) -> size
                    * text.codePoints()
                            .mapToDouble(c -> widths.getOrDefault(c, wide))
                            .sum();
        } catch (IOException damaged) {
            throw new IllegalStateException(
                    "the installation is damaged: " + PdfWriter.FONT + " cannot be read", damaged);
        }
    }
}
