package ringout.naming;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Order;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/** Faults in the words of somebody who soldered the box. */
public final class FaultWords {
    private static final int MOST_MEMBERS = 3;
    /** Of one mistake made many times, {@link #brief} names so many. */
    private static final int MOST_NAMED = 3;

    private final Plan plan;
    private final Names names;
    private final Map<String, Contact> contacts = new HashMap<>();
    private final Map<String, Line> lines = new HashMap<>();
    /** By contact: the places where it may be open, where not all three. */
    private final Map<String, Set<Integer>> places;

    private final boolean brief;

    public FaultWords(Plan plan) {
        this(plan, new Names(plan), Map.of(), false);
    }

    private FaultWords(Plan plan, Names names, Map<String, Set<Integer>> places, boolean brief) {
        this.plan = plan;
        this.names = names;
        this.places = places;
        this.brief = brief;
        plan.contacts().forEach(c -> contacts.put(c.id(), c));
        plan.lines().forEach(l -> lines.put(l.name(), l));
    }

    /** What the things are called that these sentences speak of. */
    public Names names() {
        return names;
    }

    /**
     * The same words, with what the meter left of the places where contacts may be open.
     *
     * @param places by contact: {@link ringout.circuit.Meter#reads(int, ringout.circuit.NodeName, ringout.circuit.NodeName,
     *               ringout.circuit.ProbeMode)} says which
     */
    public FaultWords open(Map<String, Set<Integer>> places) {
        return new FaultWords(plan, names, places, brief);
    }

    /** The same in as few words as tell one fault from another, for use within a sentence: {@code R2 is open at pin 5}. */
    public FaultWords brief() {
        return new FaultWords(plan, names, places, true);
    }

    /** An open contact, with where it is open as far as that is known: {@code the joint of BELL's leg on C3 is open}. */
    private Phrase open(String contact) {
        Set<Integer> left = places.getOrDefault(contact, Set.of());
        if (left.isEmpty()) {
            return Phrase.of("fault.contact-open", names.contact(contact));
        }
        Contact at = Known.in(contacts, contact);
        List<Object> ends = at.wiring() instanceof Wiring.Crossing x
                ? List.of(x.row(), x.column())
                : at.wiring() instanceof Wiring.Direct d
                        ? List.of(d.line(), Phrase.of("place.common"))
                        : List.of(Phrase.of("place.register"), Phrase.of("place.common"));
        List<Phrase> where = new ArrayList<>();
        for (int place : left) {
            boolean first = where.isEmpty();
            Phrase whose = names.contact(contact);
            boolean diode = place == 0 && at.diode() == Contact.Diode.CATHODE_ROW
                    || place == 2 && at.diode() == Contact.Diode.CATHODE_COLUMN;
            Object on = ends.get(place / 2);
            if (place == 1) {
                where.add(first ? Phrase.of("place.switch", whose) : Phrase.of("place.its-switch"));
            } else if (diode) {
                where.add(first ? Phrase.of("place.diode", whose, on) : Phrase.of("place.its-diode", on));
            } else {
                where.add(first ? Phrase.of("place.leg", whose, on) : Phrase.of("place.its-leg", on));
            }
        }
        return Phrase.of("fault.place-open", Phrase.or(where));
    }

    private String pin(String line) {
        return Known.in(lines, line).pin();
    }

    /** One fault as a sentence without its capital: {@code the row wire R2 is open between pin 5 and SANDER}. */
    public Phrase fault(Fault fault) {
        return fault.fold(brief ? new Briefly() : new Sentences());
    }

    /** How a box is out of order. */
    private static final class Orderly implements Order.Fold<Phrase> {
        @Override
        public Phrase shifted(Order.Shifted o) {
            return o.by() > 0 ? Phrase.of("order.shifted-up", o.by()) : Phrase.of("order.shifted-down", -o.by());
        }

        @Override
        public Phrase shiftedFrom(Order.ShiftedFrom o) {
            return o.by() > 0
                    ? Phrase.of("order.shifted-from-up", o.by(), o.from())
                    : Phrase.of("order.shifted-from-down", -o.by(), o.from());
        }

        @Override
        public Phrase wider(Order.Wider o) {
            boolean columns = o.side() == Order.Side.COLUMNS;
            return o.by() > 0
                    ? columns ? Phrase.of("order.wider-columns", o.by()) : Phrase.of("order.wider-rows", o.by())
                    : columns
                            ? Phrase.of("order.narrower-columns", -o.by())
                            : Phrase.of("order.narrower-rows", -o.by());
        }

