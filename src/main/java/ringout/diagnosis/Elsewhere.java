package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.circuit.Circuit;
import ringout.diagnosis.Evidence.Item;
import ringout.diagnosis.Evidence.Seen;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * How well all that was observed agrees with what no set of faults does: a firmware's table with wrong numbers in it, a
 * firmware that reports one key at a time, and anything at all. Explanations compete with these as with each other.
 */
final class Elsewhere {
    private static final int[] NONE = {};

    private final Circuit circuit;
    private final List<Item> items;
    private final int inputs;
    /** Actions that give another number. */
    private final SortedSet<String> misnumbered = new TreeSet<>();
    /** Those of them whose numbers go round. */
    private final SortedSet<String> round = new TreeSet<>();

    private final double numbers;
    private final double oneAtATime;
    private final double anything;

    Elsewhere(Circuit circuit, Evidence evidence) {
        this.circuit = circuit;
        items = evidence.items;
        inputs = Math.max(2, circuit.firmware().inputs().size());
        numbers = Math.log(Prior.WRONG_NUMBERS.value()) + wrongNumbers();
        oneAtATime = Math.log(Prior.ONE_AT_A_TIME.value()) + oneAtATime();
        anything = Math.log(Prior.SOMETHING_ELSE.value()) + anything();
    }

    /** The logarithm of its prior probability and likelihood together. */
    double logWeight() {
        double most = Math.max(anything, Math.max(numbers, oneAtATime));
        return most + Math.log(Math.exp(anything - most) + Math.exp(numbers - most) + Math.exp(oneAtATime - most));
    }

    /** What to say where this is likelier than all that is known. */
    Phrase words(Names names) {
        return oneAtATime > Math.max(numbers, anything)
                ? Phrase.of("verdict.one")
                : numbers <= anything
                        ? Phrase.of("verdict.else")
                        : round.isEmpty()
                                ? Phrase.of("verdict.numbers", names.actions(misnumbered), misnumbered.size())
                                : Phrase.of("verdict.round", names.actions(round));
    }

    /** Kinds of answers that something else than the model gives, and how many of each are expected before the first. */
    private static final double[] EXPECTED = {3, 0.5, 0.5, 0.5};

    /**
     * The logarithm of the likelihood where no set of faults of this model is the truth: answers as planned, none, one
     * other input or several come as often as they come (a Polya urn). Which other inputs come is drawn from all of them,
     * and what came before comes more easily again (a Chinese restaurant process), for whatever it is, it lasts.
     */
    private double anything() {
        double[] counts = EXPECTED.clone();
        double total = Arrays.stream(counts).sum();
        double sum = 0;
        Map<Input, Integer> came = new HashMap<>();
        double drawn = 0;
        boolean changing = items.stream().anyMatch(item -> item.changing);
        for (Item item : items) {
            boolean planned = item.fit(NONE) != 0;
            Set<Input> on = !planned && item instanceof Seen s ? s.observation.on() : Set.of();
            int kind = planned ? 0 : item instanceof Seen ? Math.min(3, 1 + on.size()) : 2;
            for (int tries = changing ? item.times : 1; tries > 0; tries--) {
                for (Input input : on) {
                    int before = came.merge(input, 1, Integer::sum) - 1;
                    sum += Math.log((before + 1.0 / inputs) / (drawn + 1));
                    drawn++;
                }
                sum += Math.log(counts[kind] / total);
                counts[kind]++;
                total++;
            }
        }
        return sum;
    }

    /** Controls with their own number and with another one's that are expected before the first. */
    private static final double RIGHT_NUMBER = 30;

    private static final double WRONG_NUMBER = 0.5;

    /**
     * Of wrong numbers, those of three or more controls that were dealt out among them: labels or entries of a table that
     * were moved on by one. Common practice, no source.
     */
    private static final double ROUND = 0.1;

    /** Shortest round that is not as well two controls in each other's place. */
    private static final int SHORTEST = 3;

