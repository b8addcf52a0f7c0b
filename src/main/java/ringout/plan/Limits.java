package ringout.plan;

import java.util.OptionalInt;

/** How much of something a plan may have, for the file and every editor alike. Common practice, no source. */
public final class Limits {
    /** A selector with one position selects nothing. */
    public static final int LEAST_POSITIONS = 2;
    /** Rotary switches are made with up to so many. */
    public static final int MOST_POSITIONS = 24;
    /** Detents of an encoder for one turn. */
    public static final int MOST_DETENTS = 1000;
    /** Registers in one chain. */
    public static final int MOST_REGISTERS = 32;

    /** Old programs see no button beyond this number. */
    public static final int OLD_BUTTONS = 32;
    /** Most others see none beyond this. */
    public static final int MOST_BUTTONS = 128;

    /**
     * Contacts times lines up to which what is worked out of a box takes less than a minute or so, and the window draws it
     * in 512 MB, see docs/limits.md: 32 x 32, or 300 direct lines.
     */
    private static final long LARGE = 100_000;

    private Limits() {}

    /** True for a plan so large that work on it takes minutes. */
    public static boolean isLarge(Plan plan) {
        return (long) plan.contacts().size() * plan.lines().size() > LARGE;
    }

    /** The number beyond which some programs do not see a button with that one; empty where all see it. */
    public static OptionalInt reach(int button) {
        return button > MOST_BUTTONS
                ? OptionalInt.of(MOST_BUTTONS)
                : button > OLD_BUTTONS ? OptionalInt.of(OLD_BUTTONS) : OptionalInt.empty();
    }
}
