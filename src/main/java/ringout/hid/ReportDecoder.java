package ringout.hid;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import ringout.hid.InputField.Extent;
import ringout.hid.InputField.Kind;

/**
 * Decodes the reports of a game controller into an {@link InputState}: the descriptor is compiled once into a table
 * of what each report holds, and a report is decoded without allocating.
 *
 * <p>Which inputs there are is {@link #layout()}, see {@link GameControls}. How values become inputs:
 * <ul>
 * <li>A button is on while its value, held to its logical extent, is not 0, or while its array field selects it. So one
 * whose extent leaves out 0 is always on, as the kernel and games see it (hidinput_hid_event).
 * <li>A hat's value counts clockwise from its logical minimum, up; any value outside its logical extent is centred.
 * With 4 or 8 positions each is a quarter or an eighth of a turn. With another number the physical extent in degrees
 * decides, to the nearest eighth; without one, the extent is a full turn in eighths, as in the kernel's
 * hidinput_hid_event.
 * <li>An axis without null state is held to its logical extent, as the kernel does and games therefore see it.
 * <li>A value outside the logical extent of a button or axis with null state changes nothing: HID 1.11 section 5.10
 * (page 20).
 * <li>A report changes only the inputs of its own fields.
 * </ul>
 * Immutable and thread-safe.
 */
public final class ReportDecoder {
    private static final int RUN_LIMIT = 32;

    /** Directions held at each eighth of a turn, clockwise from up, as bits of {@link Direction#bit}. */
    private static final int[] EIGHTHS = {0b0001, 0b0011, 0b0010, 0b0110, 0b0100, 0b1100, 0b1000, 0b1001};

    private final InputLayout layout;
    private final boolean usesReportIds;
    /** By report ID; null where there is no such report. */
    private final Contents[] reports = new Contents[256];

    /** Compiles a descriptor; one without game-controller collection gives a decoder without inputs. */
    public ReportDecoder(ReportDescriptor descriptor) {
        GameControls controls = GameControls.of(descriptor);
        layout = controls.layout();
        usesReportIds = descriptor.usesReportIds();
        int idBytes = usesReportIds ? 1 : 0;
        for (ReportDescriptor.Report report : descriptor.reports()) {
            Compiler compiler = new Compiler(layout, idBytes * 8);
            controls.bindings().stream()
                    .filter(binding -> binding.field().reportId() == report.id())
                    .forEach(compiler::add);
            reports[report.id()] = compiler.contents(report.bytes() + idBytes);
        }
    }

    /** Which inputs the device has; its states are what {@link #decode} fills. */
    public InputLayout layout() {
        return layout;
    }

    /**
     * Decodes one report into {@code state}. Allocates nothing.
     *
     * @param report its bytes from index 0, the ID first where the descriptor uses report IDs
     * @param length how many bytes are the report's
     * @param state  a state of {@link #layout()}; keeps what the report does not tell
     * @return how the report compares with what is declared
     * @throws IndexOutOfBoundsException where {@code length} is not within the array
     * @throws IllegalArgumentException  for a state of another layout
     */
    public ReportOutcome decode(byte[] report, int length, InputState state) {
        Objects.checkFromIndexSize(0, length, report.length);
        if (state.layout() != layout) {
            throw new IllegalArgumentException("the state is of another layout");
        }
        if (usesReportIds && length == 0) {
            return ReportOutcome.SHORT;
        }
        Contents contents = reports[usesReportIds ? report[0] & 0xFF : 0];
        if (contents == null) {
            return ReportOutcome.UNKNOWN_ID;
        }
        contents.decode(report, length * 8, state);
        return ReportOutcome.of(length, contents.bytes);
    }

    /**
     * What one report holds. Each kind has a list of its own, so that nothing is left to decide for each value; no input is
     * in two of them, so their order does not matter. Bits are counted from the start of the report, its ID included.
     */
    private record Contents(int bytes, Run[] runs, Value[] switches, Hat[] hats, Value[] axes, Selection[] selections) {

        void decode(byte[] report, int bits, InputState state) {
            for (Run run : runs) {
                run.decode(report, bits, state);
            }
            for (Value value : switches) {
                value.decodeSwitch(report, bits, state);
            }
            for (Hat hat : hats) {
                hat.decode(report, bits, state);
            }
            for (Value value : axes) {
                value.decodeAxis(report, bits, state);
            }
            for (Selection selection : selections) {
                selection.decode(report, bits, state);
            }
        }
    }

    /**
     * Buttons of one bit each, side by side in the report and in the layout.
     *
     * @param bit   of the first one
     * @param count at most {@link #RUN_LIMIT}
     * @param first its index
     */
    private record Run(int bit, int count, int first) {

        void decode(byte[] report, int bits, InputState state) {
            int present = Math.min(count, bits - bit);
            if (present > 0) {
                state.setRun(first, present, Bits.unsigned(report, bit, present));
            }
        }

        /** True where a button at that bit, of that index, goes on with this run. */
        boolean leadsTo(int nextBit, int nextIndex) {
            return count < RUN_LIMIT && bit + count == nextBit && first + count == nextIndex;
        }
    }

    /**
     * One value of a field.
     *
     * @param bit      of its lowest bit
     * @param end      the bit after it
     * @param nullable true where a value outside the extent changes nothing
     * @param target   index of the switch or axis; of a hat's up
     */
    private record Value(int bit, int end, long minimum, long maximum, boolean nullable, int target) {

        Value(InputField field, int base, int element, int target) {
            this(
                    base + field.bitOffset(element),
                    base + field.bitOffset(element) + field.bitSize(),
                    field.logical().minimum(),
                    field.logical().maximum(),
                    field.nullState(),
                    target);
        }

        boolean isPresent(int bits) {
            return end <= bits;
        }

