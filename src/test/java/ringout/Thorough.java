package ringout;

/**
 * How much of a long series is run: a part of it by whoever tries a change, all of it on the build server, which says
 * {@code -Dtest.argLine=-Dringout.thorough=true}. Either is the same each time.
 */
public final class Thorough {
    /** All of it. */
    public static final boolean ALL = Boolean.getBoolean("ringout.thorough");

    private Thorough() {}

    /** So many in the ordinary run, and so many on the build server. */
    public static int of(int usual, int all) {
        return ALL ? all : usual;
    }
}
