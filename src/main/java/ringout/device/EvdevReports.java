package ringout.device;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import ringout.hid.Direction;
import ringout.hid.GameControls;
import ringout.hid.Input;
import ringout.hid.InputField;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;

/**
 * Writes the reports that a box must have sent for the kernel to tell what it tells: events in, report bytes out, in the
 * box's own layout, so that they decode like any report. What the kernel does not pass on stays at rest in them. Pure,
 * allocates nothing per event, not thread-safe.
 */
final class EvdevReports {
    /**
     * Where the kernel's hat axes point, in eighths of a turn from up, by x + 1 + 3 * (y + 1); -1 is centred.
     *
     * <p>Source: drivers/hid/hid-input.c, hid_hat_to_axis.
     */
    private static final int[] EIGHTHS = {7, 0, 1, 6, -1, 2, 5, 4, 3};

    private final int base;
    private final List<byte[]> reports = new ArrayList<>();
    /** By report: axes that tell changes, and so return to 0 once told. */
    private final List<List<Absolute>> changes = new ArrayList<>();

    private final boolean[] changed;
    /** By input device and code. */
    private final Value[][] keys;

    private final Value[][] axes;
    private final Value[][] wheels;
    private final Set<Input> unseen;
    private boolean smoothed;

    /** What an event goes into; {@link #take} says whether that made another report of it. */
    private abstract static class Value {
        final int report;

        Value(int report) {
            this.report = report;
        }

        abstract boolean take(int code, int value);
    }

    /**
     * @param mapping of that descriptor
     * @param keys    by input device of the mapping, the codes of those that the kernel really has
     */
    EvdevReports(ReportDescriptor descriptor, EvdevMapping mapping, List<BitSet> keys) {
        base = descriptor.usesReportIds() ? 8 : 0;
        changed = new boolean[descriptor.reports().size()];
        int devices = mapping.devices().size();
        this.keys = new Value[devices][EvdevMapping.KEYS];
        axes = new Value[devices][EvdevMapping.AXES];
        wheels = new Value[devices][EvdevMapping.AXES];
        List<Integer> ids = new ArrayList<>();
        for (ReportDescriptor.Report report : descriptor.reports()) {
            byte[] bytes = new byte[report.bytes() + base / 8];
            if (base > 0) {
                bytes[0] = (byte) report.id();
            }
            ids.add(report.id());
            reports.add(bytes);
            changes.add(new ArrayList<>());
        }
        GameControls controls = GameControls.of(descriptor);
        Set<Input> seen = new TreeSet<>();
        for (GameControls.Binding binding : controls.bindings()) {
            bind(binding, ids.indexOf(binding.field().reportId()), mapping, keys, seen);
        }
        unseen = new TreeSet<>(controls.layout().inputs());
        unseen.removeAll(seen);
    }

    private void bind(
            GameControls.Binding binding, int report, EvdevMapping mapping, List<BitSet> has, Set<Input> seen) {
        InputField field = binding.field();
        Selection selection = field.kind() == InputField.Kind.ARRAY ? new Selection(report, field) : null;
        for (int i = 0; i < binding.inputs().size(); i++) {
            Input input = binding.inputs().get(i);
            boolean hat = selection == null
                    && input instanceof Input.Hat
                    && field.usage(i).equals(Usage.HAT_SWITCH);
            // Made also where the kernel leaves it out, since that centres it.
            Hat pointing = hat ? new Hat(report, field, i) : null;
            EvdevMapping.Source source = mapping.source(field, i).orElse(null);
            if (input == null || source == null) {
                continue;
            }
            if (hat) {
                axes[source.device()][source.code()] = pointing;
                axes[source.device()][source.code() + 1] = pointing;
                for (Direction direction : Direction.values()) {
                    seen.add(new Input.Hat(((Input.Hat) input).number(), direction, input.collection()));
                }
            } else if ((input instanceof Input.Button || input instanceof Input.Named)
                    && has.get(source.device()).get(source.code())) {
                keys[source.device()][source.code()] =
                        selection == null ? new Button(report, field, i) : selection.place(i);
                seen.add(input);
            } else if (input instanceof Input.Axis) {
                bind(new Absolute(report, field, i), source);
                seen.add(input);
            }
        }
    }

    private void bind(Absolute axis, EvdevMapping.Source source) {
        if (source.type() == EvdevMapping.EV_REL) {
            wheels[source.device()][source.code()] = axis;
            changes.get(axis.report).add(axis);
            return;
        }
        axes[source.device()][source.code()] = axis;
        // hidinput_configure_usage sets a fuzz, for joysticks and game pads only.
        int kind = axis.field.application().usage().id();
        smoothed |= axis.field.logical().size() > 256 && (kind == 0x04 || kind == 0x05);
    }

    /** True where the kernel leaves out small movements of an axis: below 1/256 of its extent. */
    boolean isSmoothed() {
        return smoothed;
    }

    /** Inputs of the box that never show in these reports. */
    Set<Input> unseen() {
        return unseen;
    }

