package ringout.report;

import java.awt.Color;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.apache.pdfbox.cos.COSDictionary;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;
import org.apache.pdfbox.pdmodel.graphics.state.RenderingMode;
import org.apache.pdfbox.pdmodel.interactive.viewerpreferences.PDViewerPreferences;
import org.apache.pdfbox.util.Matrix;
import ringout.drawing.Palette;
import ringout.drawing.Point;
import ringout.words.Texts;

/**
 * Writes a document as PDF, with its font embedded. All lengths inside are millimetres from the upper left corner, as in
 * {@link Drawing}. The same document gives the same bytes.
 */
public final class PdfWriter {
    /** Points in a millimetre: 72 to the inch (ISO 32000-1, section 8.3.2.3), 25.4 mm to the inch. */
    public static final double POINTS_PER_MM = 72 / 25.4;

    /** Comes with PDFBox, under the SIL Open Font License: Latin, Greek and Cyrillic. */
    static final String FONT = "/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf";

    /** How far a circle's control points are from its quarter points: 4/3 (√2 − 1) radii. */
    private static final double KAPPA = 4.0 / 3 * (Math.sqrt(2) - 1);

    private static final double BODY_MM = 3.5;
    private static final double TABLE_MM = 3.1;
    private static final double LEADING = 1.32;
    private static final double FOOT_MM = 2.6;
    private static final double GUTTER_MM = 6;
    private static final double HEADING_MM = 12;
    /** Above and below the lettering of a table's row. */
    private static final double CELL_MM = 0.7;

    private final Document document;
    private final PDDocument pdf;
    private final PDFont font;
    private final double left = Document.Paper.MARGIN_MM;
    private final double width;
    private final double bottom;
    private final Map<Integer, Double> widths = new HashMap<>();

    @SuppressWarnings("NullAway.Init") // the first thing to write opens a page
    private PDPageContentStream page;

    private double y;

    private PdfWriter(Document document, PDDocument pdf, PDFont font) {
        this.document = document;
        this.pdf = pdf;
        this.font = font;
        this.width = document.paper().width() - 2 * Document.Paper.MARGIN_MM;
        this.bottom = document.paper().height() - Document.Paper.MARGIN_MM - FOOT_MM;
    }

    /**
     * The whole file.
     *
     * @throws IOException never for lack of a disk: only where PDFBox itself fails
     */
    public static byte[] pdf(Document document) throws IOException {
        try (PDDocument pdf = new PDDocument();
                InputStream font = PDDocument.class.getResourceAsStream(FONT)) {
            new PdfWriter(document, pdf, PDType0Font.load(pdf, font, true)).write();
            ByteArrayOutputStream bytes = new ByteArrayOutputStream();
            pdf.save(bytes);
            return bytes.toByteArray();
        }
    }

    private void write() throws IOException {
        PDDocumentInformation about = new PDDocumentInformation();
        about.setTitle(document.title());
        pdf.setDocumentInformation(about);
        pdf.setDocumentId(0L);
        pdf.getDocumentCatalog().setLanguage("en");
        PDViewerPreferences preferences = new PDViewerPreferences(new COSDictionary());
        preferences.setPrintScaling(PDViewerPreferences.PRINT_SCALING.None);
        preferences.setDisplayDocTitle(true);
        pdf.getDocumentCatalog().setViewerPreferences(preferences);
        newPage();
        for (String line : wrap(document.title(), 7, width)) {
            y += 7;
            words(left, y, 7, true, Palette.INK, line);
            y += 1.5;
        }
        for (String line : wrap(document.subtitle(), BODY_MM, width)) {
            y += BODY_MM * LEADING;
            words(left, y, BODY_MM, false, Palette.SOFT, line);
        }
        y += 3;
        rule(Palette.INK, 0.6);
        y += 5;
        for (int i = 0; i < document.blocks().size(); i++) {
            room(Math.min(together(i), bottom - Document.Paper.MARGIN_MM));
            block(document.blocks().get(i));
        }
        page.close();
        footers();
    }

    /** Headings stay with the picture they stand over: how high that is together; 0 for other blocks. */
    private double together(int block) {
        double headings = 0;
        for (int i = block; i < document.blocks().size(); i++) {
            Document.Block next = document.blocks().get(i);
            if (next instanceof Document.Heading || next instanceof Document.Subheading) {
                headings += HEADING_MM;
            } else if (headings == 0) {
                return 0;
            } else {
                return next instanceof Document.Figure figure
                        ? headings + height(figure)
                        : next instanceof Document.Beside beside ? headings + height(beside) : 0;
            }
        }
        return 0;
    }

