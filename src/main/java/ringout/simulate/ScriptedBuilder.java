package ringout.simulate;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.SplittableRandom;
import org.jspecify.annotations.Nullable;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Plan;

/**
 * A person who does what the prompts ask, with human timing, and now and then works the wrong control.
 *
 * <p>Times, all from memory and without a source: 300 to 900 ms from a new prompt to the movement, half of that to let
 * go, 20 to 60 ms between the fingers of a chord, 30 to 90 ms for a detent, 90 to 140 ms from one to the next, 0.6 to
 * 1.2 s for one way of a sweep. A control that does not answer is let go of after 2 to 3 s.
 *
 * <p>The same seed and prompts give the same movements. Not thread-safe.
 */
public final class ScriptedBuilder {
    /** {@link #next()} while nothing is about to be done. */
    public static final long NEVER = Long.MAX_VALUE;

    private static final long MS = 1_000_000;

    private final Plan plan;
    private final double slipRate;
    private final SplittableRandom random;
    private final PriorityQueue<Move> moves =
            new PriorityQueue<>(Comparator.comparingLong(Move::nanos).thenComparingLong(Move::sequence));
    private final Set<String> held = new LinkedHashSet<>();
    private final Set<String> latched = new LinkedHashSet<>();
    private final Map<String, Action> actions = new HashMap<>();
    /** The axis that is held at the end where it should read highest. */
    private Optional<String> heldOut = Optional.empty();

    private @Nullable Prompt seen;
    private long sequence;

    /** What a hand does. */
    private enum Movement {
        PRESS,
        RELEASE,
        TURN,
        FORTH,
        BACK
    }

    private record Move(long nanos, long sequence, Movement movement, String action, long duration) {}

    /**
     * @param slipRate how often, from 0 to 1, a prompt makes the builder work another control than the one asked for
     */
    public ScriptedBuilder(Plan plan, double slipRate, long seed) {
        this.plan = plan;
        this.slipRate = slipRate;
        this.random = new SplittableRandom(seed ^ 0x5DEECE66DL);
        plan.actions().forEach(a -> actions.put(a.id(), a));
    }

    private boolean hasHighEnd(String action) {
        return plan.control(action)
                .filter(c -> c instanceof Control.Axis axis && axis.high().isPresent())
                .isPresent();
    }

    /** Shows the prompt of now; a new one makes the builder plan movements. */
    public void see(long nanos, Prompt prompt) {
        if (prompt == seen) {
            return;
        }
        seen = prompt;
        moves.removeIf(move -> move.movement() != Movement.BACK);
        heldOut.ifPresent(axis -> add(nanos + between(100, 200), Movement.BACK, axis, between(300, 600)));
        heldOut = Optional.empty();
        if (!actions.keySet().containsAll(prompt.actions())) {
            // The plan is another one's: nobody finds that control on this box.
            letGo(nanos);
            return;
        }
        long then = nanos + between(300, 900);
        switch (prompt.kind()) {
            case HANDS_OFF -> {
                letGo(nanos + between(150, 450));
                putBack(then, Set.of());
            }
            case HOLD -> hold(then, prompt);
            case FLEX -> {} // What is held stays held.
            case LET_GO -> {
                letGo(nanos + between(150, 450));
                putBack(nanos + between(300, 900), Set.of());
            }
            case PRESS_ONCE -> {
                letGo(nanos);
                String action = prompt.actions().get(0);
                add(then, Movement.PRESS, action, 0);
                add(then + between(150, 500), Movement.RELEASE, action, 0);
            }
            case PUT_ON -> {
                letGo(nanos + between(150, 450));
                putOver(then, slipped(prompt.actions().get(0)));
            }
            case PUT_OFF -> {
                letGo(nanos + between(150, 450));
                putBack(then, Set.of());
            }
            case TURN -> {
                letGo(nanos + between(150, 450));
                putBack(nanos + between(150, 450), Set.of());
                turn(then, prompt);
            }
            case SWEEP -> {
                letGo(nanos + between(150, 450));
                long at = then;
                for (int i = 0; i < prompt.times(); i++) {
                    long forth = between(600, 1200);
                    add(at, Movement.FORTH, prompt.actions().get(0), forth);
                    at += forth + between(50, 150);
                    long back = between(600, 1200);
                    add(at, Movement.BACK, prompt.actions().get(0), back);
                    at += back + between(50, 150);
                }
                if (prompt.times() == 1 && hasHighEnd(prompt.actions().get(0))) {
                    add(at, Movement.FORTH, prompt.actions().get(0), between(600, 1200));
                    heldOut = Optional.of(prompt.actions().get(0));
                }
            }
            case REPEAT -> {
                letGo(nanos + between(150, 450));
                long at = then;
                for (int i = 0; i < prompt.times(); i++) {
                    add(at, Movement.PRESS, prompt.actions().get(0), 0);
                    at += between(100, 250);
                    add(at, Movement.RELEASE, prompt.actions().get(0), 0);
                    at += between(150, 300);
                }
            }
            case QUESTION, PAUSED, PLUG_IN, DONE -> letGo(nanos + between(150, 450));
        }
    }

    /**
     * What he says to a prompt; empty where he does something, or nothing. He has worked all that he was asked for, and a
     * check that somebody paused is that somebody's to go on with.
     */
    public static Optional<Instruction> says(Prompt prompt) {
        return switch (prompt.kind()) {
            case QUESTION -> Optional.of(Instruction.NOTHING_CAME);
            default -> Optional.empty();
        };
    }

