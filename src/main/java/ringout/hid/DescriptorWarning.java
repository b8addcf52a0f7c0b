package ringout.hid;

/**
 * Something in a descriptor that the standard forbids and that is read all the same, since the Linux kernel reads it.
 *
 * @param offset  of the item, in bytes from the start
 * @param section of HID 1.11 that it breaks
 * @param text    what is wrong, and how it was read
 */
public record DescriptorWarning(int offset, String section, String text) {
    /** {@code byte 12: … (HID 1.11, section 6.2.2.8)}. */
    @Override
    public String toString() {
        return "byte " + offset + ": " + text + " (HID 1.11, section " + section + ")";
    }
}
