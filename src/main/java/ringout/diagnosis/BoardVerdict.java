package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import ringout.check.BareBoard;
import ringout.check.BareBoard.Touch;
import ringout.check.BareBoard.Touched;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.hid.Input;
import ringout.naming.FaultWords;
import ringout.plan.Action;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * What touches on a bare board tell of it: there are no wires, so that it is a pin, its header or the firmware's table.
 *
 * @param proved lines that one touch brought the planned input of
 * @param told   what is wrong, a sentence each
 */
public record BoardVerdict(Set<Line> proved, List<Told> told) {
    /**
     * What is wrong.
     *
     * @param lines it is about
     */
    public record Told(List<Line> lines, Phrase words) {
        public Told {
            lines = List.copyOf(lines);
        }
    }

    public BoardVerdict {
        proved = Set.copyOf(proved);
        told = List.copyOf(told);
    }

    /**
     * Judges touches.
     *
     * @param plan    of the box
     * @param touched in the order in which they were asked, those that part failed ones last
     */
    public static BoardVerdict of(Plan plan, List<Touched> touched) {
        Optional<Told> table = otherwise(plan, touched);
        return new BoardVerdict(
                BareBoard.proved(touched), table.map(List::of).orElseGet(() -> new Judge(plan, touched).told()));
    }

    /** The numbering of the whole table that explains everything that came, where it explains something at all. */
    private static Optional<Told> otherwise(Plan plan, List<Touched> touched) {
        if (touched.size() < 2 || touched.stream().allMatch(Touched::good)) {
            return Optional.empty();
        }
        Circuit circuit = Circuit.of(plan);
        return circuit.wholeBox().stream()
                .filter(f -> f instanceof Fault.Misordered m && m.order().renumbers())
                .filter(fault -> {
                    Harness otherwise = circuit.with(List.of(fault));
                    return touched.stream()
                            .allMatch(t -> closed(plan, t.touch())
                                    .map(action ->
                                            otherwise.read(Set.of(action)).on().equals(t.came()))
                                    .orElse(false));
                })
                .findFirst()
                .map(fault -> new Told(
                        List.of(),
                        Phrase.of(
                                "bare.told.table",
                                new FaultWords(plan).fault(fault).sentence())));
    }

    /** The action that closes the contact at that crossing. */
    private static Optional<String> closed(Plan plan, Touch touch) {
        Wiring at = new Wiring.Crossing(touch.row().name(), touch.column().name());
        return plan.actions().stream()
                .filter(a -> a.contacts().size() == 1
                        && a.input().filter(touch.input()::equals).isPresent()
                        && plan.contact(a.contacts().get(0))
                                .filter(c -> c.wiring().equals(at))
                                .isPresent())
                .map(Action::id)
                .findFirst();
    }

    /** Pin by pin. */
    private static final class Judge {
        private final List<Touched> touched;
        private final Map<Input, Touch> at = new HashMap<>();
        private final Set<Line> proved;
        /** As which line a pin is read. */
        private final Map<Line, Line> readAs = new LinkedHashMap<>();

        private final List<Told> told = new ArrayList<>();

        Judge(Plan plan, List<Touched> touched) {
            this.touched = touched;
            BareBoard.every(plan).forEach(t -> at.put(t.input(), t));
            proved = BareBoard.proved(touched);
        }

        List<Told> told() {
            List<Touched> failed = touched.stream().filter(t -> !t.good()).toList();
            failed.forEach(this::read);
            Set<Line> said = new HashSet<>();
            readAs.forEach((line, as) -> {
                if (said.add(line)) {
                    if (line.equals(readAs.get(as)) && said.add(as)) {
                        told.add(new Told(
                                List.of(line, as),
                                Phrase.of("bare.told.exchanged", name(line), name(as))
                                        .sentence()));
                    } else {
                        told.add(new Told(
                                List.of(line),
                                Phrase.of("bare.told.read-as", name(line), name(as))
                                        .sentence()));
                    }
                }
            });
            for (Touched one : failed) {
                if (crossing(one).isEmpty()) {
                    Line row = one.touch().row();
                    Line column = one.touch().column();
                    boolean rowProved = proved.contains(row);
                    if (rowProved && proved.contains(column)) {
                        told.add(new Told(
                                List.of(row, column),
                                Phrase.of("bare.told.once", name(row), name(column))
                                        .sentence()));
                    } else if (rowProved || proved.contains(column)) {
                        Line pin = rowProved ? column : row;
                        if (said.add(pin)) {
                            told.add(new Told(
                                    List.of(pin),
                                    Phrase.of("bare.told.pin", name(pin), name(rowProved ? row : column))
                                            .sentence()));
                        }
                    } else if (said.addAll(List.of(row, column))) {
                        told.add(new Told(
                                List.of(row, column),
                                Phrase.of("bare.told.both", name(row), name(column))
                                        .sentence()));
                    }
                }
            }
            return told;
        }

        /** The crossing that a touch was read at. */
        private Optional<Touch> crossing(Touched one) {
            SortedSet<Input> came = one.came();
            return came.size() == 1 ? Optional.ofNullable(at.get(came.first())) : Optional.empty();
        }

        private void read(Touched one) {
            crossing(one).ifPresent(as -> {
                note(one.touch().row(), as.row());
                note(one.touch().column(), as.column());
            });
        }

        private void note(Line line, Line as) {
            if (!line.equals(as) && !proved.contains(line)) {
                readAs.putIfAbsent(line, as);
            }
        }
    }

    /** A pin as it is named before there are wires: {@code pin 2 (R1)}. */
    public static Phrase name(Line line) {
        return Phrase.of("bare.pin", line.pin(), line.name());
    }

    /** Lines of which a touch was answered and that are not proved. */
    public Set<Line> wrong(Collection<Touched> touched) {
        Set<Line> wrong = new HashSet<>();
        touched.forEach(t -> wrong.addAll(List.of(t.touch().row(), t.touch().column())));
        wrong.removeAll(proved);
        return wrong;
    }
}
