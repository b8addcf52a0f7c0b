package ringout.bench;

import java.util.Arrays;
import java.util.Optional;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import ringout.check.Learn;
import ringout.check.LearnView;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceReader;
import ringout.device.DeviceSource;
import ringout.device.ReportRing;
import ringout.device.ReportSink;
import ringout.device.SimulatedConnection;
import ringout.device.Threads;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.LearnedBox;
import ringout.plan.Plan;

/**
 * Learning a live box: one thread reads it, one follows what its controls do. Methods may be called from any thread;
 * only {@link #open} and {@link #close} take their time.
 */
public final class LearnSession implements AutoCloseable {
    private static final long LOOK_MILLIS = 20;
    private static final int CHUNK = 4096;

    private final DeviceInfo device;
    private final byte[] descriptor;
    private final ReportDecoder decoder;
    private final InputState state;
    private final Learn learn;
    private final Consumer<LearnView> listener;
    private final ReportRing ring = new ReportRing();
    private final ConcurrentLinkedQueue<BiConsumer<Learn, Long>> said = new ConcurrentLinkedQueue<>();
    private final long start = System.nanoTime();
    private final Optional<LearnHand> hand;
    private final DeviceReader reader;
    private final Thread thread;
    private volatile boolean closed;
    private volatile String trouble = "";
    private volatile LearnView view;

    private LearnSession(DeviceSource source, DeviceConnection connection, Consumer<LearnView> listener)
            throws DescriptorException {
        device = connection.info();
        descriptor = connection.descriptor();
        decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
        state = decoder.layout().newState();
        learn = new Learn(decoder.layout(), 0);
        view = learn.view();
        this.listener = listener;
        hand = connection instanceof SimulatedConnection simulated && simulated.hasBuilder()
                ? Optional.of(new LearnHand(simulated))
                : Optional.empty();
        reader = DeviceReader.start(source, connection, ring);
        thread = new Thread(this::run, "ringout-learn");
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Opens a box and begins to follow it.
     *
     * @param listener told every change, on a thread of the session
     * @throws DeviceException where the box cannot be opened, or declares nothing that can be read
     */
    public static LearnSession open(DeviceSource source, DeviceInfo device, Consumer<LearnView> listener)
            throws DeviceException {
        DeviceConnection connection = source.open(device);
        try {
            return new LearnSession(source, connection, listener);
        } catch (DescriptorException malformed) {
            connection.close();
            throw new DeviceException(
                    DeviceException.Reason.IO,
                    "The report descriptor of " + device.describe() + " is malformed: " + malformed.getMessage()
                            + ". The board's firmware needs mending.",
                    malformed);
        }
    }

    public LearnView view() {
        return view;
    }

    /** Why nothing more will come; empty while reports may. */
    public String trouble() {
        return trouble;
    }

    /** Has something said to the learner, at the time it gets to it. */
    public void say(BiConsumer<Learn, Long> what) {
        said.add(what);
    }

    /**
     * The plan so far.
     *
     * @throws ringout.plan.PlanEditException where nothing was learned yet
     */
    public String yaml() {
        return yaml(device, view);
    }

    /** The plan that a box and what was learned of it give. */
    public static String yaml(DeviceInfo device, LearnView learned) {
        Plan.Box box = new Plan.Box(
                device.name(),
                Optional.of(device.vendorId()),
                Optional.of(device.productId()),
                device.serial().isBlank() ? Optional.empty() : Optional.of(device.serial()));
        return LearnedBox.yaml(box, learned.learned(), learned.remarks(), learned.ghosts());
    }

    private long now() {
        return System.nanoTime() - start;
    }

    private void run() {
        while (!closed) {
            try {
                Thread.sleep(LOOK_MILLIS);
            } catch (InterruptedException wanted) {
                // Only close() interrupts.
            }
            // Up to here every report is in the ring, so that what time brings can be judged.
            long until = now() - Session.LAG_NANOS;
            while (ring.drain(toLearn, CHUNK) == CHUNK) {
                // There is more.
            }
            learn.tick(until);
            for (BiConsumer<Learn, Long> what = said.poll(); what != null; what = said.poll()) {
                what.accept(learn, now());
            }
            hand.ifPresent(h -> h.act(System.nanoTime()));
            if (learn.view() != view) {
                view = learn.view();
                if (view.stage() == LearnView.Stage.WORK) {
                    hand.ifPresent(h -> h.work(System.nanoTime()));
                }
                listener.accept(view);
            }
        }
        reader.close();
    }

    private final ReportSink toLearn = new ReportSink() {
        @Override
        public void report(long nanos, byte[] buffer, int length) {
            decoder.decode(buffer, length, state);
            learn.report(Math.max(0, nanos - start), state);
        }

        @Override
        public void lost(long nanos, String message) {
            learn.lost(nanos - start);
        }

        @Override
        public void found(long nanos, DeviceConnection again, String warning) {
            if (Arrays.equals(descriptor, again.descriptor())) {
                learn.found(nanos - start);
            }
        }

        @Override
        public void dropped(long nanos, long count) {
            // Controls are worked one at a time by hand: what is missed is asked for again by the builder.
        }

        @Override
        public void ended(long nanos, String message) {
            if (!closed) {
                trouble = message.isEmpty() ? "The box sends nothing more." : message;
                learn.lost(nanos - start);
            }
        }
    };

    /** Lets go of the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        closed = true;
        thread.interrupt();
        Threads.join(thread);
    }
}
