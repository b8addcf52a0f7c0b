package ringout.kernel;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Arrays;
import java.util.Collection;
import java.util.concurrent.locks.LockSupport;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.plan.Plan;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/** A simulated box that is plugged in somewhere, worked in real time by a scripted builder. */
public final class WorkedBox implements AutoCloseable {
    private static final long NAP = 1_000_000;

    private final Plugged.Socket socket;
    private final SimulatedBox box;
    private final ScriptedBuilder builder;
    private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
    private final Thread thread;
    private Plugged pluggedIn;
    private volatile boolean closed;

    /** Plugs it in; the same seed gives the same movements. */
    public WorkedBox(Plugged.Socket socket, Plan plan, Collection<Fault> faults, long seed) throws IOException {
        this.socket = socket;
        box = new SimulatedBox(plan, faults, Wear.NONE, 1000, seed, System.nanoTime());
        builder = new ScriptedBuilder(plan, 0, seed);
        plugIn();
        thread = new Thread(this::run, "worked-box");
        thread.start();
    }

    /** Plugs it in again. */
    public synchronized void plugIn() throws IOException {
        pluggedIn = socket.plugIn(box.descriptor());
        box.plugIn(System.nanoTime());
    }

    /** Unplugs it; what is done to it meanwhile is not seen. */
    public synchronized void unplug() throws IOException {
        pluggedIn.close();
        pluggedIn = null;
    }

    /** Shows the builder what the check asks. */
    public synchronized void see(Prompt prompt) {
        builder.see(System.nanoTime(), prompt);
    }

    private void run() {
        while (!closed) {
            pass();
            LockSupport.parkNanos(NAP);
        }
    }

    private synchronized void pass() {
        long now = System.nanoTime();
        for (long next = Math.min(box.next(), builder.next());
                next <= now;
                next = Math.min(box.next(), builder.next())) {
            if (builder.next() <= next) {
                builder.act(next, box);
            } else {
                send(box.step(buffer));
            }
        }
    }

    private void send(int length) {
        try {
            if (length > 0 && pluggedIn != null) {
                pluggedIn.report(Arrays.copyOf(buffer, length));
            }
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        }
    }

    @Override
    public void close() throws Exception {
        closed = true;
        thread.join();
        if (pluggedIn != null) {
            unplug();
        }
    }
}
