package ringout.check;

import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Action;

/** One thing the check asks for. */
sealed interface Step {
    /** What it works, in order. */
    List<Action> actions();

    /** Inputs a box that matches its plan gives. */
    SortedSet<Input> expected();

    /** True where it is no step of the plan's own: the diagnosis, or whoever measures, asked for it. */
    boolean extra();

    /** True where an axis is swept. */
    default boolean isSweep() {
        return actions().size() == 1 && actions().get(0).gesture() == Action.Gesture.SWEEP;
    }

    /** True where an encoder is turned. */
    default boolean isTurn() {
        return actions().size() == 1 && actions().get(0).gesture() == Action.Gesture.TURN;
    }

    /** Leave the box alone. */
    record HandsOff() implements Step {
        @Override
        public List<Action> actions() {
            return List.of();
        }

        @Override
        public SortedSet<Input> expected() {
            return new TreeSet<>();
        }

        @Override
        public boolean extra() {
            return false;
        }
    }

    /** One action of the plan. */
    record Single(Action action, boolean extra) implements Step {
        @Override
        public List<Action> actions() {
            return List.of(action);
        }

        @Override
        public SortedSet<Input> expected() {
            SortedSet<Input> expected = new TreeSet<>();
            action.input().ifPresent(expected::add);
            return expected;
        }
    }

    /** One action several times, to measure how it goes: detents, presses, sweeps there and back. */
    record Measure(Action action, int times) implements Step {
        @Override
        public List<Action> actions() {
            return List.of(action);
        }

        @Override
        public SortedSet<Input> expected() {
            return new Single(action, true).expected();
        }

        @Override
        public boolean extra() {
            return true;
        }
    }

    /** Actions held while the box is flexed and its wires are wiggled. */
    record Flex(List<Action> actions, SortedSet<Input> expected) implements Step {
        @Override
        public boolean extra() {
            return true;
        }
    }

    /** Several actions held at once. */
    record Chord(List<Action> actions, SortedSet<Input> expected) implements Step {
        @Override
        public boolean extra() {
            return true;
        }
    }
}
