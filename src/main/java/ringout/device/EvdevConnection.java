package ringout.device;

import com.sun.jna.Memory;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Set;
import ringout.hid.Input;

/**
 * A box read through the kernel's event nodes, one for each kind of application collection it has. Every group of events
 * becomes the report that must have caused it ({@link EvdevReports}), with the kernel's time stamp.
 *
 * <p>The first reads tell where the box stands, so far as the kernel knows: nothing where it has not sent anything yet.
 */
final class EvdevConnection extends NativeConnection {
    private static final int EV_SYN = 0x00;
    private static final int EV_MSC = 0x04;
    private static final int SYN_REPORT = 0;
    private static final int SYN_DROPPED = 3;
    private static final int MSC_SCAN = 0x04;
    /** struct pollfd. */
    private static final int POLLFD_BYTES = 8;

    private static final int POLLFD_EVENTS = 4;
    private static final int POLLFD_RETURNED = 6;
    /** How long to wait for a box to be gone after the kernel has let go of a key by itself, in milliseconds. */
    private static final int GONE_MILLIS = 100;
    /** How long the kernel may take to pass on a report: far below a millisecond, unless it is held up (no source). */
    private static final long SETTLING_NANOS = 50_000_000L;

    private final EvdevReports reports;
    private final List<EvdevNode> nodes;
    /** By node, its input device in the reports. */
    private final int[] devices;

    private final Memory polled;
    /** By node: events are being passed over because the kernel dropped some. */
    private final boolean[] dropping;
    /** By node: the kernel has just said which usage the next key event is from. */
    private final boolean[] scanned;
    /** By node: its state is not told before. */
    private final long[] unsettledUntil;

    private final boolean scans;
    private boolean started;
    private long nanos;

    private EvdevConnection(
            DeviceInfo info,
            byte[] descriptor,
            EvdevReports reports,
            List<EvdevNode> nodes,
            int[] devices,
            boolean scans) {
        super(info, descriptor);
        this.scans = scans;
        this.reports = reports;
        this.nodes = nodes;
        this.devices = devices;
        polled = new Memory((long) nodes.size() * POLLFD_BYTES);
        dropping = new boolean[nodes.size()];
        scanned = new boolean[nodes.size()];
        unsettledUntil = new long[nodes.size()];
        Arrays.fill(unsettledUntil, Long.MIN_VALUE);
        for (int i = 0; i < nodes.size(); i++) {
            polled.setInt((long) i * POLLFD_BYTES, nodes.get(i).file());
        }
    }

    /**
     * Opens all nodes of a box.
     *
     * @param reports that write what they tell
     * @param scans   true where the driver says which usage a key event is from
     * @throws DeviceException as {@link DeviceSource#open}
     */
    static EvdevConnection open(
            DeviceInfo info, byte[] descriptor, EvdevReports reports, List<EvdevBox.Found> found, boolean scans)
            throws DeviceException {
        List<EvdevNode> nodes = new ArrayList<>();
        try {
            for (EvdevBox.Found one : found) {
                nodes.add(EvdevNode.open(one.node().node().toString(), info));
            }
        } catch (DeviceException refused) {
            nodes.forEach(EvdevNode::close);
            throw refused;
        }
        return new EvdevConnection(
                info,
                descriptor,
                reports,
                nodes,
                found.stream().mapToInt(EvdevBox.Found::device).toArray(),
                scans);
    }

    @Override
    public Set<Input> unseen() {
        return reports.unseen();
    }

    @Override
    int receive(byte[] buffer, int timeoutMillis) throws DeviceException {
        long deadline = System.nanoTime() + timeoutMillis * 1_000_000L;
        start();
        while (true) {
            long now = System.nanoTime();
            long settled = settled(now);
            int length = settled <= now ? reports.take(buffer) : 0;
            if (length > 0) {
                return length;
            }
            int node = earliest();
            if (node >= 0) {
                packet(node);
            } else if (now >= deadline) {
                return 0;
            } else {
                long until = settled > now ? Math.min(settled, deadline) : deadline;
                poll(Libc.POLLIN, (int) ((until - now + 999_999) / 1_000_000));
            }
        }
    }

