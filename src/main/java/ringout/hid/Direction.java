package ringout.hid;

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

    /** The lower-case word used in plans and findings. */
    public String word() {
        return name().toLowerCase(java.util.Locale.ROOT);
    }
}
