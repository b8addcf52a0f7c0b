package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Wiring;

/**
 * Chords of two and three that may tell explanations apart: around every crossing that an explanation names, the ways
 * current could take through it that a single press does not show.
 */
final class ChordFinder {
    private static final int WAYS = 3;
    private static final int MOST = 240;
    /** Contacts taken from each line; more give chords that hardly differ. */
    private static final int ALONG = 6;

    private static final int SMALL = 10;

    private final Circuit circuit;
    private final Chords chords;
    private final Map<String, Wiring.Crossing> crossings = new HashMap<>();
    private final Map<Wiring.Crossing, String> at = new HashMap<>();
    private final List<String> rows;
    private final List<String> columns;

    ChordFinder(Circuit circuit, Chords chords) {
        this.circuit = circuit;
        this.chords = chords;
        for (Contact contact : circuit.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing crossing) {
                crossings.put(contact.id(), crossing);
                if (chords.canHold(contact.id())) {
                    at.put(crossing, contact.id());
                }
            }
        }
        rows = circuit.plan().lines(Line.Kind.ROW).stream().map(Line::name).toList();
        columns =
                circuit.plan().lines(Line.Kind.COLUMN).stream().map(Line::name).toList();
    }

    /** Chords about these faults, about {@value #MOST} at most. */
    Set<List<String>> about(Collection<Fault> faults) {
        Set<Wiring.Crossing> focus = new LinkedHashSet<>();
        Set<String> single = new LinkedHashSet<>();
        for (Fault fault : faults) {
            focus(fault, focus, single);
        }
        Set<List<String>> found = new LinkedHashSet<>();
        for (Wiring.Crossing x : focus) {
            if (found.size() < MOST) {
                around(x, focus, found);
            }
        }
        List<String> elsewhere = elsewhere(faults);
        for (int i = 0; i <= Math.max(0, elsewhere.size() - WAYS); i++) {
            offer(
                    found,
                    elsewhere.subList(i, Math.min(i + WAYS, elsewhere.size())).toArray(String[]::new));
        }
        List<String> others = new ArrayList<>(single);
        focus.stream().map(at::get).filter(java.util.Objects::nonNull).forEach(others::add);
        for (int i = 0; i < Math.min(single.size(), 8) && found.size() < MOST; i++) {
            for (int j = i + 1; j < Math.min(others.size(), 12); j++) {
                offer(found, others.get(i), others.get(j));
            }
        }
        return found;
    }

    /** Contacts on lines with which another may be exchanged or for which the firmware may take it, no two on one line. */
    private List<String> elsewhere(Collection<Fault> faults) {
        Set<String> lines = new LinkedHashSet<>();
        for (Fault fault : faults) {
            Fault always = fault.lasting();
            if (always instanceof Fault.LinesExchanged) {
                lines.addAll(always.lines());
            } else if (always instanceof Fault.WrongPin f) {
                circuit.plan().lines().stream()
                        .filter(l -> l.pin().equals(f.pin()))
                        .forEach(l -> lines.add(l.name()));
            }
        }
        Set<String> used = new HashSet<>();
        List<String> elsewhere = new ArrayList<>();
        for (String line : lines) {
            at.keySet().stream()
                    .filter(x -> (x.row().equals(line) || x.column().equals(line))
                            && !used.contains(x.row())
                            && !used.contains(x.column()))
                    .min(Comparator.comparing(
                                    (Wiring.Crossing x) -> !lines.contains(x.row()) || !lines.contains(x.column()))
                            .thenComparing(at::get))
                    .ifPresent(x -> {
                        used.addAll(List.of(x.row(), x.column()));
                        elsewhere.add(at.get(x));
                    });
        }
        return elsewhere;
    }

    /**
     * Chords of two and three along the lines of controls that do not answer: what still answers tells at once how far
     * row and column are good. And chords of three that share no line with them or each other: each answer clears a row
     * and a column of being exchanged with theirs. In a box of at most {@value #SMALL} crossings all chords of two and
     * three.
     */
    Set<List<String>> along(Collection<String> dead) {
        Set<List<String>> found = new LinkedHashSet<>();
        List<String> all =
                crossings.keySet().stream().filter(chords::canHold).sorted().toList();
        for (int i = 0; i < all.size() && all.size() <= SMALL && !dead.isEmpty(); i++) {
            for (int j = 0; j < i; j++) {
                offer(found, all.get(i), all.get(j));
                for (int k = 0; k < j; k++) {
                    offer(found, all.get(i), all.get(j), all.get(k));
                }
            }
        }
        for (String id : dead) {
            if (crossings.containsKey(id)) {
                List<String> row = towardsPin(crossings.get(id).row(), id);
                List<String> column = towardsPin(crossings.get(id).column(), id);
                List<String> apart = apart(crossings.get(id));
                for (int i = 0; i < apart.size(); i += WAYS) {
                    offer(
                            found,
                            apart.subList(i, Math.min(i + WAYS, apart.size())).toArray(String[]::new));
                }
                alongOne(row, found);
                alongOne(column, found);
                for (String a : row) {
                    for (String b : column) {
                        offer(found, a, b);
                        offer(found, id, a, b);
                        row.stream().filter(c -> c.compareTo(a) > 0).forEach(c -> offer(found, a, b, c));
                        column.stream().filter(c -> c.compareTo(b) > 0).forEach(c -> offer(found, a, b, c));
                    }
                }
            }
        }
        return found;
    }

    /**
     * Chords of two and three on one line, which tell where it is broken; and of two on one line with another that shares
     * the other line of one of them, which tells a broken line from one that is held by a rail.
     */
    private void alongOne(List<String> line, Set<List<String>> found) {
        for (int i = 0; i < line.size(); i++) {
            for (int j = 0; j < i; j++) {
                String a = line.get(i);
                String b = line.get(j);
                offer(found, a, b);
                line.subList(0, j).forEach(c -> offer(found, a, b, c));
                beside(a, b).ifPresent(c -> offer(found, a, b, c));
                beside(b, a).ifPresent(c -> offer(found, a, b, c));
            }
        }
    }

    /** Another contact on the line of the first that is not the second's. */
    private Optional<String> beside(String first, String second) {
        Wiring.Crossing x = Known.in(crossings, first);
        boolean row = x.column().equals(Known.in(crossings, second).column());
        return (row
                        ? columns.stream().map(c -> new Wiring.Crossing(x.row(), c))
                        : rows.stream().map(r -> new Wiring.Crossing(r, x.column())))
                .filter(y -> !y.equals(x) && at.containsKey(y))
                .map(at::get)
                .findFirst();
    }

    /** Contacts on other rows and other columns than that crossing, no two of them on one line. */
    private List<String> apart(Wiring.Crossing x) {
        List<String> apart = new ArrayList<>();
        List<String> otherRows = rows.stream().filter(r -> !r.equals(x.row())).toList();
        List<String> free = new ArrayList<>(
                columns.stream().filter(c -> !c.equals(x.column())).toList());
        for (String row : otherRows) {
            free.stream()
                    .filter(c -> at.containsKey(new Wiring.Crossing(row, c)))
                    .findFirst()
                    .ifPresent(c -> {
                        free.remove(c);
                        apart.add(at.get(new Wiring.Crossing(row, c)));
                    });
        }
        return apart;
    }

    /** Some contacts on a line between its pin and that one, evenly apart, and the first beyond it. */
    private List<String> towardsPin(String line, String id) {
        List<String> chain = circuit.plan().line(line).orElseThrow().contacts().stream()
                .filter(c -> c.equals(id) || chords.canHold(c))
                .toList();
        int at = chain.indexOf(id);
        Set<String> some = new LinkedHashSet<>();
        for (int i = 0; i < Math.min(ALONG, at); i++) {
            some.add(chain.get(i * (at - 1) / Math.max(1, Math.min(ALONG, at) - 1)));
        }
        if (at + 1 < chain.size()) {
            some.add(chain.get(at + 1));
        }
        return List.copyOf(some);
    }

    private void focus(Fault fault, Set<Wiring.Crossing> focus, Set<String> single) {
        contacts(fault.lasting()).forEach(c -> contact(c, focus, single));
        if (fault.lasting().kind() == FaultKind.LINES_SHORTED || fault.kind() == FaultKind.LINES_LEAK) {
            crossing(fault.lines().get(0), fault.lines().get(1), focus);
        }
    }

    /** The contacts that a chord about a fault should work, or work around. */
    private List<String> contacts(Fault fault) {
        return switch (fault.kind()) {
            case CONTACT_OPEN,
                    CONTACT_CLOSED,
                    NORMALLY_CLOSED,
                    DIODE_OPEN,
                    DIODE_SHORT,
                    DIODE_REVERSED,
                    CONTACTS_EXCHANGED,
                    CONTACT_WEAK,
                    CONTACT_LEAK -> fault.contacts();
            case LINES_SHORTED, LINES_LEAK, LINES_EXCHANGED, LINE_OPEN, WRONG_PIN, LINE_WEAK, PULL_LOST ->
                fault.lines().stream()
                        .flatMap(line -> circuit.plan().line(line).stream())
                        .flatMap(line -> line.contacts().stream().limit(2))
                        .toList();
            case LINE_BROKEN -> {
                Fault.LineBroken f = (Fault.LineBroken) fault;
                List<String> chain = circuit.plan().line(f.line()).orElseThrow().contacts();
                yield List.of(f.after(), chain.get(chain.indexOf(f.after()) + 1));
            }
            // Single presses show all there is to see of these.
            case CHAIN_BROKEN,
                    PHASES_EXCHANGED,
                    INTERMITTENT,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> List.of();
        };
    }

    private void contact(String id, Set<Wiring.Crossing> focus, Set<String> single) {
        Wiring.Crossing crossing = crossings.get(id);
        if (crossing != null) {
            focus.add(crossing);
        } else if (chords.canHold(id)) {
            single.add(id);
        }
    }

    private void crossing(String first, String second, Set<Wiring.Crossing> focus) {
        if (rows.contains(first) && columns.contains(second)) {
            focus.add(new Wiring.Crossing(first, second));
        } else if (rows.contains(second) && columns.contains(first)) {
            focus.add(new Wiring.Crossing(second, first));
        }
    }

    /** Corner chords and diagonals of a few rectangles with that crossing in a corner, quiet neighbours first. */
    private void around(Wiring.Crossing x, Set<Wiring.Crossing> focus, Set<List<String>> found) {
        int ways = 0;
        for (int pass = 0; pass < 2 && ways < WAYS; pass++) {
            // Along a diagonal, so that every way round uses another row and another column.
            for (int shift = 1; shift < Math.max(rows.size(), columns.size()) && ways < WAYS; shift++) {
                for (int r = 0; r < rows.size() && ways < WAYS; r++) {
                    int c = (r + shift) % columns.size();
                    Wiring.Crossing opposite = new Wiring.Crossing(rows.get(r), columns.get(c));
                    Wiring.Crossing sameRow = new Wiring.Crossing(x.row(), columns.get(c));
                    Wiring.Crossing sameColumn = new Wiring.Crossing(rows.get(r), x.column());
                    if (rows.get(r).equals(x.row())
                            || columns.get(c).equals(x.column())
                            || !at.containsKey(sameRow)
                            || !at.containsKey(sameColumn)
                            || pass == 0 && (focus.contains(sameRow) || focus.contains(sameColumn))) {
                        continue;
                    }
                    ways++;
                    offer(found, at.get(sameRow), at.get(sameColumn));
                    if (at.containsKey(x)) {
                        offer(found, at.get(sameRow), at.get(x), at.get(sameColumn));
                        offer(found, at.get(x), at.get(sameRow));
                        offer(found, at.get(x), at.get(sameColumn));
                        if (at.containsKey(opposite)) {
                            offer(found, at.get(x), at.get(opposite));
                            offer(found, at.get(x), at.get(sameRow), at.get(opposite));
                            offer(found, at.get(x), at.get(sameColumn), at.get(opposite));
                        }
                    }
                }
            }
        }
    }

    private void offer(Set<List<String>> found, String... ids) {
        List<String> chord = java.util.Arrays.stream(ids).sorted().distinct().toList();
        if (chord.size() > 1 && chords.together(chord)) {
            found.add(chord);
        }
    }
}
