package ringout.check;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.plan.Wiring;
import ringout.words.Texts;

/**
 * The board and its firmware alone, before anything is soldered to it: for every row and column one touch, a resistor across
 * its pin and one of the other sort, must bring the input that the plan has at that crossing. Whatever is wrong later is not
 * the board, then.
 *
 * <p>As few touches as there can be: a smallest set of edges that covers every vertex of a bipartite graph is a largest
 * matching and one more edge for each vertex that it leaves (Gallai 1959; from memory).
 */
public final class BareBoard {
    /**
     * What the touch goes through, in ohms: at 5 V it lets 5 mA pass where a pin drives against another one, of 20 mA or more
     * that a microcontroller's pin bears, and pulls a line with a pull of 20 kΩ or more to a twentieth of the supply; both
     * from memory of data sheets of 8-bit microcontrollers.
     */
    public static final int TOUCH_OHMS = 1000;

    /**
     * One touch.
     *
     * @param id     the action of the check that asks for it
     * @param row    a line of kind {@link Line.Kind#ROW}
     * @param column a line of kind {@link Line.Kind#COLUMN}
     * @param input  what must come
     */
    public record Touch(String id, Line row, Line column, Input input) {}

    private BareBoard() {}

    /** The fewest touches that take in every row and column that a button of the plan shows, in the order of the rows. */
    public static List<Touch> touches(Plan plan) {
        Map<String, Map<String, Input>> crossings = crossings(plan);
        Map<String, String> matched = new HashMap<>();
        crossings.keySet().forEach(row -> augment(row, plan, crossings, matched, new HashSet<>()));
        Map<String, SortedSet<String>> touched = new HashMap<>();
        Set<String> covered = new HashSet<>(matched.values());
        matched.forEach((column, row) ->
                touched.computeIfAbsent(row, k -> new TreeSet<>()).add(column));
        crossings.forEach((row, columns) -> {
            if (!covered.contains(row)) {
                touched.computeIfAbsent(row, k -> new TreeSet<>())
                        .add(columns.keySet().iterator().next());
            }
            for (String column : columns.keySet()) {
                if (!matched.containsKey(column) && touched.values().stream().noneMatch(t -> t.contains(column))) {
                    touched.computeIfAbsent(row, k -> new TreeSet<>()).add(column);
                }
            }
        });
        return every(plan, crossings).stream()
                .filter(t -> touched.getOrDefault(t.row().name(), new TreeSet<>())
                        .contains(t.column().name()))
                .toList();
    }

    /** Every touch that there is, one for each crossing that a button of the plan shows, in the order of the rows. */
    public static List<Touch> every(Plan plan) {
        return every(plan, crossings(plan));
    }

    private static List<Touch> every(Plan plan, Map<String, Map<String, Input>> crossings) {
        List<Touch> every = new ArrayList<>();
        crossings.forEach((row, columns) -> columns.forEach((column, input) -> every.add(new Touch(
                "touch-" + (every.size() + 1),
                plan.line(row).orElseThrow(),
                plan.line(column).orElseThrow(),
                input))));
        return every;
    }

    /**
     * A touch that was answered.
     *
     * @param came inputs that it brought; empty for none
     */
    public record Touched(Touch touch, SortedSet<Input> came) {
        public Touched {
            came = Collections.unmodifiableSortedSet(new TreeSet<>(came));
        }

        /** True where it brought what the plan has there, and nothing else. */
        public boolean good() {
            return came.equals(Set.of(touch.input()));
        }
    }

    /**
     * Touches that part the two pins of one that brought nothing, or nothing that names a crossing: each of them with one of
     * the other sort that is proved.
     */
    public static List<Touch> parting(Plan plan, List<Touched> touched) {
        List<Touch> every = every(plan);
        Set<Input> known = new HashSet<>();
        every.forEach(t -> known.add(t.input()));
        Set<Line> proved = proved(touched);
        Set<Touch> parting = new LinkedHashSet<>();
        for (Touched failed : touched) {
            if (failed.good() || failed.came().size() == 1 && known.containsAll(failed.came())) {
                continue;
            }
            for (Line line : List.of(failed.touch().row(), failed.touch().column())) {
                every.stream()
                        .filter(t -> !proved.contains(line))
                        .filter(t -> t.row().equals(line) && proved.contains(t.column())
                                || t.column().equals(line) && proved.contains(t.row()))
                        .filter(t ->
                                touched.stream().noneMatch(was -> was.touch().equals(t)))
                        .findFirst()
                        .ifPresent(parting::add);
            }
        }
        return List.copyOf(parting);
    }

    /** Lines that a good touch took in. */
    public static Set<Line> proved(List<Touched> touched) {
        Set<Line> proved = new HashSet<>();
        touched.stream()
                .filter(Touched::good)
                .forEach(t -> proved.addAll(List.of(t.touch().row(), t.touch().column())));
        return proved;
    }

