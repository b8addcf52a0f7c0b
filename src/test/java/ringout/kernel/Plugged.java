package ringout.kernel;

import java.io.IOException;

/** A box that a test plays, plugged in from its making to {@link #close}. */
public interface Plugged extends AutoCloseable {
    /** Where it can be plugged in. */
    interface Socket {
        /** Plugs in a box that has this descriptor. */
        Plugged plugIn(byte[] descriptor) throws IOException;
    }

    /** Sends an input report, with the report ID before it where the descriptor numbers reports. */
    void report(byte... report) throws IOException;

    /** Unplugs it. */
    @Override
    void close() throws IOException;
}
