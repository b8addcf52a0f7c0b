package ringout.cli;

import java.nio.file.Path;
import ringout.report.DocumentFile;

/** How every sub-command writes what is to be printed. */
final class DocumentOption {
    private DocumentOption() {}

    /** @throws BadInput where the name does not tell how to write it */
    static void requireKnown(Path out) {
        if (!DocumentFile.knows(out)) {
            throw new BadInput("cannot tell how to write " + out + "; give --out a name that ends in .html or .pdf");
        }
    }
}