    private void start() {
        if (started) {
            return;
        }
        started = true;
        for (int i = 0; i < nodes.size(); i++) {
            look(i);
        }
    }

    /**
     * Takes over how a device stands now, in place of all events that have come. The kernel may be in the middle of a
     * report, with some of its keys changed and others not yet; so that is not told before the next whole group of
     * events, or before none has come for some time.
     */
    private void look(int node) {
        nodes.get(node).skipAll();
        nanos = Math.max(nanos, System.nanoTime());
        BitSet down = nodes.get(node).keys();
        for (int code = 0; code < EvdevMapping.KEYS; code++) {
            reports.event(devices[node], EvdevMapping.EV_KEY, code, down.get(code) ? 1 : 0);
        }
        reports.axes(devices[node]).stream()
                .forEach(code -> reports.event(
                        devices[node],
                        EvdevMapping.EV_ABS,
                        code,
                        nodes.get(node).axis(code)));
        unsettledUntil[node] = System.nanoTime() + SETTLING_NANOS;
    }

    /** When the state of every device may be told: now, or a later time. */
    private long settled(long now) {
        long settled = now;
        for (long until : unsettledUntil) {
            settled = Math.max(settled, until);
        }
        return settled;
    }

    /** The node whose next event is the oldest; -1 where no event has come. */
    private int earliest() throws DeviceException {
        int first = -1;
        for (int i = 0; i < nodes.size(); i++) {
            EvdevNode node = nodes.get(i);
            if (node.hasNext() && (first < 0 || node.nanos() < nodes.get(first).nanos())) {
                first = i;
            }
            if (node.gone()) {
                throw lost();
            }
        }
        return first;
    }

    /** Takes one group of events, up to its SYN_REPORT; the kernel hands out whole groups, but not always whole reports. */
    private void packet(int which) throws DeviceException {
        EvdevNode node = nodes.get(which);
        boolean more = true;
        while (more && node.hasNext()) {
            int type = node.type();
            int code = node.code();
            int value = node.value();
            nanos = Math.max(nanos, Math.min(node.nanos(), System.nanoTime()));
            node.advance();
            if (type == EV_SYN && code == SYN_DROPPED) {
                dropping[which] = true;
            } else if (type == EV_SYN && code == SYN_REPORT) {
                more = false;
                // 1 where the kernel split a report with many changes (input_value_sync in drivers/input/input.c), and
                // where it let go of keys by itself, which nothing may follow.
                unsettledUntil[which] = value == 1 ? System.nanoTime() + SETTLING_NANOS : Long.MIN_VALUE;
                if (dropping[which]) {
                    dropping[which] = false;
                    look(which);
                }
            } else if (!dropping[which]) {
                take(which, type, code, value);
            }
        }
    }

    private void take(int which, int type, int code, int value) throws DeviceException {
        if (type == EV_MSC && code == MSC_SCAN) {
            scanned[which] = true;
            return;
        }
        if (type == EvdevMapping.EV_KEY) {
            // The kernel lets go of all keys of a box that is unplugged. What the box itself releases comes with a scan
            // code (hidinput_hid_event); what the kernel does by itself, without (input_dev_release_keys).
            if (value == 0 && scans && !scanned[which]) {
                poll((short) 0, GONE_MILLIS);
            }
            scanned[which] = false;
        }
        reports.event(devices[which], type, code, value);
    }

    /** Waits for events, or for the box to go away. */
    private void poll(short events, int milliseconds) throws DeviceException {
        for (int i = 0; i < nodes.size(); i++) {
            polled.setShort((long) i * POLLFD_BYTES + POLLFD_EVENTS, events);
        }
        Libc.poll(polled, nodes.size(), milliseconds);
        for (int i = 0; i < nodes.size(); i++) {
            int returned = polled.getShort((long) i * POLLFD_BYTES + POLLFD_RETURNED);
            if ((returned & (Libc.POLLERR | Libc.POLLHUP)) != 0) {
                throw lost();
            }
        }
    }

    /** When the kernel got the report; of what the first reads tell, when it was asked. */
    @Override
    public long nanosOfLastRead() {
        return nanos;
    }

    @Override
    void release() {
        nodes.forEach(EvdevNode::close);
        polled.close();
    }
}
