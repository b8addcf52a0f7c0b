package ringout.device;

import java.util.Objects;
import java.util.function.BiConsumer;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.words.Texts;

/**
 * An open simulated box, in real time. Besides being read it can be worked: by its scripted builder, who must be shown
 * the prompts, or directly.
 */
public final class SimulatedConnection implements DeviceConnection {
    private final DeviceInfo info;
    private final SimulatedSource.Box box;
    private long nanosOfLastRead;
    private boolean closed;
    /** It was read, or tried to be. */
    private boolean read;

    SimulatedConnection(DeviceInfo info, SimulatedSource.Box box) {
        this.info = info;
        this.box = box;
    }

    @Override
    public DeviceInfo info() {
        return info;
    }

    @Override
    public byte[] descriptor() {
        return box.simulated.descriptor();
    }

    @Override
    public int read(byte[] buffer, int timeoutMillis) throws DeviceException {
        long until = box.pace.nanos() + 1_000_000L * box.pace.speed() * timeoutMillis;
        while (true) {
            long left;
            synchronized (box) {
                read = true;
                if (closed) {
                    throw new DeviceException(DeviceException.Reason.IO, Texts.say("device.closed", info.name()));
                }
                if (!box.pluggedIn) {
                    box.left(this);
                    throw new DeviceException(DeviceException.Reason.LOST, Texts.say("device.unplugged", info.name()));
                }
                long now = box.pace.nanos();
                int length = advance(box.due(now), buffer);
                if (length > 0) {
                    return length;
                }
                if (until - now <= 0) {
                    return 0;
                }
                // What is due already waits for whoever follows the box.
                left = (box.next() > now ? Math.min(until, box.next()) : until) - now;
                box.waiting.add(Thread.currentThread());
            }
            box.pace.park(left);
            synchronized (box) {
                box.waiting.remove(Thread.currentThread());
            }
            if (Thread.currentThread().isInterrupted()) {
                return 0;
            }
        }
    }

    /** Lets box and builder do what has fallen due; returns the length of the first report that comes of it. */
    private int advance(long now, byte[] buffer) {
        while (true) {
            long next = box.next();
            box.readUpTo(this, next);
            if (next > now) {
                return 0;
            }
            if (box.builder.next() <= next) {
                box.builder.act(next, box.simulated);
            } else {
                int length = box.simulated.step(box.buffer);
                if (length > 0) {
                    nanosOfLastRead = next;
                    int copied = Math.min(length, buffer.length);
                    System.arraycopy(box.buffer, 0, buffer, 0, copied);
                    return copied;
                }
            }
        }
    }

    @Override
    public long nanosOfLastRead() {
        synchronized (box) {
            return nanosOfLastRead;
        }
    }

    /** True where a scripted builder works the box: show him the prompts with {@link #builder}. */
    public boolean hasBuilder() {
        return box.scripted;
    }

    @Override
    public long now() {
        return box.now();
    }

    @Override
    public Time time() {
        return box.pace;
    }

    /** Does something with the scripted builder, such as showing a prompt; the first argument is now. */
    public void builder(BiConsumer<Long, ScriptedBuilder> what) {
        Objects.requireNonNull(what, "what");
        synchronized (box) {
            what.accept(box.soon(), box.builder);
            box.planned();
        }
    }

    /** Works the box directly; the first argument is now. */
    public void work(BiConsumer<Long, SimulatedBox> what) {
        synchronized (box) {
            what.accept(box.soon(), box.simulated);
            box.planned();
        }
    }

    @Override
    public void followed() {
        synchronized (box) {
            if (!read && !closed) {
                box.readUpTo(this, box.next()); // by a thread that may not have come to it
            }
            box.followed();
        }
    }

    @Override
    public void unfollowed() {
        synchronized (box) {
            box.unfollowed();
        }
    }

    @Override
    public void close() {
        synchronized (box) {
            closed = true;
            box.left(this);
            box.wake();
        }
    }
}
