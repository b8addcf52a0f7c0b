package ringout.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Input;
import ringout.plan.Bundle;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;
import ringout.plan.WiringTable;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The wiring sheet: all that is wanted at the bench to drill, cut, solder and configure a box as planned.
 *
 * <p>The cautions and the choice of wire and diode are common practice, no source.
 */
public final class WiringSheet {
    private final Plan plan;
    private final List<Document.Block> blocks = new ArrayList<>();

    private WiringSheet(Plan plan) {
        this.plan = plan;
    }

    /**
     * The sheet of a plan.
     *
     * @param source what the plan was read from, for the subtitle
     */
    public static Document of(Plan plan, String source, Document.Paper paper) {
        return new WiringSheet(plan).document(source, paper);
    }

    private Document document(String source, Document.Paper paper) {
        cautions();
        drawings();
        blocks.addAll(InsideSheet.of(plan));
        wiring();
        firmware();
        parts();
        cutList();
        template(paper);
        long diodes = plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .count();
        return new Document(
                Texts.say("sheet.title.of", plan.box().name()),
                Texts.say(
                        "sheet.from-plan",
                        source,
                        plan.controls().size(),
                        plan.contacts().size(),
                        plan.lines().size(),
                        diodes),
                paper,
                blocks);
    }

    private void cautions() {
        blocks.add(new Document.Caution(
                Texts.say("sheet.before"),
                List.of(
                        Texts.say("sheet.before.usb"),
                        Texts.say("sheet.before.codes"),
                        Texts.say("sheet.before.drill"),
                        Texts.say("sheet.before.solder"),
                        Texts.say("sheet.before.parts"))));
    }

    private void drawings() {
        blocks.add(new Document.Heading(Texts.say("sheet.loom")));
        for (Line.Kind kind : List.of(Line.Kind.ROW, Line.Kind.COLUMN, Line.Kind.DIRECT)) {
            BackSide.of(plan, kind).ifPresent(blocks::add);
        }
        if (plan.lines(Line.Kind.SHIFT).stream().anyMatch(l -> !l.contacts().isEmpty())) {
            blocks.add(new Document.Text(Texts.say("sheet.loom.registers")));
        }
    }

    // Wiring

    private void wiring() {
        List<List<String>> rows = new ArrayList<>();
        String last = "";
        for (WiringTable.Row row : WiringTable.rows(plan)) {
            boolean first = !row.control().id().equals(last);
            last = row.control().id();
            rows.add(List.of(
                    first ? row.control().label() : "",
                    row.part(),
                    row.wiring().text(),
                    joints(row.part()),
                    row.diode().text(),
                    row.input().text(),
                    "□"));
        }
        blocks.add(new Document.Heading(Texts.say("sheet.wiring")));
        blocks.add(new Document.Table(
                Texts.say("sheet.wiring.caption"),
                List.of(
                        Texts.say("sheet.control"),
                        Texts.say("sheet.contact"),
                        Texts.say("sheet.wires"),
                        Texts.say("sheet.joint"),
                        Texts.say("sheet.diode"),
                        Texts.say("sheet.reports"),
                        Texts.say("sheet.done")),
                List.of(22.0, 17.0, 32.0, 20.0, 15.0, 18.0, 7.0),
                rows));
    }

    private String joints(String contact) {
        List<String> joints = new ArrayList<>();
        for (Line line : plan.lines()) {
            int at = line.contacts().indexOf(contact);
            if (at >= 0 && line.contacts().size() > 1 && line.kind() != Line.Kind.SHIFT) {
                joints.add(line.name() + " " + (at + 1) + "/" + line.contacts().size());
            }
        }
        return String.join(", ", joints);
    }

    // Firmware

