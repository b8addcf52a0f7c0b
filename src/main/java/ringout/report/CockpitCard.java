package ringout.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.drawing.PanelDrawing;
import ringout.drawing.PanelLayout;
import ringout.plan.Control;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * A card for the cockpit: the panel as the fingers find it, large, and for every control its name, what it gives, and its
 * place counted from the edges. One page, unless there are more controls than a page has room for.
 */
public final class CockpitCard {
    private static final double WIDTH_MM = 190;
    private static final double MOST_HEIGHT_MM = 130;
    private static final double LEAST_HEIGHT_MM = 60;
    /** What title, headings and foot take of the page. */
    private static final double AROUND_MM = 50;

    private static final double TABLE_ROW_MM = 5.8;
    private static final double LETTERS = 16;
    private static final double MOST_SCALE = 6;
    /** More rows than this would begin a second page; then the list is set in two columns. */
    private static final int MOST_ROWS = 20;
    /** Controls whose middles are less than this apart in height are one row to the hand (common practice, no source). */
    private static final double ROW_MM = 14;

    private CockpitCard() {}

    /** The card of a plan. */
    public static Document of(Plan plan, Document.Paper paper) {
        List<Document.Block> blocks = new ArrayList<>();
        Document.Table list = list(plan);
        double left = paper.height()
                - 2 * Document.Paper.MARGIN_MM
                - AROUND_MM
                - list.rows().size() * TABLE_ROW_MM;
        blocks.add(panel(plan, Math.max(LEAST_HEIGHT_MM, Math.min(MOST_HEIGHT_MM, left))));
        blocks.add(list);
        return new Document(Texts.say("card.title", plan.box().name()), Texts.say("card.subtitle"), paper, blocks);
    }

    private static Document.Figure panel(Plan plan, double height) {
        PanelDrawing drawing = new PanelLayout(plan, Sketch.lettering(), LETTERS)
                .fit(WIDTH_MM / Sketch.MM, height / Sketch.MM, MOST_SCALE);
        Sketch sketch = new Sketch(Sketch.MM);
        // Measures are for the bench.
        drawing.sheet().stream()
                .filter(ink -> !ink.style().startsWith("dimension"))
                .forEach(sketch::ink);
        for (PanelDrawing.Figure figure : drawing.controls()) {
            figure.parts().stream()
                    .filter(p -> p.when() == PanelDrawing.When.ALWAYS || p.when() == PanelDrawing.When.OFF)
                    .forEach(p -> sketch.ink(p.ink()));
            sketch.ink(figure.label());
            figure.note().ifPresent(sketch::ink);
        }
        return new Document.Figure(
                sketch.drawing(
                        drawing.width(),
                        drawing.height(),
                        Texts.say("card.panel", plan.box().name())),
                "");
    }

    private static Document.Table list(Plan plan) {
        Map<String, String> places = places(plan);
        List<List<String>> rows = new ArrayList<>();
        int number = 0;
        for (Control control : plan.controls()) {
            number++;
            rows.add(List.of(
                    number + "  " + control.label(),
                    PanelLayout.planned(control),
                    places.getOrDefault(control.id(), Texts.say("card.no-place"))));
        }
        List<String> heads = List.of(Texts.say("card.name"), Texts.say("card.gives"), Texts.say("card.place"));
        List<Double> widths = List.of(24.0, 16.0, 26.0);
        if (rows.size() <= MOST_ROWS) {
            return new Document.Table(Texts.say("card.list"), heads, widths, rows);
        }
        int half = (rows.size() + 1) / 2;
        List<List<String>> beside = new ArrayList<>();
        for (int i = 0; i < half; i++) {
            List<String> row = new ArrayList<>(rows.get(i));
            row.addAll(half + i < rows.size() ? rows.get(half + i) : List.of("", "", ""));
            beside.add(row);
        }
        return new Document.Table(Texts.say("card.list"), twice(heads), twice(widths), beside);
    }

    private static <T> List<T> twice(List<T> list) {
        List<T> both = new ArrayList<>(list);
        both.addAll(list);
        return both;
    }

    /** Each control's row from the top and number from the left, by its id; without a place it has none. */
    static Map<String, String> places(Plan plan) {
        List<Control> down = plan.controls().stream()
                .filter(c -> c.mount().place().isPresent())
                .sorted(Comparator.comparingDouble(c -> place(c).y()))
                .toList();
        List<List<Control>> rows = new ArrayList<>();
        double top = 0;
        for (Control control : down) {
            // Counted from the row's first, so that a slant of many small steps is no single row.
            if (rows.isEmpty() || place(control).y() - top >= ROW_MM) {
                rows.add(new ArrayList<>());
                top = place(control).y();
            }
            rows.get(rows.size() - 1).add(control);
        }
        Map<String, String> words = new HashMap<>();
        for (int r = 0; r < rows.size(); r++) {
            List<Control> across = rows.get(r).stream()
                    .sorted(Comparator.comparingDouble(c -> place(c).x()))
                    .toList();
            for (int i = 0; i < across.size(); i++) {
                words.put(across.get(i).id(), Texts.say("card.row", r + 1, rows.size(), i + 1, across.size()));
            }
        }
        return words;
    }

    private static Mount.Place place(Control control) {
        return Optional.of(control).flatMap(c -> c.mount().place()).orElseThrow();
    }
}
