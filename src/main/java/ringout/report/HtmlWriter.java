package ringout.report;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.drawing.Palette;
import ringout.words.Texts;

/** Writes a document as one HTML file: no script, no other file, drawings as inline SVG in millimetres. */
public final class HtmlWriter {
    private static final String STYLE =
            """
            :root { --bench: %s; --face: %s; --fault: %s; --ink: %s; --rule: %s; --soft: %s; }
            * { box-sizing: border-box; }
            html { background: var(--bench); }
            body { max-width: 210mm; margin: 8mm auto; padding: 10mm; background: var(--face); color: var(--ink);
              font: 10pt/1.4 "Liberation Sans", Arial, Helvetica, sans-serif; }
            h1 { font-size: 20pt; line-height: 1.15; margin: 0; }
            p.subtitle { color: var(--soft); margin: 1mm 0 5mm; border-bottom: 0.6mm solid var(--ink); padding-bottom: 3mm; }
            h2 { font-size: 13pt; line-height: 1.2; margin: 6mm 0 1.5mm; break-after: avoid; }
            h3 { font-size: 10.5pt; line-height: 1.25; margin: 4mm 0 1mm; break-after: avoid; }
            .verdict { display: grid; grid-template-columns: auto 1fr; gap: 0 4mm; border: 0.5mm solid; border-left-width: 2.5mm;
              padding: 3mm 4mm; margin: 0 0 4mm; break-inside: avoid; }
            .verdict svg { grid-row: 1 / span 2; align-self: start; }
            .verdict h2 { color: inherit; font-size: 15pt; margin: 0; }
            .verdict div { color: var(--ink); }
            .verdict p { margin: 1mm 0 0; }
            .facts { display: grid; grid-template-columns: 1fr 1fr; gap: 0 6mm; margin: 0 0 4mm; font-size: 9pt; line-height: 1.3; }
            .facts div { display: grid; grid-template-columns: 24mm 1fr; border-bottom: 0.15mm solid var(--rule); padding: 1mm 0; }
            .facts dt { color: var(--soft); }
            .facts dd { margin: 0; overflow-wrap: anywhere; }
            .beside { display: flex; gap: 6mm; align-items: flex-start; margin: 0 0 4mm; break-inside: avoid; }
            .beside figure { flex: none; margin: 0; max-width: 132mm; }
            .beside .facts { grid-template-columns: 1fr; flex: 1; margin: 0; }
            .beside .facts div { display: block; }
            @media screen and (max-width: 190mm) { .beside, .facts { display: block; } .beside figure { max-width: none; } }
            .items { margin: 0 0 3mm; padding-left: 4.5mm; }
            .items li { margin: 0 0 0.6mm; }
            p { margin: 0 0 2.5mm; }
            .caution { border: 0.5mm solid var(--fault); border-left-width: 2.5mm; padding: 2.5mm 4mm; margin: 0 0 5mm; break-inside: avoid; }
            .caution h2 { color: var(--fault); font-size: 11pt; margin: 0 0 1mm; }
            .caution ul { margin: 0; padding-left: 4.5mm; }
            table { border-collapse: collapse; width: 100%%; margin: 0 0 4mm; font-size: 9pt; line-height: 1.3; }
            caption { text-align: left; color: var(--soft); padding-bottom: 1.5mm; }
            thead { display: table-header-group; }
            tr { break-inside: avoid; }
            caption { break-after: avoid; }
            tbody tr:nth-child(-n+2) { break-before: avoid; }
            tbody th { font-weight: normal; border-bottom: 0.15mm solid var(--rule); vertical-align: top; overflow-wrap: anywhere; }
            tr.marked > * { font-weight: bold; color: var(--fault); }
            th { text-align: left; border-bottom: 0.4mm solid var(--ink); padding: 0.7mm 2mm 0.7mm 0; vertical-align: bottom; }
            td { border-bottom: 0.15mm solid var(--rule); padding: 0.7mm 2mm 0.7mm 0; vertical-align: top; overflow-wrap: anywhere; }
            figure { margin: 2mm 0 4mm; break-inside: avoid; }
            figure svg { display: block; max-width: 100%%; height: auto; }
            figcaption { color: var(--soft); font-size: 9pt; margin-top: 1.5mm; }
            svg text { font-family: "Liberation Sans", Arial, Helvetica, sans-serif; }
            .break, .plate { break-before: page; }
            .plate { break-inside: avoid; margin-top: 8mm; }
            .plate svg { display: block; max-width: none; }
            @page { margin: 10mm; }
            @media print {
              html { background: none; }
              body { max-width: none; margin: 0; padding: 0; }
              .plate { margin: 0; }
            }
            """.formatted(Palette.BENCH, Palette.FACE, Palette.FAULT, Palette.INK, Palette.RULE, Palette.SOFT);

