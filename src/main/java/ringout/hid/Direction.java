package ringout.hid;

import ringout.words.Phrase;

/** The four contacts a hat or a four-way switch can close, in the order of the HUT hat switch: clockwise from up. */
public enum Direction {
    UP,
    RIGHT,
    DOWN,
    LEFT;

    /** This direction as a bit, for sets of directions held at once: up 1, right 2, down 4, left 8. */
    public int bit() {
        return 1 << ordinal();
    }

    /** {@code up}, {@code right}, {@code down}, {@code left}, as it is said. */
    public Phrase words() {
        return switch (this) {
            case UP -> Phrase.of("movement.up");
            case RIGHT -> Phrase.of("movement.right");
            case DOWN -> Phrase.of("movement.down");
            case LEFT -> Phrase.of("movement.left");
        };
    }

    /** The lower-case word used in plans and files. */
    public String word() {
        return name().toLowerCase(java.util.Locale.ROOT);
    }
}
