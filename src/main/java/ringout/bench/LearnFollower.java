package ringout.bench;

import java.util.Arrays;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceConnection;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.learn.Learn;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;
import ringout.words.Texts;

/** Learns what controls a box has from what they do. */
final class LearnFollower implements Follower {
    private final byte[] descriptor;
    private final ReportDecoder decoder;
    private final InputState state;
    private final Learn learn;
    private final Optional<LearnHand> hand;
    private final Consumer<LearnFollower> told;
    private LearnView view;
    private String trouble = "";
    private boolean news;

    /**
     * @param before what was learned of it before
     * @param hand   on the box, where it is simulated and works itself
     * @param told   told every change
     * @throws IllegalArgumentException where the box lacks an input that was learned; the message names it
     */
    LearnFollower(byte[] descriptor, LearnedBox.Learned before, Optional<LearnHand> hand, Consumer<LearnFollower> told)
            throws DescriptorException {
        this.descriptor = descriptor.clone();
        this.hand = hand;
        this.told = told;
        decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
        state = decoder.layout().newState();
        learn = new Learn(decoder.layout(), 0, before);
        view = learn.view();
    }

    Learn learn() {
        return learn;
    }

    LearnView view() {
        return view;
    }

    /** Why nothing more will come; empty while reports may. */
    String trouble() {
        return trouble;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        decoder.decode(buffer, length, state);
        learn.report(nanos, state);
    }

    @Override
    public void lost(long nanos, String message) {
        learn.lost(nanos);
    }

    @Override
    public void found(long nanos, DeviceConnection again, String warning) {
        if (Arrays.equals(descriptor, again.descriptor())) {
            learn.found(nanos);
        }
    }

    // Controls are worked one at a time by hand: a report that was dropped is asked for again by the builder.

    @Override
    public void ended(long nanos, String message) {
        trouble = message.isEmpty() ? Texts.say("live.silent") : message;
        news = true;
        learn.lost(nanos);
    }

    @Override
    public void tick(long nanos) {
        learn.tick(nanos);
    }

    @Override
    public void tell(long now) {
        hand.ifPresent(h -> h.act(now));
        if (learn.view() != view) {
            view = learn.view();
            news = true;
            if (view.stage() == LearnView.Stage.WORK) {
                hand.ifPresent(h -> h.work(now));
            }
        }
        if (news) {
            news = false;
            told.accept(this);
        }
    }

    @Override
    public void close(long now) {
        hand.ifPresent(LearnHand::letGo);
    }
}
