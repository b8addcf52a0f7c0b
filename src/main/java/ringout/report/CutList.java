package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.plan.Assign;
import ringout.plan.Chain;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;

/**
 * The pieces of wire a plan needs, in the order of soldering along each line.
 *
 * <p>A piece is cut {@link #SLACK} times its straight way plus {@link #ENDS_MM} for stripping and dressing both ends,
 * rounded up to {@link #STEP_MM}: common practice, no source.
 */
final class CutList {
    static final double SLACK = 1.2;
    static final double ENDS_MM = 40;
    static final double STEP_MM = 10;

    /** Less is not worth a change of plan. */
    private static final double WORTH_MM = 50;

    private CutList() {}

    /**
     * A piece of wire.
     *
     * @param line    the line it is part of, or the common wire's name
     * @param from    where it starts, in words
     * @param to      where it ends, in words
     * @param contact id of the contact or axis at its end
     * @param cut     length to cut in millimetres; empty where the plan has no place
     */
    record Piece(String line, String from, String to, String contact, Optional<Double> cut) {}

    /** Where the wires end at the board: as planned, else the middle of the panel's lower edge. */
    static Optional<Mount.Place> board(Plan plan) {
        return plan.board().or(() -> plan.panel().map(p -> new Mount.Place(p.width() / 2, p.height())));
    }

    /** The far end of direct contacts as wired: {@code ground} or {@code supply}. */
    static String common(Plan plan) {
        return plan.scan().directTo() == Scan.DirectTo.GROUND ? "ground" : "supply";
    }

    /**
     * Ids of contacts on the common wire, one a control, in plan order: parts with several contacts have one common
     * terminal (common practice, no source).
     */
    static List<String> onCommon(Plan plan) {
        return plan.controls().stream()
                .flatMap(c -> c.contacts().stream()
                        .filter(contact -> contact.wiring() instanceof Wiring.Direct)
                        .limit(1))
                .map(Contact::id)
                .toList();
    }

    /** Every piece; shift-register boards are wired pin to pin and have none here. */
    static List<Piece> of(Plan plan) {
        Map<String, Mount.Place> places = Assign.places(plan.controls());
        List<Piece> pieces = new ArrayList<>();
        for (Line line : plan.lines()) {
            if (line.kind() != Line.Kind.SHIFT) {
                chain(plan, line.name(), line.pin(), line.contacts(), places, pieces);
            }
        }
        List<String> onCommon = onCommon(plan);
        if (!onCommon.isEmpty()) {
            chain(plan, common(plan), "the board's " + common(plan) + " pin", onCommon, places, pieces);
        }
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis axis) {
                Optional<Double> cut = cut(board(plan), axis.mount().place());
                pieces.add(new Piece(
                        "signal", axis.pin().orElse("an analogue pin"), axis.label() + " wiper", axis.id(), cut));
                pieces.add(new Piece("supply", "the board's supply pin", axis.label() + ", one end", axis.id(), cut));
                pieces.add(new Piece("ground", "the board's ground pin", axis.label() + ", other end", axis.id(), cut));
            }
        }
        return pieces;
    }

    /** Line, order and saving of each line whose wire would be shorter by at least {@link #WORTH_MM} in another order. */
    static List<List<String>> shorter(Plan plan) {
        Map<String, Mount.Place> places = Assign.places(plan.controls());
        List<List<String>> hints = new ArrayList<>();
        for (Line line : plan.lines()) {
            if (line.kind() != Line.Kind.SHIFT && places.keySet().containsAll(line.contacts())) {
                List<String> order = Assign.chained(line.contacts(), places, board(plan));
                double saved = length(line.contacts(), places, board(plan)) - length(order, places, board(plan));
                if (saved >= WORTH_MM) {
                    hints.add(List.of(line.name(), String.join(", ", order), (int) saved + " mm"));
                }
            }
        }
        return hints;
    }

    private static double length(List<String> contacts, Map<String, Mount.Place> places, Optional<Mount.Place> board) {
        List<Mount.Place> stops = contacts.stream().map(places::get).toList();
        return Chain.length(
                        stops,
                        java.util.stream.IntStream.range(0, stops.size())
                                .boxed()
                                .toList(),
                        board)
                * SLACK;
    }

    private static void chain(
            Plan plan,
            String line,
            String pin,
            List<String> contacts,
            Map<String, Mount.Place> places,
            List<Piece> pieces) {
        String from = pin;
        Optional<Mount.Place> at = board(plan);
        String before = "";
        for (String contact : contacts) {
            if (!oneTerminal(plan, line, before, contact)) {
                Optional<Mount.Place> next = Optional.ofNullable(places.get(contact));
                boolean common = line.equals(common(plan))
                        || contacts.stream().anyMatch(c -> !c.equals(contact) && oneTerminal(plan, line, c, contact));
                String to = common ? commonWords(plan, contact) : words(plan, contact);
                pieces.add(new Piece(line, from, to, contact, cut(at, next)));
                from = to;
                at = next;
            }
            before = contact;
        }
    }

    /**
     * True where two contacts are on a line by one common terminal of their part: no diode of their own keeps them apart
     * on that side (common practice, no source).
     */
    static boolean oneTerminal(Plan plan, String line, String one, String other) {
        Optional<Contact> a = plan.contact(one);
        Contact b = plan.contact(other).orElseThrow();
        return a.isPresent()
                && a.get().control().equals(b.control())
                && !diodeOn(plan, line, a.get())
                && !diodeOn(plan, line, b);
    }

    private static boolean diodeOn(Plan plan, String line, Contact contact) {
        Optional<Line.Kind> kind = plan.line(line).map(Line::kind);
        return contact.diode() == Contact.Diode.CATHODE_ROW && kind.equals(Optional.of(Line.Kind.ROW))
                || contact.diode() == Contact.Diode.CATHODE_COLUMN && kind.equals(Optional.of(Line.Kind.COLUMN));
    }

    private static Optional<Double> cut(Optional<Mount.Place> from, Optional<Mount.Place> to) {
        return from.flatMap(a ->
                to.map(b -> Math.ceil((Chain.distance(a, b) * SLACK + ENDS_MM) / STEP_MM - 1e-9) * STEP_MM));
    }

    private static String commonWords(Plan plan, String contact) {
        Control control =
                plan.control(plan.contact(contact).orElseThrow().control()).orElseThrow();
        return control.label() + (control.contacts().size() > 1 ? " common" : "");
    }

    /** A contact in the builder's words: {@code Cab look up}, {@code Power notch phase a}. */
    static String words(Plan plan, String contact) {
        return plan.action(contact)
                .map(a -> a.words())
                .orElseGet(() -> plan.contact(contact)
                        .flatMap(c -> plan.control(c.control()))
                        .map(c -> c.label() + " phase " + contact.substring(contact.indexOf('.') + 1))
                        .orElse(contact));
    }
}
