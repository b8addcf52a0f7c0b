package ringout.hid;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Descriptors for tests: the fixtures, and hex text. */
public final class Descriptors {
    private Descriptors() {}

    /** The bytes of {@code fixtures/descriptors/NAME.hex}. */
    public static byte[] fixture(String name) {
        try {
            return hex(Files.readString(Path.of("fixtures", "descriptors", name + ".hex")));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The bytes of that hex text. */
    public static byte[] hex(String text) {
        try {
            return HexText.parse(text);
        } catch (HexException e) {
            throw new IllegalArgumentException(e);
        }
    }
}
