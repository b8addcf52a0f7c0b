package ringout.device;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import ringout.hid.DescriptorException;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;

/** Tells boxes apart that say the same of themselves: the one that is meant is the one that somebody works. */
public final class FirstPress {
    /** Longest wait for a report of one box while others have a turn, in milliseconds. */
    private static final int TURN_MILLIS = 10;
    /** Most reports taken in a turn: a fast box must not hold up the others. */
    private static final int TURN_REPORTS = 64;
    /**
     * A box that sends its state when it is opened, or all the time, has done so by then, in nanoseconds; what comes first
     * from one that was silent until then is a press. No source.
     */
    private static final long SILENT_NANOS = 300_000_000L;
    /** So much of its range an axis has to move: more than noise does, less than a hand. No source. */
    private static final double MOVED = 0.25;

    private static final int MAX_REPORT_BYTES = 16 * 1024;

    private FirstPress() {}

    /** A box that is listened to. */
    private static final class Ear implements AutoCloseable {
        final DeviceInfo box;
        private final DeviceConnection connection;
        private final ReportDecoder decoder;
        private final InputState state;
        private final long opened;
        private final byte[] buffer = new byte[MAX_REPORT_BYTES];
        private final InputState rest;
        private boolean known;

        Ear(DeviceInfo box, DeviceConnection connection) throws DescriptorException {
            this.box = box;
            this.connection = connection;
            opened = connection.now();
            decoder = new ReportDecoder(ReportDescriptor.parse(connection.descriptor()));
            state = decoder.layout().newState();
            rest = decoder.layout().newState();
        }

        /** True where somebody works it. */
        boolean hears() throws DeviceException {
            for (int i = 0; i < TURN_REPORTS; i++) {
                int length = connection.read(buffer, i == 0 ? TURN_MILLIS : 0);
                if (length == 0) {
                    return false;
                }
                decoder.decode(buffer, length, state);
                if (connection.now() - opened < SILENT_NANOS) {
                    known = true;
                    rest.copyFrom(state);
                } else if (!known || changed()) {
                    return true;
                }
            }
            return false;
        }

        private boolean changed() {
            for (int i = 0; i < state.words(); i++) {
                if (state.word(i) != rest.word(i)) {
                    return true;
                }
            }
            List<InputLayout.Axis> axes = decoder.layout().axes();
            for (int a = 0; a < axes.size(); a++) {
                double extent = (double) axes.get(a).maximum() - axes.get(a).minimum();
                double moved = Math.abs((double) state.axis(a) - rest.axis(a));
                if (axes.get(a).relative() ? state.axis(a) != 0 : moved > MOVED * extent) {
                    return true;
                }
            }
            return false;
        }

        @Override
        public void close() {
            connection.close();
        }
    }

    /**
     * Listens to boxes until somebody works one of them. Boxes that cannot be opened, or go away meanwhile, are left out.
     *
     * @param source   that listed them
     * @param patience how long to wait
     * @param goOn     asked all the time; false ends the waiting
     * @return the first that was worked, as it was given; empty where none was
     * @throws DeviceException where none of them can be opened
     */
    public static Optional<DeviceInfo> among(
            DeviceSource source, List<DeviceInfo> boxes, Duration patience, BooleanSupplier goOn)
            throws DeviceException {
        List<Ear> ears = new ArrayList<>();
        try {
            open(source, boxes, ears);
            Time time =
                    ears.stream().map(ear -> ear.connection.time()).findFirst().orElse(Time.OURS);
            long end = time.nanos() + patience.toNanos();
            while (!ears.isEmpty() && goOn.getAsBoolean() && time.nanos() < end) {
                for (Ear ear : List.copyOf(ears)) {
                    try {
                        if (ear.hears()) {
                            return Optional.of(ear.box);
                        }
                    } catch (DeviceException gone) {
                        ear.close();
                        ears.remove(ear);
                    }
                }
            }
            return Optional.empty();
        } finally {
            ears.forEach(Ear::close);
        }
    }

    private static void open(DeviceSource source, List<DeviceInfo> boxes, List<Ear> ears) throws DeviceException {
        @Nullable DeviceException failure = null;
        for (DeviceInfo box : boxes) {
            DeviceConnection connection;
            try {
                connection = source.open(box);
            } catch (DeviceException refused) {
                failure = refused;
                continue;
            }
            try {
                ears.add(new Ear(box, connection));
            } catch (DescriptorException malformed) {
                connection.close();
            }
        }
        if (ears.isEmpty() && failure != null) {
            throw failure;
        }
    }
}
