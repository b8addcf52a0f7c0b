package ringout.plan;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.IntStream;
import ringout.words.Phrase;

/**
 * Gives every contact a place in the wiring: fewest pins first, then short wire.
 *
 * <p>The rules, common practice, no source:
 * <ul>
 * <li>An encoder's phases get pins of their own: a matrix scanned once in some milliseconds misses their edges.</li>
 * <li>Without diodes a latching contact gets a pin of its own. In the matrix it would have to be a bridge, the only way
 *     between two parts of the wiring, to be no corner of a rectangle nor part of any longer loop; a bridge needs a row or
 *     column of its own, so that it saves no pin.</li>
 * <li>The contacts of one part (a selector, a hat, an on/off/on toggle) share a line, because such parts have one common
 *     terminal: the column where diodes point to the rows, so that each diode has a leg of its own, else the row.</li>
 * <li>All other contacts form a matrix of r rows and c columns with the fewest pins, r + c; direct pins where that takes
 *     no more.</li>
 * </ul>
 * Which contact sits at which crossing starts from the panel, from top to bottom and from left to right, and is improved
 * by exchanging two crossings, or a part with other crossings, as long as that shortens all wires together (each estimated as a path from
 * the board, see {@link Chain}); a local optimum. The order along each wire then is that of {@link Chain#order}.
 */
public final class Assign {
    /** Exchanges tried before the wiring is taken as it is: all that could help for up to a hundred contacts or so. */
    private static final int MOST_EXCHANGES = 40_000;

    /** Tries to fit parts into lines before it is given up. */
    private static final int MOST_PACKINGS = 20_000;

    /** What is worth an exchange; also keeps rounding from going in circles. */
    private static final double GAIN_MM = 1e-6;

    private Assign() {}

