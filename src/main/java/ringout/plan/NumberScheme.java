package ringout.plan;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import ringout.hid.Input;
import ringout.words.Phrase;

/**
 * The rule by which a firmware numbers the buttons of a matrix.
 *
 * <p>Lines are counted in the order of the plan. Most firmware gives every crossing a number, soldered to or not; some
 * only those that are buttons. Both are the same rule here. What is not in the matrix follows: direct inputs in plan
 * order, shift registers bit by bit, then the two ways of each encoder. Common practice, no source.
 *
 * @param way   along which lines
 * @param first the lowest number, from 1
 */
public record NumberScheme(Way way, int first) {
    /** The highest first number that can be written: some programs see no button beyond it. */
    public static final int MOST_FIRST = Limits.MOST_BUTTONS;

    /** Along which lines the numbers run. */
    public enum Way {
        /** R1 C1, R1 C2, … */
        BY_ROWS,
        /** R1 C1, R2 C1, … */
        BY_COLUMNS,
        /** As a table in the firmware says: any crossing can be any button. */
        FREE;

        /** As it is written: {@code by-rows}. */
        public String word() {
            return name().toLowerCase(Locale.ROOT).replace('_', '-');
        }

        /** The one that a word names. */
        static Optional<Way> of(String word) {
            return Stream.of(values()).filter(w -> w.word().equals(word)).findFirst();
        }

        private boolean ruled() {
            return this != FREE;
        }
    }

    public NumberScheme {
        if (first < 1 || first > MOST_FIRST) {
            throw new PlanEditException(Phrase.of("numbering.first", MOST_FIRST));
        }
    }

    /**
     * A button with another number than the scheme gives it.
     *
     * @param contact  id of the contact at the crossing
     * @param planned  number in the plan
     * @param expected number by the scheme
     */
    public record Misnumbered(String contact, Wiring.Crossing at, int planned, int expected) {}

    /** What the firmware's numbers count. */
    private enum Counting {
        EVERY_CROSSING,
        BUTTONS_ONLY
    }

    // Looking

    /** True where the plan's matrix is numbered so, or the scheme leaves the numbers free. */
    public boolean fits(Plan plan) {
        return !way.ruled()
                || Stream.of(Counting.values()).anyMatch(c -> wrong(plan, c).isEmpty());
    }

    /** The buttons of the matrix that are numbered otherwise, in plan order; by whichever way of counting leaves fewer. */
    public List<Misnumbered> misnumbered(Plan plan) {
        return fits(plan)
                ? List.of()
                : Stream.of(Counting.values())
                        .map(c -> wrong(plan, c))
                        .min(Comparator.comparingInt(List::size))
                        .orElseThrow();
    }

    /**
     * The scheme that a plan's matrix is numbered by, whatever it says itself; empty where there is none, or with fewer
     * than two buttons in it, which would be one by any. Along the rows where both ways fit.
     */
    public static Optional<NumberScheme> of(Plan plan) {
        List<Numbered> buttons = buttons(plan);
        if (buttons.size() < 2) {
            return Optional.empty();
        }
        Set<NumberScheme> candidates = new LinkedHashSet<>();
        int least = buttons.stream().mapToInt(Numbered::number).min().orElseThrow();
        for (Way way : List.of(Way.BY_ROWS, Way.BY_COLUMNS)) {
            int first = buttons.get(0).number - index(plan, way, buttons.get(0).at);
            Stream.of(first, least)
                    .filter(f -> f >= 1 && f <= MOST_FIRST)
                    .forEach(f -> candidates.add(new NumberScheme(way, f)));
        }
        return candidates.stream().filter(s -> s.fits(plan)).findFirst();
    }

    private record Numbered(String contact, Wiring.Crossing at, int number) {}

