package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * Which input comes in place of which in a box that is out of order.
 *
 * <p>Rows and columns are counted in the order of the plan. Where a contact is read at a crossing for which the plan has
 * none, or at the phase of an encoder, nothing comes. Immutable.
 */
public final class Orders {
    private final List<Input> inputs;
    private final Map<Input, Integer> index = new HashMap<>();
    private final List<String> rows;
    private final List<String> columns;
    /** By row and column, counted from 0. */
    private final Map<List<Integer>, Contact> at = new LinkedHashMap<>();
    /** Where the contact of an input is, for those of the matrix. */
    private final Map<Input, List<Integer>> places = new HashMap<>();
    /** Inputs of encoders with a phase in the matrix, with the places of their phases there. */
    private final Map<Input, List<List<Integer>>> turns = new HashMap<>();

    Orders(Plan plan, List<Input> inputs) {
        this.inputs = inputs;
        inputs.forEach(i -> index.put(i, index.size()));
        rows = plan.lines(Line.Kind.ROW).stream().map(Line::name).toList();
        columns = plan.lines(Line.Kind.COLUMN).stream().map(Line::name).toList();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing x) {
                List<Integer> place = List.of(rows.indexOf(x.row()), columns.indexOf(x.column()));
                at.put(place, contact);
                contact.input().ifPresent(i -> places.putIfAbsent(i, place));
            }
        }
        Map<String, List<Integer>> placeOf = new HashMap<>();
        at.forEach((place, contact) -> placeOf.put(contact.id(), place));
        for (Action action : plan.actions()) {
            List<List<Integer>> phases = action.contacts().stream()
                    .filter(placeOf::containsKey)
                    .map(placeOf::get)
                    .toList();
            action.input()
                    .filter(i -> !places.containsKey(i))
                    .ifPresent(i ->
                            turns.computeIfAbsent(i, k -> new ArrayList<>()).addAll(phases));
        }
    }

    /** By how many numbers a part of the buttons is taken to be shifted at most, either way. */
    private static final int MOST_LEFT_OUT = 2;

    /** How many lines more than the plan's a firmware is taken to count at most; the widest have 16. From memory. */
    private static final int MOST_WIDER = 15;

    /** Fewer than that many buttons that are shifted together are no rule. */
    private static final int LEAST_SHIFTED = 2;

    /** Rules by which the firmware leaves out numbers that the plan gives, or gives such that it leaves out. */
    List<Order> leavingOut() {
        List<Order> all = new ArrayList<>();
        int[] numbers = inputs.stream()
                .filter(Input.Button.class::isInstance)
                .mapToInt(i -> ((Input.Button) i).number())
                .sorted()
                .distinct()
                .toArray();
        for (int k = 1; k <= numbers.length - LEAST_SHIFTED; k++) {
            for (int by = -MOST_LEFT_OUT; by <= MOST_LEFT_OUT; by++) {
                // Numbers that fall on those before them would be two controls' each.
                if (by != 0 && numbers[k] + by > numbers[k - 1]) {
                    all.add(new Order.ShiftedFrom(by, numbers[k]));
                }
            }
        }
        for (Order.Side side : Order.Side.values()) {
            int step = step(side);
            for (int by = count(side) - step; step > 0 && by <= MOST_WIDER; by++) {
                if (by != 0) {
                    all.add(new Order.Wider(side, by));
                }
            }
        }
        return all;
    }

    /**
     * By how much the numbers of a line are higher than those of the line before it, where they count one by one along it:
     * for columns, the numbers of a row. 0 where the plan counts otherwise, or too little is there to tell.
     */
    private int step(Order.Side side) {
        int across = side == Order.Side.COLUMNS ? 1 : 0;
        List<List<Integer>> taken = buttons();
        int step = 0;
        for (List<Integer> place : taken) {
            List<Integer> first = taken.get(0);
            int lines = place.get(1 - across) - first.get(1 - across);
            if (step == 0 && lines != 0) {
                step = (number(place) - number(first) - place.get(across) + first.get(across)) / lines;
            }
        }
        int found = step;
        boolean regular = step >= count(side)
                && taken.stream()
                                .mapToInt(p -> number(p) - p.get(across) - found * p.get(1 - across))
                                .distinct()
                                .count()
                        == 1;
        return regular ? step : 0;
    }

    /** Where the matrix has a contact of its own for a button. */
    private List<List<Integer>> buttons() {
        return at.entrySet().stream()
                .filter(e -> e.getValue().input().orElse(null) instanceof Input.Button)
                .map(Map.Entry::getKey)
                .toList();
    }

    /** Every rule but those of numbers left out and shifts by which a box of this plan would do otherwise than planned. */
    public List<Order> all() {
        List<Order> all = new ArrayList<>();
        all.add(new Order.ByColumns());
        all.add(new Order.Mirrored(Order.Side.ROWS));
        all.add(new Order.Mirrored(Order.Side.COLUMNS));
        all.add(new Order.Turned());
        all.add(new Order.Transposed());
        for (Order.Side side : Order.Side.values()) {
            int count = count(side);
            for (int by = -(count - 1) / 2; by <= count / 2; by++) {
                if (by != 0) {
                    all.add(new Order.Rotated(side, by));
                }
            }
        }
        all.removeIf(order -> keeps(image(order)));
        return all;
    }

    /** True where numbers shifted by that much leave most buttons with one. */
    boolean shows(int by) {
        List<Input> buttons =
                inputs.stream().filter(Input.Button.class::isInstance).toList();
        long left = buttons.stream().filter(b -> shifted(b, by, 1).isPresent()).count();
        return 2 * left > buttons.size();
    }

    private boolean keeps(List<Optional<Input>> image) {
        for (int i = 0; i < image.size(); i++) {
            if (!image.get(i).equals(Optional.of(inputs.get(i)))) {
                return false;
            }
        }
        return true;
    }

    private int count(Order.Side side) {
        return side == Order.Side.ROWS ? rows.size() : columns.size();
    }

    /**
     * What comes when a control is worked that is planned to give an input, by the index of that input; empty where
     * nothing comes.
     */
    public List<Optional<Input>> image(Order order) {
        return order.fold(new Images());
    }

    private final class Images implements Order.Fold<List<Optional<Input>>> {
        @Override
        public List<Optional<Input>> shifted(Order.Shifted o) {
            return each(i -> Orders.shifted(i, o));
        }

        @Override
        public List<Optional<Input>> shiftedFrom(Order.ShiftedFrom o) {
            return each(i -> Orders.shifted(i, o));
        }

        @Override
        public List<Optional<Input>> wider(Order.Wider o) {
            boolean regular = step(o.side()) > 0;
            int along = o.side() == Order.Side.COLUMNS ? 0 : 1;
            return each(i -> regular && places.containsKey(i)
                    ? Orders.shifted(i, o.by() * Known.in(places, i).get(along), 1)
                    : Optional.of(i));
        }

        @Override
        public List<Optional<Input>> byColumns(Order.ByColumns o) {
            Map<Input, Input> numbers = Orders.this.byColumns();
            return each(i -> Optional.of(numbers.getOrDefault(i, i)));
        }

        @Override
        public List<Optional<Input>> mirrored(Order.Mirrored o) {
            return o.side() == Order.Side.ROWS
                    ? moved((row, column) -> List.of(rows.size() - 1 - row, column))
                    : moved((row, column) -> List.of(row, columns.size() - 1 - column));
        }

        @Override
        public List<Optional<Input>> turned(Order.Turned o) {
            return moved((row, column) -> List.of(rows.size() - 1 - row, columns.size() - 1 - column));
        }

        @Override
        public List<Optional<Input>> transposed(Order.Transposed o) {
            return moved((row, column) -> List.of(column, row));
        }

        @Override
        public List<Optional<Input>> rotated(Order.Rotated o) {
            return o.side() == Order.Side.ROWS
                    ? moved((row, column) -> List.of(Math.floorMod(row + o.by(), rows.size()), column))
                    : moved((row, column) -> List.of(row, Math.floorMod(column + o.by(), columns.size())));
        }

        private List<Optional<Input>> each(Function<Input, Optional<Input>> comes) {
            return inputs.stream().map(comes).toList();
        }

        private List<Optional<Input>> moved(Moved to) {
            return each(input -> {
                List<Integer> place = places.get(input);
                return place == null
                        ? Optional.of(input).filter(i -> !turns(i, to))
                        : Optional.ofNullable(at.get(to.of(place))).flatMap(Contact::input);
            });
        }
    }

    /** Where a contact at a crossing is read. */
    private interface Moved {
        List<Integer> to(int row, int column);

        default List<Integer> of(List<Integer> place) {
            return to(place.get(0), place.get(1));
        }
    }

    /** As {@link #image(Order)}, for all that is wrong with a box. */
    public List<Optional<Input>> shown(Collection<Fault> faults) {
        List<Optional<Input>> image =
                new ArrayList<>(inputs.stream().map(Optional::of).toList());
        for (Fault fault : faults) {
            if (fault instanceof Fault.Silent) {
                image.replaceAll(i -> Optional.empty());
            } else if (fault instanceof Fault.Misordered misordered) {
                List<Optional<Input>> next = image(misordered.order());
                image.replaceAll(i -> i.flatMap(seen ->
                        index.containsKey(seen) ? next.get(index.get(seen)) : shifted(seen, misordered.order())));
            }
        }
        return image;
    }

    /** True for an encoder in the matrix one of whose phases is read elsewhere: it no longer counts. */
    private boolean turns(Input input, Moved to) {
        return turns.getOrDefault(input, List.of()).stream()
                .anyMatch(phase -> !to.of(phase).equals(phase));
    }

    private static Optional<Input> shifted(Input input, Order order) {
        return order instanceof Order.Shifted all
                ? shifted(input, all.by(), 1)
                : order instanceof Order.ShiftedFrom some ? shifted(input, some.by(), some.from()) : Optional.of(input);
    }

    private static Optional<Input> shifted(Input input, int by, int from) {
        if (!(input instanceof Input.Button button) || button.number() < from) {
            return Optional.of(input);
        }
        int number = button.number() + by;
        return number < 1 ? Optional.empty() : Optional.of(new Input.Button(number, button.collection()));
    }

    /**
     * The buttons of the matrix numbered along the other lines. Where the plan's numbers count every crossing, used or
     * not, so do the new ones; else the same numbers are given out in the other order.
     */
    private Map<Input, Input> byColumns() {
        List<List<Integer>> taken = buttons();
        Map<Input, Input> numbers = new HashMap<>();
        if (taken.isEmpty()) {
            return numbers;
        }
        int[][] across = {{columns.size(), 1}, {1, rows.size()}};
        for (int way = 0; way < 2; way++) {
            int base = number(taken.get(0)) - count(taken.get(0), across[way]);
            int[] now = across[way];
            if (taken.stream().allMatch(p -> number(p) - count(p, now) == base)) {
                int[] then = across[1 - way];
                taken.forEach(p -> numbers.put(input(p), button(p, base + count(p, then))));
                return numbers;
            }
        }
        List<Input> sorted = taken.stream().map(this::input).sorted().toList();
        Comparator<List<Integer>> byRow =
                Comparator.<List<Integer>>comparingInt(p -> p.get(0)).thenComparingInt(p -> p.get(1));
        Comparator<List<Integer>> byColumn =
                Comparator.<List<Integer>>comparingInt(p -> p.get(1)).thenComparingInt(p -> p.get(0));
        for (Comparator<List<Integer>> rule : List.of(byColumn, byRow)) {
            List<List<Integer>> ordered = taken.stream().sorted(rule).toList();
            numbers.clear();
            for (int i = 0; i < ordered.size(); i++) {
                numbers.put(input(ordered.get(i)), sorted.get(i));
            }
            if (numbers.entrySet().stream().anyMatch(e -> !e.getKey().equals(e.getValue()))) {
                return numbers;
            }
        }
        return numbers;
    }

    private static int count(List<Integer> place, int[] steps) {
        return place.get(0) * steps[0] + place.get(1) * steps[1];
    }

    private Input input(List<Integer> place) {
        return Known.in(at, place).input().orElseThrow();
    }

    private int number(List<Integer> place) {
        return ((Input.Button) input(place)).number();
    }

    private Input button(List<Integer> place, int number) {
        return new Input.Button(number, input(place).collection());
    }

    /** The rule that a text names. */
    static Order parse(String text) {
        String[] parts = text.split(":", -1);
        String last = parts[parts.length - 1];
        if (text.equals("transposed")) {
            return new Order.Transposed();
        } else if (text.equals("numbering:by-columns")) {
            return new Order.ByColumns();
        } else if (text.startsWith("numbering:shift:") && parts.length == 3 && last.matches("[+-]?\\d{1,4}")) {
            return new Order.Shifted(Integer.parseInt(last));
        } else if (text.matches("numbering:shift:[+-]?\\d{1,4}:from:\\d{1,4}")) {
            return new Order.ShiftedFrom(Integer.parseInt(parts[2]), Integer.parseInt(last));
        } else if (text.startsWith("numbering:wider:")
                && parts.length == 4
                && side(parts[2]).isPresent()
                && last.matches("[+-]?\\d{1,3}")) {
            return new Order.Wider(side(parts[2]).get(), Integer.parseInt(last));
        } else if (text.equals("mirrored:both")) {
            return new Order.Turned();
        } else if (text.startsWith("mirrored:") && side(last).isPresent()) {
            return new Order.Mirrored(side(last).get());
        } else if (parts.length == 3
                && parts[0].equals("rotated")
                && side(parts[1]).isPresent()
                && last.matches("[+-]?\\d{1,3}")) {
            return new Order.Rotated(side(parts[1]).get(), Integer.parseInt(last));
        }
        throw new FaultException(Phrase.of("refused.order", text));
    }

    private static Optional<Order.Side> side(String word) {
        return Arrays.stream(Order.Side.values())
                .filter(s -> s.word().equals(word))
                .findFirst();
    }
}
