package ringout.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.NewBox;
import ringout.plan.PermanentCorners;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * What to buy for a box as planned, and how many spares. Numbers of spares, colours of wire and sizes of sleeves are
 * common practice, no source.
 *
 * @param items  in the order of buying
 * @param advice where another kind of switch is wiser, a sentence each
 */
public record PartsList(List<Item> items, List<Phrase> advice) {
    /** One spare for so many switches of a kind, and at least one. */
    static final int SWITCHES_PER_SPARE = 8;

    /** Diodes are small, cheap and easily lost or overheated. */
    static final int DIODES_PER_SPARE = 5;

    private static final int LEAST_SPARE_DIODES = 5;

    /** So much of a joint and its wire is covered, in millimetres. */
    static final int SLEEVE_MM = 15;

    /** Wire is bought in steps of so many millimetres, with a tenth more than is cut. */
    private static final double WIRE_STEP_MM = 500;

    private static final double WIRE_MORE = 1.1;

    public PartsList {
        items = List.copyOf(items);
        advice = List.copyOf(advice);
    }

    /** What an item is counted in. */
    public enum Unit {
        PIECES,
        MILLIMETRES
    }

    /**
     * One line of the list.
     *
     * @param kind   for programs, such as {@code switch}
     * @param what   in words
     * @param needed in {@code unit}; of wire what the cut list adds up to
     * @param spare  how much more to buy, in {@code unit}
     * @param whole  false where the plan lacks places, so that some wire has to be measured
     */
    public record Item(Kind kind, Phrase what, long needed, long spare, Unit unit, boolean whole) {}

    /** What sort of part it is. */
    public enum Kind {
        SWITCH,
        DIODE,
        REGISTER,
        WIRE,
        SLEEVE
    }

    /** The parts of a plan. */
    public static PartsList of(Plan plan) {
        List<Item> items = new ArrayList<>();
        switches(plan, items);
        long diodes = plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE && c.wiring() instanceof Wiring.Crossing)
                .count();
        if (diodes > 0) {
            long spare = Math.max(LEAST_SPARE_DIODES, share(diodes, DIODES_PER_SPARE));
            items.add(new Item(Kind.DIODE, Phrase.of("parts.diode"), diodes, spare, Unit.PIECES, true));
        }
        long registers =
                plan.lines(Line.Kind.SHIFT).stream().mapToLong(Line::registers).sum();
        if (registers > 0) {
            items.add(new Item(Kind.REGISTER, Phrase.of("parts.register"), registers, 1, Unit.PIECES, true));
        }
        List<CutList.Piece> pieces = CutList.of(plan);
        wire(plan, pieces, items);
        long joints = pieces.size() + diodes;
        if (joints > 0) {
            items.add(new Item(
                    Kind.SLEEVE,
                    Phrase.of("parts.sleeve", joints, SLEEVE_MM),
                    joints * SLEEVE_MM,
                    share(joints, SWITCHES_PER_SPARE) * SLEEVE_MM,
                    Unit.MILLIMETRES,
                    true));
        }
        return new PartsList(items, advice(plan));
    }

    private static long share(long count, int each) {
        return (count + each - 1) / each;
    }

    private static void switches(Plan plan, List<Item> items) {
        Map<Phrase, Long> counts = new LinkedHashMap<>();
        for (Control control : plan.controls()) {
            counts.merge(name(control), 1L, Long::sum);
        }
        counts.forEach((what, count) ->
                items.add(new Item(Kind.SWITCH, what, count, share(count, SWITCHES_PER_SPARE), Unit.PIECES, true)));
    }

    private static Phrase name(Control control) {
        Phrase kind = switch (NewBox.Part.of(control)) {
            case PUSH -> Phrase.of("parts.push");
            case TOGGLE -> Phrase.of("parts.toggle");
            case TOGGLE_TWO_WAY -> Phrase.of("parts.toggle-two-way");
            case SELECTOR -> Phrase.of("parts.selector", control.contacts().size());
            case ENCODER -> Phrase.of("parts.encoder", ((Control.Encoder) control).detents());
            case HAT4 -> Phrase.of("parts.hat4");
            case HAT5 -> Phrase.of("parts.hat5");
            case AXIS -> Phrase.of("parts.axis");
        };
        Optional<Double> hole = control.mount().hole();
        return hole.map(mm -> Phrase.of("parts.hole", kind, DrillTemplate.millimetres(mm)))
                .orElseGet(() -> Phrase.of("parts.no-hole", kind));
    }

    /** The colours that tell wires apart when the lid is off. */
    private enum Colour {
        ROWS,
        COLUMNS,
        DIRECT,
        GROUND,
        SUPPLY,
        SIGNAL
    }

    private static void wire(Plan plan, List<CutList.Piece> pieces, List<Item> items) {
        for (Colour colour : Colour.values()) {
            List<CutList.Piece> own =
                    pieces.stream().filter(p -> colour(plan, p) == colour).toList();
            if (own.isEmpty()) {
                continue;
            }
            double cut = own.stream().mapToDouble(p -> p.cut().orElse(0.0)).sum();
            double bought = Math.ceil(cut * WIRE_MORE / WIRE_STEP_MM) * WIRE_STEP_MM;
            Phrase what = switch (colour) {
                case ROWS -> Phrase.of("parts.wire.rows");
                case COLUMNS -> Phrase.of("parts.wire.columns");
                case DIRECT -> Phrase.of("parts.wire.direct");
                case GROUND -> Phrase.of("parts.wire.ground");
                case SUPPLY -> Phrase.of("parts.wire.supply");
                case SIGNAL -> Phrase.of("parts.wire.signal");
            };
            items.add(new Item(
                    Kind.WIRE,
                    what,
                    Math.round(cut),
                    Math.round(bought - cut),
                    Unit.MILLIMETRES,
                    own.stream().allMatch(p -> p.cut().isPresent())));
        }
    }

    private static Colour colour(Plan plan, CutList.Piece piece) {

        return switch (piece.run()) {
            case GROUND -> Colour.GROUND;
            case SUPPLY -> Colour.SUPPLY;
            case SIGNAL -> Colour.SIGNAL;
            case LINE ->
                switch (plan.line(piece.line()).orElseThrow().kind()) {
                    case ROW -> Colour.ROWS;
                    case COLUMN -> Colour.COLUMNS;
                    case DIRECT, SHIFT -> Colour.DIRECT;
                };
        };
    }

    private static List<Phrase> advice(Plan plan) {
        return PermanentCorners.of(plan).stream()
                .map(id ->
                        plan.control(plan.contact(id).orElseThrow().control()).orElseThrow())
                .distinct()
                .map(control -> Phrase.of("parts.momentary", Names.label(control)))
                .toList();
    }
}
