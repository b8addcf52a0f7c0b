package ringout.outside;

import ringout.hid.Input;

/** A box in virtual time, whoever scans it. Times are nanoseconds since it was plugged in, never decreasing. */
interface PlayedBox {
    /** The time of what never comes. */
    long NEVER = Long.MAX_VALUE;

    /**
     * A report.
     *
     * @param nanos when it came
     */
    record Report(long nanos, byte[] bytes) {}

    /** What it declares itself to be. */
    byte[] descriptor();

    /** A contact is closed or opened by a hand, bounce and all. */
    void move(long nanos, String contact, boolean close);

    /** An axis stands there now, 0 to 1023. */
    void axis(long nanos, Input input, int value);

    /** Runs it until it reports, or until then. @return null where it says nothing until then */
    Report run(long until);
}
