package ringout.device;

import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.BiConsumer;
import java.util.function.BooleanSupplier;
import ringout.simulate.SimulatedBox;

/**
 * Simulated boxes whose time stands still until a test lets it pass. Readers are threads as ever; the test waits until
 * they have handed over all there was up to then, and for nothing else.
 *
 * <p>What is open here is read until the test ends, or unplugged with {@link #plug}.
 */
public final class SteppedSource implements DeviceSource {
    private final SimulatedSource boxes = new SimulatedSource(new SimulatedSource.Time() {
        @Override
        public long nanos() {
            long now = SteppedSource.this.now();
            looked.set(now);
            return now;
        }

        @Override
        public boolean pause(Object box, long nanos) {
            readUpTo(box, looked.get());
            return Threads.pause(box, Long.MAX_VALUE);
        }
    });

    /** When the thread that asks has last looked at the clock. */
    private final ThreadLocal<Long> looked = new ThreadLocal<>();

    private final IdentityHashMap<Object, Long> read = new IdentityHashMap<>();
    private final Set<String> ever = new HashSet<>();
    /** Boxes that are unplugged, and whether anybody looks for them. */
    private final Map<String, Boolean> missed = new ConcurrentHashMap<>();

    private int readers;
    private long now = 1_000_000_000L;

    /** The time of all boxes, in nanoseconds. */
    public synchronized long now() {
        return now;
    }

    /** How many boxes have been opened to be read, replugs aside. */
    public synchronized int opened() {
        return ever.size();
    }

    private synchronized void readUpTo(Object box, long nanos) {
        read.put(box, nanos);
        notifyAll();
    }

    private synchronized boolean allRead() {
        return read.values().stream().filter(upTo -> upTo >= now).count() >= readers;
    }

    /** Lets time pass, and waits until all reports of it have been handed over. */
    public void pass(long nanos) throws InterruptedException {
        await(this::allRead);
        synchronized (this) {
            now += nanos;
        }
        await(this::allRead);
    }

    /** Pulls the plug or puts it in again, and waits until the reader of the box has told that and what came of it. */
    public void plug(DeviceInfo box, boolean in) throws InterruptedException {
        await(this::allRead);
        int expected;
        synchronized (this) {
            now++; // what was read before is not what is read after
            readers -= in ? 0 : 1;
            expected = readers + (in ? 1 : 0);
        }
        if (!in) {
            missed.put(box.path(), false);
        }
        boxes.plug(box, in);
        if (in) {
            missed.remove(box.path());
        }
        await(() -> readers == expected && allRead() && missed.getOrDefault(box.path(), true));
    }

    /** Has every reader look at the clock, and waits until something is so. */
    private void await(BooleanSupplier condition) throws InterruptedException {
        List<Object> waiting;
        synchronized (this) {
            waiting = List.copyOf(read.keySet());
            notifyAll();
        }
        for (Object box : waiting) {
            synchronized (box) {
                box.notifyAll();
            }
        }
        synchronized (this) {
            while (!condition.getAsBoolean()) {
                wait();
            }
        }
    }

    /** Works a box. */
    public void work(DeviceInfo box, BiConsumer<Long, SimulatedBox> what) throws DeviceException {
        try (SimulatedConnection hand = boxes.open(box)) {
            hand.work(what);
        }
    }

    /** Whoever misses a box goes on looking for it until it is there again. */
    @Override
    public List<DeviceInfo> list() {
        synchronized (this) {
            try {
                while (!missed.isEmpty()) {
                    missed.replaceAll((path, looking) -> true);
                    notifyAll();
                    wait();
                }
            } catch (InterruptedException closing) {
                Thread.currentThread().interrupt();
            }
        }
        return boxes.list();
    }

    @Override
    public List<DeviceInfo> find(String text) throws DeviceException {
        return boxes.find(text);
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) {
        return boxes.descriptor(device);
    }

    @Override
    public SimulatedConnection open(DeviceInfo device) throws DeviceException {
        SimulatedConnection opened = boxes.open(device);
        synchronized (this) {
            ever.add(device.path());
            readers++;
        }
        return opened;
    }
}
