package ringout.hid;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import ringout.hid.InputField.Extent;
import ringout.hid.InputField.Kind;

/**
 * Decodes the reports of a game controller into an {@link InputState}: the descriptor is compiled once into a flat
 * table, and a report is decoded without allocating.
 *
 * <p>Which inputs there are is {@link #layout()}, see {@link GameControls}. How values become inputs:
 * <ul>
 * <li>A button is on while its value is not 0, or while its array field selects it.
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
    /** Buttons of one bit each, side by side in the report and in the layout. */
    private static final int RUN = 0;
    private static final int SWITCH = 1;
    private static final int HAT = 2;
    private static final int AXIS = 3;
    private static final int ARRAY = 4;

    private static final int RUN_LIMIT = 32;

    /** Directions held at each eighth of a turn, clockwise from up, as bits of {@link Direction#bit}. */
    private static final int[] EIGHTHS = {0b0001, 0b0011, 0b0010, 0b0110, 0b0100, 0b1100, 0b1000, 0b1001};

    /** Numbers of an operation in {@link #ops}, and where each stands. */
    private static final int STRIDE = 7;
    private static final int KIND = 0;
    private static final int BIT = 1;
    private static final int SIZE = 2;
    /** Values: of a run or an array field. */
    private static final int COUNT = 3;
    /** Index of the switch or axis; of a hat's up; of an array field's first entry in {@link #arrayTargets}. */
    private static final int TARGET = 4;
    /** 1 where a value outside the logical extent changes nothing. */
    private static final int NULLABLE = 5;
    /** Entries of an array field in {@link #arrayTargets}. */
    private static final int ENTRIES = 6;

    /** Numbers of an operation in {@link #extents}. */
    private static final int EXTENT_STRIDE = 5;
    private static final int MINIMUM = 0;
    private static final int MAXIMUM = 1;
    /** A hat's eighth is (value - minimum) * scale + shift, divided by the divisor. */
    private static final int SCALE = 2;
    private static final int SHIFT = 3;
    private static final int DIVISOR = 4;

    private final InputLayout layout;
    private final boolean usesReportIds;
    /** By report ID: its bytes with its ID, or -1 where there is no such report. */
    private final int[] reportBytes = new int[256];
    /** By report ID: its first operation; the next report's first one ends it. */
    private final int[] reportOps = new int[257];
    private final int[] ops;
    private final long[] extents;
    /** Switch index that each value of an array field selects, or -1. */
    private final int[] arrayTargets;

    /** Compiles a descriptor; one without game-controller collection gives a decoder without inputs. */
    public ReportDecoder(ReportDescriptor descriptor) {
        GameControls controls = GameControls.of(descriptor);
        layout = controls.layout();
        usesReportIds = descriptor.usesReportIds();
        int idBytes = usesReportIds ? 1 : 0;
        Arrays.fill(reportBytes, -1);
        descriptor.reports().forEach(report -> reportBytes[report.id()] = report.bytes() + idBytes);

        Table table = new Table(layout, idBytes * 8);
        for (int id = 0; id < 256; id++) {
            reportOps[id] = table.size();
            for (GameControls.Binding binding : controls.bindings()) {
                if (binding.field().reportId() == id) {
                    table.add(binding);
                }
            }
        }
        reportOps[256] = table.size();
        ops = table.ops.stream().flatMapToInt(Arrays::stream).toArray();
        extents = table.extents.stream().flatMapToLong(Arrays::stream).toArray();
        arrayTargets = table.arrayTargets.stream().flatMapToInt(Arrays::stream).toArray();
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
        int id = usesReportIds ? report[0] & 0xFF : 0;
        int declared = reportBytes[id];
        if (declared < 0) {
            return ReportOutcome.UNKNOWN_ID;
        }
        int bits = length * 8;
        for (int op = reportOps[id]; op < reportOps[id + 1]; op++) {
            run(op, report, bits, state);
        }
        return ReportOutcome.of(length, declared);
    }

    private void run(int op, byte[] report, int bits, InputState state) {
        int at = op * STRIDE;
        int bit = ops[at + BIT];
        int size = ops[at + SIZE];
        int count = ops[at + COUNT];
        int target = ops[at + TARGET];
        if (ops[at + KIND] == RUN) {
            int present = Math.min(count, bits - bit);
            if (present > 0) {
                state.setRun(target, present, Bits.unsigned(report, bit, present));
            }
            return;
        }
        if (bit + size * count > bits) {
            return;
        }
        int extent = op * EXTENT_STRIDE;
        long minimum = extents[extent + MINIMUM];
        long maximum = extents[extent + MAXIMUM];
        if (ops[at + KIND] == ARRAY) {
            select(at, report, minimum, state);
            return;
        }
        long value = value(report, bit, size, minimum);
        boolean outside = value < minimum || value > maximum;
        if (outside && ops[at + NULLABLE] != 0) {
            return;
        }
        switch (ops[at + KIND]) {
            case SWITCH -> state.set(target, value != 0);
            case HAT -> state.setRun(target, 4, outside ? 0 : eighth(extent, value - minimum));
            // An extent of one value is an extent never declared.
            default -> state.setAxis(target, minimum < maximum ? Math.max(minimum, Math.min(maximum, value)) : value);
        }
    }

    private int eighth(int extent, long value) {
        long eighth = Math.floorDiv(value * extents[extent + SCALE] + extents[extent + SHIFT], extents[extent + DIVISOR]);
        return EIGHTHS[(int) eighth & 7];
    }

    private void select(int at, byte[] report, long minimum, InputState state) {
        int first = ops[at + TARGET];
        int entries = ops[at + ENTRIES];
        for (int i = first; i < first + entries; i++) {
            if (arrayTargets[i] >= 0) {
                state.set(arrayTargets[i], false);
            }
        }
        int size = ops[at + SIZE];
        for (int i = 0; i < ops[at + COUNT]; i++) {
            long index = value(report, ops[at + BIT] + i * size, size, minimum) - minimum;
            if (index >= 0 && index < entries && arrayTargets[first + (int) index] >= 0) {
                state.set(arrayTargets[first + (int) index], true);
            }
        }
    }

    private static long value(byte[] report, int bit, int size, long minimum) {
        int width = Math.min(size, 32);
        long value = Bits.unsigned(report, bit, width);
        return minimum < 0 ? Bits.signed(value, width) : value;
    }

    /** The table while it grows. */
    private static final class Table {
        final List<int[]> ops = new ArrayList<>();
        final List<long[]> extents = new ArrayList<>();
        final List<int[]> arrayTargets = new ArrayList<>();
        private final InputLayout layout;
        private final int base;
        private int arrayEntries;

        Table(InputLayout layout, int base) {
            this.layout = layout;
            this.base = base;
        }

        int size() {
            return ops.size();
        }

        void add(GameControls.Binding binding) {
            InputField field = binding.field();
            if (field.kind() == Kind.ARRAY) {
                array(field, binding.inputs());
                return;
            }
            boolean mayRun = field.bitSize() == 1 && !field.nullState();
            int[] last = null;
            for (int i = 0; i < field.count(); i++) {
                Input input = binding.inputs().get(i);
                if (input == null) {
                    last = null;
                } else if (mayRun && input instanceof Input.Button) {
                    last = button(field, i, target(input), last);
                } else {
                    value(field, i, input);
                }
            }
        }

        /** Lengthens the run {@code last}, or starts one; returns the run. */
        private int[] button(InputField field, int element, int target, int[] last) {
            if (last != null && last[COUNT] < RUN_LIMIT && last[TARGET] + last[COUNT] == target) {
                last[COUNT]++;
                return last;
            }
            return op(RUN, field, element, 1, target, 0, extent(field));
        }

        private void value(InputField field, int element, Input input) {
            if (input instanceof Input.Axis) {
                op(AXIS, field, element, 1, target(input), field.nullState() ? 1 : 0, extent(field));
            } else if (field.usage(element).equals(Usage.HAT_SWITCH)) {
                op(HAT, field, element, 1, target(input), 0, turn(field));
            } else {
                op(SWITCH, field, element, 1, target(input), field.nullState() ? 1 : 0, extent(field));
            }
        }

        private void array(InputField field, List<Input> inputs) {
            int[] targets = inputs.stream().mapToInt(input -> input == null ? -1 : target(input)).toArray();
            int[] op = op(ARRAY, field, 0, field.count(), arrayEntries, 0, extent(field));
            op[ENTRIES] = targets.length;
            arrayEntries += targets.length;
            arrayTargets.add(targets);
        }

        private int target(Input input) {
            return layout.indexOf(input).orElseThrow();
        }

        private int[] op(int kind, InputField field, int element, int count, int target, int nullable, long[] extent) {
            int[] op = {kind, base + field.bitOffset(element), field.bitSize(), count, target, nullable, 0};
            ops.add(op);
            extents.add(extent);
            return op;
        }

        private static long[] extent(InputField field) {
            return new long[] {field.logical().minimum(), field.logical().maximum(), 0, 0, 1};
        }

        /** How a hat's value turns into eighths of a turn. */
        private static long[] turn(InputField field) {
            long[] extent = extent(field);
            Extent logical = field.logical();
            Extent physical = field.physical();
            long positions = logical.size();
            long degrees = physical.maximum() - physical.minimum();
            boolean angle = field.unit() == DEGREES && field.unitExponent() == 0
                    && degrees > 0 && degrees <= 360 && Math.abs(physical.minimum()) <= 360;
            if (positions == 4 || positions == 8 || !angle) {
                extent[SCALE] = 8;
                extent[DIVISOR] = positions;
            } else {
                // (least + value * degrees / steps + 22.5) / 45, all times 2 * steps.
                long steps = positions - 1;
                extent[SCALE] = 2 * degrees;
                extent[SHIFT] = (2 * physical.minimum() + 45) * steps;
                extent[DIVISOR] = 90 * steps;
            }
            return extent;
        }
    }

    /** English Rotation, the unit of hat switches: HID 1.11 section 6.2.2.7 (page 37). */
    private static final int DEGREES = 0x14;
}