        @Override
        public Phrase byColumns(Order.ByColumns o) {
            return Phrase.of("order.by-columns");
        }

        @Override
        public Phrase mirrored(Order.Mirrored o) {
            return o.side() == Order.Side.ROWS ? Phrase.of("order.mirrored-rows") : Phrase.of("order.mirrored-columns");
        }

        @Override
        public Phrase turned(Order.Turned o) {
            return Phrase.of("order.turned");
        }

        @Override
        public Phrase transposed(Order.Transposed o) {
            return Phrase.of("order.transposed");
        }

        @Override
        public Phrase rotated(Order.Rotated o) {
            boolean rows = o.side() == Order.Side.ROWS;
            return o.by() > 0
                    ? rows ? Phrase.of("order.rotated-rows", o.by()) : Phrase.of("order.rotated-columns", o.by())
                    : rows
                            ? Phrase.of("order.rotated-rows-back", -o.by())
                            : Phrase.of("order.rotated-columns-back", -o.by());
        }
    }

    private class Sentences implements Fault.Fold<Phrase> {
        @Override
        public Phrase lineOpen(Fault.LineOpen f) {
            List<String> chain = Known.in(lines, f.line()).contacts();
            return chain.isEmpty()
                    ? Phrase.of("fault.line-open.bare", names.line(f.line()), pin(f.line()))
                    : Phrase.of("fault.line-open", names.line(f.line()), pin(f.line()), names.contact(chain.get(0)));
        }

        @Override
        public Phrase lineBroken(Fault.LineBroken f) {
            List<String> chain = Known.in(lines, f.line()).contacts();
            return Phrase.of(
                    "fault.line-broken",
                    names.line(f.line()),
                    names.contact(f.after()),
                    names.contact(chain.get(chain.indexOf(f.after()) + 1)));
        }

        @Override
        public Phrase chainBroken(Fault.ChainBroken f) {
            return f.register() == 1
                    ? Phrase.of("fault.chain-open", names.line(f.line()))
                    : Phrase.of("fault.chain-broken", names.line(f.line()), f.register());
        }

        @Override
        public Phrase contactOpen(Fault.ContactOpen f) {
            return open(f.contact());
        }

        @Override
        public Phrase contactClosed(Fault.ContactClosed f) {
            return Phrase.of("fault.contact-closed", names.contact(f.contact()));
        }

        @Override
        public Phrase linesShorted(Fault.LinesShorted f) {
            return Phrase.of("fault.shorted", names.line(f.first()), names.end(f.second()));
        }

        @Override
        public Phrase linesExchanged(Fault.LinesExchanged f) {
            return Phrase.of(
                    "fault.lines-exchanged",
                    names.line(f.first()),
                    names.line(f.second()),
                    pin(f.first()),
                    pin(f.second()));
        }

        @Override
        public Phrase contactsExchanged(Fault.ContactsExchanged f) {
            return Phrase.of("fault.contacts-exchanged", names.contact(f.first()), names.contact(f.second()));
        }

        @Override
        public Phrase diodeOpen(Fault.DiodeOpen f) {
            return Phrase.of("fault.diode-open", names.contact(f.contact()));
        }

        @Override
        public Phrase diodeShort(Fault.DiodeShort f) {
            return Phrase.of("fault.diode-short", names.contact(f.contact()));
        }

        @Override
        public Phrase diodeReversed(Fault.DiodeReversed f) {
            return Phrase.of("fault.diode-reversed", names.contact(f.contact()));
        }

        @Override
        public Phrase phasesExchanged(Fault.PhasesExchanged f) {
            return Phrase.of("fault.phases", names.control(f.control()));
        }

        @Override
        public Phrase normallyClosed(Fault.NormallyClosed f) {
            return Phrase.of("fault.normally-closed", names.contact(f.contact()));
        }

        @Override
        public Phrase wrongPin(Fault.WrongPin f) {
            return f.pin().equals(Fault.UNUSED_PIN)
                    ? Phrase.of("fault.wrong-pin.unused", names.line(f.line()), pin(f.line()))
                    : Phrase.of("fault.wrong-pin", names.line(f.line()), f.pin(), pin(f.line()));
        }

