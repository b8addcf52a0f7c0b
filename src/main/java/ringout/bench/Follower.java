package ringout.bench;

import java.util.function.Consumer;
import java.util.function.Supplier;
import ringout.check.Check;
import ringout.device.ReportSink;
import ringout.journal.Entry;

/**
 * Follows what one box does: a check, a watch, a learner. A pure state machine: it is fed reports, news of the plug and the
 * passing of time, and never asks the clock, so that the same feed gives the same result in real and in virtual time.
 *
 * <p>All times are nanoseconds since the box was opened, 0 or more, never decreasing. Fed by one thread.
 */
interface Follower extends ReportSink {
    /** What a follower may ask of whoever feeds it. */
    interface Host {
        /** Now, on the clock of all that is fed. */
        long now();

        /** Keeps something in the recording, where there is one. */
        void record(Entry entry);

        /**
         * Works something out that takes long, elsewhere, and goes on with what came of it when the follower is fed next.
         * What is asked for is done one after the other.
         */
        <T> void think(Supplier<T> work, Consumer<T> then);
    }

    /** Everything up to that moment has been fed, and what falls due until then does so now. */
    void tick(long nanos);

    /** When {@link #tick} must be called at the latest; {@link Check#NEVER} where nothing falls due. */
    default long deadline() {
        return Check.NEVER;
    }

    /** All that there is has been fed: time to tell what is new. */
    default void tell(long now) {}

    /** True where nothing more is wanted of the box. */
    default boolean over() {
        return false;
    }

    /** The recording stopped growing, and why; or, with nothing to say, grows again. */
    default void recording(String trouble) {}

    /** The box is let go of: what was fed is all. {@link #tell} is called once more. */
    default void close(long now) {}
}