    private final StringBuilder out = new StringBuilder();

    private HtmlWriter() {}

    /** The whole file. */
    public static String html(Document document) {
        return new HtmlWriter().write(document);
    }

    private String write(Document document) {
        String title = escape(document.title());
        line("<!DOCTYPE html>");
        line("<html lang=\"" + escape(Texts.say("language")) + "\">");
        line("<head>");
        line("<meta charset=\"utf-8\">");
        line("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">");
        line("<title>" + title + "</title>");
        line("<style>");
        out.append(STYLE);
        line("@page { size: " + (document.paper() == Document.Paper.A4 ? "A4" : "letter") + "; }");
        line("</style>");
        line("</head>");
        line("<body>");
        line("<main>");
        line("<h1>" + title + "</h1>");
        line("<p class=\"subtitle\">" + escape(document.subtitle()) + "</p>");
        document.blocks().forEach(this::block);
        line("</main>");
        line("</body>");
        line("</html>");
        return out.toString();
    }

    private void block(Document.Block block) {
        if (block instanceof Document.Heading heading) {
            line("<h2>" + escape(heading.text()) + "</h2>");
        } else if (block instanceof Document.Subheading heading) {
            line("<h3>" + escape(heading.text()) + "</h3>");
        } else if (block instanceof Document.Verdict verdict) {
            verdict(verdict);
        } else if (block instanceof Document.Facts facts) {
            facts(facts);
        } else if (block instanceof Document.Beside beside) {
            line("<div class=\"beside\">");
            block(beside.figure());
            facts(beside.facts());
            line("</div>");
        } else if (block instanceof Document.Items items) {
            items(items);
        } else if (block instanceof Document.Text text) {
            line("<p>" + escape(text.text()) + "</p>");
        } else if (block instanceof Document.Caution caution) {
            line("<section class=\"caution\">");
            line("<h2>" + escape(caution.title()) + "</h2>");
            line("<ul>");
            caution.items().forEach(item -> line("<li>" + escape(item) + "</li>"));
            line("</ul>");
            line("</section>");
        } else if (block instanceof Document.Table table) {
            table(table);
        } else if (block instanceof Document.Figure figure) {
            line("<figure>");
            svg(figure.drawing(), false);
            line("<figcaption>" + escape(figure.caption()) + "</figcaption>");
            line("</figure>");
        } else if (block instanceof Document.PageBreak) {
            line("<div class=\"break\"></div>");
        } else if (block instanceof Document.Plate plate) {
            line("<div class=\"plate\">");
            svg(plate.drawing(), plate.turned());
            line("</div>");
        }
    }

    private void verdict(Document.Verdict verdict) {
        line("<section class=\"verdict\" style=\"color: " + verdict.tone().colour() + "\">");
        svg(verdict.mark(), false);
        line("<h2>" + escape(verdict.sentence()) + "</h2>");
        line("<div>");
        verdict.details().forEach(d -> line("<p>" + escape(d) + "</p>"));
        line("</div>");
        line("</section>");
    }

    private void facts(Document.Facts facts) {
        line("<dl class=\"facts\">");
        facts.facts()
                .forEach(f -> line("<div><dt>" + escape(f.name()) + "</dt><dd>" + escape(f.value()) + "</dd></div>"));
        line("</dl>");
    }

    private void items(Document.Items items) {
        if (!items.lead().isEmpty()) {
            line("<p>" + escape(items.lead()) + "</p>");
        }
        line("<ul class=\"items\">");
        items.items().forEach(item -> line("<li>" + escape(item) + "</li>"));
        line("</ul>");
    }

    private void table(Document.Table table) {
        double sum = table.widths().stream().mapToDouble(w -> w).sum();
        line("<table>");
        line("<caption>" + escape(table.caption()) + "</caption>");
        line("<colgroup>"
                + table.widths().stream()
                        .map(w -> "<col style=\"width: " + number(100 * w / sum) + "%\">")
                        .collect(Collectors.joining())
                + "</colgroup>");
        line("<thead><tr>"
                + table.columns().stream()
                        .map(c -> "<th scope=\"col\">" + escape(c) + "</th>")
                        .collect(Collectors.joining())
                + "</tr></thead>");
        line("<tbody>");
        for (int i = 0; i < table.rows().size(); i++) {
            row(table.rows().get(i), table.marked().contains(i));
        }
        line("</tbody>");
        line("</table>");
    }

    /** The first cell names the row, unless it is left empty because it names the one above as well. */
    private void row(List<String> cells, boolean marked) {
        StringBuilder row = new StringBuilder(marked ? "<tr class=\"marked\">" : "<tr>");
        for (int i = 0; i < cells.size(); i++) {
            String cell = escape(cells.get(i));
            row.append(i == 0 && !cell.isEmpty() ? "<th scope=\"row\">" + cell + "</th>" : "<td>" + cell + "</td>");
        }
        line(row + "</tr>");
    }

    // Drawings

    private void svg(Drawing drawing, boolean turned) {
        double width = turned ? drawing.height() : drawing.width();
        double height = turned ? drawing.width() : drawing.height();
        line("<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-label=\"" + escape(drawing.title())
                + "\" width=\"" + number(width) + "mm\" height=\"" + number(height) + "mm\" viewBox=\"0 0 "
                + number(width) + " " + number(height) + "\">");
        if (turned) {
            line("<g transform=\"translate(" + number(width) + " 0) rotate(90)\">");
        }
        drawing.shapes().forEach(this::shape);
        if (turned) {
            line("</g>");
        }
        line("</svg>");
    }

    private void shape(Drawing.Shape shape) {
        if (shape instanceof Drawing.Path path) {
            String points = path.points().stream()
                    .map(p -> number(p.x()) + "," + number(p.y()))
                    .collect(Collectors.joining(" "));
            line("<" + (path.closed() ? "polygon" : "polyline") + " points=\"" + points + "\""
                    + paint(path.pen(), path.fill()) + "/>");
        } else if (shape instanceof Drawing.Circle circle) {
            line("<circle cx=\"" + number(circle.centre().x()) + "\" cy=\""
                    + number(circle.centre().y()) + "\" r=\"" + number(circle.radius()) + "\""
                    + paint(circle.pen(), circle.fill()) + "/>");
        } else if (shape instanceof Drawing.Text words) {
            String anchor = words.anchor().name().toLowerCase(Locale.ROOT);
            String where = "<text x=\"" + number(words.at().x()) + "\" y=\""
                    + number(words.at().y()) + "\" font-size=\"" + number(words.size()) + "\""
                    + (anchor.equals("start") ? "" : " text-anchor=\"" + anchor + "\"")
                    + (words.bold() ? " font-weight=\"bold\"" : "");
            String letters = ">" + escape(words.text()) + "</text>";
            words.paper()
                    .ifPresent(p -> line(where + " fill=\"none\" stroke=\"" + p + "\" stroke-width=\""
                            + number(words.size() * 0.35) + "\" stroke-linejoin=\"round\"" + letters));
            line(where + " fill=\"" + words.colour() + "\"" + letters);
        }
    }

    private static String paint(Optional<Drawing.Pen> pen, Optional<String> fill) {
        return " fill=\"" + fill.orElse("none") + "\""
                + pen.map(p -> " stroke=\"" + p.colour() + "\" stroke-width=\"" + number(p.width())
                                + "\" stroke-linecap=\"round\" stroke-linejoin=\"round\"" + dash(p.dash()))
                        .orElse("");
    }

    private static String dash(List<Double> dash) {
        return dash.isEmpty()
                ? ""
                : " stroke-dasharray=\"" + dash.stream().map(HtmlWriter::number).collect(Collectors.joining(" "))
                        + "\"";
    }

    /** To a thousandth of a millimetre: a tenth of the finest printer's dot. */
    private static String number(double value) {
        String text = String.format(Locale.ROOT, "%.3f", value);
        return text.replaceAll("\\.?0+$", "").replaceAll("^-0$", "0");
    }

    private static String escape(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;");
    }

    private void line(String text) {
        out.append(text).append('\n');
    }
}