    private void newPage() throws IOException {
        if (page != null) {
            page.close();
        }
        PDPage sheet = new PDPage(new PDRectangle((float) (document.paper().width() * POINTS_PER_MM), (float)
                (document.paper().height() * POINTS_PER_MM)));
        pdf.addPage(sheet);
        page = new PDPageContentStream(pdf, sheet);
        millimetres(page);
        y = Document.Paper.MARGIN_MM;
    }

    /** From here on x is millimetres from the left and y millimetres from the top. */
    private void millimetres(PDPageContentStream stream) throws IOException {
        stream.transform(new Matrix((float) POINTS_PER_MM, 0, 0, (float) -POINTS_PER_MM, 0, (float)
                (document.paper().height() * POINTS_PER_MM)));
    }

    private void footers() throws IOException {
        for (int i = 0; i < pdf.getNumberOfPages(); i++) {
            try (PDPageContentStream foot =
                    new PDPageContentStream(pdf, pdf.getPage(i), PDPageContentStream.AppendMode.APPEND, true, true)) {
                page = foot;
                millimetres(foot);
                double base = document.paper().height() - 6;
                words(left, base, FOOT_MM, false, Palette.SOFT, document.title());
                String number = Texts.say("paper.page", i + 1, pdf.getNumberOfPages());
                words(left + width - measure(number, FOOT_MM), base, FOOT_MM, false, Palette.SOFT, number);
            }
        }
    }

    // Blocks

    private void block(Document.Block block) throws IOException {
        if (block instanceof Document.Heading heading) {
            room(45);
            y += y > Document.Paper.MARGIN_MM ? 2 : 0;
            paragraph(heading.text(), 4.6, true, Palette.INK, left, width);
            y += 1.5;
        } else if (block instanceof Document.Subheading heading) {
            room(16);
            y += 1.5;
            paragraph(heading.text(), 3.7, true, Palette.INK, left, width);
            y += 1;
        } else if (block instanceof Document.Verdict verdict) {
            verdict(verdict);
        } else if (block instanceof Document.Facts facts) {
            facts(facts, left, width, 2);
            y += 4;
        } else if (block instanceof Document.Beside beside) {
            beside(beside);
        } else if (block instanceof Document.Items items) {
            items(items);
        } else if (block instanceof Document.Text text) {
            paragraph(text.text(), BODY_MM, false, Palette.INK, left, width);
            y += 2;
        } else if (block instanceof Document.Caution caution) {
            caution(caution);
        } else if (block instanceof Document.Table table) {
            table(table);
        } else if (block instanceof Document.Figure figure) {
            figure(figure);
        } else if (block instanceof Document.PageBreak) {
            newPage();
        } else if (block instanceof Document.Plate plate) {
            newPage();
            draw(plate.drawing(), left, Document.Paper.MARGIN_MM, 1, plate.turned());
            y = bottom;
        }
    }

    private void room(double height) throws IOException {
        if (y + height > bottom && y > Document.Paper.MARGIN_MM) {
            newPage();
        }
    }

    private void paragraph(String text, double size, boolean bold, String colour, double x, double across)
            throws IOException {
        for (String line : wrap(text, size, across)) {
            room(size * LEADING);
            y += size * LEADING;
            words(x, y - size * (LEADING - 1), size, bold, colour, line);
        }
    }

    private void caution(Document.Caution caution) throws IOException {
        double inner = width - 10;
        List<List<String>> items = new ArrayList<>();
        int lines = 0;
        for (String item : caution.items()) {
            items.add(wrap(item, BODY_MM, inner - 4));
            lines += items.get(items.size() - 1).size();
        }
        double height = 4 + 4 * LEADING + 1 + lines * BODY_MM * LEADING + 2;
        room(height);
        double top = y;
        box(Palette.FAULT, 0.5, left, top, width, height);
        fill(Palette.FAULT, left, top, 2, height);
        y += 3;
        paragraph(caution.title(), 4, true, Palette.FAULT, left + 6, inner);
        y += 1;
        for (List<String> item : items) {
            disc(Palette.INK, left + 7, y + BODY_MM * LEADING - 2.1, 0.5);
            for (String line : item) {
                y += BODY_MM * LEADING;
                words(left + 10, y - BODY_MM * (LEADING - 1), BODY_MM, false, Palette.INK, line);
            }
        }
        y = top + height + 4;
    }

