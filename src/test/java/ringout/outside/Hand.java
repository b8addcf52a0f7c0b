package ringout.outside;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.SplittableRandom;
import ringout.check.Prompt;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/**
 * A builder at the bench who does what the prompts ask, in a person's time and with a person's slips. All times and shares
 * are estimates, no source.
 */
final class Hand {
    private static final long MS = 1_000_000;

    private final Plan plan;
    private final PlayedBox box;
    private final Manners manners;
    private final SplittableRandom random;
    private final PriorityQueue<Move> moves = new PriorityQueue<>();
    private final Set<String> held = new LinkedHashSet<>();
    private final Map<String, String> selected = new HashMap<>();
    private Prompt seen;
    /** The axis that is held at its end; a spring takes it back from there. */
    private Optional<Input> heldOut = Optional.empty();

    private long sequence;
    private int prompts;
    private int slips;
    private boolean away;
    private boolean back;
    private boolean seenBack;
    /** When the hands are off all that was held before. */
    private long free;

    /**
     * How a builder errs.
     *
     * @param neighbour  how often the control beside the one asked for is worked instead
     * @param twoFingers how often it is worked together with it
     * @param resting    how often another one is held from before the press until after it
     * @param leavesAt   the prompt at which the builder goes away; never where negative
     * @param wrongFrom  the first prompt that is read wrongly: the neighbour is worked instead, in good faith
     * @param wrongTo    the first that is read rightly again
     * @param awaySeconds how long the builder is away; 0 for good
     */
    record Manners(
            double neighbour,
            double twoFingers,
            double resting,
            int leavesAt,
            int wrongFrom,
            int wrongTo,
            int awaySeconds) {
        Manners(double neighbour, double twoFingers, double resting, int leavesAt) {
            this(neighbour, twoFingers, resting, leavesAt, 0, 0, 0);
        }

        static final Manners CAREFUL = new Manners(0, 0, 0, -1);

        static Manners slipping(double share) {
            return new Manners(share / 3, share / 3, share / 3, -1);
        }
    }

    private record Move(long nanos, long order, Runnable what) implements Comparable<Move> {
        @Override
        public int compareTo(Move other) {
            return nanos != other.nanos ? Long.compare(nanos, other.nanos) : Long.compare(order, other.order);
        }
    }

    Hand(Plan plan, PlayedBox box, Manners manners, long seed) {
        this.plan = plan;
        this.box = box;
        this.manners = manners;
        random = new SplittableRandom(seed ^ 0x48414E44L);
        for (Control control : plan.controls()) {
            if (control instanceof Control.Selector s) {
                selected.put(s.id(), s.contacts().get(0).id());
                box.move(0, s.contacts().get(0).id(), true);
            }
        }
    }

    /** False once the builder went away. */
    boolean isThere() {
        return manners.leavesAt() < 0 || prompts < manners.leavesAt() || back;
    }

    /** True once, as soon as the builder is back. */
    boolean cameBack() {
        boolean now = back && !seenBack;
        seenBack |= now;
        return now;
    }

    /** How many slips there were. */
    int slips() {
        return slips;
    }

    long next() {
        return moves.isEmpty() ? PlayedBox.NEVER : moves.peek().nanos();
    }

    void act(long nanos) {
        while (!moves.isEmpty() && moves.peek().nanos() <= nanos) {
            moves.poll().what().run();
        }
    }

    private void at(long nanos, Runnable what) {
        moves.add(new Move(nanos, sequence++, what));
    }

    private long between(int least, int most) {
        return random.nextLong(least * MS, most * MS);
    }

    /** Looks again at what is asked. */
    void lookAgain(long nanos) {
        Prompt prompt = seen;
        seen = null;
        see(nanos, prompt);
    }

    void see(long nanos, Prompt prompt) {
        if (prompt == seen) {
            return;
        }
        seen = prompt;
        heldOut.ifPresent(axis -> at(nanos + 150 * MS, () -> box.axis(nanos + 150 * MS, axis, 512)));
        heldOut = Optional.empty();
        prompts++;
        if (manners.leavesAt() >= 0 && prompts > manners.leavesAt() && !back) {
            // Nobody takes a button along.
            letGo(nanos);
            unlatch(nanos);
            if (manners.awaySeconds() > 0 && !away) {
                away = true;
                at(nanos + manners.awaySeconds() * 1000L * MS, () -> back = true);
            }
            return;
        }
        // A new prompt ends what was still meant to be done for the last one, except letting go, which comes first.
        long then = Math.max(nanos + between(350, 1000), free + 20 * MS);
        String kind = prompt.kind().name();
        switch (kind) {
            case "HOLD" -> {
                letGo(nanos + between(100, 300));
                hold(then, prompt);
            }
            case "LET_GO", "HANDS_OFF", "DONE" -> {
                letGo(nanos + between(150, 450));
                unlatch(then);
            }
            case "PRESS_ONCE", "REPEAT" -> {
                letGo(nanos + between(100, 300));
                long at = then;
                for (int i = 0; i < prompt.times(); i++) {
                    String id = prompt.actions().get(0);
                    long on = at;
                    at(on, () -> press(on, id));
                    long off = on + between(150, 350);
                    at(off, () -> release(off, id));
                    at = off + between(150, 300);
                }
            }
            case "PUT_ON" -> {
                letGo(nanos + between(100, 300));
                at(then, () -> latch(then, prompt.actions().get(0), true));
            }
            case "PUT_OFF" -> at(then, () -> latch(then, prompt.actions().get(0), false));
            case "TURN" -> {
                letGo(nanos + between(100, 300));
                turn(then, prompt);
            }
            case "SWEEP" -> sweep(then, prompt);
            default -> {}
        }
    }

