package ringout.ui;

import java.util.stream.Stream;
import ringout.Thorough;

/** Sizes of the window, themes and sizes of text that pictures are taken in. */
public final class Looks {
    private Looks() {}

    /** One of them. */
    public record Look(int width, int height, boolean dark, double scale) {
        public String name() {
            return width + "x" + height + (dark ? "-dark" : "-light") + "-" + Math.round(scale * 100);
        }

        @Override
        public String toString() {
            return name();
        }
    }

    /** Every combination on the build server; elsewhere so many that every two of size, theme and text are seen together. */
    public static Stream<Look> all() {
        return every().filter(look -> Thorough.ALL || (look.width() > 1280 ^ look.dark()) == look.scale() > 1);
    }

    private static Stream<Look> every() {
        return Stream.of(new int[] {1280, 800}, new int[] {1920, 1080})
                .flatMap(size -> Stream.of(false, true)
                        .flatMap(dark -> Stream.of(1.0, 1.5).map(scale -> new Look(size[0], size[1], dark, scale))));
    }

    /** Those in which a longer language may not fit: a theme changes no width. Elsewhere the tightest of them. */
    public static Stream<Look> longer() {
        return Stream.of(
                        new Look(1280, 800, false, 1.5),
                        new Look(1280, 800, false, 1),
                        new Look(1920, 1080, false, 1.5))
                .limit(Thorough.ALL ? 3 : 1);
    }
}