    private void verdict(Document.Verdict verdict) throws IOException {
        double large = 5.3;
        double indent = 6 + verdict.mark().width() + 4;
        double across = width - indent - 4;
        double height = 6 + wrap(verdict.sentence(), large, across).size() * large * LEADING;
        for (String detail : verdict.details()) {
            height += 1 + wrap(detail, BODY_MM, across).size() * BODY_MM * LEADING;
        }
        height = Math.max(height, verdict.mark().height() + 6);
        room(height);
        double top = y;
        box(verdict.tone().colour(), 0.5, left, top, width, height);
        fill(verdict.tone().colour(), left, top, 2.5, height);
        draw(verdict.mark(), left + 6, top + 3, 1, false);
        y += 2.5;
        paragraph(verdict.sentence(), large, true, verdict.tone().colour(), left + indent, across);
        for (String detail : verdict.details()) {
            y += 1;
            paragraph(detail, BODY_MM, false, Palette.INK, left + indent, across);
        }
        y = top + height + 4;
    }

    /** In so many columns; the names stand above the values where there is one, else before them. */
    private void facts(Document.Facts facts, double x0, double across, int columns) throws IOException {
        double cell = (across - GUTTER_MM * (columns - 1)) / columns;
        double names = columns == 1 ? 0 : 24;
        for (int i = 0; i < facts.facts().size(); i += columns) {
            List<Document.Fact> row =
                    facts.facts().subList(i, Math.min(i + columns, facts.facts().size()));
            double height = height(row, cell - names, columns == 1);
            room(height);
            double top = y;
            for (int column = 0; column < row.size(); column++) {
                double x = x0 + column * (cell + GUTTER_MM);
                y = top + 0.8;
                paragraph(
                        row.get(column).name(),
                        columns == 1 ? FOOT_MM : TABLE_MM,
                        false,
                        Palette.SOFT,
                        x,
                        columns == 1 ? cell : names);
                y = columns == 1 ? y : top + 0.8;
                paragraph(row.get(column).value(), TABLE_MM, false, Palette.INK, x + names, cell - names);
                y = top + height;
                rule(Palette.RULE, 0.15, x, cell);
            }
        }
    }

    private double height(List<Document.Fact> row, double across, boolean above) {
        int lines = row.stream()
                .mapToInt(f -> wrap(f.value(), TABLE_MM, across).size())
                .max()
                .orElse(1);
        return lines * TABLE_MM * LEADING + 1.6 + (above ? FOOT_MM * LEADING : 0);
    }

    private void beside(Document.Beside beside) throws IOException {
        double drawn = beside.figure().drawing().width();
        double x = left + drawn + GUTTER_MM;
        double height = height(beside);
        room(height);
        double top = y;
        facts(beside.facts(), x, width - drawn - GUTTER_MM, 1);
        y = top;
        draw(beside.figure().drawing(), left, y, 1, false);
        y += beside.figure().drawing().height() + 1;
        paragraph(beside.figure().caption(), TABLE_MM, false, Palette.SOFT, left, drawn);
        y = top + height + 4;
    }

    private double height(Document.Beside beside) {
        Drawing drawing = beside.figure().drawing();
        double picture = drawing.height()
                + 1
                + wrap(beside.figure().caption(), TABLE_MM, drawing.width()).size() * TABLE_MM * LEADING;
        double across = width - drawing.width() - GUTTER_MM;
        return Math.max(
                picture,
                beside.facts().facts().stream()
                        .mapToDouble(f -> height(List.of(f), across, true))
                        .sum());
    }

    private void items(Document.Items items) throws IOException {
        if (!items.lead().isEmpty()) {
            paragraph(items.lead(), BODY_MM, false, Palette.INK, left, width);
            y += 0.5;
        }
        for (String item : items.items()) {
            List<String> lines = wrap(item, BODY_MM, width - 4);
            room(lines.size() * BODY_MM * LEADING);
            disc(Palette.INK, left + 1.2, y + BODY_MM * LEADING - 2.1, 0.5);
            paragraph(item, BODY_MM, false, Palette.INK, left + 4, width - 4);
            y += 0.6;
        }
        y += 2;
    }

