package ringout.drawing;

/**
 * The colours of Ringout, by their names in the window's stylesheet, for what is not coloured by it: reports and sheets. They
 * are those of the light look; a test holds the two lists together. Written as in CSS, {@code #RRGGBB}.
 */
public final class Palette {
    /** Around the paper. */
    public static final String BENCH = "#E4E8DF";

    /** Paper of a sheet. */
    public static final String SHEET = "#FBFBF5";

    /** Lettering and strokes. */
    public static final String INK = "#18262F";

    /** Lettering that stands back. */
    public static final String SOFT = "#46565F";

    /** Strokes that stand back. */
    public static final String LINE = "#6F8087";

    /** Rules between things. */
    public static final String RULE = "#C3CCC6";

    /** The squares of the paper. */
    public static final String SQUARED = "#E9EEE6";

    /** As planned. */
    public static final String GOOD = "#1D6A3B";

    /** A fault. */
    public static final String FAULT = "#B02318";

    /** What is asked for, or open. */
    public static final String ASKED = "#12539F";

    /** White: the face of a panel, paper that is printed on. */
    public static final String FACE = "#FFFFFF";

    /** Caps of controls. */
    public static final String CAP = "#DCE3DE";

    private Palette() {}
}
