package ringout.plan;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringout.words.Phrase;

/** The free pins of a board as a builder writes them on a slip of paper: {@code 2-9, 14, A0-A3}. */
public final class PinList {
    private static final Pattern RANGE = Pattern.compile(
            "(?:pin\\s*)?([A-Za-z]*)(\\d{1,4})\\s*[-–]\\s*(?:pin\\s*)?([A-Za-z]*)(\\d{1,4})", Pattern.CASE_INSENSITIVE);
    private static final Pattern NUMBERED = Pattern.compile("(pin |[A-Za-z]+)(\\d{1,4})");
    private static final int MOST = 256;

    private PinList() {}

    /**
     * The pins, as plans name them, in the order written.
     *
     * @throws PlanEditException where a part is no pin or range of pins, one stands twice, or there are more than 256
     */
    public static List<String> parse(String text) {
        Set<String> pins = new LinkedHashSet<>();
        for (String part : text.split("[,;]|\\s{2,}|(?<=\\d)\\s+(?=[A-Za-z0-9])")) {
            if (part.isBlank()) {
                continue;
            }
            for (String pin : range(part.strip())) {
                if (!pins.add(pin)) {
                    throw new PlanEditException(Phrase.of("pins.twice", pin));
                }
                if (pins.size() > MOST) {
                    throw new PlanEditException(Phrase.of("pins.most", MOST));
                }
            }
        }
        return List.copyOf(pins);
    }

    private static List<String> range(String part) {
        Matcher range = RANGE.matcher(part);
        if (range.matches()) {
            int from = Integer.parseInt(range.group(2));
            int to = Integer.parseInt(range.group(4));
            String letters = range.group(1);
            if (from > to || !(range.group(3).isEmpty() || range.group(3).equals(letters))) {
                throw new PlanEditException(Phrase.of("pins.no-range", part));
            }
            List<String> pins = new ArrayList<>();
            for (int i = from; i <= to && pins.size() <= MOST; i++) {
                pins.add(PlanReader.pinName(letters + i));
            }
            return pins;
        }
        if (!part.matches("[\\p{L}\\p{N}_ .+-]{1,20}")) {
            throw new PlanEditException(Phrase.of("pins.no-pin", part));
        }
        return List.of(PlanReader.pinName(part));
    }

    /** The shortest writing of a list, which {@link #parse} reads back. */
    public static String text(List<String> pins) {
        List<String> parts = new ArrayList<>();
        for (int i = 0; i < pins.size(); ) {
            int to = i;
            while (to + 1 < pins.size() && follows(pins.get(to), pins.get(to + 1))) {
                to++;
            }
            String first = bare(pins.get(i));
            parts.add(
                    to == i
                            ? first
                            : to == i + 1 ? first + ", " + bare(pins.get(to)) : first + "-" + bare(pins.get(to)));
            i = to + 1;
        }
        return String.join(", ", parts);
    }

    private static String bare(String pin) {
        return pin.startsWith("pin ") ? pin.substring(4) : pin;
    }

    private static boolean follows(String one, String next) {
        Matcher a = NUMBERED.matcher(one);
        Matcher b = NUMBERED.matcher(next);
        return a.matches()
                && b.matches()
                && a.group(1).equals(b.group(1))
                && Integer.parseInt(b.group(2)) == Integer.parseInt(a.group(2)) + 1;
    }

    /** A pin of the same kind that none of these is: the one after the last; {@code pin 2} where there is none to follow. */
    public static String another(List<String> used) {
        Optional<Matcher> last = used.stream()
                .map(NUMBERED::matcher)
                .filter(m -> m.matches() && m.group(1).equals("pin "))
                .reduce((a, b) -> Integer.parseInt(a.group(2)) >= Integer.parseInt(b.group(2)) ? a : b);
        return "pin " + last.map(m -> Integer.parseInt(m.group(2)) + 1).orElse(2);
    }
}