    private void table(Document.Table table) throws IOException {
        double sum = table.widths().stream().mapToDouble(w -> w).sum();
        List<Double> widths = table.widths().stream().map(w -> w / sum * width).toList();
        room(30);
        paragraph(table.caption(), TABLE_MM, false, Palette.SOFT, left, width);
        y += 1;
        head(table, widths);
        for (int i = 0; i < table.rows().size(); i++) {
            List<String> row = table.rows().get(i);
            if (y + height(row, widths) > bottom) {
                newPage();
                head(table, widths);
            }
            boolean marked = table.marked().contains(i);
            row(row, widths, marked, marked ? Palette.FAULT : Palette.INK);
            rule(Palette.RULE, 0.15);
        }
        y += 4;
    }

    private void head(Document.Table table, List<Double> widths) throws IOException {
        row(table.columns(), widths, true, Palette.INK);
        rule(Palette.INK, 0.4);
    }

    private double height(List<String> row, List<Double> widths) {
        int most = 1;
        for (int i = 0; i < row.size(); i++) {
            most = Math.max(most, wrap(row.get(i), TABLE_MM, widths.get(i) - 2).size());
        }
        return most * TABLE_MM * LEADING + 2 * CELL_MM;
    }

    private void row(List<String> row, List<Double> widths, boolean bold, String colour) throws IOException {
        double x = left;
        for (int i = 0; i < row.size(); i++) {
            double line = y + CELL_MM;
            for (String text : wrap(row.get(i), TABLE_MM, widths.get(i) - 2)) {
                line += TABLE_MM * LEADING;
                words(x, line - TABLE_MM * (LEADING - 1), TABLE_MM, bold, colour, text);
            }
            x += widths.get(i);
        }
        y += height(row, widths);
    }

    private double height(Document.Figure figure) {
        double scale = Math.min(1, width / figure.drawing().width());
        return figure.drawing().height() * scale
                + 2
                + wrap(figure.caption(), TABLE_MM, width).size() * TABLE_MM * LEADING;
    }

    private void figure(Document.Figure figure) throws IOException {
        double scale = Math.min(1, width / figure.drawing().width());
        room(height(figure));
        draw(figure.drawing(), left, y, scale, false);
        y += figure.drawing().height() * scale + 1;
        paragraph(figure.caption(), TABLE_MM, false, Palette.SOFT, left, width);
        y += 4;
    }

    // Drawing

    private void draw(Drawing drawing, double x, double top, double scale, boolean turned) throws IOException {
        page.saveGraphicsState();
        page.transform(
                turned
                        ? new Matrix(
                                0, (float) scale, (float) -scale, 0, (float) (x + drawing.height() * scale), (float)
                                        top)
                        : new Matrix((float) scale, 0, 0, (float) scale, (float) x, (float) top));
        page.setLineCapStyle(1);
        page.setLineJoinStyle(1);
        for (Drawing.Shape shape : drawing.shapes()) {
            if (shape instanceof Drawing.Path path) {
                Point first = path.points().get(0);
                page.moveTo((float) first.x(), (float) first.y());
                for (Point p : path.points().subList(1, path.points().size())) {
                    page.lineTo((float) p.x(), (float) p.y());
                }
                if (path.closed()) {
                    page.closePath();
                }
                paint(path.pen(), path.fill());
            } else if (shape instanceof Drawing.Circle circle) {
                circle(circle.centre().x(), circle.centre().y(), circle.radius());
                paint(circle.pen(), circle.fill());
            } else if (shape instanceof Drawing.Text words) {
                double across = measure(words.text(), words.size());
                double from = words.at().x()
                        - switch (words.anchor()) {
                            case START -> 0;
                            case MIDDLE -> across / 2;
                            case END -> across;
                        };
                if (words.paper().isPresent()) {
                    show(
                            from,
                            words.at().y(),
                            words.size(),
                            words.paper().get(),
                            RenderingMode.STROKE,
                            words.size() * 0.35,
                            words.text());
                }
                words(from, words.at().y(), words.size(), words.bold(), words.colour(), words.text());
            }
        }
        page.restoreGraphicsState();
    }

    private void circle(double x, double y0, double r) throws IOException {
        float k = (float) (KAPPA * r);
        float cx = (float) x;
        float cy = (float) y0;
        float radius = (float) r;
        page.moveTo(cx + radius, cy);
        page.curveTo(cx + radius, cy + k, cx + k, cy + radius, cx, cy + radius);
        page.curveTo(cx - k, cy + radius, cx - radius, cy + k, cx - radius, cy);
        page.curveTo(cx - radius, cy - k, cx - k, cy - radius, cx, cy - radius);
        page.curveTo(cx + k, cy - radius, cx + radius, cy - k, cx + radius, cy);
        page.closePath();
    }