    private void hold(long then, Prompt prompt) {
        List<String> wanted = new ArrayList<>(prompt.actions());
        double chance = random.nextDouble();
        boolean alone = wanted.size() == 1 && plan.controls().size() > 1;
        if (alone && (chance < manners.neighbour() || prompts >= manners.wrongFrom() && prompts < manners.wrongTo())) {
            wanted.set(0, beside(wanted.get(0)));
            slips++;
        } else if (alone && chance < manners.neighbour() + manners.twoFingers()) {
            wanted.add(beside(wanted.get(0)));
            slips++;
        } else if (alone && chance < manners.neighbour() + manners.twoFingers() + manners.resting()) {
            wanted.add(0, beside(wanted.get(0)));
            slips++;
        }
        long at = then;
        for (String id : wanted) {
            long when = at;
            at(when, () -> {
                if (isLatching(id)) {
                    latch(when, id, true);
                } else {
                    press(when, id);
                }
            });
            at += between(10, 90);
        }
    }

    private String beside(String id) {
        List<String> presses = plan.actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.PRESS)
                .map(Action::id)
                .toList();
        int i = presses.indexOf(id);
        if (i < 0 || presses.size() < 2) {
            return id;
        }
        boolean after = random.nextBoolean() && i + 1 < presses.size() || i == 0;
        return presses.get(after ? i + 1 : i - 1);
    }

    private boolean isLatching(String id) {
        return plan.action(id).orElseThrow().gesture() == Action.Gesture.LATCH;
    }

    private void press(long nanos, String id) {
        if (held.add(id)) {
            contact(id).forEach(c -> box.move(nanos, c, true));
        }
    }

    private void release(long nanos, String id) {
        if (held.remove(id)) {
            contact(id).forEach(c -> box.move(nanos, c, false));
        }
    }

    private List<String> contact(String id) {
        return plan.action(id).orElseThrow().contacts();
    }

    private void letGo(long nanos) {
        free = Math.max(free, nanos);
        at(nanos, () -> List.copyOf(held).stream().filter(id -> !isLatching(id)).forEach(id -> release(nanos, id)));
    }

    private void unlatch(long nanos) {
        at(nanos, () -> List.copyOf(held).stream().filter(this::isLatching).forEach(id -> latch(nanos, id, false)));
    }

    private void latch(long nanos, String id, boolean over) {
        Control control = plan.control(plan.action(id).orElseThrow().control()).orElseThrow();
        if (control instanceof Control.Selector) {
            String was = selected.put(control.id(), id);
            if (!id.equals(was)) {
                box.move(nanos, was, false);
                box.move(nanos + 2 * MS, id, true);
            }
            return;
        }
        if (over) {
            control.actions().forEach(other -> {
                if (!other.id().equals(id)) {
                    release(nanos, other.id());
                }
            });
            press(nanos + (held.isEmpty() ? 0 : 2 * MS), id);
        } else {
            release(nanos, id);
        }
    }

    private void turn(long from, Prompt prompt) {
        Action action = plan.action(prompt.actions().get(0)).orElseThrow();
        String first = action.contacts().get(action.isClockwise() ? 0 : 1);
        String second = action.contacts().get(action.isClockwise() ? 1 : 0);
        long at = from;
        for (int i = 0; i < prompt.times(); i++) {
            long quarter = between(7, 20);
            long start = at;
            at(start, () -> box.move(start, first, true));
            at(start + quarter, () -> box.move(start + quarter, second, true));
            at(start + 2 * quarter, () -> box.move(start + 2 * quarter, first, false));
            at(start + 3 * quarter, () -> box.move(start + 3 * quarter, second, false));
            at = start + 4 * quarter + between(90, 150);
        }
    }

    private void sweep(long from, Prompt prompt) {
        Action action = plan.action(prompt.actions().get(0)).orElseThrow();
        long at = from;
        for (int i = 0; i < Math.max(1, prompt.times()); i++) {
            for (int step = 0; step <= 100; step++) {
                double part = step / 100.0;
                int value = (int) Math.round(512 + 511 * Math.sin(2 * Math.PI * part));
                long when = at + (long) (part * 2_000 * MS);
                at(when, () -> box.axis(when, action.input().orElseThrow(), value));
            }
            at += 2_100 * MS;
        }
        if (prompt.times() <= 1
                && plan.control(action.control()).orElseThrow() instanceof Control.Axis axis
                && axis.high().isPresent()) {
            for (int step = 0; step <= 25; step++) {
                int value = 512 + 511 * step / 25;
                long when = at + step * 20L * MS;
                at(when, () -> box.axis(when, action.input().orElseThrow(), value));
            }
            heldOut = action.input();
        }
    }
}