        @Override
        public Phrase intermittent(Fault.Intermittent f) {
            return Phrase.of("fault.intermittent", fault(f.fault()));
        }

        @Override
        public Phrase misordered(Fault.Misordered f) {
            return f.order().fold(new Orderly());
        }

        @Override
        public Phrase scannedOtherWay(Fault.ScannedOtherWay f) {
            return Phrase.of("fault.scanned-other-way");
        }

        @Override
        public Phrase scanHurried(Fault.ScanHurried f) {
            return Phrase.of("fault.scan-hurried", f.following());
        }

        @Override
        public Phrase silent(Fault.Silent f) {
            return Phrase.of("fault.silent");
        }

        @Override
        public Phrase contactWeak(Fault.ContactWeak f) {
            return Phrase.of("fault.contact-weak", names.contact(f.contact()));
        }

        @Override
        public Phrase lineWeak(Fault.LineWeak f) {
            return Phrase.of("fault.line-weak", names.line(f.line()), pin(f.line()));
        }

        @Override
        public Phrase linesLeak(Fault.LinesLeak f) {
            return Phrase.of("fault.leak", names.line(f.first()), names.end(f.second()));
        }

        @Override
        public Phrase contactLeak(Fault.ContactLeak f) {
            return Phrase.of("fault.contact-leak", names.contact(f.contact()));
        }

        @Override
        public Phrase axisOpen(Fault.AxisOpen f) {
            return switch (f.wire()) {
                case WIPER -> Phrase.of("fault.axis-open.wiper", names.control(f.axis()));
                case GROUND -> Phrase.of("fault.axis-open.ground", names.control(f.axis()));
                case SUPPLY -> Phrase.of("fault.axis-open.supply", names.control(f.axis()));
            };
        }

        @Override
        public Phrase axisExchanged(Fault.AxisExchanged f) {
            return switch (f.pair()) {
                case ENDS -> Phrase.of("fault.axis-exchange.ends", names.control(f.axis()));
                case WIPER_GROUND -> Phrase.of("fault.axis-exchange.wiper-ground", names.control(f.axis()));
                case WIPER_SUPPLY -> Phrase.of("fault.axis-exchange.wiper-supply", names.control(f.axis()));
            };
        }

        @Override
        public Phrase axisWorn(Fault.AxisWorn f) {
            return Phrase.of("fault.axis-worn", names.control(f.axis()));
        }

        @Override
        public Phrase axesExchanged(Fault.AxesExchanged f) {
            return Phrase.of("fault.axes-exchanged", names.control(f.first()), names.control(f.second()));
        }

        @Override
        public Phrase pullLost(Fault.PullLost f) {
            return Phrase.of("fault.pull-lost", names.line(f.line()));
        }
    }

    /** Those that say much, with less: a line by its name alone, and without what may be the reason. */
    private final class Briefly extends Sentences {
        @Override
        public Phrase lineOpen(Fault.LineOpen f) {
            return Phrase.of("brief.line-open", f.line(), pin(f.line()));
        }

        @Override
        public Phrase contactOpen(Fault.ContactOpen f) {
            return places.containsKey(f.contact())
                    ? super.contactOpen(f)
                    : Phrase.of("brief.contact-open", names.contact(f.contact()));
        }

        @Override
        public Phrase contactClosed(Fault.ContactClosed f) {
            return Phrase.of("brief.contact-closed", names.contact(f.contact()));
        }

        @Override
        public Phrase linesShorted(Fault.LinesShorted f) {
            return Phrase.of("fault.shorted", f.first(), end(f.second()));
        }

        @Override
        public Phrase linesExchanged(Fault.LinesExchanged f) {
            return Phrase.of("fault.contacts-exchanged", f.first(), f.second());
        }

        @Override
        public Phrase wrongPin(Fault.WrongPin f) {
            return Phrase.of("brief.wrong-pin", f.line(), pin(f.line()));
        }

        @Override
        public Phrase lineBroken(Fault.LineBroken f) {
            return Phrase.of("brief.line-broken", f.line(), names.contact(f.after()));
        }

        @Override
        public Phrase diodeOpen(Fault.DiodeOpen f) {
            return Phrase.of("brief.diode-open", names.contact(f.contact()));
        }

        @Override
        public Phrase diodeShort(Fault.DiodeShort f) {
            return Phrase.of("brief.diode-short", names.contact(f.contact()));
        }

