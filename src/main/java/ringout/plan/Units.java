package ringout.plan;

import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Quantities as people write them in a plan: a number, a space or none, a unit. */
public final class Units {
    private static final Pattern QUANTITY = Pattern.compile("(\\d+(?:\\.\\d+)?)\\s*([a-z]+)");
    private static final double MM_PER_INCH = 25.4;

    private Units() {}

    /** A length in millimetres, from mm, cm or in (25.4 mm, exact by definition of the international inch). */
    public static Optional<Double> millimetres(String text) {
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

    private static final Pattern PERCENT = Pattern.compile("\\s*(\\d{1,3})\\s*%\\s*");

    /** A share in whole percent, 1 to 100, with its sign. */
    static Optional<Integer> percent(String text) {
        Matcher m = PERCENT.matcher(text);
        return m.matches() ? whole(m.group(1), 1, 100) : Optional.empty();
    }

    /** A 16-bit USB id. */
    static Optional<Integer> usbId(String text) {
        return whole(text, 0, 0xFFFF);
    }

    /**
     * A whole number within bounds, written as the core schema of YAML 1.2.2 (section 10.3.2) has it: decimal, 0o octal
     * or 0x hexadecimal, so that it means here what it means to every other reader of the file.
     */
    static Optional<Integer> whole(String text, int least, int most) {
        try {
            int value = text.startsWith("0x")
                    ? Integer.parseUnsignedInt(text.substring(2), 16)
                    : text.startsWith("0o") ? Integer.parseUnsignedInt(text.substring(2), 8) : Integer.parseInt(text);
            return value >= least && value <= most ? Optional.of(value) : Optional.empty();
        } catch (NumberFormatException notANumber) {
            return Optional.empty();
        }
    }
}