    private void turn(long then, Prompt prompt) {
        if (prompt.times() == 1) {
            add(then, Movement.TURN, slippedTurn(prompt.actions().get(0)), between(30, 90));
            return;
        }
        int detents = prompt.times();
        if (random.nextDouble() < slipRate) {
            detents += random.nextBoolean() ? 1 : -1; // Miscounted.
        }
        long at = then;
        for (int i = 0; i < detents; i++) {
            add(at, Movement.TURN, prompt.actions().get(0), between(30, 60));
            at += between(90, 140);
        }
    }

    private void hold(long then, Prompt prompt) {
        List<String> wanted = new ArrayList<>(prompt.actions());
        if (wanted.size() == 1) {
            wanted.set(0, slipped(wanted.get(0)));
        }
        letGo(then - between(150, 290));
        putBack(then - between(100, 200), Set.copyOf(wanted));
        long at = then;
        for (String action : wanted) {
            if (Known.in(actions, action).gesture() == Action.Gesture.LATCH) {
                putOver(at, action);
            } else {
                add(at, Movement.PRESS, action, 0);
            }
            at += between(20, 60);
        }
        long patience = between(2000, 3000);
        for (String action : wanted) {
            add(at + patience, Movement.RELEASE, action, 0);
        }
    }

    /** Puts a latching control into a position; the other positions of the same control open by that. */
    private void putOver(long then, String action) {
        if (Known.in(actions, action).gesture() != Action.Gesture.LATCH) {
            add(then, Movement.PRESS, action, 0);
            add(then + between(150, 500), Movement.RELEASE, action, 0);
            return;
        }
        long over = then + between(5, 15);
        for (String other : latched) {
            if (other.equals(action)) {
                // Asked for what he thinks he has done, he puts it back and does it over again.
                add(then, Movement.RELEASE, other, 0);
                over = then + between(150, 300);
            } else if (Known.in(actions, other)
                    .control()
                    .equals(Known.in(actions, action).control())) {
                add(then, Movement.RELEASE, other, 0);
            }
        }
        add(over, Movement.PRESS, action, 0);
    }

    /** Another control than the one meant, where the finger slips. */
    private String slipped(String meant) {
        if (random.nextDouble() >= slipRate) {
            return meant;
        }
        List<String> others = plan.actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.PRESS || a.gesture() == Action.Gesture.LATCH)
                .filter(a -> !(plan.control(a.control()).orElseThrow() instanceof Control.Selector))
                .map(Action::id)
                .filter(id -> !id.equals(meant))
                .toList();
        return others.isEmpty() ? meant : others.get(random.nextInt(others.size()));
    }

    /** The other way round, where the hand slips. */
    private String slippedTurn(String meant) {
        if (random.nextDouble() >= slipRate) {
            return meant;
        }
        return plan.actions().stream()
                .filter(a -> a.control().equals(Known.in(actions, meant).control()) && !a.id().equals(meant))
                .map(Action::id)
                .findFirst()
                .orElse(meant);
    }

    private void letGo(long nanos) {
        held.forEach(action -> add(nanos, Movement.RELEASE, action, 0));
    }

    /** Puts toggles back that are not wanted over; selectors go to their first position only for hands off. */
    private void putBack(long nanos, Set<String> except) {
        for (String action : latched) {
            if (!except.contains(action) && !isSelector(action)) {
                add(nanos, Movement.RELEASE, action, 0);
            }
        }
        if (seen != null && seen.kind() == Prompt.Kind.HANDS_OFF) {
            for (Control control : plan.controls()) {
                String first = control instanceof Control.Selector
                        ? control.actions().get(0).id()
                        : null;
                if (first != null && !latched.contains(first)) {
                    putOver(nanos, first);
                }
            }
        }
    }

    private boolean isSelector(String action) {
        return plan.control(Known.in(actions, action).control()).orElseThrow() instanceof Control.Selector;
    }

    private void add(long nanos, Movement movement, String action, long duration) {
        moves.add(new Move(nanos, sequence++, movement, action, duration));
    }

    private long between(long leastMillis, long mostMillis) {
        return random.nextLong(leastMillis * MS, mostMillis * MS + 1);
    }

    /** When {@link #act} must be called next. */
    public long next() {
        Move move = moves.peek();
        return move == null ? NEVER : move.nanos();
    }

    /** Does what is to be done by that time. */
    public void act(long nanos, SimulatedBox box) {
        while (!moves.isEmpty() && moves.peek().nanos() <= nanos) {
            Move move = moves.remove();
            Action action = Known.in(actions, move.action());
            switch (move.movement()) {
                case PRESS -> {
                    boolean latches = action.gesture() == Action.Gesture.LATCH;
                    if ((latches ? latched : held).add(action.id())) {
                        action.contacts().forEach(c -> box.press(move.nanos(), c));
                    }
                }
                case RELEASE -> {
                    if (held.remove(action.id()) || latched.remove(action.id())) {
                        action.contacts().forEach(c -> box.release(move.nanos(), c));
                    }
                }
                case TURN -> box.turn(move.nanos(), action.id(), move.duration());
                case FORTH -> box.slide(move.nanos(), action.id(), 1, move.duration());
                case BACK -> box.slide(move.nanos(), action.id(), 0, move.duration());
            }
        }
    }
}
