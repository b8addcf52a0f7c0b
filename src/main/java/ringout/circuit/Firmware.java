package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.TreeSet;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Plan;

/**
 * What stock firmware makes of the positions it reads active: buttons, hat directions, and pulses of encoders.
 *
 * <p>A position is the place of one planned contact, with the contact's index in {@link Plan#contacts()}. Crossings of
 * the matrix where the plan has no contact are ignored, as firmware does that is told which buttons exist.
 *
 * <p>Opposite directions of one hat at once have no value in a hat field (HID Usage Tables, Generic
 * Desktop page, Hat Switch), and what firmware sends
 * instead differs: this one lets them cancel each other, and {@link Harness#read} calls every direction of that hat
 * that is on marginal.
 *
 * <p>An encoder is decoded by counting valid steps of the quadrature cycle (a, a and b, b, none is clockwise), four to
 * the pulse; a step in which both phases change counts nothing. Common practice, no source.
 *
 * <p>Immutable; a {@link Decoder} holds what changes.
 */
public final class Firmware {
    private static final int NO_INPUT = -1;
    private static final int STEPS_PER_PULSE = 4;

    private final List<Input> inputs;
    private final Map<Input, Integer> index = new HashMap<>();
    private final int[] inputOf;
    private final int[][] hats;
    private final Encoder[] encoders;

    /** An encoder by the indices of its phases and of its inputs. */
    record Encoder(int a, int b, int cw, int ccw) {}