    private static List<Numbered> buttons(Plan plan) {
        List<Numbered> buttons = new ArrayList<>();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing at
                    && contact.input().orElse(null) instanceof Input.Button button
                    && button.collection() == 1) {
                buttons.add(new Numbered(contact.id(), at, button.number()));
            }
        }
        return buttons;
    }

    private List<Misnumbered> wrong(Plan plan, Counting counting) {
        List<Numbered> buttons = buttons(plan);
        Map<Wiring.Crossing, Integer> numbers =
                numbers(plan.lines(), buttons.stream().map(Numbered::at).toList(), counting);
        return buttons.stream()
                .filter(b -> Known.in(numbers, b.at) != b.number)
                .map(b -> new Misnumbered(b.contact, b.at, b.number, Known.in(numbers, b.at)))
                .toList();
    }

    // Giving out

    /**
     * The inputs that contacts and encoders have by this scheme, by action id; hats, axes and named inputs keep theirs and
     * are not in it. Every crossing counts, unless the plan as it is counts only its buttons.
     *
     * @return empty where the scheme leaves the numbers free
     */
    public Map<String, Input> inputs(Plan plan) {
        Counting counting = Stream.of(Counting.values())
                .filter(c -> way.ruled() && wrong(plan, c).isEmpty())
                .findFirst()
                .orElse(Counting.EVERY_CROSSING);
        return inputs(plan.lines(), plan.controls(), counting);
    }

    /** As {@link #inputs(Plan)}, for controls that are wired anew: every crossing counts. */
    Map<String, Input> inputs(List<Line> lines, List<Control> wired) {
        return inputs(lines, wired, Counting.EVERY_CROSSING);
    }

    private Map<String, Input> inputs(List<Line> lines, List<Control> controls, Counting counting) {
        Map<String, Input> given = new LinkedHashMap<>();
        if (!way.ruled()) {
            return given;
        }
        List<Contact> pressed = controls.stream()
                .flatMap(c -> c.contacts().stream())
                .filter(c -> c.input().stream().anyMatch(NumberScheme::counts))
                .toList();
        List<Wiring.Crossing> crossings = pressed.stream()
                .map(Contact::wiring)
                .filter(Wiring.Crossing.class::isInstance)
                .map(Wiring.Crossing.class::cast)
                .toList();
        Map<Wiring.Crossing, Integer> numbers = numbers(lines, crossings, counting);
        int next = crossings.isEmpty()
                ? first
                : counting == Counting.EVERY_CROSSING
                        ? first + count(lines, Line.Kind.ROW) * count(lines, Line.Kind.COLUMN)
                        : first + crossings.size();
        for (Contact contact : pressed) {
            if (contact.wiring() instanceof Wiring.Crossing at) {
                given.put(contact.id(), new Input.Button(Known.in(numbers, at)));
            }
        }
        List<String> names = lines.stream().map(Line::name).toList();
        List<Contact> outside = pressed.stream()
                .filter(c -> !(c.wiring() instanceof Wiring.Crossing))
                .sorted(Comparator.comparingLong(c -> behind(names, c.wiring())))
                .toList();
        for (Contact contact : outside) {
            given.put(contact.id(), new Input.Button(next++));
        }
        for (Control control : controls) {
            if (control instanceof Control.Encoder e && counts(e.cw()) && counts(e.ccw())) {
                given.put(e.id() + ".cw", new Input.Button(next++));
                given.put(e.id() + ".ccw", new Input.Button(next++));
            }
        }
        return given;
    }

    /** The controls with those inputs in place of theirs. */
    static List<Control> renumbered(List<Control> controls, Map<String, Input> inputs) {
        return controls.stream()
                .map(control -> {
                    Control next = NewBox.rebuilt(
                            control,
                            control.mount(),
                            c -> new Contact(
                                    c.id(),
                                    c.control(),
                                    c.wiring(),
                                    c.diode(),
                                    Optional.ofNullable(inputs.get(c.id())).or(c::input)));
                    return next instanceof Control.Encoder e
                            ? new Control.Encoder(
                                    e.id(),
                                    e.label(),
                                    e.mount(),
                                    e.a(),
                                    e.b(),
                                    inputs.getOrDefault(e.id() + ".cw", e.cw()),
                                    inputs.getOrDefault(e.id() + ".ccw", e.ccw()),
                                    e.detents())
                            : next;
                })
                .toList();
    }

    private static boolean counts(Input input) {
        return input instanceof Input.Button button && button.collection() == 1;
    }

    private static int count(List<Line> lines, Line.Kind kind) {
        return (int) lines.stream().filter(l -> l.kind() == kind).count();
    }

    /** Outside the matrix: line by line in plan order, in a chain bit by bit, what is not wired last. */
    private static long behind(List<String> names, Wiring wiring) {
        if (wiring instanceof Wiring.Direct direct) {
            return (long) names.indexOf(direct.line()) << 16;
        } else if (wiring instanceof Wiring.Shift shift) {
            return ((long) names.indexOf(shift.line()) << 16) + shift.register() * 8L + shift.bit();
        }
        return Long.MAX_VALUE;
    }

    private Map<Wiring.Crossing, Integer> numbers(
            List<Line> lines, List<Wiring.Crossing> crossings, Counting counting) {
        List<String> rows = names(lines, Line.Kind.ROW);
        List<String> columns = names(lines, Line.Kind.COLUMN);
        Map<Wiring.Crossing, Integer> numbers = new HashMap<>();
        List<Wiring.Crossing> sorted = crossings.stream()
                .sorted(Comparator.comparingInt(x -> index(rows, columns, way, x)))
                .toList();
        for (int i = 0; i < sorted.size(); i++) {
            Wiring.Crossing x = sorted.get(i);
            numbers.put(x, first + (counting == Counting.EVERY_CROSSING ? index(rows, columns, way, x) : i));
        }
        return numbers;
    }

    private static List<String> names(List<Line> lines, Line.Kind kind) {
        return lines.stream().filter(l -> l.kind() == kind).map(Line::name).toList();
    }

    private static int index(Plan plan, Way way, Wiring.Crossing at) {
        return index(names(plan.lines(), Line.Kind.ROW), names(plan.lines(), Line.Kind.COLUMN), way, at);
    }

    private static int index(List<String> rows, List<String> columns, Way way, Wiring.Crossing at) {
        int row = rows.indexOf(at.row());
        int column = columns.indexOf(at.column());
        return way == Way.BY_COLUMNS ? column * rows.size() + row : row * columns.size() + column;
    }

    /** {@code by-rows from button 1}. */
    public Phrase words() {
        return Phrase.of("numbering.scheme", way.word(), first);
    }
}
