package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import java.util.function.Supplier;
import ringout.check.Check;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.device.DeviceConnection;
import ringout.device.DeviceInfo;
import ringout.hid.DescriptorException;
import ringout.journal.Entry;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;

/**
 * A simulated box that feeds a follower in virtual time, on one thread, as {@link LiveBox} does in real time: the same
 * order, the same lag of what falls due, and what is thought out comes back at the next pass.
 */
final class VirtualBox implements Follower.Host {
    /** As often as a live box looks while nothing comes. */
    private static final long NAP = 20_000_000L;
    /** No test needs more. */
    private static final long PATIENCE = 1_200_000_000_000L;

    final SimulatedBox box;
    final ScriptedBuilder builder;
    /** What the follower recorded. */
    final List<Entry> recorded = new ArrayList<>();
    /** That, and all that the box did, as it would stand in a recording. */
    final List<Entry> tape = new ArrayList<>();

    final DeviceConnection connection;
    final RecordingHeader header;

    private final Deque<Runnable> tasks = new ArrayDeque<>();
    private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
    private Follower follower;
    private long time;
    private boolean pluggedIn = true;

    /** Makes a follower on that box. */
    interface Maker<F extends Follower> {
        F follow(VirtualBox box) throws DescriptorException;
    }

    VirtualBox(Plan plan, List<Fault> faults, Wear wear) {
        this(plan, faults, wear, 0, 1);
    }

    /** @param slip how often the builder works another control than the one asked for, 0 to 1 */
    VirtualBox(Plan plan, List<Fault> faults, Wear wear, double slip, long seed) {
        box = new SimulatedBox(plan, faults, wear, 1000, seed, 0);
        builder = new ScriptedBuilder(plan, slip, seed);
        connection =
                new Plugged(DeviceInfo.joystick(plan.box().name(), 0x1209, 1, "", "sim:virtual"), box.descriptor());
        header = new RecordingHeader(
                Instant.parse("2026-03-01T10:00:00Z"),
                connection.info(),
                connection.descriptor(),
                Optional.empty(),
                false);
        box.plugIn(0);
    }

    private record Plugged(DeviceInfo info, byte[] descriptor) implements DeviceConnection {
        @Override
        public int read(byte[] into, int timeoutMillis) {
            throw new UnsupportedOperationException("it feeds");
        }

        @Override
        public void close() {}
    }

    <F extends Follower> F feed(Maker<F> maker) throws DescriptorException {
        F made = maker.follow(this);
        follower = made;
        return made;
    }

    /** Shows the scripted builder a prompt, who works the box or says something to the check. */
    void show(Prompt prompt) {
        builder.see(time, prompt);
        ScriptedBuilder.says(prompt).ifPresent(said -> tasks.add(() -> ((CheckFollower) follower).command(said)));
    }

    @Override
    public long now() {
        return time;
    }

    @Override
    public void record(Entry entry) {
        recorded.add(entry);
        tape.add(entry);
    }

    @Override
    public <T> void think(Supplier<T> work, Consumer<T> then) {
        T thought = work.get();
        tasks.add(() -> then.accept(thought));
    }

    /** Pulls the plug, or puts it in again. */
    void plug(boolean in) {
        if (pluggedIn && !in) {
            follower.lost(time, "unplugged");
            tape.add(new Entry.Lost(time, "unplugged"));
        } else if (in && !pluggedIn) {
            box.plugIn(time);
            follower.found(time, connection, "");
            tape.add(new Entry.Found(time, connection.descriptor(), ""));
        }
        pluggedIn = in;
    }

    /** Nothing more will ever come. */
    void end(String why) {
        follower.ended(time, why);
    }

    /** Goes on to the next moment at which something can happen. */
    void step() {
        long due = follower.deadline() == Check.NEVER ? Long.MAX_VALUE : follower.deadline() + LiveBox.LAG_NANOS;
        long next = Math.min(Math.min(box.next(), builder.next()), due);
        time = tasks.isEmpty() ? Math.max(time, Math.min(next, time + NAP)) : time;
        builder.act(time, box);
        while (box.next() <= time) {
            int length = box.step(buffer);
            if (length > 0 && pluggedIn) {
                follower.report(time, buffer, length);
                tape.add(new Entry.Report(time, Arrays.copyOf(buffer, length)));
            }
        }
        for (int waiting = tasks.size(); waiting > 0; waiting--) {
            tasks.remove().run();
        }
        follower.tick(Math.max(0, time - LiveBox.LAG_NANOS));
        follower.tell(time);
    }

    void run(long nanos) {
        long end = time + nanos;
        while (time < end) {
            step();
        }
    }

    void runUntil(String what, BooleanSupplier condition) {
        long end = time + PATIENCE;
        while (!condition.getAsBoolean()) {
            assertTrue(time < end, () -> "never came: " + what);
            step();
        }
    }

    /** Presses a contact for a while. */
    void press(String contact, long nanos) {
        box.press(time, contact);
        run(nanos);
        box.release(time, contact);
        run(NAP);
    }

    /** The end, as when a live box is closed. */
    void close() {
        follower.tick(Math.max(0, time - LiveBox.LAG_NANOS));
        follower.close(time);
        follower.tell(time);
    }
}
