package ringout.plan;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Gives every contact a place in the wiring: fewest pins first, then short wire.
 *
 * <p>The rules, common practice, no source:
 * <ul>
 * <li>An encoder's phases get pins of their own: a matrix scanned once in some milliseconds misses their edges.</li>
 * <li>Without diodes a latching contact gets a pin of its own. In the matrix it would have to be a bridge, the only way
 *     between two parts of the wiring, to be no corner of a rectangle nor part of any longer loop; a bridge needs a row or
 *     column of its own, so that it saves no pin.</li>
 * <li>All other contacts form a matrix of r rows and c columns with the fewest pins, r + c; direct pins where that takes
 *     no more.</li>
 * </ul>
 * Which contact sits at which crossing starts from the panel, rows from top to bottom and columns from left to right,
 * and is improved by exchanging two crossings as long as that shortens all wires together (each estimated as a path from
 * the board, see {@link Chain}); a local optimum. The order along each wire then is that of {@link Chain#order}.
 */
public final class Assign {
    /** Exchanges tried before the wiring is taken as it is: all that could help for up to a hundred contacts or so. */
    private static final int MOST_EXCHANGES = 40_000;

    private Assign() {
    }

    /**
     * What to wire with.
     *
     * @param matrix whether contacts may share pins in a matrix
     * @param diodes whether every matrix contact gets a diode
     * @param pins   names of the board's free digital pins, in the order to use them
     * @param board  where the board is, in millimetres on the panel; empty where unknown
     */
    public record Means(boolean matrix, boolean diodes, List<String> pins, Optional<Mount.Place> board) {
        public Means {
            pins = List.copyOf(pins);
        }
    }

    /**
     * A complete wiring.
     *
     * @param lines  rows, columns and direct lines with pins, and their contacts in daisy-chain order
     * @param wiring by contact id
     */
    public record Assignment(List<Line> lines, Map<String, Wiring> wiring) {
        public Assignment {
            lines = List.copyOf(lines);
            wiring = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(wiring));
        }
    }

    /** How many of the board's digital pins the controls need. */
    public static int pinsNeeded(List<Control> controls, boolean matrix, boolean diodes) {
        Split split = split(controls, matrix, diodes);
        return split.direct.size() + fewest(split.crossed.size());
    }

    /**
     * Wires all contacts anew, whatever their wiring is now.
     *
     * @throws PlanEditException where the pins do not suffice, with how many do and what would need fewer
     */
    public static Assignment assign(List<Control> controls, Means means) {
        Split split = split(controls, means.matrix, means.diodes);
        int needed = pinsNeeded(controls, means.matrix, means.diodes);
        if (needed > means.pins.size()) {
            throw new PlanEditException("these controls need " + needed + " digital pins and the board has " + means.pins.size()
                    + " free" + remedy(controls, means));
        }
        Grid grid = best(split.crossed, places(controls), means.board);
        Map<String, Wiring> wiring = new LinkedHashMap<>();
        for (int i = 0; i < split.crossed.size(); i++) {
            int cell = grid.cells[i];
            wiring.put(split.crossed.get(i).id(), new Wiring.Crossing("R" + (cell / grid.columns + 1), "C" + (cell % grid.columns + 1)));
        }
        for (int i = 0; i < split.direct.size(); i++) {
            wiring.put(split.direct.get(i).id(), new Wiring.Direct("D" + (i + 1)));
        }
        List<Line> lines = new ArrayList<>();
        java.util.Iterator<String> pins = means.pins.iterator();
        Map<String, Mount.Place> places = places(controls);
        for (int r = 1; r <= grid.rows; r++) {
            lines.add(line("R" + r, Line.Kind.ROW, pins.next(), wiring, places, means.board));
        }
        for (int c = 1; c <= grid.columns; c++) {
            lines.add(line("C" + c, Line.Kind.COLUMN, pins.next(), wiring, places, means.board));
        }
        for (int d = 1; d <= split.direct.size(); d++) {
            lines.add(line("D" + d, Line.Kind.DIRECT, pins.next(), wiring, places, means.board));
        }
        return new Assignment(lines, wiring);
    }

    private static String remedy(List<Control> controls, Means means) {
        int crossed = pinsNeeded(controls, true, means.diodes);
        if (!means.matrix && crossed <= means.pins.size()) {
            return "; in a matrix they need " + crossed;
        }
        int diodes = pinsNeeded(controls, true, true);
        if (!means.diodes && diodes <= means.pins.size()) {
            return "; with a diode at every contact, so that switches that stay on can join the matrix, they need " + diodes;
        }
        return "; take fewer controls, a board with more pins, or shift registers";
    }

    private static Line line(String name, Line.Kind kind, String pin, Map<String, Wiring> wiring, Map<String, Mount.Place> places,
            Optional<Mount.Place> board) {
        List<String> contacts = wiring.entrySet().stream().filter(e -> PlanYaml.lines(e.getValue()).contains(name))
                .map(Map.Entry::getKey).toList();
        return new Line(name, kind, pin, chained(contacts, places, board), 0);
    }

    /**
     * Contacts in the order of the shortest wire; those without a place go last, as they came.
     *
     * @param contacts ids of the contacts of one line
     * @param places   by contact id, see {@link #places}
     */
    public static List<String> chained(List<String> contacts, Map<String, Mount.Place> places, Optional<Mount.Place> board) {
        List<String> placed = contacts.stream().filter(places::containsKey).toList();
        List<String> order = new ArrayList<>();
        Chain.order(placed.stream().map(places::get).toList(), board).forEach(i -> order.add(placed.get(i)));
        contacts.stream().filter(c -> !places.containsKey(c)).forEach(order::add);
        return order;
    }

    /** Where each contact is, by its id, for controls that have a place. */
    public static Map<String, Mount.Place> places(List<Control> controls) {
        Map<String, Mount.Place> places = new HashMap<>();
        for (Control control : controls) {
            control.mount().place().ifPresent(p -> control.contacts().forEach(c -> places.put(c.id(), p)));
        }
        return places;
    }

    private record Split(List<Contact> crossed, List<Contact> direct) {
    }

    private static Split split(List<Control> controls, boolean matrix, boolean diodes) {
        List<Contact> crossed = new ArrayList<>();
        List<Contact> direct = new ArrayList<>();
        for (Control control : controls) {
            boolean own = !matrix || control instanceof Control.Encoder || control.latching() && !diodes;
            (own ? direct : crossed).addAll(control.contacts());
        }
        if (crossed.size() <= fewest(crossed.size())) {
            // A matrix that saves nothing is only harder to solder.
            List<Contact> all = new ArrayList<>();
            controls.forEach(c -> all.addAll(c.contacts()));
            return new Split(List.of(), all);
        }
        return new Split(crossed, direct);
    }

    /** The fewest r + c with r × c crossings for all: the squarest matrix; as many as contacts where that is no more. */
    private static int fewest(int contacts) {
        int sum = 0;
        while ((sum / 2) * ((sum + 1) / 2) < contacts) {
            sum++;
        }
        return Math.min(sum, contacts);
    }

    /** @param cells by contact, row × columns + column */
    private record Grid(int rows, int columns, int[] cells, double wire) {
    }

    private static Grid best(List<Contact> contacts, Map<String, Mount.Place> places, Optional<Mount.Place> board) {
        if (contacts.isEmpty()) {
            return new Grid(0, 0, new int[0], 0);
        }
        int sum = fewest(contacts.size());
        Grid best = null;
        for (int rows = 1; rows < sum; rows++) {
            if (rows * (sum - rows) >= contacts.size()) {
                Grid grid = improved(contacts, places, board, rows, sum - rows);
                best = best == null || grid.wire < best.wire - 1e-6 ? grid : best;
            }
        }
        return best;
    }

    private static Grid improved(List<Contact> contacts, Map<String, Mount.Place> places, Optional<Mount.Place> board, int rows, int columns) {
        int[] contactAt = byPosition(contacts, places, rows, columns);
        double[] wire = new double[rows + columns];
        Wires wires = new Wires(contacts.stream().map(c -> Optional.ofNullable(places.get(c.id()))).toList(), board, rows, columns);
        for (int line = 0; line < wire.length; line++) {
            wire[line] = wires.estimate(contactAt, line);
        }
        int tried = 0;
        boolean better = true;
        while (better && tried < MOST_EXCHANGES) {
            better = false;
            for (int one = 0; one < contactAt.length; one++) {
                for (int other = one + 1; other < contactAt.length && ++tried < MOST_EXCHANGES; other++) {
                    better |= (contactAt[one] >= 0 || contactAt[other] >= 0) && exchanged(contactAt, one, other, wire, wires);
                }
            }
        }
        int[] cells = new int[contacts.size()];
        for (int cell = 0; cell < contactAt.length; cell++) {
            if (contactAt[cell] >= 0) {
                cells[contactAt[cell]] = cell;
            }
        }
        return new Grid(rows, columns, cells, java.util.Arrays.stream(wire).sum());
    }

    /** The wires of a matrix: lines 0 to rows - 1 are rows, the rest columns. */
    private record Wires(List<Optional<Mount.Place>> places, Optional<Mount.Place> board, int rows, int columns) {
        double estimate(int[] contactAt, int line) {
            List<Mount.Place> stops = new ArrayList<>();
            int first = line < rows ? line * columns : line - rows;
            int step = line < rows ? 1 : columns;
            for (int i = 0; i < (line < rows ? columns : rows); i++) {
                int contact = contactAt[first + i * step];
                if (contact >= 0) {
                    places.get(contact).ifPresent(stops::add);
                }
            }
            return Chain.estimate(stops, board);
        }
    }

    /** Exchanges two crossings if that shortens the four wires through them; else leaves everything as it is. */
    private static boolean exchanged(int[] contactAt, int one, int other, double[] wire, Wires wires) {
        int[] lines = java.util.stream.IntStream.of(one / wires.columns, other / wires.columns,
                wires.rows + one % wires.columns, wires.rows + other % wires.columns).distinct().toArray();
        exchange(contactAt, one, other);
        double[] now = new double[lines.length];
        double gain = 0;
        for (int i = 0; i < lines.length; i++) {
            now[i] = wires.estimate(contactAt, lines[i]);
            gain += wire[lines[i]] - now[i];
        }
        if (gain <= 1e-6) {
            exchange(contactAt, one, other);
            return false;
        }
        for (int i = 0; i < lines.length; i++) {
            wire[lines[i]] = now[i];
        }
        return true;
    }

    private static void exchange(int[] contactAt, int one, int other) {
        int contact = contactAt[one];
        contactAt[one] = contactAt[other];
        contactAt[other] = contact;
    }

    /** From top to bottom into rows as even as can be, each from left to right; contacts without a place come last. */
    private static int[] byPosition(List<Contact> contacts, Map<String, Mount.Place> places, int rows, int columns) {
        Mount.Place last = new Mount.Place(Double.MAX_VALUE, Double.MAX_VALUE);
        List<Integer> order = new ArrayList<>();
        for (int i = 0; i < contacts.size(); i++) {
            order.add(i);
        }
        Comparator<Integer> down = Comparator.comparingDouble(i -> places.getOrDefault(contacts.get(i).id(), last).y());
        Comparator<Integer> right = Comparator.comparingDouble(i -> places.getOrDefault(contacts.get(i).id(), last).x());
        order.sort(down.thenComparing(right));
        int[] contactAt = new int[rows * columns];
        java.util.Arrays.fill(contactAt, -1);
        int from = 0;
        for (int r = 0; r < rows; r++) {
            int to = (int) ((long) contacts.size() * (r + 1) / rows);
            List<Integer> row = new ArrayList<>(order.subList(from, to));
            row.sort(right);
            for (int c = 0; c < row.size(); c++) {
                contactAt[r * columns + c] = row.get(c);
            }
            from = to;
        }
        return contactAt;
    }
}
