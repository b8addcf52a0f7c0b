package ringout.hid;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;

/**
 * Which inputs a box has, each with a dense index: switches (buttons and hat directions) from 0, and axes from 0.
 *
 * <p>The indices address {@link InputState}, so that edges can be found with an exclusive-or per 64 switches and
 * nothing is allocated per report. Immutable.
 */
public final class InputLayout {
    private final List<Input> switches;
    private final List<Axis> axes;
    private final Map<Input, Integer> index = new HashMap<>();

    /**
     * An axis with its logical extents.
     *
     * @param input   which axis
     * @param minimum logical minimum of the field
     * @param maximum logical maximum of the field, at least {@code minimum}
     * @param relative true where the field reports change, not position
     */
    public record Axis(Input.Axis input, long minimum, long maximum, boolean relative) {}

    /**
     * @param switches buttons and hat directions, in the order their indices take; no duplicates
     * @param axes     axes in the order their indices take; no duplicates
     * @throws IllegalArgumentException on a duplicate, or an axis among the switches
     */
    public InputLayout(List<Input> switches, List<Axis> axes) {
        this.switches = List.copyOf(switches);
        this.axes = List.copyOf(axes);
        for (int i = 0; i < this.switches.size(); i++) {
            Input input = this.switches.get(i);
            if (input instanceof Input.Axis || index.put(input, i) != null) {
                throw new IllegalArgumentException(input.text() + " cannot be switch " + i);
            }
        }
        for (int i = 0; i < this.axes.size(); i++) {
            if (index.put(this.axes.get(i).input(), i) != null) {
                throw new IllegalArgumentException(this.axes.get(i).input().text() + " is declared twice");
            }
        }
    }

    /** Buttons and hat directions by index. */
    public List<Input> switches() {
        return switches;
    }

    /** Axes by index. */
    public List<Axis> axes() {
        return axes;
    }

    /** All inputs, sorted. */
    public List<Input> inputs() {
        List<Input> all = new ArrayList<>(switches);
        axes.forEach(axis -> all.add(axis.input()));
        all.sort(null);
        return all;
    }

    /** The index of a switch among {@link #switches()} or of an axis among {@link #axes()}; empty where the box lacks it. */
    public OptionalInt indexOf(Input input) {
        Integer i = index.get(input);
        return i == null ? OptionalInt.empty() : OptionalInt.of(i);
    }

    /** True where the box declares that input. */
    public boolean has(Input input) {
        return index.containsKey(input);
    }

    /** An all-off, all-zero state of this layout. */
    public InputState newState() {
        return new InputState(this);
    }
}
