package ringout.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import ringout.hid.DescriptorException;
import ringout.hid.HexException;
import ringout.hid.HexText;
import ringout.hid.RebuiltDescriptor;
import ringout.hid.ReportDescriptor;
import ringout.words.Texts;

/** The report descriptor that a sub-command works on. */
final class DescriptorOption {
    private static final String NAME = "--descriptor";
    /** Far more than a commented descriptor of the greatest length takes. */
    private static final int MOST_BYTES = 1 << 20;

    @Option(
            names = NAME,
            required = true,
            paramLabel = "${bundle:label.file-or-hex}",
            descriptionKey = "help.option.descriptor")
    private String source;

    @Option(names = "--rebuilt", descriptionKey = "help.option.rebuilt")
    private boolean rebuilt;

    /**
     * The descriptor.
     *
     * @throws BadInput where it cannot be read or is malformed, naming the file and where in it
     */
    ReportDescriptor require() {
        Path file = file();
        String name = file == null ? NAME : file.toString();
        try {
            byte[] bytes = file == null ? typed() : read(file);
            return ReportDescriptor.parse(rebuilt ? RebuiltDescriptor.bytes(bytes) : bytes);
        } catch (DescriptorException e) {
            throw new BadInput(name + ": " + e.getMessage(), e);
        }
    }

    /** The file that is meant, or null where there is none of that name. */
    private @Nullable Path file() {
        try {
            Path path = Path.of(source);
            return !source.isBlank() && Files.exists(path) ? path : null;
        } catch (InvalidPathException hex) {
            return null;
        }
    }

    private byte[] typed() {
        try {
            return HexText.parse(source);
        } catch (HexException e) {
            throw new BadInput(Texts.say("descriptor.neither", NAME, source, String.valueOf(e.getMessage())), e);
        }
    }

    private static byte[] read(Path file) {
        byte[] bytes;
        // A size is not asked for first: the files that the Linux kernel offers descriptors in do not tell it.
        try (InputStream in = Files.newInputStream(file)) {
            bytes = in.readNBytes(MOST_BYTES + 1);
        } catch (IOException e) {
            String why = Files.isDirectory(file) ? Texts.say("descriptor.directory") : String.valueOf(e.getMessage());
            throw new BadInput(Texts.say("descriptor.unreadable", file, why), e);
        }
        if (bytes.length > MOST_BYTES) {
            throw new BadInput(Texts.say("descriptor.too-long", file, String.valueOf(MOST_BYTES)));
        }
        if (!isText(bytes)) {
            return bytes;
        }
        try {
            String text = new String(bytes, StandardCharsets.UTF_8);
            return HexText.parse(text.startsWith("\uFEFF") ? text.substring(1) : text);
        } catch (HexException e) {
            throw new BadInput(file + ": " + e.getMessage(), e);
        }
    }

    /** A binary descriptor always has control characters: the prefixes of its usage pages and collections are some. */
    private static boolean isText(byte[] bytes) {
        for (byte b : bytes) {
            if (b >= 0 && b < ' ' && b != '\t' && b != '\n' && b != '\r') {
                return false;
            }
        }
        return true;
    }
}
