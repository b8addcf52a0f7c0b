package ringout.ui;

import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.LongConsumer;
import ringout.bench.Bench;
import ringout.bench.SessionView;
import ringout.check.Check;
import ringout.check.CheckSettings;
import ringout.check.Prompt;
import ringout.hid.DescriptorException;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.ui.model.Exercise;

/** A simulated box in real time, worked by a scripted builder or by the pointer on the drawn panel. */
final class DemoRun {
    private static final int RATE = 1000;
    private static final long NAP_MILLIS = 2;

    private final Plan plan;
    private final SimulatedBox box;
    private final ScriptedBuilder builder;
    private final Bench bench;
    private final ConcurrentLinkedQueue<LongConsumer> asked = new ConcurrentLinkedQueue<>();
    private final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
    private final Thread thread;
    private volatile boolean closed;
    private volatile SessionView view;

    /**
     * Starts at once.
     *
     * @param byItself true where a scripted builder presses
     */
    DemoRun(Plan plan, Exercise exercise, boolean byItself, long seed) {
        this.plan = plan;
        box = new SimulatedBox(plan, exercise.faults(), exercise.wear(), RATE, seed, 0);
        builder = byItself ? new ScriptedBuilder(plan, 0, seed) : null;
        try {
            bench = new Bench(plan.box().name(), box.descriptor(), 0);
        } catch (DescriptorException impossible) {
            throw new IllegalStateException("the simulated descriptor is well-formed", impossible);
        }
        bench.startCheck(0, plan, CheckSettings.STANDARD);
        view = bench.view(0);
        thread = new Thread(this::run, "ringout-demo");
        thread.setDaemon(true);
        thread.start();
    }

    Live live() {
        return new Live(() -> view, command -> asked.add(nanos -> bench.command(nanos, command)), () -> closed = true);
    }

    /** Works a control's action as a finger would; a toggle changes over by each press. */
    void press(Action action) {
        asked.add(nanos -> {
            switch (action.gesture()) {
                case TURN -> box.turn(nanos, action.id(), 60_000_000L);
                case SWEEP -> box.slide(nanos, action.id(), 1, 700_000_000L);
                case PRESS, LATCH -> action.contacts().forEach(contact -> box.press(nanos, contact));
            }
        });
    }

    /** Lets go of it. */
    void release(Action action) {
        asked.add(nanos -> {
            switch (action.gesture()) {
                case SWEEP -> box.slide(nanos, action.id(), 0, 700_000_000L);
                case PRESS, LATCH -> action.contacts().forEach(contact -> box.release(nanos, contact));
                case TURN -> { }
            }
        });
    }

    private void run() {
        long start = System.nanoTime();
        Check check = bench.check().orElseThrow();
        Prompt seen = null;
        long version = -1;
        while (!closed) {
            long now = System.nanoTime() - start;
            for (LongConsumer wish = asked.poll(); wish != null; wish = asked.poll()) {
                wish.accept(now);
            }
            if (builder != null && builder.next() <= now) {
                builder.act(now, box);
            }
            while (box.next() <= now) {
                long at = box.next();
                int length = box.step(buffer);
                if (length > 0) {
                    bench.report(at, buffer, length);
                }
            }
            bench.tick(now);
            if (builder != null && check.prompt() != seen) {
                seen = check.prompt();
                builder.see(now, seen);
            }
            if (bench.version() != version) {
                version = bench.version();
            }
            view = bench.view(now);
            try {
                Thread.sleep(NAP_MILLIS);
            } catch (InterruptedException stop) {
                return;
            }
        }
    }
}