    private void paint(Optional<Drawing.Pen> pen, Optional<String> fill) throws IOException {
        if (fill.isPresent()) {
            page.setNonStrokingColor(Color.decode(fill.get()));
        }
        if (pen.isPresent()) {
            page.setStrokingColor(Color.decode(pen.get().colour()));
            page.setLineWidth((float) pen.get().width());
            float[] dash = new float[pen.get().dash().size()];
            for (int i = 0; i < dash.length; i++) {
                dash[i] = pen.get().dash().get(i).floatValue();
            }
            page.setLineDashPattern(dash, 0);
        }
        if (pen.isPresent() && fill.isPresent()) {
            page.fillAndStroke();
        } else if (fill.isPresent()) {
            page.fill();
        } else {
            page.stroke();
        }
    }

    private void rule(String colour, double thick) throws IOException {
        rule(colour, thick, left, width);
    }

    private void rule(String colour, double thick, double x, double across) throws IOException {
        page.setStrokingColor(Color.decode(colour));
        page.setLineWidth((float) thick);
        page.moveTo((float) x, (float) y);
        page.lineTo((float) (x + across), (float) y);
        page.stroke();
    }

    private void box(String colour, double thick, double x, double top, double across, double height)
            throws IOException {
        page.setStrokingColor(Color.decode(colour));
        page.setLineWidth((float) thick);
        page.addRect((float) x, (float) top, (float) across, (float) height);
        page.stroke();
    }

    private void fill(String colour, double x, double top, double across, double height) throws IOException {
        page.setNonStrokingColor(Color.decode(colour));
        page.addRect((float) x, (float) top, (float) across, (float) height);
        page.fill();
    }

    private void disc(String colour, double x, double top, double r) throws IOException {
        page.setNonStrokingColor(Color.decode(colour));
        circle(x, top, r);
        page.fill();
    }

    // Lettering

    /** There is one font; bold letters are its outlines drawn a little thicker. */
    private void words(double x, double base, double size, boolean bold, String colour, String text)
            throws IOException {
        show(x, base, size, colour, bold ? RenderingMode.FILL_STROKE : RenderingMode.FILL, size * 0.035, text);
    }

    private void show(
            double x, double base, double size, String colour, RenderingMode mode, double outline, String text)
            throws IOException {
        page.saveGraphicsState();
        page.beginText();
        page.setFont(font, (float) size);
        page.setNonStrokingColor(Color.decode(colour));
        page.setStrokingColor(Color.decode(colour));
        page.setLineWidth((float) outline);
        page.setLineDashPattern(new float[0], 0);
        page.setRenderingMode(mode);
        page.setTextMatrix(new Matrix(1, 0, 0, -1, (float) x, (float) base));
        page.showText(known(text));
        page.endText();
        page.restoreGraphicsState();
    }

    /** What the font cannot draw becomes a question mark. */
    private String known(String text) {
        StringBuilder result = new StringBuilder();
        text.codePoints().forEach(c -> result.appendCodePoint(width(c) < 0 ? '?' : c));
        return result.toString();
    }

    private double measure(String text, double size) {
        return known(text).codePoints().mapToDouble(this::width).sum() / 1000 * size;
    }

    /** In thousandths of the font's size; -1 where the font lacks the character. */
    private double width(int codePoint) {
        return widths.computeIfAbsent(codePoint, c -> {
            try {
                return (double) font.getStringWidth(Character.toString(c));
            } catch (IOException | IllegalArgumentException noGlyph) {
                return -1.0;
            }
        });
    }

    private List<String> wrap(String text, double size, double across) {
        List<String> lines = new ArrayList<>();
        String line = "";
        for (String word : text.strip().split("\\s+")) {
            String longer = line.isEmpty() ? word : line + " " + word;
            if (measure(longer, size) <= across) {
                line = longer;
                continue;
            }
            if (!line.isEmpty()) {
                lines.add(line);
            }
            line = word;
            while (measure(line, size) > across && line.length() > 1) {
                int fits = line.length() - 1;
                while (fits > 1 && measure(line.substring(0, fits), size) > across) {
                    fits--;
                }
                lines.add(line.substring(0, fits));
                line = line.substring(fits);
            }
        }
        lines.add(line);
        return lines;
    }
}
