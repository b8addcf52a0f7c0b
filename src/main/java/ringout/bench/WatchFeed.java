package ringout.bench;

import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;
import ringout.check.KeptCheck;
import ringout.hid.DescriptorException;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.hid.ReportDescriptor;
import ringout.plan.Plan;
import ringout.watch.Watch;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;

/**
 * A long watch fed with reports as they come, live or from a recording. Times are nanoseconds since it began, never
 * decreasing. Not thread-safe.
 */
final class WatchFeed {
    private final byte[] descriptor;
    private final ReportDecoder decoder;
    private final InputState state;
    private final Watch watch;
    private final Optional<Plan> plan;
    private boolean other;

    WatchFeed(byte[] descriptor, Optional<Plan> plan, WatchSettings settings, Watch.Sink sink)
            throws DescriptorException {
        this.descriptor = descriptor.clone();
        this.plan = plan;
        decoder = new ReportDecoder(ReportDescriptor.parse(descriptor));
        state = decoder.layout().newState();
        watch = new Watch(plan, decoder.layout(), settings, 0, sink);
    }

    void report(long nanos, byte[] buffer, int length) {
        if (!other) {
            decoder.decode(buffer, length, state);
            watch.report(nanos, state);
        }
    }

    void tick(long nanos) {
        watch.tick(nanos);
    }

    void lost(long nanos, String message) {
        watch.lost(nanos, message);
    }

    /** A box that declares other inputs than before stays lost: its reports would be misread. */
    void found(long nanos, byte[] descriptorNow, String warning) {
        other = !Arrays.equals(descriptor, descriptorNow);
        if (other) {
            watch.outage(nanos, Phrase.of("outage.other-inputs"));
        } else {
            watch.found(nanos, warning);
        }
    }

    void outage(long nanos, Phrase said) {
        watch.outage(nanos, said);
    }

    void dropped(long nanos, long count) {
        watch.dropped(nanos, count);
    }

    WatchSummary summary(long nanos) {
        return watch.summary(nanos);
    }

    /** What it has come to, to be compared with a check; empty without a plan. */
    Optional<KeptCheck> kept(Instant began, long nanos) {
        return plan.map(p -> watch.summary(nanos).kept(began, p, watch.timing()));
    }

    /** As the journal keeps it. */
    static ringout.journal.Entry.Noticed entry(long now, WatchEvent event) {
        return new ringout.journal.Entry.Noticed(
                now,
                event.nanos(),
                event.kind().word(),
                event.inputs().stream().map(ringout.hid.Input::text).toList(),
                event.words());
    }
}
