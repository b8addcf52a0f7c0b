package ringout.hid;

import java.util.Comparator;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.words.Phrase;

/**
 * One thing a box can report: a button, a control that goes by its usage's name, one direction of a hat, or an axis.
 *
 * <p>Written the same everywhere (plans, findings, JSON): {@code button 7}, {@code button Start}, {@code hat 1 up},
 * {@code axis X}, {@code axis Slider 2} (the second slider). A box with several game-controller collections behind one interface
 * adds which one from the second on: {@code button 7 of 2}.
 *
 * <p>Order: buttons, named ones, hats, axes; then by collection, number and direction.
 */
public sealed interface Input extends Comparable<Input> permits Input.Button, Input.Named, Input.Hat, Input.Axis {

    /** The game-controller collection, from 1, in descriptor order. */
    int collection();

    /** The one written form; {@link #parse} reads it back. */
    String text();

    /** What it is called to people: {@code button 7}, {@code hat 1 up}. */
    default Phrase words() {
        Phrase name;
        if (this instanceof Button button) {
            name = Phrase.of("input.button", Integer.toString(button.number()));
        } else if (this instanceof Hat hat) {
            name = Phrase.of(
                    "input.hat", Integer.toString(hat.number()), hat.direction().words());
        } else if (this instanceof Named named) {
            String usage = UsageNames.of(named.usage());
            name = Phrase.of(
                    "input.button", named.number() == 1 ? usage : usage + " " + Integer.toString(named.number()));
        } else {
            Axis axis = (Axis) this;
            name = axis.number() == 1
                    ? Phrase.of("input.axis", axis.usage().word())
                    : Phrase.of("input.axis-number", axis.usage().word(), Integer.toString(axis.number()));
        }
        return collection() == 1 ? name : Phrase.of("input.of", name, Integer.toString(collection()));
    }

    /** A button: HUT page 0x09, usage {@code number}, from 1. */
    record Button(int number, int collection) implements Input {
        public Button {
            requireRange("button number", number, 1, 65535);
            requireRange("collection", collection, 1, 255);
        }

        public Button(int number) {
            this(number, 1);
        }