    private Firmware(Plan plan) {
        List<Contact> contacts = plan.contacts();
        TreeSet<Input> all = new TreeSet<>();
        plan.actions().forEach(action -> action.input().ifPresent(all::add));
        contacts.forEach(contact -> contact.input().ifPresent(all::add));
        inputs = List.copyOf(all);
        for (int i = 0; i < inputs.size(); i++) {
            index.put(inputs.get(i), i);
        }
        inputOf = new int[contacts.size()];
        Map<String, Integer> positions = new HashMap<>();
        for (int i = 0; i < contacts.size(); i++) {
            inputOf[i] = contacts.get(i).input().map(index::get).orElse(NO_INPUT);
            positions.put(contacts.get(i).id(), i);
        }
        Map<List<Integer>, int[]> ways = new HashMap<>();
        for (Input input : inputs) {
            if (input instanceof Input.Hat hat) {
                int[] four = ways.computeIfAbsent(List.of(hat.collection(), hat.number()), k -> {
                    int[] none = new int[Direction.values().length];
                    Arrays.fill(none, NO_INPUT);
                    return none;
                });
                four[hat.direction().ordinal()] = Known.in(index, input);
            }
        }
        hats = ways.values().toArray(int[][]::new);
        List<Encoder> turning = new ArrayList<>();
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder e) {
                turning.add(new Encoder(
                        Known.in(positions, e.a().id()),
                        Known.in(positions, e.b().id()),
                        Known.in(index, e.cw()),
                        Known.in(index, e.ccw())));
            }
        }
        encoders = turning.toArray(Encoder[]::new);
    }

    /** The firmware that fits a plan. */
    public static Firmware of(Plan plan) {
        return new Firmware(plan);
    }

    /** All inputs of the plan, axes too, sorted; an input's place here is its index in every bit set of inputs. */
    public List<Input> inputs() {
        return inputs;
    }

    /** Number of 64-bit words of a bit set of inputs. */
    public int words() {
        return inputs.size() + 63 >>> 6;
    }

    /** The index of an input, empty where the plan has none such. */
    public OptionalInt indexOf(Input input) {
        Integer i = index.get(input);
        return i == null ? OptionalInt.empty() : OptionalInt.of(i);
    }

    /**
     * The buttons and hat directions that are on. Allocates nothing.
     *
     * @param positions positions that read active
     * @param on        receives the inputs, by index
     */
    public void levels(long[] positions, long[] on) {
        Arrays.fill(on, 0, words(), 0);
        spread(positions, on);
        for (int[] hat : hats) {
            for (int way = 0; way < 2; way++) {
                if (has(on, hat[way]) && has(on, hat[way + 2])) {
                    on[hat[way] >>> 6] &= ~(1L << hat[way]);
                    on[hat[way + 2] >>> 6] &= ~(1L << hat[way + 2]);
                }
            }
        }
    }

    /** As {@link #levels(long[], long[])}, adding to what the sets hold, with positions that may or may not be active. */
    void addLevels(
            long[] certain, long[] doubtful, long[] on, long[] marginal, long[] scratchOn, long[] scratchMarginal) {
        Arrays.fill(scratchOn, 0);
        Arrays.fill(scratchMarginal, 0);
        spread(certain, scratchOn);
        spread(doubtful, scratchMarginal);
        for (int[] hat : hats) {
            boolean opposed = (either(hat[0], scratchOn, scratchMarginal) && either(hat[2], scratchOn, scratchMarginal))
                    || (either(hat[1], scratchOn, scratchMarginal) && either(hat[3], scratchOn, scratchMarginal));
            if (opposed) {
                for (int way : hat) {
                    if (has(scratchOn, way)) {
                        scratchOn[way >>> 6] &= ~(1L << way);
                        scratchMarginal[way >>> 6] |= 1L << way;
                    }
                }
            }
        }
        for (int w = 0; w < on.length; w++) {
            on[w] |= scratchOn[w];
            marginal[w] |= scratchMarginal[w];
        }
    }

    private void spread(long[] positions, long[] on) {
        for (int w = 0; w < positions.length; w++) {
            for (long bits = positions[w]; bits != 0; bits &= bits - 1) {
                int input = inputOf[(w << 6) + Long.numberOfTrailingZeros(bits)];
                if (input != NO_INPUT) {
                    on[input >>> 6] |= 1L << input;
                }
            }
        }
    }

    private static boolean either(int input, long[] on, long[] marginal) {
        return has(on, input) || has(marginal, input);
    }

    private static boolean has(long[] bits, int index) {
        return index != NO_INPUT && (bits[index >>> 6] >>> index & 1) != 0;
    }

    Encoder[] encoders() {
        return encoders;
    }

    /** A decoder of all encoders; the first state it is given is where they rest. */
    public Decoder decoder() {
        return new Decoder();
    }

    /** What encoders have done so far. Mutable, not thread-safe; allocates nothing once made. */
    public final class Decoder {
        private final int[] phases = new int[encoders.length];
        private final int[] steps = new int[encoders.length];
        private boolean started;

        private Decoder() {}

        /**
         * Takes the next state of the positions.
         *
         * @param positions positions that read active
         * @param pulses    receives the inputs that give a pulse with this state, by index
         */
        public void update(long[] positions, long[] pulses) {
            Arrays.fill(pulses, 0, words(), 0);
            for (int e = 0; e < encoders.length; e++) {
                Encoder encoder = encoders[e];
                int now = (has(positions, encoder.a) ? 1 : 0) | (has(positions, encoder.b) ? 2 : 0);
                steps[e] += started ? step(phases[e], now) : 0;
                phases[e] = now;
                if (Math.abs(steps[e]) == STEPS_PER_PULSE) {
                    int input = steps[e] > 0 ? encoder.cw : encoder.ccw;
                    pulses[input >>> 6] |= 1L << input;
                    steps[e] = 0;
                }
            }
            started = true;
        }
    }

    /** Pulses some sequences of phase states give: bit 0 for clockwise, bit 1 for anticlockwise. */
    record Pulses(int certain, int possible) {}

    /**
     * Decodes one encoder over a sequence of states in which phases may be doubtful.
     *
     * @param certain  per state: phase a in bit 0, phase b in bit 1
     * @param doubtful per state: phases that may be either
     */
    static Pulses decode(int[] certain, int[] doubtful) {
        int[] all = {~0, 0};
        decode(certain, doubtful, 0, 0, 0, 0, all);
        return new Pulses(all[0] & 3, all[1]);
    }

    private static void decode(int[] certain, int[] doubtful, int at, int before, int steps, int pulses, int[] all) {
        if (at == certain.length) {
            all[0] &= pulses;
            all[1] |= pulses;
            return;
        }
        for (int choice = 0; choice < 4; choice++) {
            if ((choice & ~doubtful[at]) != 0) {
                continue;
            }
            int now = certain[at] | choice;
            int sum = at == 0 ? 0 : steps + step(before, now);
            boolean full = Math.abs(sum) == STEPS_PER_PULSE;
            decode(certain, doubtful, at + 1, now, full ? 0 : sum, full ? pulses | (sum > 0 ? 1 : 2) : pulses, all);
        }
    }

    private static final int[] PLACE_IN_CYCLE = {0, 1, 3, 2};

    /** One step of the cycle none, a, a and b, b: 1 forward, -1 back, 0 for no change or a change of both at once. */
    private static int step(int before, int now) {
        int turned = PLACE_IN_CYCLE[now] - PLACE_IN_CYCLE[before] & 3;
        return turned == 1 ? 1 : turned == 3 ? -1 : 0;
    }
}
