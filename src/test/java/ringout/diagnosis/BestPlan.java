package ringout.diagnosis;

import java.nio.ByteBuffer;
import java.nio.LongBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Hold;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.diagnosis.HuntTest.Suspects;
import ringout.plan.Action;

/**
 * The fewest steps, on average, in which anybody could tell the suspects apart: the best order of every press, every chord
 * of up to three and every pair of points for the meter, whatever shows at each. It shares with {@link Hunt} the circuit,
 * the priors and the rule when to stop, and nothing else.
 *
 * <p>Where a level or a reading is in doubt, this plan is told so, which no builder is: no plan can take fewer steps.
 *
 * <p>All orders are tried, as far as they may beat the best so far: what a step leaves unsettled takes one step more at
 * least, and as many as the most settling step leaves unsettled in turn.
 */
final class BestPlan {
    private static final double STOP = 0.95 / 0.98;
    private static final double SAME = 1e-12;

    private final double[] share;
    private final int[] classOf;
    private final byte[][] steps;
    private final Map<Long, Double> known = new HashMap<>();
    private final Map<Long, Double> atLeast = new HashMap<>();
    private final Map<Long, Double> firstGlance = new HashMap<>();
    private final Map<Long, Boolean> settled = new HashMap<>();

    BestPlan(Suspects suspects) {
        share = suspects.share();
        Set<ByteBuffer> distinct = new LinkedHashSet<>();
        Circuit circuit = suspects.circuit();
        Harness[] boxes = suspects.all().stream()
                .map(s -> circuit.with(List.of(s.fault())))
                .toArray(Harness[]::new);
        int words = circuit.firmware().words();
        for (List<String> actions : holds(circuit)) {
            Hold hold = circuit.hold(actions);
            add(distinct, boxes.length, h -> {
                long[] on = new long[words];
                long[] marginal = new long[words];
                boxes[h].read(hold, on, marginal);
                return List.of(LongBuffer.wrap(on), LongBuffer.wrap(marginal));
            });
        }
        for (List<String> hold : List.of(List.<String>of(), List.of(suspects.dead()))) {
            Meter[] meters =
                    Arrays.stream(boxes).map(b -> b.meter(circuit.hold(hold))).toArray(Meter[]::new);
            for (NodeName a : circuit.nodes()) {
                for (NodeName b : circuit.nodes()) {
                    for (ProbeMode mode : ProbeMode.values()) {
                        if (!a.equals(b)) {
                            add(
                                    distinct,
                                    boxes.length,
                                    h -> suspects.all().get(h).reads(meters[h], a, b, mode));
                        }
                    }
                }
            }
        }
        steps = distinct.stream().map(ByteBuffer::array).toArray(byte[][]::new);
        classOf = classes(suspects);
    }

    /** Of steps that split the suspects alike, one is enough. */
    private static void add(Set<ByteBuffer> distinct, int suspects, IntFunction<Object> outcome) {
        List<Object> names = new ArrayList<>();
        byte[] outcomes = new byte[suspects];
        for (int h = 0; h < suspects; h++) {
            Object shown = outcome.apply(h);
            int name = names.indexOf(shown);
            if (name < 0) {
                name = names.size();
                names.add(shown);
            }
            outcomes[h] = (byte) name;
        }
        if (names.size() > 1) {
            distinct.add(ByteBuffer.wrap(outcomes));
        }
    }

    /**
     * What is to be told apart: what no step tells apart is one, and so is a contact wherever it is open, but for a place
     * that no step tells from another fault.
     */
    private int[] classes(Suspects suspects) {
        Map<List<Byte>, Integer> numbers = new HashMap<>();
        int[] classOf = IntStream.range(0, share.length)
                .map(h -> numbers.computeIfAbsent(
                        Arrays.stream(steps).map(s -> s[h]).toList(), k -> numbers.size()))
                .toArray();
        Map<Fault, Integer> own = new HashMap<>();
        for (int h = 0; h < share.length; h++) {
            Fault fault = suspects.all().get(h).fault();
            int mine = classOf[h];
            if (IntStream.range(0, share.length)
                    .allMatch(g ->
                            classOf[g] != mine || suspects.all().get(g).fault().equals(fault))) {
                int joined = own.computeIfAbsent(fault, f -> mine);
                Arrays.setAll(classOf, g -> classOf[g] == mine ? joined : classOf[g]);
            }
        }
        return classOf;
    }

    /** Hands off, every press, every chord of two and three that a builder can hold. */
    private static List<List<String>> holds(Circuit circuit) {
        Chords chords = new Chords(circuit.plan());
        List<String> ids = circuit.plan().actions().stream().map(Action::id).toList();
        List<List<String>> holds = new ArrayList<>(List.of(List.of()));
        ids.forEach(id -> holds.add(List.of(id)));
        for (int i = 0; i < ids.size(); i++) {
            for (int j = 0; j < i; j++) {
                for (int k = 0; k <= j; k++) {
                    List<String> chord =
                            k == j ? List.of(ids.get(i), ids.get(j)) : List.of(ids.get(i), ids.get(j), ids.get(k));
                    if (chords.together(chord)) {
                        holds.add(chord);
                    }
                }
            }
        }
        return holds;
    }

