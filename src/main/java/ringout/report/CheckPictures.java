package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.diagnosis.Explanation;
import ringout.drawing.FaultSketch;
import ringout.drawing.Ink;
import ringout.drawing.Lettering;
import ringout.drawing.LoomDrawing;
import ringout.drawing.LoomLayout;
import ringout.drawing.Marks;
import ringout.drawing.PanelDrawing;
import ringout.drawing.PanelLayout;
import ringout.drawing.Point;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Texts;

/** A finished check on the panel and on the loom, for paper. */
final class CheckPictures {
    private static final double WIDTH_MM = 190;
    private static final double PANEL_MM = 70;
    /** A panel that would be flatter than this beside other things gets the whole width. */
    private static final double LEAST_PANEL_MM = 40;

    private static final double LOOM_MM = 66;
    private static final double MOST_HEIGHT_MM = 225;
    private static final double LETTERS = 10.5;
    private static final double MOST_SCALE = 4.5;

    private CheckPictures() {}

    /** The panel from the front, each control with its mark and its word. */
    static Document.Figure panel(Plan plan, CheckView check) {
        Lettering lettering = Sketch.lettering();
        PanelLayout layout = new PanelLayout(plan, lettering, LETTERS);
        PanelDrawing narrow = layout.fit(Document.Beside.MOST_MM / Sketch.MM, PANEL_MM / Sketch.MM, MOST_SCALE);
        PanelDrawing drawing = narrow.height() * Sketch.MM >= LEAST_PANEL_MM
                ? narrow
                : layout.fit(WIDTH_MM / Sketch.MM, PANEL_MM / Sketch.MM, MOST_SCALE);
        Sketch sketch = new Sketch(Sketch.MM);
        grid(sketch, drawing);
        sketch.ink(drawing.sheet());
        for (PanelDrawing.Figure figure : drawing.controls()) {
            Optional<Finding> finding = check.findings().stream()
                    .filter(f -> f.controls().contains(figure.id()))
                    .findFirst();
            CheckView.Status status = check.status(figure.id());
            // Seen at rest: what shows only while something is on or asked for is left out.
            figure.parts().stream()
                    .filter(p -> p.when() == PanelDrawing.When.ALWAYS || p.when() == PanelDrawing.When.OFF)
                    .forEach(p -> sketch.ink(p.ink()));
            sketch.ink(figure.label());
            figure.note().ifPresent(note -> sketch.ink(note(note, finding, status, lettering)));
            if (finding.isPresent()) {
                sketch.ink(new Ink.Disc(figure.badge().centre(), figure.badge().width() * 0.56, "badge-fault"));
                sketch.ink(Marks.of(
                        finding.get().kind(),
                        figure.badge().grow(-figure.badge().width() * 0.24),
                        "mark-fault"));
            } else if (status == CheckView.Status.GOOD) {
                sketch.ink(Marks.good(figure.badge(), "mark-good"));
            } else if (status == CheckView.Status.SKIPPED) {
                sketch.ink(Marks.skipped(figure.badge(), "mark-skipped"));
            }
        }
        return new Document.Figure(
                sketch.drawing(
                        drawing.width(),
                        drawing.height(),
                        Texts.say("report.panel.said", plan.box().name(), spoken(plan, check))),
                drawing.toScale() ? Texts.say("report.panel.to-scale") : Texts.say("report.panel"));
    }

    private static Ink.Text note(
            Ink.Text note, Optional<Finding> finding, CheckView.Status status, Lettering lettering) {
        if (finding.isEmpty()) {
            return status == CheckView.Status.SKIPPED
                    ? new Ink.Text(Texts.say("report.skipped"), note.area(), note.align(), note.size(), note.style())
                    : note;
        }
        String word = finding.get().said().text();
        boolean room = lettering.width(word, note.size()) <= note.area().width() + note.size();
        return new Ink.Text(room ? word : "", note.area(), note.align(), note.size(), "note-fault");
    }

    private static String spoken(Plan plan, CheckView check) {
        List<String> found = new ArrayList<>();
        for (Control control : plan.controls()) {
            String kinds = check.findings().stream()
                    .filter(f -> f.controls().contains(control.id()))
                    .map(f -> f.said().text())
                    .distinct()
                    .collect(Collectors.joining(", "));
            if (!kinds.isEmpty()) {
                found.add(control.label() + ": " + kinds);
            }
        }
        return found.isEmpty() ? Texts.say("report.no-finding") : String.join("; ", found) + ".";
    }

    /** Squared paper, one square for ten millimetres of the panel. */
    private static void grid(Sketch sketch, PanelDrawing drawing) {
        double step = 10 * drawing.scale();
        if (!drawing.toScale() || step < 6) {
            return;
        }
        for (double x = drawing.outline().x() + step; x < drawing.outline().right() - 1; x += step) {
            sketch.ink(Ink.Line.of(
                    "squared",
                    new Point(x, drawing.outline().y()),
                    new Point(x, drawing.outline().bottom())));
        }
        for (double y = drawing.outline().y() + step; y < drawing.outline().bottom() - 1; y += step) {
            sketch.ink(Ink.Line.of(
                    "squared",
                    new Point(drawing.outline().x(), y),
                    new Point(drawing.outline().right(), y)));
        }
    }

    /** The loom with an explanation pencilled in, and the names of the contacts that showed something in red. */
    static Document.Figure loom(Plan plan, CheckView check, Explanation explanation) {
        Lettering lettering = Sketch.lettering();
        LoomDrawing drawing = new LoomLayout(plan, lettering).fit(WIDTH_MM / Sketch.MM, LOOM_MM / Sketch.MM, LETTERS);
        double mm = Math.min(Sketch.MM, Math.min(WIDTH_MM / drawing.width(), MOST_HEIGHT_MM / drawing.height()));
        Set<String> faulty = check.findings().stream()
                .flatMap(f -> f.actions().stream())
                .flatMap(id -> plan.action(id).stream().flatMap(a -> a.contacts().stream()))
                .map(LoomDrawing::branch)
                .collect(Collectors.toSet());
        Sketch sketch = new Sketch(mm);
        for (LoomDrawing.Piece piece : drawing.pieces()) {
            if (piece.when() == PanelDrawing.When.ALWAYS || piece.when() == PanelDrawing.When.OFF) {
                boolean name = piece.ink() instanceof Ink.Text
                        && piece.ink().style().equals("contact-name")
                        && faulty.contains(piece.owner());
                sketch.ink(name ? red((Ink.Text) piece.ink()) : piece.ink());
            }
        }
        sketch.ink(FaultSketch.of(
                plan, drawing, lettering, explanation.alternatives().get(0)));
        return new Document.Figure(
                sketch.drawing(
                        drawing.width(),
                        drawing.height(),
                        Texts.say("report.loom.said", plan.box().name(), explanation.likeliest())),
                Texts.say("report.loom.caption"));
    }

    private static Ink.Text red(Ink.Text text) {
        return new Ink.Text(text.text(), text.area(), text.align(), text.size(), "contact-fault");
    }
}