        long read(byte[] report) {
            return Bits.value(report, bit, end - bit, minimum < 0);
        }

        boolean isOutside(long value) {
            return value < minimum || value > maximum;
        }

        void decodeSwitch(byte[] report, int bits, InputState state) {
            if (isPresent(bits)) {
                long value = read(report);
                if (!nullable || !isOutside(value)) {
                    state.set(target, held(value) != 0);
                }
            }
        }

        void decodeAxis(byte[] report, int bits, InputState state) {
            if (isPresent(bits)) {
                long value = read(report);
                if (!nullable || !isOutside(value)) {
                    state.setAxis(target, held(value));
                }
            }
        }

        /** Within the extent; an extent of one value is an extent never declared. */
        private long held(long value) {
            return minimum < maximum ? Math.max(minimum, Math.min(maximum, value)) : value;
        }
    }

    /**
     * A hat switch: its eighth of a turn is (value - minimum) * scale + shift, divided by the divisor.
     *
     * @param value whose target is the index of its up
     */
    private record Hat(Value value, long scale, long shift, long divisor) {

        /** How the values of that field turn into eighths of a turn. */
        static Hat of(InputField field, Value value) {
            Extent physical = field.physical();
            long positions = field.logical().size();
            long degrees = physical.maximum() - physical.minimum();
            boolean angle = field.unit() == DEGREES
                    && field.unitExponent() == 0
                    && degrees > 0
                    && degrees <= 360
                    && Math.abs(physical.minimum()) <= 360;
            if (positions == 4 || positions == 8) {
                return new Hat(value, 8 / positions, 0, 1);
            }
            if (!angle) {
                return new Hat(value, 8, 0, positions);
            }
            // (least + value * degrees / steps + 22.5) / 45, all times 2 * steps.
            long steps = positions - 1;
            return new Hat(value, 2 * degrees, (2 * physical.minimum() + 45) * steps, 90 * steps);
        }

        void decode(byte[] report, int bits, InputState state) {
            if (value.isPresent(bits)) {
                long now = value.read(report);
                state.setRun(
                        value.target, 4, value.isOutside(now) ? 0 : EIGHTHS[(int) eighth(now - value.minimum) & 7]);
            }
        }

        /** Dividing takes longer than all else here, and hats with 4 or 8 positions can do without. */
        private long eighth(long steps) {
            long scaled = steps * scale + shift;
            return divisor == 1 ? scaled : Math.floorDiv(scaled, divisor);
        }
    }

    /**
     * An array field.
     *
     * @param bit     of its first value
     * @param size    bits of each value
     * @param count   values
     * @param targets index of the switch that each value from the minimum up selects, or -1
     */
    private record Selection(int bit, int size, int count, long minimum, int[] targets) {

        void decode(byte[] report, int bits, InputState state) {
            if (bit + size * count > bits) {
                return;
            }
            for (int target : targets) {
                if (target >= 0) {
                    state.set(target, false);
                }
            }
            for (int i = 0; i < count; i++) {
                long index = Bits.value(report, bit + i * size, size, minimum < 0) - minimum;
                if (index >= 0 && index < targets.length && targets[(int) index] >= 0) {
                    state.set(targets[(int) index], true);
                }
            }
        }
    }

    /** The contents of a report while they grow. */
    private static final class Compiler {
        private final InputLayout layout;
        private final int base;
        private final List<Run> runs = new ArrayList<>();
        private final List<Value> switches = new ArrayList<>();
        private final List<Hat> hats = new ArrayList<>();
        private final List<Value> axes = new ArrayList<>();
        private final List<Selection> selections = new ArrayList<>();

        /** @param base bits of the report before its fields */
        Compiler(InputLayout layout, int base) {
            this.layout = layout;
            this.base = base;
        }

        void add(GameControls.Binding binding) {
            InputField field = binding.field();
            if (field.kind() == Kind.ARRAY) {
                int[] targets = binding.inputs().stream()
                        .mapToInt(input -> input == null ? -1 : target(input))
                        .toArray();
                selections.add(new Selection(
                        base + field.bitOffset(),
                        field.bitSize(),
                        field.count(),
                        field.logical().minimum(),
                        targets));
                return;
            }
            for (int i = 0; i < field.count(); i++) {
                Input input = binding.inputs().get(i);
                if (input != null) {
                    add(field, i, input);
                }
            }
        }

        private void add(InputField field, int element, Input input) {
            Value value = new Value(field, base, element, target(input));
            if (input instanceof Input.Axis) {
                axes.add(value);
            } else if (field.usage(element).equals(Usage.HAT_SWITCH)) {
                hats.add(Hat.of(field, value));
            } else if (field.bitSize() == 1
                    && !field.nullState()
                    && (field.logical().contains(0) || field.logical().size() == 1)) {
                button(value);
            } else {
                switches.add(value);
            }
        }

        /** Lengthens the last run, or starts one. */
        private void button(Value value) {
            int last = runs.size() - 1;
            if (last >= 0 && runs.get(last).leadsTo(value.bit, value.target)) {
                Run run = runs.get(last);
                runs.set(last, new Run(run.bit, run.count + 1, run.first));
            } else {
                runs.add(new Run(value.bit, 1, value.target));
            }
        }

        private int target(Input input) {
            return layout.indexOf(input).orElseThrow();
        }

        Contents contents(int bytes) {
            return new Contents(
                    bytes,
                    runs.toArray(Run[]::new),
                    switches.toArray(Value[]::new),
                    hats.toArray(Hat[]::new),
                    axes.toArray(Value[]::new),
                    selections.toArray(Selection[]::new));
        }
    }

    /** English Rotation, the unit of hat switches: HID 1.11 section 6.2.2.7 (page 37). */
    private static final int DEGREES = 0x14;
}
