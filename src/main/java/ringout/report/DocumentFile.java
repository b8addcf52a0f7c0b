package ringout.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/** A document as a file, in the format its name asks for. */
public final class DocumentFile {
    private DocumentFile() {}

    /** True for names that end in {@code .html} or {@code .pdf}, in any case. */
    public static boolean knows(Path file) {
        return isPdf(file) || name(file).endsWith(".html");
    }

    /**
     * Writes a document, in place of what is there.
     *
     * @param file one that {@link #knows} knows
     * @throws IOException where it cannot be written
     */
    public static void write(Document document, Path file) throws IOException {
        Files.write(
                file,
                isPdf(file)
                        ? PdfWriter.pdf(document)
                        : HtmlWriter.html(document).getBytes(StandardCharsets.UTF_8));
    }

    private static boolean isPdf(Path file) {
        return name(file).endsWith(".pdf");
    }

    private static String name(Path file) {
        return file.getFileName() == null ? "" : file.getFileName().toString().toLowerCase(Locale.ROOT);
    }
}