        @Override
        public Phrase diodeReversed(Fault.DiodeReversed f) {
            return Phrase.of("brief.diode-reversed", names.contact(f.contact()));
        }

        @Override
        public Phrase normallyClosed(Fault.NormallyClosed f) {
            return Phrase.of("brief.normally-closed", names.contact(f.contact()));
        }

        @Override
        public Phrase scannedOtherWay(Fault.ScannedOtherWay f) {
            return Phrase.of("brief.scanned-other-way");
        }

        @Override
        public Phrase scanHurried(Fault.ScanHurried f) {
            return Phrase.of("brief.scan-hurried");
        }

        @Override
        public Phrase silent(Fault.Silent f) {
            return Phrase.of("brief.silent");
        }

        @Override
        public Phrase contactWeak(Fault.ContactWeak f) {
            return Phrase.of("brief.contact-weak", names.contact(f.contact()));
        }

        @Override
        public Phrase lineWeak(Fault.LineWeak f) {
            return Phrase.of("brief.line-weak", f.line(), pin(f.line()));
        }

        @Override
        public Phrase linesLeak(Fault.LinesLeak f) {
            return Phrase.of("fault.leak", f.first(), end(f.second()));
        }

        @Override
        public Phrase contactLeak(Fault.ContactLeak f) {
            return Phrase.of("brief.contact-leak", names.contact(f.contact()));
        }

        @Override
        public Phrase pullLost(Fault.PullLost f) {
            return Phrase.of("brief.pull-lost", f.line());
        }

        private Object end(String name) {
            return name.equals(Fault.GROUND) || name.equals(Fault.SUPPLY) ? names.end(name) : name;
        }
    }

    /** Several faults together; for none, that the box is as planned. */
    public Phrase set(List<Fault> faults) {
        if (faults.isEmpty()) {
            return Phrase.of("fault.none");
        }
        List<Phrase> parts = new ArrayList<>();
        List<Fault> left = new ArrayList<>(faults);
        while (!left.isEmpty()) {
            Fault first = left.get(0);
            List<Fault> alike = left.stream()
                    .filter(f -> f.kind() == first.kind()
                            && f.lasting().kind() == first.lasting().kind())
                    .toList();
            Optional<Phrase> together = alike.size() > 1
                    ? many(
                            first.lasting().kind(),
                            alike.stream().map(Fault::lasting).toList())
                    : Optional.empty();
            if (together.isPresent()) {
                parts.add(
                        first.lasting().equals(first)
                                ? together.get()
                                : Phrase.of("fault.intermittent", together.get()));
                left.removeAll(alike);
            } else {
                parts.add(fault(first));
                left.remove(0);
            }
        }
        Phrase all = parts.get(0);
        for (Phrase part : parts.subList(1, parts.size())) {
            all = Phrase.of("fault.and", all, part);
        }
        return all;
    }

    /** One mistake made several times, in one sentence; empty where each is told by itself. */
    private Optional<Phrase> many(FaultKind kind, List<Fault> faults) {
        Phrase number = Phrase.number(faults.size());
        int most = brief ? MOST_NAMED : Integer.MAX_VALUE;
        Phrase contacts = Phrase.some(
                faults.stream()
                        .flatMap(f -> f.contacts().stream())
                        .map(names::contact)
                        .toList(),
                most);
        Phrase lines =
                Phrase.some(faults.stream().flatMap(f -> f.lines().stream()).toList(), most);
        Phrase pairs = Phrase.some(
                faults.stream()
                        .map(f -> f.contacts().isEmpty()
                                ? Phrase.of(
                                        "fault.many.pair",
                                        f.lines().get(0),
                                        f.lines().get(f.lines().size() - 1))
                                : Phrase.of(
                                        "fault.many.pair",
                                        names.contact(f.contacts().get(0)),
                                        names.contact(
                                                f.contacts().get(f.contacts().size() - 1))))
                        .toList(),
                most);
        return switch (kind) {
            case CONTACT_OPEN -> Optional.of(Phrase.of("fault.many.contact-open", number, contacts));
            case CONTACT_CLOSED -> Optional.of(Phrase.of("fault.many.contact-closed", number, contacts));
            case CONTACT_WEAK -> Optional.of(Phrase.of("fault.many.contact-weak", number, contacts));
            case CONTACT_LEAK -> Optional.of(Phrase.of("fault.many.contact-leak", number, contacts));
            case NORMALLY_CLOSED -> Optional.of(Phrase.of("fault.many.normally-closed", number, contacts));
            case DIODE_OPEN -> Optional.of(Phrase.of("fault.many.diode-open", number, contacts));
            case DIODE_SHORT -> Optional.of(Phrase.of("fault.many.diode-short", number, contacts));
            case DIODE_REVERSED -> Optional.of(Phrase.of("fault.many.diode-reversed", number, contacts));
            case LINE_OPEN -> Optional.of(Phrase.of("fault.many.line-open", number, lines));
            case LINE_WEAK -> Optional.of(Phrase.of("fault.many.line-weak", number, lines));
            case LINES_SHORTED -> Optional.of(Phrase.of("fault.many.shorted", number, pairs));
            case LINES_LEAK -> Optional.of(Phrase.of("fault.many.leak", number, pairs));
            case LINES_EXCHANGED -> Optional.of(Phrase.of("fault.many.lines-exchanged", number, pairs));
            case CONTACTS_EXCHANGED -> Optional.of(Phrase.of("fault.many.contacts-exchanged", number, pairs));
            case LINE_BROKEN,
                    CHAIN_BROKEN,
                    PHASES_EXCHANGED,
                    WRONG_PIN,
                    INTERMITTENT,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    PULL_LOST,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> Optional.empty();
        };
    }