    /** How many steps split the suspects differently. */
    int differentSteps() {
        return steps.length;
    }

    /** Of what is to be told apart, in bits. */
    double entropy() {
        double[] of = new double[share.length];
        IntStream.range(0, share.length).forEach(h -> of[classOf[h]] += share[h]);
        return Option.entropy(of, 1);
    }

    /** The most outcomes that a step has. */
    int mostOutcomes() {
        return Arrays.stream(steps)
                .mapToInt(s -> (int)
                        IntStream.range(0, s.length).map(h -> s[h]).distinct().count())
                .max()
                .orElse(1);
    }

    /** The most that a step is expected to tell at the start, in bits. */
    double mostBits() {
        return Arrays.stream(steps)
                .mapToDouble(s -> {
                    double[] of = new double[share.length];
                    IntStream.range(0, s.length).forEach(h -> of[s[h]] += share[h]);
                    return Option.entropy(of, 1);
                })
                .max()
                .orElse(0);
    }

    /** The expected number of steps. */
    double steps() {
        return steps(Double.MAX_VALUE);
    }

    /** The expected number of steps, if less than the limit; else some number that is not less, nor more than it takes. */
    double steps(double limit) {
        return steps((1L << share.length) - 1, steps, limit);
    }

    private double weight(long set) {
        double sum = 0;
        for (long bits = set; bits != 0; bits &= bits - 1) {
            sum += share[Long.numberOfTrailingZeros(bits)];
        }
        return sum;
    }

    private boolean settled(long set) {
        return settled.computeIfAbsent(set, s -> {
            double[] of = new double[share.length];
            for (long bits = s; bits != 0; bits &= bits - 1) {
                int h = Long.numberOfTrailingZeros(bits);
                of[classOf[h]] += share[h];
            }
            return Arrays.stream(of).max().orElse(0) >= STOP * weight(s);
        });
    }

    /** A way in which a step splits a set, with what it takes at least. */
    private record Split(long[] open, double atLeast) {}

    /** The ways in which steps split a set; adds to the list one step for each. */
    private List<long[]> splits(long set, byte[][] from, List<byte[]> kept) {
        int[] members = new int[Long.bitCount(set)];
        int n = 0;
        for (long bits = set; bits != 0; bits &= bits - 1) {
            members[n++] = Long.numberOfTrailingZeros(bits);
        }
        Set<List<Long>> seen = new HashSet<>();
        List<long[]> splits = new ArrayList<>();
        int[] partOf = new int[Byte.MAX_VALUE];
        for (byte[] step : from) {
            Arrays.fill(partOf, -1);
            Long[] parts = new Long[n];
            int used = 0;
            for (int h : members) {
                int part = partOf[step[h]];
                if (part < 0) {
                    part = partOf[step[h]] = used++;
                    parts[part] = 0L;
                }
                parts[part] |= 1L << h;
            }
            List<Long> split = List.of(Arrays.copyOf(parts, used));
            if (used > 1 && seen.add(split)) {
                splits.add(split.stream().mapToLong(Long::longValue).toArray());
                kept.add(step);
            }
        }
        return splits;
    }

    private long[] open(long[] parts) {
        return Arrays.stream(parts).filter(part -> !settled(part)).toArray();
    }

    /** What an unsettled set takes at least: one step, and one more for what the best of them leaves. */
    private double firstGlance(long set, byte[][] from) {
        Double before = firstGlance.get(set);
        if (before == null) {
            double total = weight(set);
            before = splits(set, from, new ArrayList<>()).stream()
                    .mapToDouble(parts -> 1
                            + Arrays.stream(open(parts))
                                            .mapToDouble(this::weight)
                                            .sum()
                                    / total)
                    .min()
                    .orElse(0);
            firstGlance.put(set, before);
        }
        return before;
    }

    /** What it takes, if less than the limit; else something that is not less than the limit, nor more than it takes. */
    private double steps(long set, byte[][] from, double limit) {
        if (settled(set)) {
            return 0;
        }
        Double before = known.get(set);
        if (before != null || (before = atLeast.get(set)) != null && before >= limit) {
            return before;
        }
        double total = weight(set);
        List<byte[]> kept = new ArrayList<>();
        List<long[]> splits = splits(set, from, kept);
        byte[][] mine = kept.toArray(byte[][]::new);
        List<Split> ranked = splits.stream()
                .map(this::open)
                .map(open -> new Split(
                        open,
                        1
                                + Arrays.stream(open)
                                        .mapToDouble(part -> weight(part) / total * firstGlance(part, mine))
                                        .sum()))
                .sorted(Comparator.comparingDouble(Split::atLeast))
                .toList();
        double best = splits.isEmpty() ? 0 : limit;
        boolean found = splits.isEmpty();
        for (Split split : ranked) {
            double steps = split.atLeast;
            for (int i = 0; i < split.open.length && steps < best - SAME; i++) {
                double part = weight(split.open[i]) / total;
                double glance = firstGlance(split.open[i], mine);
                steps += part * (steps(split.open[i], mine, glance + (best - steps) / part) - glance);
            }
            if (steps < best - SAME) {
                best = steps;
                found = true;
            } else if (split.atLeast >= best) {
                break;
            }
        }
        (found ? known : atLeast).put(set, best);
        return best;
    }
}
