package ringout.cli;

import java.nio.file.Path;
import ringout.report.DocumentFile;
import ringout.words.Texts;

/** How every sub-command writes what is to be printed. */
final class DocumentOption {
    private DocumentOption() {}

    /** @throws BadInput where the name does not tell how to write it */
    static void requireKnown(Path out) {
        if (!DocumentFile.knows(out)) {
            throw new BadInput(Texts.say("usage.document", out));
        }
    }
}