    /**
     * Sets of faults that look the same from outside.
     *
     * @param shared what all of them share; {@link Phrase#none()} for nothing
     * @param own    what sets them apart, the likeliest first; never empty
     */
    public record Alike(Phrase shared, List<Phrase> own) {
        public Alike {
            own = List.copyOf(own);
        }

        /** One set that stands alone. */
        public static Alike alone(Phrase set) {
            return new Alike(Phrase.none(), List.of(set));
        }

        /** The likeliest alone. */
        public Phrase likeliest() {
            return shared.isEmpty() ? own.get(0) : Phrase.of("fault.and", shared, own.get(0));
        }

        /** The rest. */
        public List<Phrase> others() {
            return own.subList(1, own.size());
        }

        /** All of them in one sentence without its capital. */
        public Phrase all() {
            if (own.size() == 1) {
                return likeliest();
            }
            Phrase all = shared.isEmpty() ? own.get(0) : Phrase.of("fault.and-either", shared, own.get(0));
            for (Phrase other : others()) {
                all = Phrase.of("fault.or", all, other);
            }
            return all;
        }
    }

    /** A class: what all members share once, then its likeliest members with as few faults as the first, the rest counted. */
    public Alike alternatives(List<List<Fault>> alternatives) {
        List<Fault> common = common(alternatives);
        List<List<Fault>> own =
                alternatives.stream().map(set -> without(set, common)).toList();
        List<Phrase> parts = new ArrayList<>();
        if (own.get(0).isEmpty()) {
            parts.add(set(common));
            others(own.size() - 1, parts);
            return new Alike(Phrase.none(), parts);
        }
        // That the same fault may come and go goes without saying where it is also listed as always there.
        List<List<Fault>> told = own.stream()
                .filter(set -> lasting(set).equals(set) || !own.contains(lasting(set)))
                .distinct()
                .toList();
        told.stream()
                .filter(set -> set.size() == own.get(0).size())
                .limit(MOST_MEMBERS)
                .map(this::set)
                .forEach(parts::add);
        others(told.size() - parts.size(), parts);
        return new Alike(common.isEmpty() ? Phrase.none() : set(common), parts);
    }

    private static List<Fault> lasting(List<Fault> set) {
        return set.stream().map(Fault::lasting).toList();
    }

    private static void others(int number, List<Phrase> parts) {
        if (number > 0) {
            parts.add(Phrase.of("fault.others", number));
        }
    }

    /** The faults that every one of these sets has. */
    public static List<Fault> common(List<List<Fault>> sets) {
        return sets.isEmpty()
                ? List.of()
                : sets.get(0).stream()
                        .filter(fault -> sets.stream().allMatch(set -> set.contains(fault)))
                        .toList();
    }

    /** A set less some of its faults. */
    public static List<Fault> without(List<Fault> set, List<Fault> some) {
        return set.stream().filter(fault -> !some.contains(fault)).toList();
    }
}
