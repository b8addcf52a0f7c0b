package ringout.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.plan.Action;
import ringout.plan.Assign;
import ringout.plan.Bundle;
import ringout.plan.Chain;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Terminals;
import ringout.plan.Wiring;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The pieces of wire a plan needs, in the order of soldering along each line.
 *
 * <p>A piece is cut {@link #SLACK} times its straight way plus {@link #ENDS_MM} for stripping and dressing both ends,
 * rounded up to {@link #STEP_MM}: common practice, no source. Where the plan gives the inside of the box, the way is that
 * along the {@link Bundle}, and so much longer as the bundle says.
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
     * @param run     what it is part of
     * @param line    of a line, its name in the plan; empty for the others
     * @param from    where it starts
     * @param to      where it ends
     * @param start   id of the control where it starts; empty for the board
     * @param contact id of the contact or axis at its end
     * @param cut     length to cut in millimetres; empty where the plan has no place
     */
    record Piece(
            Run run,
            String line,
            Phrase from,
            Phrase to,
            Optional<String> start,
            String contact,
            Optional<Double> cut) {
        /** What the wire is called. */
        Phrase said() {
            return run == Run.LINE ? Phrase.verbatim(line) : run.said();
        }
    }

    /** What a piece of wire is part of. */
    enum Run {
        LINE,
        /** The common wire of direct contacts or an end of axes. */
        GROUND,
        SUPPLY,
        /** From the wiper of an axis. */
        SIGNAL;

        /** What it is called; of a line, its name is. */
        Phrase said() {
            return switch (this) {
                case LINE -> Phrase.none();
                case GROUND -> Phrase.of("cut.ground");
                case SUPPLY -> Phrase.of("cut.supply");
                case SIGNAL -> Phrase.of("cut.signal");
            };
        }

        private Phrase pin() {
            return this == SUPPLY ? Phrase.of("cut.supply-pin") : Phrase.of("cut.ground-pin");
        }
    }

    /** Every piece that has both its ends on the panel, as a wire on the bundle. */
    static List<Bundle.Wire> wires(Plan plan) {
        return of(plan).stream()
                .map(p -> new Bundle.Wire(p.start(), control(plan, p.contact())))
                .toList();
    }

    private static String control(Plan plan, String contact) {
        return plan.contact(contact).map(Contact::control).orElse(contact);
    }

    /** How long wires are. */
    private record Ways(Plan plan, Optional<Bundle> bundle, Map<String, Mount.Place> places) {
        static Ways of(Plan plan) {
            return new Ways(plan, Bundle.of(plan), Assign.places(plan.controls()));
        }

        /** From the board, or a contact, to a contact or an axis, in millimetres; empty where the plan has no place. */
        Optional<Double> way(Optional<String> from, String to) {
            String end = control(plan, to);
            Optional<String> start = from.map(id -> control(plan, id));
            if (bundle.filter(b -> b.has(end) && start.stream().allMatch(b::has))
                    .isPresent()) {
                return Optional.of(
                        start.isEmpty()
                                ? bundle.get().wireFromBoard(end)
                                : bundle.get().wireBetween(start.get(), end));
            }
            Optional<Mount.Place> a = from.isEmpty() ? board(plan) : place(from.get());
            return a.flatMap(p -> place(to).map(q -> Chain.distance(p, q) * SLACK));
        }

        private Optional<Mount.Place> place(String id) {
            return Optional.ofNullable(places.get(id))
                    .or(() -> plan.control(id).flatMap(c -> c.mount().place()));
        }

        Optional<Double> cut(Optional<String> from, String to) {
            return way(from, to).map(mm -> Math.ceil((mm + ENDS_MM) / STEP_MM - 1e-9) * STEP_MM);
        }

        /** Of a chain whose contacts all have places. */
        double length(List<String> contacts) {
            double sum = 0;
            Optional<String> from = Optional.empty();
            for (String contact : contacts) {
                sum += way(from, contact).orElse(0.0);
                from = Optional.of(contact);
            }
            return sum;
        }
    }

    /** Where the wires end at the board: as planned, else the middle of the panel's lower edge. */
    static Optional<Mount.Place> board(Plan plan) {
        return plan.board().or(() -> plan.panel().map(p -> new Mount.Place(p.width() / 2, p.height())));
    }

    /** The far end of direct contacts as wired: ground or supply. */
    static Run common(Plan plan) {
        return plan.scan().directTo() == Scan.DirectTo.GROUND ? Run.GROUND : Run.SUPPLY;
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
        Ways ways = Ways.of(plan);
        List<Piece> pieces = new ArrayList<>();
        for (Line line : plan.lines()) {
            if (line.kind() != Line.Kind.SHIFT) {
                chain(plan, Run.LINE, line.name(), Phrase.verbatim(line.pin()), line.contacts(), ways, pieces);
            }
        }
        List<String> onCommon = onCommon(plan);
        if (!onCommon.isEmpty()) {
            chain(plan, common(plan), "", common(plan).pin(), onCommon, ways, pieces);
        }
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis axis) {
                Optional<Double> cut = ways.cut(Optional.empty(), axis.id());
                pieces.add(axis(
                        axis,
                        Run.SIGNAL,
                        axis.pin().map(Phrase::verbatim).orElseGet(() -> Phrase.of("cut.analogue-pin")),
                        Phrase.of("cut.wiper", axis.label()),
                        cut));
                pieces.add(axis(axis, Run.SUPPLY, Run.SUPPLY.pin(), Phrase.of("cut.one-end", axis.label()), cut));
                pieces.add(axis(axis, Run.GROUND, Run.GROUND.pin(), Phrase.of("cut.other-end", axis.label()), cut));
            }
        }
        return pieces;
    }

    private static Piece axis(Control.Axis axis, Run run, Phrase from, Phrase to, Optional<Double> cut) {
        return new Piece(run, "", from, to, Optional.empty(), axis.id(), cut);
    }

    /** Line, order and saving of each line whose wire would be shorter by at least {@link #WORTH_MM} in another order. */
    static List<List<String>> shorter(Plan plan) {
        Ways ways = Ways.of(plan);
        Map<String, Mount.Place> places = ways.places();
        List<List<String>> hints = new ArrayList<>();
        for (Line line : plan.lines()) {
            if (line.kind() != Line.Kind.SHIFT && places.keySet().containsAll(line.contacts())) {
                List<String> order = Assign.chained(line.contacts(), places, board(plan));
                double saved = ways.length(line.contacts()) - ways.length(order);
                if (saved >= WORTH_MM) {
                    hints.add(List.of(
                            line.name(), Phrase.commas(order).text(), Texts.say("length.mm", String.valueOf((int)
                                    saved))));
                }
            }
        }
        return hints;
    }

    private static void chain(
            Plan plan, Run run, String line, Phrase pin, List<String> contacts, Ways ways, List<Piece> pieces) {
        Phrase from = pin;
        Optional<String> at = Optional.empty();
        String before = "";
        for (String contact : contacts) {
            if (!oneTerminal(plan, line, before, contact)) {
                boolean common = run != Run.LINE
                        || contacts.stream().anyMatch(c -> !c.equals(contact) && oneTerminal(plan, line, c, contact));
                Phrase to = common ? commonWords(plan, contact) : words(plan, contact);
                pieces.add(new Piece(
                        run, line, from, to, at.map(id -> control(plan, id)), contact, ways.cut(at, contact)));
                from = to;
                at = Optional.of(contact);
            }
            before = contact;
        }
    }

    /**
     * True where two contacts are on a line by one common terminal of their part: no diode of their own keeps them apart
     * on that side (common practice, no source).
     */
    static boolean oneTerminal(Plan plan, String line, String one, String other) {
        return Terminals.shared(plan, line, one, other);
    }

    private static Phrase commonWords(Plan plan, String contact) {
        Control control =
                plan.control(plan.contact(contact).orElseThrow().control()).orElseThrow();
        return control.contacts().size() > 1
                ? Phrase.of("cut.common", control.label())
                : Phrase.verbatim(control.label());
    }

    /** A contact in the builder's words: {@code Cab look up}, {@code Power notch phase a}. */
    static Phrase words(Plan plan, String contact) {
        return plan.action(contact)
                .map(Action::words)
                .orElseGet(() -> plan.contact(contact)
                        .flatMap(c -> plan.control(c.control()))
                        .map(c -> Phrase.of("cut.phase", c.label(), contact.substring(contact.indexOf('.') + 1)))
                        .orElse(Phrase.verbatim(contact)));
    }
}