    /** Axes whose position must be asked for to know where a device stands, as bits by code. */
    BitSet axes(int device) {
        BitSet codes = new BitSet();
        for (int code = 0; code < EvdevMapping.AXES; code++) {
            codes.set(code, axes[device][code] != null);
        }
        return codes;
    }

    /** One event, or what is the case now; values as the kernel gives them. Unknown types and codes are passed over. */
    void event(int device, int type, int code, int value) {
        Value[] values = switch (type) {
            case EvdevMapping.EV_KEY -> keys[device];
            case EvdevMapping.EV_ABS -> axes[device];
            case EvdevMapping.EV_REL -> wheels[device];
            default -> null;
        };
        Value target = values == null || code >= values.length ? null : values[code];
        if (target != null && target.take(code, value)) {
            changed[target.report] = true;
        }
    }

    /**
     * Takes the next report that has changed since it was taken last.
     *
     * @return its length, or 0 where none has
     */
    int take(byte[] buffer) {
        for (int i = 0; i < changed.length; i++) {
            if (changed[i]) {
                changed[i] = false;
                byte[] report = reports.get(i);
                int length = Math.min(report.length, buffer.length);
                System.arraycopy(report, 0, buffer, 0, length);
                List<Absolute> back = changes.get(i);
                for (int j = 0; j < back.size(); j++) { // an iterator would be allocated
                    back.get(j).take(0, 0);
                }
                return length;
            }
        }
        return 0;
    }

    private final class Button extends Value {
        private final InputField field;
        private final int element;
        private final long on;

        Button(int report, InputField field, int element) {
            super(report);
            this.field = field;
            this.element = element;
            // Any value but 0 is on; one of the extent, where it has one.
            on = field.bitSize() == 1
                    ? 1
                    : field.logical().maximum() != 0
                            ? field.logical().maximum()
                            : field.logical().minimum() != 0 ? field.logical().minimum() : 1;
        }

        @Override
        boolean take(int code, int value) {
            return field.put(reports.get(report), base, element, value == 0 ? 0 : on);
        }
    }

    private final class Absolute extends Value {
        private final InputField field;
        private final int element;

        Absolute(int report, InputField field, int element) {
            super(report);
            this.field = field;
            this.element = element;
            take(0, 0);
        }

        @Override
        boolean take(int code, int value) {
            long minimum = field.logical().minimum();
            long maximum = field.logical().maximum();
            // The kernel starts every axis at 0, even where that is no position; with a null state, that says so.
            long position =
                    minimum < maximum && !field.nullState() ? Math.max(minimum, Math.min(maximum, value)) : value;
            return field.put(reports.get(report), base, element, position);
        }
    }

    private final class Hat extends Value {
        private final InputField field;
        private final int element;
        private final long centred;
        private int x;
        private int y;

        Hat(int report, InputField field, int element) {
            super(report);
            this.field = field;
            this.element = element;
            centred = outside(field);
            put();
        }

        @Override
        boolean take(int code, int value) {
            if ((code & 1) == 0) {
                x = value;
            } else {
                y = value;
            }
            return put();
        }

        private boolean put() {
            int eighth = EIGHTHS[Integer.signum(x) + 1 + 3 * (Integer.signum(y) + 1)];
            // The first value that the kernel takes for this eighth.
            long value = eighth < 0
                    ? centred
                    : field.logical().minimum() + (eighth * field.logical().size() + 7) / 8;
            return field.put(reports.get(report), base, element, value);
        }
    }

    /** An array field: its slots hold what is on, in the order of its usages. */
    private final class Selection {
        private final int report;
        private final InputField field;
        private final BitSet on = new BitSet();
        private final long none;

        Selection(int report, InputField field) {
            this.report = report;
            this.field = field;
            none = outside(field);
            put();
        }

        Value place(int place) {
            return new Value(report) {
                @Override
                boolean take(int code, int value) {
                    on.set(place, value != 0);
                    return put();
                }
            };
        }

        private boolean put() {
            boolean different = false;
            long minimum = field.logical().minimum();
            int next = on.nextSetBit(0);
            // Where no value stands for "none", what is on is told again.
            long rest = next >= 0 && field.logical().contains(none) ? minimum + next : none;
            for (int slot = 0; slot < field.count(); slot++) {
                different |= field.put(reports.get(report), base, slot, next < 0 ? rest : minimum + next);
                next = next < 0 ? next : on.nextSetBit(next + 1);
            }
            return different;
        }
    }

    /** A value outside of a field's extent, of those its bits can hold; its minimum where they can hold no such. */
    private static long outside(InputField field) {
        int bits = Math.min(field.bitSize(), 32);
        long minimum = field.logical().minimum();
        long maximum = field.logical().maximum();
        if (!field.logical().contains(0)) {
            return 0;
        }
        if (maximum < (1L << (field.signed() ? bits - 1 : bits)) - 1) {
            return maximum + 1;
        }
        return field.signed() && minimum > -(1L << bits - 1) ? minimum - 1 : minimum;
    }
}
