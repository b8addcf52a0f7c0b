package ringout.hid;

/**
 * What a value or collection means: a usage page and a usage ID on it, see the HID Usage Tables.
 *
 * @param page usage page, 0 to 65535; 0 is undefined
 * @param id   usage ID, 0 to 65535; 0 is reserved on every page (HUT section 3.1)
 */
public record Usage(int page, int id) {
    public static final Usage NONE = new Usage(0, 0);
    public static final Usage HAT_SWITCH = new Usage(UsagePage.GENERIC_DESKTOP, 0x39);

    public Usage {
        if (page < 0 || page > 0xFFFF || id < 0 || id > 0xFFFF) {
            throw new IllegalArgumentException("usage page " + page + " and usage " + id + " must be 0 to 65535");
        }
    }

    /** From the 32-bit form of HID 1.11 section 6.2.2.8 (page 40): the page in the upper, the ID in the lower 16 bits. */
    public static Usage extended(int pageAndId) {
        return new Usage(pageAndId >>> 16, pageAndId & 0xFFFF);
    }

    /** The 32-bit form, as an unsigned number. */
    public int extended() {
        return page << 16 | id;
    }
}
