package ringout.journal;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** What ties a recording to the plan file it was made with. */
public final class PlanHash {
    private PlanHash() {}

    /** SHA-256 of a plan's text with line ends made alike, in lower-case hex. */
    public static String of(String yaml) {
        try {
            byte[] text = yaml.replace("\r\n", "\n").getBytes(StandardCharsets.UTF_8);
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(text));
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java platform has SHA-256", impossible);
        }
    }
}
