package ringout.bench;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceConnection;
import ringout.device.SimulatedConnection;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.simulate.SimulatedBox;
import ringout.watch.ShortLook;
import ringout.words.Texts;

/** A short look at one box. What was asked, and what it came to, stands in the recording, too. */
final class LookFollower implements Follower {
    /** The kind of what is noted in a recording. */
    private static final String KIND = "look";

    private static final long MS = 1_000_000L;
    private static final long HALF_NANOS = 300 * MS;
    private static final long SWEEP_NANOS = 1_500 * MS;

    private final byte[] descriptor;
    private final Host host;
    private final ReportDecoder decoder;
    private final InputState state;
    private final ShortLook look;
    private final Optional<SimulatedConnection> hand;
    private final Consumer<LookSession.View> listener;
    private volatile LookSession.View view;
    private Optional<ShortLook.Ask> noted = Optional.empty();
    private int answered;
    private boolean foreign;
    private String trouble = "";
    private String recording = "";
    /** Contacts that the simulated hand holds. */
    private List<String> held = List.of();

    private boolean up;
    private long due;

    /** @param simulated the box where it is simulated; one with a builder presses what is asked by itself */
    LookFollower(
            byte[] descriptor,
            Plan plan,
            List<ShortLook.Ask> asks,
            Host host,
            Optional<SimulatedConnection> simulated,
            Consumer<LookSession.View> listener)
            throws DescriptorException {
        this.descriptor = descriptor.clone();
        this.host = host;
        this.listener = listener;
        decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
        state = decoder.layout().newState();
        look = new ShortLook(plan, decoder.layout(), asks, host.now());
        hand = simulated.filter(SimulatedConnection::hasBuilder);
        view = snapshot();
    }

    LookSession.View view() {
        return view;
    }

    void next(long nanos) {
        look.next(nanos);
    }

    private LookSession.View snapshot() {
        return new LookSession.View(look.asked(), look.presses(), look.answers(), look.away(), trouble, recording);
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
        look.lost(nanos);
        held = List.of();
    }

    @Override
    public void found(long nanos, DeviceConnection again, String warning) {
        foreign = !Arrays.equals(descriptor, again.descriptor());
        if (!foreign) {
            look.found(nanos);
        }
    }

    @Override
    public void ended(long nanos, String message) {
        trouble = message.isEmpty() ? Texts.say("live.silent") : message;
    }

    @Override
    public void tick(long nanos) {
        look.tick(nanos);
    }

    @Override
    public void recording(String why) {
        recording = why;
    }

    @Override
    public void tell(long now) {
        LookSession.View next = snapshot();
        if (!next.equals(view)) {
            record(now);
            view = next;
            listener.accept(view);
        }
        hand.filter(h -> now >= due && !look.away()).ifPresent(h -> work(h, now));
    }

    private void record(long now) {
        List<ShortLook.Answer> answers = look.answers();
        for (; answered < answers.size(); answered++) {
            ShortLook.Answer answer = answers.get(answered);
            note(now, answer.ask(), answer.said().text());
        }
        if (look.asked().isPresent() && !look.asked().equals(noted)) {
            noted = look.asked();
            note(now, noted.get(), ShortLook.asking(noted.get()).text());
        }
    }

    private void note(long now, ShortLook.Ask ask, String said) {
        host.record(new Entry.Noticed(now, now, KIND, List.of(ask.input().text()), said));
    }

    private void work(SimulatedConnection box, long now) {
        if (!held.isEmpty()) {
            box.work((nanos, worked) -> letGo(worked, nanos));
            due = now + HALF_NANOS;
        } else if (look.asked().isPresent()) {
            Action action = look.asked().get().action();
            if (action.gesture() == Action.Gesture.SWEEP) {
                up = !up;
                box.work((nanos, worked) -> worked.slide(nanos, action.id(), up ? 1 : 0, SWEEP_NANOS / 2));
                due = now + SWEEP_NANOS;
            } else {
                held = action.contacts();
                box.work((nanos, worked) -> held.forEach(contact -> worked.press(nanos, contact)));
                due = now + HALF_NANOS;
            }
        }
    }

    private void letGo(SimulatedBox worked, long nanos) {
        held.forEach(contact -> worked.release(nanos, contact));
        held = List.of();
    }

    @Override
    public void close(long now) {
        if (!held.isEmpty()) {
            hand.ifPresent(box -> box.work((nanos, worked) -> letGo(worked, nanos)));
        }
    }
}
