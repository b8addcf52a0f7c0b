package ringout.bench;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.JournalException;
import ringout.watch.ShortLook;

/** A short look at a live box. Methods may be called from any thread; only {@link #open} and {@link #close} take their time. */
public final class LookSession implements AutoCloseable {
    private static final long LOOK_NANOS = 10_000_000L;
    private static final long HALF_NANOS = 300_000_000L;

    /**
     * A snapshot.
     *
     * @param asked   now; empty once it is over
     * @param answers of those before
     * @param trouble why nothing more will come; empty while reports may
     */
    public record View(Optional<ShortLook.Ask> asked, List<ShortLook.Answer> answers, String trouble) {
        public View {
            answers = List.copyOf(answers);
        }
    }

    private final LiveBox box;

    @SuppressWarnings("NullAway.Init") // made while the box is opened
    private Looking looking;

    private LookSession(
            DeviceSource source, DeviceInfo device, PlanInUse plan, List<ShortLook.Ask> asks, Consumer<View> listener)
            throws DeviceException, JournalException {
        LiveBox.Setup setup = new LiveBox.Setup("ringout-look", Optional.of(plan), Optional.empty(), false, LOOK_NANOS);
        box = LiveBox.open(source, device, setup, LiveBox.Clock.SYSTEM, opened -> {
            looking = new Looking(opened, plan, asks, listener);
            return looking;
        });
    }

    /**
     * Opens a box and asks.
     *
     * @param listener told every change, on the session's thread; for a thread of one's own: {@link Mailbox}
     * @throws DeviceException where the box cannot be opened, or declares nothing that can be read
     */
    public static LookSession open(
            DeviceSource source, DeviceInfo device, PlanInUse plan, List<ShortLook.Ask> asks, Consumer<View> listener)
            throws DeviceException {
        try {
            return new LookSession(source, device, plan, asks, listener);
        } catch (JournalException impossible) {
            throw new AssertionError("nothing is recorded", impossible);
        }
    }

    /** The newest snapshot. */
    public View view() {
        return looking.view;
    }

    /** This one was looked at enough. */
    public void next() {
        box.work(() -> looking.look.next(box.now()));
    }

    /** Lets go of the box; waits for that. Closing twice is harmless. */
    @Override
    public void close() {
        box.close();
    }

    private static final class Looking implements Follower {
        final ShortLook look;
        volatile View view;
        private final byte[] descriptor;
        private final ReportDecoder decoder;
        private final InputState state;
        private final Optional<SimulatedConnection> hand;
        private final Consumer<View> listener;
        private boolean foreign;
        private boolean held;
        private long due;

        Looking(LiveBox opened, PlanInUse plan, List<ShortLook.Ask> asks, Consumer<View> listener)
                throws DescriptorException {
            this.listener = listener;
            descriptor = opened.connection().descriptor();
            decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
            state = decoder.layout().newState();
            look = new ShortLook(plan.plan(), decoder.layout(), asks, opened.now());
            view = new View(look.asked(), look.answers(), "");
            hand = opened.simulated().filter(SimulatedConnection::hasBuilder);
        }

        @Override
        public void report(long nanos, byte[] buffer, int length) {
            if (!foreign) {
                decoder.decode(buffer, length, state);
                look.report(nanos, state);
            }
        }

        @Override
        public void lost(long nanos, String message) {
            ended(nanos, message);
        }

        @Override
        public void found(long nanos, DeviceConnection again, String warning) {
            foreign = !Arrays.equals(descriptor, again.descriptor());
        }

        @Override
        public void ended(long nanos, String message) {
            view = new View(look.asked(), look.answers(), message.isEmpty() ? "The box sends nothing more." : message);
            listener.accept(view);
        }

        @Override
        public void tick(long nanos) {
            look.tick(nanos);
        }

        @Override
        public void tell(long now) {
            View next = new View(look.asked(), look.answers(), view.trouble());
            if (!next.equals(view)) {
                view = next;
                listener.accept(view);
            }
            hand.ifPresent(h -> work(h, now));
        }

        /** A simulated box with a builder presses what is asked by itself. */
        private void work(SimulatedConnection simulated, long now) {
            if (now < due || look.asked().isEmpty() && !held) {
                return;
            }
            List<String> contacts = look.asked().map(a -> a.action().contacts()).orElse(worked);
            simulated.work((nanos, worn) -> {
                for (String contact : held ? worked : contacts) {
                    if (held) {
                        worn.release(nanos, contact);
                    } else {
                        worn.press(nanos, contact);
                    }
                }
            });
            worked = contacts;
            held = !held;
            due = now + HALF_NANOS;
        }

        private List<String> worked = List.of();
    }
}
