package ringout.bench;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceConnection;
import ringout.feel.Feel;
import ringout.feel.FeelView;
import ringout.feel.FeelWords;
import ringout.feel.Target;
import ringout.feel.Trial;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.journal.Entry;
import ringout.plan.Plan;
import ringout.words.Texts;

/** Rounds of finding by feel on one box. What was asked, and what it came to, stands in the recording, too. */
final class FeelFollower implements Follower {
    /** The kind of what is noted in a recording. */
    private static final String KIND = "feel";

    private final byte[] descriptor;
    private final Plan plan;
    private final Host host;
    private final Optional<FeelHand> hand;
    private final Consumer<FeelFollower> told;
    private final ReportDecoder decoder;
    private final InputState state;
    private final Feel feel;
    private final FeelWords words;
    private FeelView view;
    private FeelView recorded;
    private boolean foreign;
    private String trouble = "";
    private String recording = "";
    private boolean news;

    /**
     * @param hand on the box, where it is simulated and works itself
     * @param told told every change
     * @throws IllegalArgumentException where there is nothing to choose between
     */
    FeelFollower(
            byte[] descriptor,
            Plan plan,
            int rounds,
            long seed,
            Host host,
            Optional<FeelHand> hand,
            Consumer<FeelFollower> told)
            throws DescriptorException {
        this.descriptor = descriptor.clone();
        this.plan = plan;
        this.host = host;
        this.hand = hand;
        this.told = told;
        decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
        state = decoder.layout().newState();
        feel = new Feel(Target.of(plan, decoder.layout()), decoder.layout(), rounds, seed);
        words = new FeelWords(feel.targets());
        view = feel.view();
        recorded = view;
    }

    Feel feel() {
        return feel;
    }

    FeelView view() {
        return view;
    }

    /** Why nothing more will come; empty while reports may. */
    String trouble() {
        return trouble;
    }

    /** Why the recording does not grow; empty while all is well. */
    String unrecorded() {
        return recording;
    }

    @Override
    public void report(long nanos, byte[] buffer, int length) {
        if (!foreign) {
            decoder.decode(buffer, length, state);
            feel.report(nanos, state);
        }
    }

    @Override
    public void lost(long nanos, String message) {
        feel.lost(nanos);
    }

    @Override
    public void found(long nanos, DeviceConnection again, String warning) {
        foreign = !Arrays.equals(descriptor, again.descriptor());
        if (!foreign) {
            feel.found(nanos);
        }
    }

    /** What was missed may have been the press that counts. */
    @Override
    public void dropped(long nanos, long count) {
        feel.pause(nanos);
    }

    @Override
    public void ended(long nanos, String message) {
        trouble = message.isEmpty() ? Texts.say("live.silent") : message;
        news = true;
        feel.end(nanos);
    }

    @Override
    public void tick(long nanos) {
        feel.tick(nanos);
    }

    @Override
    public long deadline() {
        return feel.deadline();
    }

    @Override
    public void recording(String why) {
        recording = why;
        news = true;
    }

    @Override
    public void tell(long now) {
        if (feel.view() != view) {
            view = feel.view();
            news = true;
            record(now);
        }
        if (news) {
            news = false;
            told.accept(this);
            if (view.stage() == FeelView.Stage.FIND) {
                feel.shown(host.now());
            }
        }
        hand.ifPresent(h -> h.act(host.now(), view, plan));
    }

    private void record(long now) {
        for (Trial trial :
                view.trials().subList(recorded.trials().size(), view.trials().size())) {
            note(
                    now,
                    Math.max(0, now - trial.nanos()),
                    trial.target(),
                    words.trial(trial).text());
        }
        if (view.stage() == FeelView.Stage.FIND && !view.asked().equals(recorded.asked())) {
            Target asked = view.asked().orElseThrow();
            note(now, now, asked.id(), FeelWords.asked(view).text());
        }
        recorded = view;
    }

    private void note(long now, long began, String id, String said) {
        List<String> inputs = feel.targets().stream()
                .filter(t -> t.id().equals(id))
                .flatMap(t -> t.inputs().stream())
                .map(Input::text)
                .toList();
        host.record(new Entry.Noticed(now, began, KIND, inputs, said));
    }

    @Override
    public void close(long now) {
        feel.end(now);
        hand.ifPresent(FeelHand::letGo);
    }
}
