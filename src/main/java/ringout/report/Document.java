package ringout.report;

import java.util.List;
import java.util.Locale;
import java.util.Set;
import ringout.drawing.Palette;

/**
 * Something to read and print: {@link HtmlWriter} and {@link PdfWriter} write the same one.
 *
 * @param title    the first heading
 * @param subtitle one line below it
 * @param paper    what it is printed on
 * @param blocks   in reading order
 */
public record Document(String title, String subtitle, Paper paper, List<Block> blocks) {
    public Document {
        blocks = List.copyOf(blocks);
    }

    /** Sizes of paper, in millimetres. Source: ISO 216 (A4), ANSI/ASME Y14.1 (Letter, 8.5 by 11 in). */
    public enum Paper {
        A4(210, 297),
        LETTER(215.9, 279.4);

        /** Kept free all around: what common printers cannot reach is less (common practice, no source). */
        public static final double MARGIN_MM = 10;

        private static final Set<String> LETTER_COUNTRIES =
                Set.of("US", "CA", "MX", "PH", "CL", "CO", "VE", "CR", "GT", "SV", "NI", "PA", "PR", "BZ");

        private final double width;
        private final double height;

        Paper(double width, double height) {
            this.width = width;
            this.height = height;
        }

        /** The paper in use in a locale's country. Source: Unicode CLDR, supplemental data, measurementData paperSize; from memory. */
        public static Paper of(Locale locale) {
            return LETTER_COUNTRIES.contains(locale.getCountry()) ? LETTER : A4;
        }

        /** In millimetres. */
        public double width() {
            return width;
        }

        /** In millimetres. */
        public double height() {
            return height;
        }
    }

    /** A part of a document. */
    public sealed interface Block {}

    /** A heading above what follows it. */
    public record Heading(String text) implements Block {}

    /** A heading within what follows a {@link Heading}. */
    public record Subheading(String text) implements Block {}

    /**
     * The outcome, at the top and large.
     *
     * @param mark     its shape, so that it is no matter of colour alone
     * @param sentence the outcome
     * @param details  smaller, below it
     */
    public record Verdict(Tone tone, Drawing mark, String sentence, List<String> details) implements Block {
        public Verdict {
            details = List.copyOf(details);
        }
    }

    /** How an outcome is dressed. */
    public enum Tone {
        GOOD(Palette.GOOD),
        FAULT(Palette.FAULT),
        OPEN(Palette.ASKED);

        private final String colour;

        Tone(String colour) {
            this.colour = colour;
        }

        /** {@code #RRGGBB}, for lettering on white. */
        public String colour() {
            return colour;
        }
    }

    /** Names and values, read in pairs. */
    public record Facts(List<Fact> facts) implements Block {
        public Facts {
            facts = List.copyOf(facts);
        }
    }

    /**
     * A drawing with facts at its right.
     *
     * @param figure at most {@link #MOST_MM} wide
     */
    public record Beside(Figure figure, Facts facts) implements Block {
        /** Leaves the facts a quarter of either paper. */
        public static final double MOST_MM = 132;
    }

    /** One of them. */
    public record Fact(String name, String value) {}

    /**
     * A list.
     *
     * @param lead a sentence above it; may be empty
     */
    public record Items(String lead, List<String> items) implements Block {
        public Items {
            items = List.copyOf(items);
        }
    }

    /** A paragraph. */
    public record Text(String text) implements Block {}

    /** What can hurt, and how not to be hurt. */
    public record Caution(String title, List<String> items) implements Block {
        public Caution {
            items = List.copyOf(items);
        }
    }

    /**
     * A table.
     *
     * @param caption what it shows
     * @param columns headings
     * @param widths  relative, one a column
     * @param rows    each with one cell a column
     * @param marked  numbers of rows, from 0, that must not be overlooked
     */
    public record Table(
            String caption, List<String> columns, List<Double> widths, List<List<String>> rows, Set<Integer> marked)
            implements Block {
        public Table {
            columns = List.copyOf(columns);
            widths = List.copyOf(widths);
            rows = rows.stream().map(List::copyOf).toList();
            marked = Set.copyOf(marked);
        }

        public Table(String caption, List<String> columns, List<Double> widths, List<List<String>> rows) {
            this(caption, columns, widths, rows, Set.of());
        }
    }

    /** A drawing with words below it. */
    public record Figure(Drawing drawing, String caption) implements Block {}

    /** Begins a new page where there are pages. */
    public record PageBreak() implements Block {}

    /**
     * A page of its own, at exactly 1:1.
     *
     * @param drawing at most as large as the paper within its margins
     * @param turned  a quarter turn clockwise, for what is wider than the paper
     */
    public record Plate(Drawing drawing, boolean turned) implements Block {}
}