    /** By row and column, what a closed contact there brings; without those that take more than to be closed. */
    private static Map<String, Map<String, Input>> crossings(Plan plan) {
        Map<String, Map<String, Input>> crossings = new LinkedHashMap<>();
        for (Action action : plan.actions()) {
            boolean closed = action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH;
            if (closed && action.contacts().size() == 1) {
                Optional<Contact> contact = plan.contact(action.contacts().get(0));
                if (contact.isPresent() && contact.get().wiring() instanceof Wiring.Crossing at) {
                    action.input()
                            .ifPresent(input -> crossings
                                    .computeIfAbsent(at.row(), k -> new LinkedHashMap<>())
                                    .putIfAbsent(at.column(), input));
                }
            }
        }
        return crossings;
    }

    /** One more row of the largest matching, others moved where that makes room. */
    private static boolean augment(
            String row,
            Plan plan,
            Map<String, Map<String, Input>> crossings,
            Map<String, String> matched,
            Set<String> tried) {
        // Off the diagonal first: there numbers along the rows and down the columns differ.
        List<String> columns = new ArrayList<>(Known.in(crossings, row).keySet());
        columns.sort(Comparator.comparing(column -> !tellsOrder(plan, row, column)));
        for (String column : columns) {
            if (tried.add(column)
                    && (!matched.containsKey(column)
                            || augment(matched.get(column), plan, crossings, matched, tried))) {
                matched.put(column, row);
                return true;
            }
        }
        return false;
    }

    /** True where a whole matrix has one number there along its rows, and another down its columns. */
    private static boolean tellsOrder(Plan plan, String row, String column) {
        List<Line> rows = plan.lines(Line.Kind.ROW);
        List<Line> columns = plan.lines(Line.Kind.COLUMN);
        int i = rows.indexOf(plan.line(row).orElseThrow());
        int j = columns.indexOf(plan.line(column).orElseThrow());
        return i * (columns.size() - 1) != j * (rows.size() - 1);
    }

    /** Lines that no touch takes in: direct inputs and chains, which need ground or parts, and lines of encoders alone. */
    public static List<Line> left(Plan plan) {
        Set<Line> touched = new HashSet<>();
        touches(plan).forEach(t -> touched.addAll(List.of(t.row(), t.column())));
        return plan.lines().stream().filter(l -> !touched.contains(l)).toList();
    }

    /**
     * The same box with the touches for controls, so that they are asked for, recorded and kept like those.
     *
     * @throws IllegalArgumentException where there is nothing to touch
     */
    public static PlanDocument plan(PlanDocument document, List<Touch> touches) {
        Plan plan = document.reading().plan().orElseThrow();
        if (touches.isEmpty()) {
            throw new IllegalArgumentException(Texts.say("bare.nothing"));
        }
        return document.together(d -> {
            PlanDocument bare = d.setNumbering(Optional.empty());
            for (Control control : plan.controls()) {
                bare = bare.removeControl(control.id());
            }
            for (Touch touch : touches) {
                bare = bare.addControl(control(touch));
            }
            return bare;
        });
    }

    /** True for such a plan of touches alone. */
    public static boolean isOfTouches(Plan plan) {
        return !plan.controls().isEmpty()
                && plan.controls().stream().allMatch(c -> c instanceof Control.Push && c.id().matches("touch-\\d+"));
    }

    private static Control control(Touch touch) {
        Contact contact = new Contact(
                touch.id(),
                touch.id(),
                new Wiring.Crossing(touch.row().name(), touch.column().name()),
                Contact.Diode.NONE,
                Optional.of(touch.input()));
        String label = Texts.say("bare.touch", touch.row().pin(), touch.column().pin());
        return new Control.Push(touch.id(), label, Mount.UNKNOWN, contact);
    }

    /**
     * What a check of the bare board proved.
     *
     * @param lines     names of those of which one touch brought its input and nothing else
     * @param numbering true where these touches also tell numbers along the rows from numbers down the columns
     */
    public record Proof(SortedSet<String> lines, boolean numbering) {
        /** Nothing. */
        public static final Proof NONE = new Proof(new TreeSet<>(), false);

        public Proof {
            lines = Collections.unmodifiableSortedSet(new TreeSet<>(lines));
        }
    }

    /**
     * What a check of the touches proved.
     *
     * @param plan     of the box, not of the touches
     * @param answered ids of the touches that were asked for and answered
     * @param findings of that check
     */
    public static Proof proof(Plan plan, Set<String> answered, List<Finding> findings) {
        SortedSet<String> lines = new TreeSet<>();
        boolean numbering = false;
        for (Touch touch : touches(plan)) {
            if (answered.contains(touch.id())
                    && findings.stream().noneMatch(f -> f.actions().contains(touch.id()))) {
                lines.add(touch.row().name());
                lines.add(touch.column().name());
                numbering |= tellsOrder(plan, touch.row().name(), touch.column().name());
            }
        }
        return new Proof(lines, numbering);
    }
}