        @Override
        public String text() {
            return "button " + number + suffix(collection);
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /**
     * A control that is on or off and is no numbered button: Start, Select, a key of the Consumer page, a vendor's own.
     *
     * @param usage  on any page but that of buttons; what {@link AxisUsage} knows is an axis
     * @param number counts those of the same usage from 1
     */
    record Named(Usage usage, int number, int collection) implements Input {
        public Named {
            Objects.requireNonNull(usage, "usage");
            requireRange("usage", usage.id(), 1, 0xFFFF);
            requireRange("number", number, 1, 255);
            requireRange("collection", collection, 1, 255);
        }

        public Named(Usage usage) {
            this(usage, 1, 1);
        }

        /** The name by the HID Usage Tables, or the numbers: {@code button Start}, {@code button Vendor 0xFF00:0x21}. */
        @Override
        public String text() {
            return "button " + UsageNames.of(usage) + (number == 1 ? "" : " " + number) + suffix(collection);
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /** One direction of hat {@code number} (from 1, in descriptor order); on whenever the hat points there, diagonals too. */
    record Hat(int number, Direction direction, int collection) implements Input {
        public Hat {
            requireRange("hat number", number, 1, 255);
            requireRange("collection", collection, 1, 255);
            Objects.requireNonNull(direction, "direction");
        }

        public Hat(int number, Direction direction) {
            this(number, direction, 1);
        }

        @Override
        public String text() {
            return "hat " + number + " " + direction.word() + suffix(collection);
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /** An axis; {@code number} counts axes of the same usage from 1. */
    record Axis(AxisUsage usage, int number, int collection) implements Input {
        public Axis {
            Objects.requireNonNull(usage, "usage");
            requireRange("axis number", number, 1, 255);
            requireRange("collection", collection, 1, 255);
        }

        public Axis(AxisUsage usage) {
            this(usage, 1, 1);
        }

        @Override
        public String text() {
            return "axis " + usage.word() + (number == 1 ? "" : " " + number) + suffix(collection);
        }

        @Override
        public String toString() {
            return text();
        }
    }

    /**
     * Reads an input as a person writes it; letter case and extra spaces do not matter.
     *
     * @return empty where the text names no input
     */
    static Optional<Input> parse(String text) {
        Matcher m = Syntax.INPUT.matcher(text.strip());
        if (!m.matches()) {
            return Optional.empty();
        }
        try {
            int collection = m.group("of") == null ? 1 : Integer.parseInt(m.group("of"));
            if (m.group("button") != null) {
                return Optional.of(new Button(Integer.parseInt(m.group("button")), collection));
            }
            if (m.group("name") != null) {
                int number = m.group("which") == null ? 1 : Integer.parseInt(m.group("which"));
                return UsageNames.named(m.group("name").replaceAll("\\s+", " "))
                        .filter(usage -> usage.page() != UsagePage.BUTTON
                                && AxisUsage.of(usage.page(), usage.id()).isEmpty())
                        .map(usage -> new Named(usage, number, collection));
            }
            if (m.group("hat") != null) {
                Direction direction = Direction.valueOf(m.group("direction").toUpperCase(Locale.ROOT));
                return Optional.of(new Hat(Integer.parseInt(m.group("hat")), direction, collection));
            }
            int number = m.group("nth") == null ? 1 : Integer.parseInt(m.group("nth"));
            return AxisUsage.named(m.group("axis").replaceAll("\\s+", " "))
                    .map(usage -> new Axis(usage, number, collection));
        } catch (IllegalArgumentException outOfRange) {
            return Optional.empty();
        }
    }

    @Override
    default int compareTo(Input other) {
        return Syntax.ORDER.compare(this, other);
    }

    private static String suffix(int collection) {
        return collection == 1 ? "" : " of " + collection;
    }

    private static void requireRange(String what, int value, int least, int most) {
        if (value < least || value > most) {
            throw new IllegalArgumentException(what + " " + value + " is outside " + least + " to " + most);
        }
    }
}

/** The grammar and order of {@link Input}, kept out of its public face. */
final class Syntax {
    static final Pattern INPUT = Pattern.compile(
            "(?:button\\s+(?<button>\\d{1,5})"
                    + "|button\\s+(?<name>[a-z][^#]*?)(?:\\s+(?<which>\\d{1,3}))?"
                    + "|hat\\s+(?<hat>\\d{1,3})\\s+(?<direction>up|right|down|left)"
                    + "|axis\\s+(?<axis>[a-z][a-z \\-]*?)(?:\\s+(?<nth>\\d{1,3}))?)"
                    + "(?:\\s+of\\s+(?<of>\\d{1,3}))?",
            Pattern.CASE_INSENSITIVE);

    static final Comparator<Input> ORDER = Comparator.<Input>comparingInt(Syntax::kind)
            .thenComparingInt(Input::collection)
            .thenComparingInt(Syntax::major)
            .thenComparingInt(Syntax::minor)
            .thenComparingInt(input -> input instanceof Input.Named named ? named.number() : 0);

    private Syntax() {}

    private static int kind(Input input) {
        return input instanceof Input.Button
                ? 0
                : input instanceof Input.Named ? 1 : input instanceof Input.Hat ? 2 : 3;
    }

    private static int major(Input input) {
        if (input instanceof Input.Button button) {
            return button.number();
        }
        if (input instanceof Input.Hat hat) {
            return hat.number();
        }
        if (input instanceof Input.Named named) {
            return named.usage().page();
        }
        return ((Input.Axis) input).usage().ordinal();
    }

    private static int minor(Input input) {
        if (input instanceof Input.Named named) {
            return named.usage().id();
        }
        if (input instanceof Input.Hat hat) {
            return hat.direction().ordinal();
        }
        return input instanceof Input.Axis axis ? axis.number() : 0;
    }
}
