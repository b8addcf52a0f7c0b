package ringout.plan;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Direction;
import ringout.hid.Input;

/** A physical thing on the panel. */
public sealed interface Control {
    /** Lower-case letters, digits and hyphens; unique in the plan. */
    String id();

    /** What is written beside it: {@code Horn low}. */
    String label();

    /** Where and how it is fitted. */
    Mount mount();

    /** The word for its kind in plans. */
    String kind();

    /** Its electrical switches; none for an axis. */
    List<Contact> contacts();

    /** All a builder can be asked to do to it, in the order to ask. */
    List<Action> actions();

    /** Gives itself to the method for its kind: what has to know every kind does not compile without a new one. */
    <R> R fold(Fold<R> fold);

    /** One answer for each kind. */
    interface Fold<R> {
        R push(Push control);

        R toggle(Toggle control);

        R selector(Selector control);

        R encoder(Encoder control);

        R hat(Hat control);

        R axis(Axis control);
    }

    /** True where it stays where it is put, so that it can be a closed corner of the matrix for hours. */
    default boolean latching() {
        return false;
    }

    /** A momentary push button. */
    record Push(String id, String label, Mount mount, Contact contact) implements Control {
        @Override
        public String kind() {
            return "push";
        }

        @Override
        public List<Contact> contacts() {
            return List.of(contact);
        }

        @Override
        public List<Action> actions() {
            return List.of(new Action(id, id, Action.Gesture.PRESS, label, contact.input(), List.of(contact.id())));
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.push(this);
        }
    }

    /** A latching switch: on/off with one contact, or on/off/on with two ({@code id.up}, {@code id.down}). */
    record Toggle(String id, String label, Mount mount, List<Contact> contacts) implements Control {
        public Toggle {
            contacts = List.copyOf(contacts);
        }

        @Override
        public String kind() {
            return "toggle";
        }

        @Override
        public List<Action> actions() {
            return contacts.stream()
                    .map(c -> new Action(c.id(), id, Action.Gesture.LATCH, label, c.input(), List.of(c.id())))
                    .toList();
        }

        @Override
        public boolean latching() {
            return true;
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.toggle(this);
        }
    }

    /** A rotary selector: one of its contacts ({@code id.1}, {@code id.2}, …) is closed at a time. */
    record Selector(String id, String label, Mount mount, List<Contact> contacts) implements Control {
        public Selector {
            contacts = List.copyOf(contacts);
        }

        @Override
        public String kind() {
            return "selector";
        }

        @Override
        public List<Action> actions() {
            return contacts.stream()
                    .map(c -> new Action(c.id(), id, Action.Gesture.LATCH, label, c.input(), List.of(c.id())))
                    .toList();
        }

        @Override
        public boolean latching() {
            return true;
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.selector(this);
        }
    }

    /**
     * A rotary encoder with two phases a quarter cycle apart ({@code id.a}, {@code id.b}); the firmware turns their order
     * into pulses of two inputs.
     *
     * @param detents per turn
     */
    record Encoder(String id, String label, Mount mount, Contact a, Contact b, Input cw, Input ccw, int detents)
            implements Control {
        @Override
        public String kind() {
            return "encoder";
        }

        @Override
        public List<Contact> contacts() {
            return List.of(a, b);
        }

        @Override
        public List<Action> actions() {
            List<String> phases = List.of(a.id(), b.id());
            return List.of(
                    new Action(id + ".cw", id, Action.Gesture.TURN, label, Optional.of(cw), phases),
                    new Action(id + ".ccw", id, Action.Gesture.TURN, label, Optional.of(ccw), phases));
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.encoder(this);
        }
    }

    /** A hat or a four-way switch, with a fifth contact where it can be pushed in ({@code id.push}). */
    record Hat(String id, String label, Mount mount, Map<Direction, Contact> ways, Optional<Contact> push)
            implements Control {
        public Hat {
            ways = java.util.Collections.unmodifiableMap(new EnumMap<>(ways));
        }

        @Override
        public String kind() {
            return push.isPresent() ? "hat5" : "hat4";
        }

        @Override
        public List<Contact> contacts() {
            List<Contact> all = new ArrayList<>(ways.values());
            push.ifPresent(all::add);
            return List.copyOf(all);
        }

        @Override
        public List<Action> actions() {
            return contacts().stream()
                    .map(c -> new Action(c.id(), id, Action.Gesture.PRESS, label, c.input(), List.of(c.id())))
                    .toList();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.hat(this);
        }
    }

    /**
     * A potentiometer, slider or hall sensor. Outside the switch matrix.
     *
     * @param pin   the analogue pin; empty where the plan is silent
     * @param high  the end where its reading is highest, in the builder's words: {@code full brake}; empty where the plan is
     *              silent
     * @param range how much of the reading's range it must reach from end to end, in percent, 1 to 100; empty where the plan
     *              is silent
     */
    record Axis(
            String id,
            String label,
            Mount mount,
            Input.Axis input,
            Optional<String> pin,
            Optional<String> high,
            Optional<Integer> range)
            implements Control {
        @Override
        public String kind() {
            return "axis";
        }

        @Override
        public List<Contact> contacts() {
            return List.of();
        }

        @Override
        public List<Action> actions() {
            return List.of(new Action(id, id, Action.Gesture.SWEEP, label, Optional.of(input), List.of()));
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.axis(this);
        }
    }
}