    private void firmware() {
        Scan scan = plan.scan();
        boolean matrix = !plan.lines(Line.Kind.ROW).isEmpty();
        blocks.add(new Document.Heading(Texts.say("sheet.firmware")));
        blocks.add(new Document.Facts(settings(matrix)));
        blocks.add(new Document.Text(Texts.say("sheet.firmware.why")));
        blocks.add(new Document.Heading(Texts.say("sheet.pins")));
        boolean low = scan.active() == Scan.Active.LOW;
        List<List<String>> rows = new ArrayList<>();
        for (Line line : plan.lines()) {
            boolean driven = line.kind() == (scan.drive() == Scan.Drive.ROWS ? Line.Kind.ROW : Line.Kind.COLUMN);
            String does = switch (line.kind()) {
                case ROW, COLUMN ->
                    driven
                            ? low ? Texts.say("sheet.pin.driven-low") : Texts.say("sheet.pin.driven-high")
                            : low ? Texts.say("sheet.pin.pull-up") : Texts.say("sheet.pin.pull-down");
                case DIRECT ->
                    scan.directTo() == Scan.DirectTo.GROUND
                            ? Texts.say("sheet.pin.pull-up")
                            : Texts.say("sheet.pin.pull-down");
                case SHIFT -> Texts.say("sheet.pin.serial", line.registers());
            };
            rows.add(List.of(line.pin(), line.name(), kind(line.kind()), does));
        }
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis axis) {
                rows.add(List.of(
                        axis.pin().orElse(Texts.say("wiring.unknown")),
                        axis.label(),
                        Texts.say("sheet.kind.axis"),
                        Texts.say("sheet.analogue", axis.input().words())));
            }
        }
        blocks.add(new Document.Table(
                scan.debounceNanos() > 0
                        ? Texts.say(
                                "sheet.pins.caption.debounce", DrillTemplate.millimetres(scan.debounceNanos() / 1e6))
                        : Texts.say("sheet.pins.caption"),
                List.of(
                        Texts.say("sheet.pin"),
                        Texts.say("sheet.line"),
                        Texts.say("sheet.kind"),
                        Texts.say("sheet.set")),
                List.of(15.0, 20.0, 15.0, 60.0),
                rows));
        if (matrix) {
            blocks.add(matrix());
        }
        encoders();
    }

    private List<Document.Fact> settings(boolean matrix) {
        Scan scan = plan.scan();
        List<Document.Fact> facts = new ArrayList<>();
        if (matrix) {
            boolean rows = scan.drive() == Scan.Drive.ROWS;

            facts.add(new Document.Fact(
                    Texts.say("sheet.scan.direction"),
                    rows ? Texts.say("sheet.scan.rows-driven") : Texts.say("sheet.scan.columns-driven")));
            facts.add(new Document.Fact(
                    Texts.say("sheet.scan.level"),
                    scan.active() == Scan.Active.LOW
                            ? Texts.say("sheet.scan.pulled-up")
                            : Texts.say("sheet.scan.pulled-down")));
            if (plan.contacts().stream().anyMatch(c -> c.diode() != Contact.Diode.NONE)) {
                facts.add(new Document.Fact(
                        Texts.say("sheet.scan.diodes"),
                        scan.conducting() == Contact.Diode.CATHODE_ROW
                                ? Texts.say("sheet.scan.band-row")
                                : Texts.say("sheet.scan.band-column")));
            }
            facts.add(new Document.Fact(Texts.say("sheet.scan.idle"), Texts.say("sheet.scan.idle.how")));
            facts.add(new Document.Fact(
                    Texts.say("sheet.scan.settling"), Texts.say("sheet.scan.settle", FirmwareSettings.SETTLE_MICROS)));
        }
        facts.add(new Document.Fact(
                Texts.say("sheet.scan.debounce"),
                scan.debounceNanos() > 0
                        ? Texts.say("length.ms", DrillTemplate.millimetres(scan.debounceNanos() / 1e6))
                        : Texts.say("sheet.scan.debounce.none", FirmwareSettings.DEBOUNCE_MS)));
        facts.add(new Document.Fact(Texts.say("sheet.scan.numbering"), numbering(matrix)));
        facts.add(new Document.Fact(Texts.say("sheet.name"), plan.box().name()));
        plan.box()
                .vendor()
                .ifPresent(v -> facts.add(new Document.Fact(
                        Texts.say("sheet.usb-id"),
                        String.format("%04X:%04X", v, plan.box().product().orElse(0)))));
        plan.box().serial().ifPresent(serial -> facts.add(new Document.Fact(Texts.say("sheet.serial"), serial)));
        return facts;
    }

    private String numbering(boolean matrix) {
        int buttons = plan.actions().stream()
                .flatMap(a -> a.input().stream())
                .filter(Input.Button.class::isInstance)
                .mapToInt(i -> ((Input.Button) i).number())
                .max()
                .orElse(0);
        String along = plan.numbering()
                .filter(s -> matrix && s.fits(plan))
                .map(s -> switch (s.way()) {
                    case BY_ROWS -> Texts.say("sheet.scan.by-rows", s.first());
                    case BY_COLUMNS -> Texts.say("sheet.scan.by-columns", s.first());
                    case FREE -> "";
                })
                .orElse("");
        return along
                + (matrix
                        ? Texts.say("sheet.scan.buttons.crossings", buttons)
                        : Texts.say("sheet.scan.buttons.pins", buttons));
    }

    private static String kind(Line.Kind kind) {
        return switch (kind) {
            case ROW -> Texts.say("sheet.kind.row");
            case COLUMN -> Texts.say("sheet.kind.column");
            case DIRECT -> Texts.say("sheet.kind.direct");
            case SHIFT -> Texts.say("sheet.kind.shift");
        };
    }

    private Document.Table matrix() {
        Map<String, String> at = new LinkedHashMap<>();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing x) {
                at.put(
                        x.row() + " " + x.column(),
                        contact.input().map(i -> i.words().text()).orElse(contact.id()));
            }
        }
        List<Line> columns = plan.lines(Line.Kind.COLUMN);
        List<String> heads = new ArrayList<>(List.of(""));
        List<Double> widths = new ArrayList<>(List.of(16.0));
        for (Line column : columns) {
            heads.add(column.name() + " (" + column.pin() + ")");
            widths.add(20.0);
        }
        List<List<String>> rows = new ArrayList<>();
        for (Line row : plan.lines(Line.Kind.ROW)) {
            List<String> cells = new ArrayList<>(List.of(row.name() + " (" + row.pin() + ")"));
            columns.forEach(c -> cells.add(at.getOrDefault(row.name() + " " + c.name(), "–")));
            rows.add(cells);
        }
        return new Document.Table(Texts.say("sheet.crossings"), heads, widths, rows);
    }

    private void encoders() {
        List<List<String>> rows = new ArrayList<>();
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder e) {
                rows.add(List.of(
                        e.label(),
                        place(e.a()),
                        place(e.b()),
                        e.cw().words().text(),
                        e.ccw().words().text(),
                        String.valueOf(e.detents())));
            }
        }
        if (!rows.isEmpty()) {
            blocks.add(new Document.Table(
                    Texts.say("sheet.encoders"),
                    List.of(
                            Texts.say("sheet.encoder"),
                            Texts.say("sheet.encoder.a"),
                            Texts.say("sheet.encoder.b"),
                            Texts.say("sheet.encoder.cw"),
                            Texts.say("sheet.encoder.ccw"),
                            Texts.say("sheet.encoder.clicks")),
                    List.of(24.0, 20.0, 20.0, 18.0, 18.0, 16.0),
                    rows));
        }
    }

    private String place(Contact contact) {
        if (contact.wiring() instanceof Wiring.Direct d) {
            return plan.line(d.line()).orElseThrow().pin();
        }
        return contact.wiring() instanceof Wiring.Crossing x
                ? x.row() + " × " + x.column()
                : Texts.say("sheet.see-table");
    }

    // Parts

    private void parts() {
        PartsList parts = PartsList.of(plan);
        List<List<String>> rows = new ArrayList<>();
        for (PartsList.Item item : parts.items()) {
            rows.add(List.of(
                    item.what().text(),
                    amount(item, item.needed()).text(),
                    amount(item, item.spare()).text(),
                    "□"));
        }
        blocks.add(new Document.Heading(Texts.say("parts.heading")));
        blocks.add(new Document.Table(
                Texts.say("parts.caption"),
                List.of(
                        Texts.say("parts.what"),
                        Texts.say("parts.needed"),
                        Texts.say("parts.spare"),
                        Texts.say("sheet.done")),
                List.of(70.0, 18.0, 14.0, 8.0),
                rows));
        parts.advice().forEach(said -> blocks.add(new Document.Text(said.text())));
    }

    /** How much of a part, in words. */
    public static Phrase amount(PartsList.Item item, long count) {
        if (item.unit() == PartsList.Unit.PIECES) {
            return Phrase.of("parts.pieces", count);
        }
        Phrase metres = Phrase.decimal(Math.ceil(count / 100.0) / 10, 1);
        return item.whole() || count == item.spare()
                ? Phrase.of("parts.length", metres)
                : Phrase.of("parts.length.least", metres);
    }

    private void cutList() {
        List<CutList.Piece> pieces = CutList.of(plan);
        if (pieces.isEmpty()) {
            return;
        }
        blocks.add(new Document.Heading(Texts.say("sheet.cut")));
        blocks.add(new Document.Text((Bundle.of(plan).isPresent()
                        ? Texts.say(
                                "sheet.cut.bundle",
                                Math.round((Bundle.BENDS - 1) * 100),
                                (int) CutList.ENDS_MM,
                                (int) CutList.STEP_MM,
                                DrillTemplate.millimetres(plan.inside().lidSlack()))
                        : Texts.say("sheet.cut.how", Math.round((CutList.SLACK - 1) * 100), (int) CutList.ENDS_MM, (int)
                                CutList.STEP_MM))
                + " " + boardNote()));
        blocks.add(new Document.Text(Texts.say("sheet.wire") + diodeNote() + " " + Texts.say("sheet.practice")));
        List<List<String>> rows = new ArrayList<>();
        double sum = 0;
        boolean all = true;
        Phrase last = Phrase.none();
        for (CutList.Piece piece : pieces) {
            rows.add(List.of(
                    piece.said().equals(last) ? "" : piece.said().text(),
                    piece.from().text(),
                    piece.to().text(),
                    piece.cut()
                            .map(mm -> Texts.say("length.mm", String.valueOf((int) (double) mm)))
                            .orElseGet(() -> Texts.say("cut.measure")),
                    "□"));
            last = piece.said();
            all &= piece.cut().isPresent();
            sum += piece.cut().orElse(0.0);
        }
        blocks.add(new Document.Table(
                sum == 0
                        ? Texts.say("cut.pieces", pieces.size())
                        : all
                                ? Texts.say("cut.pieces.sum", pieces.size(), metres(sum))
                                : Texts.say("cut.pieces.sum-measured", pieces.size(), metres(sum)),
                List.of(
                        Texts.say("sheet.line"),
                        Texts.say("sheet.from"),
                        Texts.say("sheet.to"),
                        Texts.say("sheet.cut-to"),
                        Texts.say("sheet.done")),
                List.of(12.0, 40.0, 40.0, 16.0, 8.0),
                rows));
        List<List<String>> shorter = CutList.shorter(plan);
        if (!shorter.isEmpty()) {
            blocks.add(new Document.Table(
                    Texts.say("sheet.order"),
                    List.of(Texts.say("sheet.line"), Texts.say("sheet.order.short"), Texts.say("sheet.order.saves")),
                    List.of(12.0, 88.0, 16.0),
                    shorter));
        }
    }

    private static Phrase metres(double millimetres) {
        return Phrase.decimal(Math.ceil(millimetres / 100) / 10, 1);
    }

    private String boardNote() {
        if (plan.panel().isEmpty()) {
            return Texts.say("sheet.board.unknown");
        }
        Optional<Mount.Place> board = plan.board();
        return board.isPresent()
                ? Texts.say(
                        "sheet.board.at",
                        DrillTemplate.millimetres(board.get().x()),
                        DrillTemplate.millimetres(board.get().y()))
                : Texts.say("sheet.board.assumed");
    }

    private String diodeNote() {
        long diodes = plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .count();
        return diodes == 0 ? "" : " " + Texts.say("sheet.diodes", diodes);
    }

    private void template(Document.Paper paper) {
        DrillTemplate.drills(plan).ifPresent(drills -> {
            blocks.add(new Document.Heading(Texts.say("sheet.drill.sizes")));
            blocks.add(drills);
        });
        List<Document.Plate> plates = DrillTemplate.of(plan, paper);
        List<String> lost = plan.controls().stream()
                .filter(c -> c.mount().place().isEmpty())
                .map(Control::label)
                .toList();
        if (plates.isEmpty()) {
            blocks.add(new Document.Heading(Texts.say("sheet.drill")));
            blocks.add(new Document.Text(Texts.say("sheet.drill.none")));
        } else if (!lost.isEmpty()) {
            blocks.add(new Document.Heading(Texts.say("sheet.drill")));
            blocks.add(new Document.Text(Texts.say("sheet.drill.lost", Phrase.commas(lost))));
        }
        blocks.addAll(plates);
    }
}
