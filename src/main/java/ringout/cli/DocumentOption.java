package ringout.cli;

import java.io.IOException;
import java.nio.file.Path;
import ringout.report.Document;
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

    /** @throws BadInput where it cannot be written */
    static void write(Document document, Path out) {
        try {
            DocumentFile.write(document, out);
        } catch (IOException problem) {
            throw new BadInput(
                    "cannot write " + out + ": " + problem.getMessage() + "; check the folder and its permissions",
                    problem);
        }
    }
}
