package ringout.plan;

import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Quantities as people write them in a plan: a number, a space or none, a unit. */
final class Units {
    private static final Pattern QUANTITY = Pattern.compile("(\\d+(?:\\.\\d+)?)\\s*([a-z]+)");
    private static final double MM_PER_INCH = 25.4;

    private Units() {
    }

    /** A length in millimetres, from mm, cm or in (25.4 mm, exact by definition of the international inch). */
    static Optional<Double> millimetres(String text) {
        Matcher m = QUANTITY.matcher(text.toLowerCase(Locale.ROOT));
        if (!m.matches()) {
            return Optional.empty();
        }
        double number = Double.parseDouble(m.group(1));
        double mm = switch (m.group(2)) {
            case "mm" -> number;
            case "cm" -> number * 10;
            case "in" -> number * MM_PER_INCH;
            default -> -1;
        };
        return mm >= 0 && mm <= 10_000 ? Optional.of(mm) : Optional.empty();
    }

    /** A duration in nanoseconds, from us, ms, s or min, up to a day. */
    static Optional<Long> nanoseconds(String text) {
        Matcher m = QUANTITY.matcher(text.toLowerCase(Locale.ROOT));
        if (!m.matches()) {
            return Optional.empty();
        }
        double number = Double.parseDouble(m.group(1));
        double seconds = switch (m.group(2)) {
            case "us" -> number / 1e6;
            case "ms" -> number / 1e3;
            case "s" -> number;
            case "min" -> number * 60;
            default -> -1;
        };
        return seconds >= 0 && seconds <= 86_400 ? Optional.of(Math.round(seconds * 1e9)) : Optional.empty();
    }

    /** A 16-bit USB id, decimal or 0x hexadecimal. */
    static Optional<Integer> usbId(String text) {
        try {
            int id = Integer.decode(text);
            return id >= 0 && id <= 0xFFFF ? Optional.of(id) : Optional.empty();
        } catch (NumberFormatException notANumber) {
            return Optional.empty();
        }
    }

    /** A whole number within bounds. */
    static Optional<Integer> whole(String text, int least, int most) {
        try {
            int value = Integer.parseInt(text);
            return value >= least && value <= most ? Optional.of(value) : Optional.empty();
        } catch (NumberFormatException notANumber) {
            return Optional.empty();
        }
    }
}
