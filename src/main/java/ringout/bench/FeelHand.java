package ringout.bench;

import java.util.Optional;
import java.util.Random;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import ringout.feel.FeelView;
import ringout.feel.Target;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Mount;
import ringout.plan.Plan;
import ringout.simulate.SimulatedBox;

/**
 * The hand on a simulated box whose controls are found by feel: reaches farther ones later, and takes the first two of the
 * plan for one another every other time, so that there is something to find.
 */
final class FeelHand {
    private static final long MS = 1_000_000L;
    private static final long HELD = 120 * MS;
    private static final double TAKEN = 0.5;

    private final Consumer<BiConsumer<Long, SimulatedBox>> box;
    private final Random chance;
    private @Nullable FeelView seen;
    private Optional<Target> at = Optional.empty();
    private Optional<Control> wanted = Optional.empty();
    private Optional<Control> taken = Optional.empty();
    private Optional<Control> held = Optional.empty();
    private long due = Long.MAX_VALUE;
    private int turns;

    /** @param box lets something be done with the box, now */
    FeelHand(Consumer<BiConsumer<Long, SimulatedBox>> box, long seed) {
        this.box = box;
        chance = new Random(~seed);
    }

    /** Looks at what is asked, and does what has fallen due. */
    void act(long now, FeelView view, Plan plan) {
        if (view != seen) {
            seen = view;
            see(now, view, plan);
        }
        if (now < due) {
            return;
        }
        if (held.isPresent()) {
            letGo();
            due = wanted.isPresent() ? now + (300 + chance.nextInt(300)) * MS : Long.MAX_VALUE;
        } else if (taken.isPresent()) {
            press(taken.get());
            taken = Optional.empty();
            due = now + HELD;
        } else if (wanted.isPresent()) {
            press(wanted.get());
            wanted = Optional.empty();
            due = now + HELD;
        }
    }

    private void see(long now, FeelView view, Plan plan) {
        if (view.stage() == FeelView.Stage.PAUSE && held.isEmpty()) {
            wanted = plan.controls().stream()
                    .filter(c -> c instanceof Control.Push)
                    .findFirst();
            due = now + 500 * MS;
        } else if (view.asked().isPresent()) {
            Target target = view.asked().get();
            wanted = plan.control(target.id());
            taken = wanted.flatMap(c -> mistaken(c, plan));
            due = now + reach(target);
            at = Optional.of(target);
        }
    }

    private Optional<Control> mistaken(Control control, Plan plan) {
        java.util.List<Control> first = plan.controls().stream()
                .filter(c -> c instanceof Control.Push)
                .limit(2)
                .toList();
        return first.size() == 2 && first.contains(control) && chance.nextDouble() < TAKEN
                ? Optional.of(first.get(1 - first.indexOf(control)))
                : Optional.empty();
    }

    private long reach(Target target) {
        double far = at.flatMap(Target::place)
                .flatMap(from -> target.place().map(to -> distance(from, to)))
                .orElse(60.0);
        double seconds = 0.35 + 0.12 * Math.log1p(far / target.width().orElse(16.0)) / Math.log(2);
        return Math.round((seconds + 0.06 * chance.nextGaussian()) * 1e9);
    }

    private static double distance(Mount.Place a, Mount.Place b) {
        return Math.hypot(a.x() - b.x(), a.y() - b.y());
    }

    private void press(Control control) {
        if (control instanceof Control.Encoder) {
            Action way = control.actions().get(0);
            box.accept((nanos, worked) -> worked.turn(nanos, way.id(), 60 * MS));
        } else if (control instanceof Control.Selector) {
            turns++;
            int to = turns % control.contacts().size();
            box.accept((nanos, worked) -> {
                control.contacts().forEach(c -> worked.release(nanos, c.id()));
                worked.press(nanos, control.contacts().get(to).id());
            });
        } else {
            box.accept((nanos, worked) ->
                    worked.press(nanos, control.contacts().get(0).id()));
            held = Optional.of(control);
        }
    }

    /** Lets go of what is held, so that the next hand finds everything at rest. */
    void letGo() {
        held.ifPresent(control -> box.accept((nanos, worked) ->
                worked.release(nanos, control.contacts().get(0).id())));
        held = Optional.empty();
    }
}