    /**
     * The logarithm of the likelihood where the wires are as planned and some controls give the number of another one, for
     * the firmware's table has it twice or both are soldered to one place; negative infinity where anything else came.
     * Which number it is, is drawn from all; but where they go round among themselves, it is one mistake.
     */
    private double wrongNumbers() {
        Map<String, Set<Input>> gives = new HashMap<>();
        Map<Input, Input> came = new HashMap<>();
        double right = RIGHT_NUMBER;
        double wrong = WRONG_NUMBER;
        double sum = 0;
        for (Item item : items) {
            if (item instanceof Seen seen && item.held.actions.size() == 1) {
                String action = item.held.actions.get(0);
                Set<Input> on = seen.observation.on();
                Set<Input> before = gives.putIfAbsent(action, on);
                if (before != null) {
                    if (!before.equals(on)) {
                        return Double.NEGATIVE_INFINITY;
                    }
                } else if (item.fit(NONE) > 0) {
                    sum += Math.log(right / (right + wrong));
                    right++;
                } else if (on.size() == 1 && item.held.contactList.length == 1) {
                    sum += Math.log(wrong / (right + wrong) / (inputs - 1));
                    wrong++;
                    misnumbered.add(action);
                    planned(item).forEach(input -> came.put(input, on.iterator().next()));
                } else {
                    return Double.NEGATIVE_INFINITY;
                }
            }
        }
        for (Item item : items) {
            if (!(item instanceof Seen seen)) {
                if (item.fit(NONE) == 0) {
                    return Double.NEGATIVE_INFINITY;
                }
            } else if (item.held.actions.size() != 1) {
                // A ghost is at a place, too, and gives the number that the table has there.
                Set<Input> expected = new HashSet<>();
                planned(item).forEach(input -> expected.add(came.getOrDefault(input, input)));
                if (!seen.observation.on().equals(expected)) {
                    return Double.NEGATIVE_INFINITY;
                }
            }
        }
        if (came.isEmpty()) {
            return Double.NEGATIVE_INFINITY;
        }
        return goRound(came) ? Math.max(sum, Math.log(ROUND) - choices(came.size())) : sum;
    }

    /**
     * True where these numbers were dealt out among just these places, not only two and two, in a matrix in which a chord
     * may tell that from exchanged wires: elsewhere it is the same from outside, and told as that.
     */
    private boolean goRound(Map<Input, Input> came) {
        boolean ghosts = circuit.plan().contacts().stream()
                .anyMatch(c -> c.wiring() instanceof Wiring.Crossing && c.diode() == Contact.Diode.NONE);
        boolean goes = ghosts
                && came.size() >= SHORTEST
                && came.keySet().equals(new HashSet<>(came.values()))
                && came.entrySet().stream().anyMatch(e -> !e.getKey().equals(came.get(e.getValue())));
        if (goes) {
            round.addAll(misnumbered);
        }
        return goes;
    }

    /** The logarithm of how many choices of so many controls there are, and ways to deal their numbers out among them. */
    private double choices(int count) {
        double log = 0;
        for (int i = 0; i < count; i++) {
            log += Math.log(Math.max(1, inputs - i));
        }
        // One of e ways leaves none in its place.
        return log - 1;
    }

    private Set<Input> planned(Item item) {
        List<Input> all = circuit.firmware().inputs();
        Set<Input> planned = new HashSet<>();
        for (int i = 0; i < all.size(); i++) {
            if ((item.held.healthy.on()[i >>> 6] >>> i & 1) != 0) {
                planned.add(all.get(i));
            }
        }
        return planned;
    }

    /** One control that stays on keeps a firmware from reporting any other in so many boxes that report one at a time. */
    private static final double STUCK = 0.02;

    /**
     * The logarithm of the likelihood where the firmware reports one key at a time, the first, and one is stuck: whatever is
     * held, that one is on and nothing else; negative infinity where anything else came. Which one it is, is drawn from all.
     */
    private double oneAtATime() {
        Set<Set<Input>> came = new HashSet<>();
        Set<List<String>> held = new HashSet<>();
        for (Item item : items) {
            if (!(item instanceof Seen seen)) {
                return Double.NEGATIVE_INFINITY;
            }
            came.add(seen.observation.on());
            held.add(new ArrayList<>(item.held.actions));
        }
        boolean one = came.size() == 1 && came.iterator().next().size() == 1 && held.size() >= SHORTEST;
        return one ? Math.log(STUCK / inputs) : Double.NEGATIVE_INFINITY;
    }
}