    /**
     * What to wire with.
     *
     * @param matrix whether contacts may share pins in a matrix
     * @param diode  the diode that every matrix contact gets, if any
     * @param pins   names of the board's free digital pins, in the order to use them
     * @param board  where the board is, in millimetres on the panel; empty where unknown
     */
    public record Means(boolean matrix, Contact.Diode diode, List<String> pins, Optional<Mount.Place> board) {
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
            wiring = Collections.unmodifiableMap(new LinkedHashMap<>(wiring));
        }
    }

    /** How many of the board's digital pins the controls need. */
    public static int pinsNeeded(List<Control> controls, boolean matrix, Contact.Diode diode) {
        Split split = split(controls, matrix, diode);
        return split.direct.size()
                + (split.crossed.isEmpty() ? 0 : sizes(split.crossed).get(0).sum());
    }

    /**
     * Wires all contacts anew, whatever their wiring is now.
     *
     * @throws PlanEditException where the pins do not suffice, with how many do and what would need fewer
     */
    public static Assignment assign(List<Control> controls, Means means) {
        Split split = split(controls, means.matrix, means.diode);
        int needed = pinsNeeded(controls, means.matrix, means.diode);
        if (needed > means.pins.size()) {
            throw new PlanEditException(Phrase.of("assign.pins", needed, means.pins.size(), remedy(controls, means)));
        }
        Map<String, Mount.Place> places = places(controls);
        Map<String, Wiring> wiring = new LinkedHashMap<>();
        int rows = 0;
        int columns = 0;
        if (!split.crossed.isEmpty()) {
            boolean shareColumns = means.diode == Contact.Diode.CATHODE_ROW;
            Matrix matrix = best(split.crossed, places, means.board, shareColumns);
            rows = shareColumns ? matrix.size.slots : matrix.size.bins;
            columns = shareColumns ? matrix.size.bins : matrix.size.slots;
            // Lines are counted as the controls come to them, so that numbers along the rows follow the panel.
            Map<Integer, Integer> bins = new HashMap<>();
            Map<Integer, Integer> slots = new HashMap<>();
            for (Contact contact : split.contacts()) {
                int cell = matrix.cell(contact);
                int bin = counted(bins, cell / matrix.size.slots);
                int slot = counted(slots, cell % matrix.size.slots);
                wiring.put(
                        contact.id(),
                        new Wiring.Crossing("R" + (shareColumns ? slot : bin), "C" + (shareColumns ? bin : slot)));
            }
        }
        for (int i = 0; i < split.direct.size(); i++) {
            wiring.put(split.direct.get(i).id(), new Wiring.Direct("D" + (i + 1)));
        }
        List<Line> lines = new ArrayList<>();
        Iterator<String> pins = means.pins.iterator();
        for (int r = 1; r <= rows; r++) {
            lines.add(line("R" + r, Line.Kind.ROW, pins.next(), wiring, places, means.board));
        }
        for (int c = 1; c <= columns; c++) {
            lines.add(line("C" + c, Line.Kind.COLUMN, pins.next(), wiring, places, means.board));
        }
        for (int d = 1; d <= split.direct.size(); d++) {
            lines.add(line("D" + d, Line.Kind.DIRECT, pins.next(), wiring, places, means.board));
        }
        return new Assignment(lines, wiring);
    }

    /** From 1, as they come. */
    private static int counted(Map<Integer, Integer> seen, int which) {
        int next = seen.size() + 1;
        return seen.computeIfAbsent(which, first -> next);
    }

    private static Phrase remedy(List<Control> controls, Means means) {
        int crossed = pinsNeeded(controls, true, means.diode);
        if (!means.matrix && crossed <= means.pins.size()) {
            return Phrase.of("assign.matrix", crossed);
        }
        int diodes = pinsNeeded(controls, true, Contact.Diode.CATHODE_ROW);
        if (means.diode == Contact.Diode.NONE && diodes <= means.pins.size()) {
            return Phrase.of("assign.diodes", diodes);
        }
        return Phrase.of("assign.fewer");
    }

    private static Line line(
            String name,
            Line.Kind kind,
            String pin,
            Map<String, Wiring> wiring,
            Map<String, Mount.Place> places,
            Optional<Mount.Place> board) {
        List<String> contacts = wiring.entrySet().stream()
                .filter(e -> PlanYaml.lines(e.getValue()).contains(name))
                .map(Map.Entry::getKey)
                .toList();
        return new Line(name, kind, pin, chained(contacts, places, board), 0);
    }

    /**
     * Contacts in the order of the shortest wire; those without a place go last, as they came.
     *
     * @param contacts ids of the contacts of one line
     * @param places   by contact id, see {@link #places}
     */
    public static List<String> chained(
            List<String> contacts, Map<String, Mount.Place> places, Optional<Mount.Place> board) {
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

    /** @param crossed in the matrix, part by part */
    private record Split(List<List<Contact>> crossed, List<Contact> direct) {
        List<Contact> contacts() {
            return crossed.stream().flatMap(List::stream).toList();
        }
    }

    private static Split split(List<Control> controls, boolean matrix, Contact.Diode diode) {
        List<List<Contact>> crossed = new ArrayList<>();
        List<Contact> direct = new ArrayList<>();
        for (Control control : controls) {
            boolean own =
                    !matrix || control instanceof Control.Encoder || control.latching() && diode == Contact.Diode.NONE;
            if (own) {
                direct.addAll(control.contacts());
            } else if (!control.contacts().isEmpty()) {
                crossed.add(control.contacts());
            }
        }
        int count = crossed.stream().mapToInt(List::size).sum();
        if (count == 0 || sizes(crossed).get(0).sum() >= count) {
            // A matrix that saves nothing is only harder to solder.
            return new Split(
                    List.of(),
                    controls.stream().flatMap(c -> c.contacts().stream()).toList());
        }
        return new Split(crossed, direct);
    }

    // How large a matrix

    /** Lines that parts share (bins), and the lines across them (slots). */
    private record Size(int bins, int slots) {
        int sum() {
            return bins + slots;
        }
    }

    /** Every size with the fewest pins; parts fit whole into bins. */
    private static List<Size> sizes(List<List<Contact>> parts) {
        int count = parts.stream().mapToInt(List::size).sum();
        List<Integer> blocks = parts.stream()
                .map(List::size)
                .filter(n -> n > 1)
                .sorted(Comparator.reverseOrder())
                .toList();
        List<Size> sizes = new ArrayList<>();
        for (int sum = 2; sizes.isEmpty(); sum++) {
            for (int bins = 1; bins < sum; bins++) {
                int slots = sum - bins;
                if (bins * slots >= count && packed(blocks, bins, slots).isPresent()) {
                    sizes.add(new Size(bins, slots));
                }
            }
        }
        return sizes;
    }

    /** The bin of each block, largest blocks first; empty where none was found. */
    private static Optional<int[]> packed(List<Integer> blocks, int bins, int slots) {
        int[] free = new int[bins];
        Arrays.fill(free, slots);
        int[] bin = new int[blocks.size()];
        return pack(blocks, 0, free, bin, new int[] {MOST_PACKINGS}) ? Optional.of(bin) : Optional.empty();
    }

    /** First fit, then back: exact until the budget is spent, which takes dozens of large parts. */
    private static boolean pack(List<Integer> blocks, int next, int[] free, int[] bin, int[] budget) {
        if (next == blocks.size()) {
            return true;
        }
        List<Integer> tried = new ArrayList<>();
        for (int b = 0; b < free.length && budget[0] > 0; b++) {
            if (free[b] >= blocks.get(next) && !tried.contains(free[b])) {
                tried.add(free[b]);
                budget[0]--;
                free[b] -= blocks.get(next);
                bin[next] = b;
                if (pack(blocks, next + 1, free, bin, budget)) {
                    return true;
                }
                free[b] += blocks.get(next);
            }
        }
        return false;
    }

    // Who goes where

    private static Matrix best(
            List<List<Contact>> parts,
            Map<String, Mount.Place> places,
            Optional<Mount.Place> board,
            boolean shareColumns) {
        Matrix best = null;
        for (Size size : sizes(parts)) {
            Matrix matrix = new Matrix(parts, places, board, size, shareColumns);
            matrix.improve();
            best = best == null || matrix.length() < best.length() - GAIN_MM ? matrix : best;
        }
        return Objects.requireNonNull(best, "there is a size for any number of contacts");
    }

    /** One matrix being filled; cell {@code bin × slots + slot} holds the index of a contact, or -1. */
    private static final class Matrix {
        private final List<Contact> contacts = new ArrayList<>();
        /** By contact, which of the places that are known is its; -1 for none. */
        private final List<Integer> place = new ArrayList<>();
        /** Between the places that are known, and from the board. */
        private final double[][] far;
        /** By contact, the index of its part, or -1 where it is the only one and may go alone. */
        private final List<Integer> part = new ArrayList<>();

        private final Size size;
        private final int[] contactAt;
        private final double[] wire;

        Matrix(
                List<List<Contact>> parts,
                Map<String, Mount.Place> places,
                Optional<Mount.Place> board,
                Size size,
                boolean shareColumns) {
            this.size = size;
            this.contactAt = new int[size.bins * size.slots];
            Arrays.fill(contactAt, -1);
            List<List<Contact>> blocks = parts.stream()
                    .filter(p -> p.size() > 1)
                    .sorted(Comparator.comparingInt((List<Contact> p) -> p.size())
                            .reversed())
                    .toList();
            int[] bin = packed(blocks.stream().map(List::size).toList(), size.bins, size.slots)
                    .orElseThrow();
            for (int b = 0; b < blocks.size(); b++) {
                for (Contact contact : blocks.get(b)) {
                    put(contact, b, freeIn(bin[b]));
                }
            }
            Comparator<Contact> order = Comparator.comparingDouble(c -> along(Known.in(places, c.id()), shareColumns));
            parts.stream()
                    .filter(p -> p.size() == 1)
                    .map(p -> p.get(0))
                    .sorted(order.thenComparingDouble(c -> along(Known.in(places, c.id()), !shareColumns)))
                    .forEach(contact -> put(contact, -1, firstFree()));
            List<Mount.Place> known = new ArrayList<>();
            for (Contact contact : contacts) {
                Mount.Place there = places.get(contact.id());
                place.add(there == null ? -1 : known.size());
                if (there != null) {
                    known.add(there);
                }
            }
            this.far = Chain.distances(known, board);
            this.wire = new double[size.bins + size.slots];
            for (int line = 0; line < wire.length; line++) {
                wire[line] = estimate(line);
            }
        }

        private static double along(Mount.Place place, boolean x) {
            return place == null ? Double.MAX_VALUE : x ? place.x() : place.y();
        }

        private void put(Contact contact, int block, int cell) {
            contactAt[cell] = contacts.size();
            contacts.add(contact);
            part.add(block);
        }

        private int freeIn(int bin) {
            int cell = bin * size.slots;
            while (contactAt[cell] >= 0) {
                cell++;
            }
            return cell;
        }

        private int firstFree() {
            int cell = 0;
            while (contactAt[cell] >= 0) {
                cell++;
            }
            return cell;
        }

        int cell(Contact contact) {
            int index = contacts.indexOf(contact);
            int cell = 0;
            while (contactAt[cell] != index) {
                cell++;
            }
            return cell;
        }

        double length() {
            return Arrays.stream(wire).sum();
        }

        /** Exchanges cells, and whole parts with as many free cells of another bin, as long as that shortens the wires. */
        void improve() {
            int tried = 0;
            boolean better = true;
            while (better && tried < MOST_EXCHANGES) {
                better = false;
                for (int one = 0; one < contactAt.length; one++) {
                    for (int other = one + 1; other < contactAt.length && ++tried < MOST_EXCHANGES; other++) {
                        boolean sameBin = one / size.slots == other / size.slots;
                        if ((contactAt[one] >= 0 || contactAt[other] >= 0) && (sameBin || alone(one) && alone(other))) {
                            better |= exchanged(new int[] {one}, new int[] {other});
                        }
                    }
                }
                for (int block = 0;
                        block <= part.stream().mapToInt(p -> p).max().orElse(-1);
                        block++) {
                    for (int bin = 0; bin < size.bins; bin++) {
                        better |= moved(block, bin);
                    }
                }
            }
        }

        private boolean alone(int cell) {
            return contactAt[cell] < 0 || part.get(contactAt[cell]) < 0;
        }

        private boolean moved(int block, int bin) {
            int[] from = IntStream.range(0, contactAt.length)
                    .filter(c -> contactAt[c] >= 0 && part.get(contactAt[c]) == block)
                    .toArray();
            int[] to = IntStream.range(bin * size.slots, (bin + 1) * size.slots)
                    .filter(this::alone)
                    .limit(from.length)
                    .toArray();
            return from[0] / size.slots != bin && to.length == from.length && exchanged(from, to);
        }

        /** Exchanges cells pair by pair if that shortens the wires through them; else leaves everything as it is. */
        private boolean exchanged(int[] from, int[] to) {
            int[] lines = IntStream.concat(IntStream.of(from), IntStream.of(to))
                    .flatMap(c -> IntStream.of(c / size.slots, size.bins + c % size.slots))
                    .distinct()
                    .toArray();
            exchange(from, to);
            double[] now = new double[lines.length];
            double gain = 0;
            for (int i = 0; i < lines.length; i++) {
                now[i] = estimate(lines[i]);
                gain += wire[lines[i]] - now[i];
            }
            if (gain <= GAIN_MM) {
                exchange(from, to);
                return false;
            }
            for (int i = 0; i < lines.length; i++) {
                wire[lines[i]] = now[i];
            }
            return true;
        }

        private void exchange(int[] from, int[] to) {
            for (int i = 0; i < from.length; i++) {
                int contact = contactAt[from[i]];
                contactAt[from[i]] = contactAt[to[i]];
                contactAt[to[i]] = contact;
            }
        }

        /** The wire of a bin, or of a slot, which come after the bins. */
        private double estimate(int line) {
            int first = line < size.bins ? line * size.slots : line - size.bins;
            int step = line < size.bins ? 1 : size.slots;
            int most = line < size.bins ? size.slots : size.bins;
            int[] stops = new int[most];
            int n = 0;
            for (int i = 0; i < most; i++) {
                int contact = contactAt[first + i * step];
                if (contact >= 0 && place.get(contact) >= 0) {
                    stops[n++] = place.get(contact);
                }
            }
            return Chain.estimate(far, Arrays.copyOf(stops, n));
        }
    }
}
