package ringout.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import ringout.files.WholeFile;

/** A document as a file, in the format its name asks for. */
public final class DocumentFile {
    private DocumentFile() {}

    /** True for names that end in {@code .html} or {@code .pdf}, in any case. */
    public static boolean knows(Path file) {
        return isPdf(file) || name(file).endsWith(".html");
    }

    /**
     * Writes a document.
     *
     * @param file one that {@link #knows} knows
     * @throws IOException where it cannot be written, or is there and that was to be refused; then nothing has changed
     */
    public static void write(Document document, Path file, WholeFile.Existing existing) throws IOException {
        WholeFile.write(file, existing, bytes(document, file));
    }

    /** What is in the file of that name. */
    public static byte[] bytes(Document document, Path file) throws IOException {
        return isPdf(file) ? PdfWriter.pdf(document) : HtmlWriter.html(document).getBytes(StandardCharsets.UTF_8);
    }

    private static boolean isPdf(Path file) {
        return name(file).endsWith(".pdf");
    }

    private static String name(Path file) {
        return file.getFileName() == null ? "" : file.getFileName().toString().toLowerCase(Locale.ROOT);
    }
}
