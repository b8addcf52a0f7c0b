package ringout.hid;

import ringout.words.Phrase;

/**
 * Something in a descriptor that the standard forbids and that is read all the same, since the Linux kernel reads it.
 *
 * @param offset  of the item, in bytes from the start
 * @param section of HID 1.11 that it breaks
 * @param words   what is wrong, and how it was read
 */
public record DescriptorWarning(int offset, String section, Phrase words) {
    /** {@code byte 12: … (HID 1.11, section 6.2.2.8)}, in the language of whoever asks. */
    @Override
    public String toString() {
        return Phrase.of("descriptor.warning", offset, words, section).text();
    }
}
