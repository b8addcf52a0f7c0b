package ringout.files;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import ringout.words.Texts;

/** Reads files that people write, as a whole: never more than they can sensibly hold, whatever the file says of its size. */
public final class SmallFile {
    /** Far more than the plan of any box takes, in bytes. */
    public static final int PLAN = 4 << 20;

    private SmallFile() {}

    /**
     * A file's text, in UTF-8 with or without a byte order mark.
     *
     * @param most bytes
     * @throws CharacterCodingException where it is no text in UTF-8
     * @throws IOException              where it cannot be read, or is longer
     */
    public static String text(Path file, int most) throws IOException {
        byte[] bytes;
        // Its size is not asked for first: a device or a pipe does not tell it.
        try (InputStream in = Files.newInputStream(file)) {
            bytes = in.readNBytes(most + 1);
        }
        if (bytes.length > most) {
            throw new FileSystemException(file.toString(), null, Texts.say("file.longer", String.valueOf(most / 1024)));
        }
        String text = StandardCharsets.UTF_8
                .newDecoder()
                .decode(ByteBuffer.wrap(bytes))
                .toString();
        return text.startsWith("\uFEFF") ? text.substring(1) : text;
    }
}
