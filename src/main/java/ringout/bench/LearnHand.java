package ringout.bench;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.LearnedBox;
import ringout.simulate.SimulatedBox;

/** The hand on a simulated box that is learned: works one control after the other, whenever one is asked for. */
final class LearnHand {
    private static final long MS = 1_000_000L;
    private static final long PRESS = 250 * MS;
    /** Longer than what tells a switch that stays from a press. */
    private static final long STAY = 1_600 * MS;

    private record Move(long after, BiConsumer<Long, SimulatedBox> what) {}

    private final Consumer<BiConsumer<Long, SimulatedBox>> box;
    private final Deque<Control> left = new ArrayDeque<>();
    private final Deque<Move> moves = new ArrayDeque<>();
    private long due;

    /**
     * @param box    lets something be done with the box, now
     * @param before what was learned of it before, and so is not worked again
     */
    LearnHand(Consumer<BiConsumer<Long, SimulatedBox>> box, LearnedBox.Learned before) {
        this.box = box;
        box.accept((nanos, worked) -> {
            left.addAll(worked.plan().controls());
            // A selector always rests somewhere.
            left.stream()
                    .filter(Control.Selector.class::isInstance)
                    .forEach(c -> worked.press(nanos, c.contacts().get(0).id()));
            left.removeIf(
                    c -> c.actions().stream().flatMap(a -> a.input().stream()).anyMatch(before.inputs()::contains));
        });
    }

    /** A control is asked for. */
    void work(long nanos) {
        if (moves.isEmpty() && !left.isEmpty()) {
            moves.addAll(moves(left.remove()));
            due = nanos + moves.peek().after;
        }
    }

    /** Makes the move that has fallen due. However late it is, the next follows after its time: a press lasts as long as it should. */
    void act(long nanos) {
        if (!moves.isEmpty() && nanos >= due) {
            box.accept(moves.remove().what);
            due = nanos + (moves.isEmpty() ? 0 : moves.peek().after);
        }
    }

    /** Brings what it has begun to its end at once, so that the next hand finds everything at rest. */
    void letGo() {
        while (!moves.isEmpty()) {
            box.accept(moves.remove().what);
        }
    }

    private static List<Move> moves(Control control) {
        List<Move> moves = new ArrayList<>();
        if (control instanceof Control.Encoder) {
            for (String way : List.of(".cw", ".ccw")) {
                for (int i = 0; i < 3; i++) {
                    moves.add(new Move(200 * MS, (n, box) -> box.turn(n, control.id() + way, 60 * MS)));
                }
            }
        } else if (control instanceof Control.Axis) {
            moves.add(new Move(PRESS, (n, box) -> box.slide(n, control.id(), 1, 500 * MS)));
            moves.add(new Move(600 * MS, (n, box) -> box.slide(n, control.id(), 0, 500 * MS)));
        } else if (control instanceof Control.Selector selector) {
            List<Contact> round = new ArrayList<>(
                    selector.contacts().subList(1, selector.contacts().size()));
            round.add(selector.contacts().get(0));
            for (Contact to : round) {
                moves.add(new Move(STAY, (n, box) -> {
                    selector.contacts().forEach(c -> box.release(n, c.id()));
                    box.press(n, to.id());
                }));
            }
        } else {
            long held = control.latching() ? STAY : PRESS;
            for (Contact contact : control.contacts()) {
                moves.add(new Move(PRESS, (n, box) -> box.press(n, contact.id())));
                moves.add(new Move(held, (n, box) -> box.release(n, contact.id())));
            }
        }
        return moves;
    }
}
