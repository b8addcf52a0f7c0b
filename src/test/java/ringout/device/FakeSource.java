package ringout.device;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.hid.Input;

/** Boxes under a test's control: plugged in and out, with reports that are there when they are read. */
public final class FakeSource implements DeviceSource {
    private final List<DeviceInfo> connected = new ArrayList<>();
    private final List<FakeConnection> open = new ArrayList<>();
    private final byte[] descriptor;
    private Set<Input> unseen = Set.of();
    private int listings;
    private DeviceException listingFails;
    private DeviceException openingFails;

    public FakeSource(byte[] descriptor, DeviceInfo... devices) {
        this.descriptor = descriptor.clone();
        connected.addAll(List.of(devices));
    }

    public synchronized void plugIn(DeviceInfo device) {
        connected.add(device);
    }

    public synchronized void unplug(DeviceInfo device) {
        connected.remove(device);
        open.stream().filter(connection -> connection.info().equals(device)).forEach(FakeConnection::unplug);
    }

    /** @param problem thrown by {@link #list} from now on; null ends that */
    public synchronized void failListing(DeviceException problem) {
        listingFails = problem;
    }

    /** @param problem thrown by {@link #open} from now on; null ends that */
    public synchronized void failOpening(DeviceException problem) {
        openingFails = problem;
    }

    /** @param inputs that connections opened from now on do not show */
    public synchronized void hide(Set<Input> inputs) {
        unseen = Set.copyOf(inputs);
    }

    /** Waits until it was listed once more. */
    public synchronized void awaitListing() throws InterruptedException {
        int before = listings;
        while (listings == before) {
            wait();
        }
    }

    /** Waits until so many connections have been opened. */
    public synchronized List<FakeConnection> awaitOpened(int count) throws InterruptedException {
        while (open.size() < count) {
            wait();
        }
        return opened();
    }

    /** The connections opened so far, closed ones too. */
    public synchronized List<FakeConnection> opened() {
        return List.copyOf(open);
    }

    @Override
    public synchronized List<DeviceInfo> list() throws DeviceException {
        listings++;
        notifyAll();
        if (listingFails != null) {
            throw listingFails;
        }
        return List.copyOf(connected);
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) {
        return descriptor.length == 0 ? Optional.empty() : Optional.of(descriptor.clone());
    }

    @Override
    public synchronized DeviceConnection open(DeviceInfo device) throws DeviceException {
        if (openingFails != null) {
            throw openingFails;
        }
        if (!connected.contains(device)) {
            throw new DeviceException(DeviceException.Reason.NOT_FOUND, device.describe() + " is gone");
        }
        FakeConnection connection = new FakeConnection(device, descriptor, unseen);
        open.add(connection);
        notifyAll();
        return connection;
    }

    /** A connection that returns queued reports, then waits, then finds itself unplugged. */
    public static final class FakeConnection implements DeviceConnection {
        private final DeviceInfo info;
        private final byte[] descriptor;
        private final Set<Input> unseen;
        private final Deque<byte[]> queue = new ArrayDeque<>();
        private boolean unplugged;
        private boolean closed;
        /** Its reader has come back for more after all that was queued. */
        private boolean drained;

        private long ahead;

        FakeConnection(DeviceInfo info, byte[] descriptor, Set<Input> unseen) {
            this.info = info;
            this.unseen = unseen;
            this.descriptor = descriptor;
        }

        /** Queues a report. */
        public synchronized void report(int... bytes) {
            byte[] report = new byte[bytes.length];
            for (int i = 0; i < bytes.length; i++) {
                report[i] = (byte) bytes[i];
            }
            queue.add(report);
            drained = false;
            notifyAll();
        }

        /** Waits until its reader has made what it makes of all reports so far. */
        synchronized void awaitDrained() throws InterruptedException {
            while (!drained) {
                wait();
            }
        }

        /** Puts its clock forward. */
        synchronized void pass(long nanos) {
            ahead += nanos;
        }

        @Override
        public synchronized long now() {
            return System.nanoTime() + ahead;
        }

        synchronized void unplug() {
            unplugged = true;
            notifyAll();
        }

        public synchronized boolean isClosed() {
            return closed;
        }

        @Override
        public DeviceInfo info() {
            return info;
        }

        @Override
        public byte[] descriptor() {
            return descriptor.clone();
        }

        @Override
        public Set<Input> unseen() {
            return unseen;
        }

        @Override
        public synchronized int read(byte[] buffer, int timeoutMillis) throws DeviceException {
            if (queue.isEmpty()) {
                drained = true;
                notifyAll();
            }
            try {
                if (queue.isEmpty() && !unplugged && timeoutMillis > 0) {
                    wait(timeoutMillis);
                }
            } catch (InterruptedException wanted) {
                return 0;
            }
            if (!queue.isEmpty()) {
                byte[] report = queue.remove();
                System.arraycopy(report, 0, buffer, 0, report.length);
                return report.length;
            }
            if (unplugged) {
                throw new DeviceException(DeviceException.Reason.LOST, info.name() + " went away");
            }
            return 0;
        }

        @Override
        public synchronized void close() {
            closed = true;
        }
    }
}
