package ringout.hid;

import java.util.Arrays;
import java.util.SortedSet;
import java.util.TreeSet;

/**
 * What a box reported last: which switches are on and where each axis stands.
 *
 * <p>Mutable and made once per reader, so that decoding allocates nothing; copy it with {@link #copyFrom} before
 * handing it to another thread. Not thread-safe.
 */
public final class InputState {
    private final InputLayout layout;
    private final long[] on;
    private final long[] axes;

    InputState(InputLayout layout) {
        this.layout = layout;
        this.on = new long[(layout.switches().size() + 63) >>> 6];
        this.axes = new long[layout.axes().size()];
    }

    /** The layout whose indices this state uses. */
    public InputLayout layout() {
        return layout;
    }

    /** True while the switch of that index is on. */
    public boolean isOn(int switchIndex) {
        return (on[switchIndex >>> 6] >>> switchIndex & 1L) != 0;
    }

    /** True while that button or hat direction is on; false where the box lacks it or it is an axis. */
    public boolean isOn(Input input) {
        if (input instanceof Input.Axis) {
            return false;
        }
        var i = layout.indexOf(input);
        return i.isPresent() && isOn(i.getAsInt());
    }

    /** Turns the switch of that index on or off. */
    public void set(int switchIndex, boolean value) {
        long bit = 1L << switchIndex;
        if (value) {
            on[switchIndex >>> 6] |= bit;
        } else {
            on[switchIndex >>> 6] &= ~bit;
        }
    }

    /** Sets up to 32 switches from {@code first} on, the lowest bit being the first. */
    void setRun(int first, int count, long bits) {
        long mask = (1L << count) - 1;
        int i = first >>> 6;
        int shift = first & 63;
        on[i] = on[i] & ~(mask << shift) | (bits & mask) << shift;
        if (shift + count > 64) {
            on[i + 1] = on[i + 1] & ~(mask >>> 64 - shift) | (bits & mask) >>> 64 - shift;
        }
    }

    /** The axis of that index, in the logical units of its field. */
    public long axis(int axisIndex) {
        return axes[axisIndex];
    }

    /** Sets the axis of that index, in the logical units of its field. */
    public void setAxis(int axisIndex, long value) {
        axes[axisIndex] = value;
    }

    /** Number of 64-bit words in {@link #word}. */
    public int words() {
        return on.length;
    }

    /** Switches {@code 64 * i} to {@code 64 * i + 63}, the lowest index in the lowest bit. */
    public long word(int i) {
        return on[i];
    }

    /** Becomes a copy of another state of the same layout. Allocates nothing. */
    public void copyFrom(InputState other) {
        System.arraycopy(other.on, 0, on, 0, on.length);
        System.arraycopy(other.axes, 0, axes, 0, axes.length);
    }

    /** A new state with the same contents. */
    public InputState copy() {
        InputState copy = new InputState(layout);
        copy.copyFrom(this);
        return copy;
    }

    /** True where both states, of the same layout, hold the same values. */
    public boolean sameAs(InputState other) {
        return Arrays.equals(on, other.on) && Arrays.equals(axes, other.axes);
    }

    /** The buttons and hat directions that are on, sorted. Allocates; not for the path of every report. */
    public SortedSet<Input> onInputs() {
        SortedSet<Input> result = new TreeSet<>();
        for (int i = 0; i < layout.switches().size(); i++) {
            if (isOn(i)) {
                result.add(layout.switches().get(i));
            }
        }
        return result;
    }
}
