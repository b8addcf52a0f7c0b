package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.snakeyaml.engine.v2.common.ScalarStyle;

/** Writes values as YAML the way a person would: plain where that is safe, quoted where it must be. */
final class YamlText {
    private static final Set<String> NOT_TEXT = Set.of("null", "true", "false", "~", "yes", "no", "on", "off");

    private YamlText() {}

    /** A scalar in the style it had, as far as that style can hold the value. */
    static String scalar(String value, ScalarStyle style) {
        if (style == ScalarStyle.SINGLE_QUOTED && !hasControl(value)) {
            return "'" + value.replace("'", "''") + "'";
        }
        return style == ScalarStyle.PLAIN && isPlain(value) ? value : quoted(value);
    }

    static String scalar(String value) {
        return scalar(value, ScalarStyle.PLAIN);
    }

    /** Stricter than YAML 1.2.2 section 7.3.3, so that the same text is safe in flow and block style. */
    private static boolean isPlain(String value) {
        if (value.isEmpty()
                || NOT_TEXT.contains(value.toLowerCase(java.util.Locale.ROOT))
                || value.startsWith("'")
                || value.startsWith(" ")
                || value.endsWith(" ")
                || value.startsWith("-")
                || value.startsWith(".")) {
            return false;
        }
        return value.codePoints().allMatch(c -> Character.isLetterOrDigit(c) || " _-./'()+×°".indexOf(c) >= 0);
    }

    private static boolean hasControl(String value) {
        return value.codePoints()
                .anyMatch(c -> c < 0x20 || c == 0x7F || c == 0x85 || c == 0x2028 || c == 0x2029 || c == 0xFEFF);
    }

    private static String quoted(String value) {
        StringBuilder text = new StringBuilder("\"");
        value.codePoints().forEach(c -> {
            if (c == '"' || c == '\\') {
                text.append('\\').appendCodePoint(c);
            } else if (hasControl(Character.toString(c))) {
                text.append(String.format("\\u%04X", c));
            } else {
                text.appendCodePoint(c);
            }
        });
        return text.append('"').toString();
    }

    /**
     * A tree in flow style, on one line.
     *
     * @param value a String, a List or a Map of String to the same
     */
    static String flow(Object value) {
        if (value instanceof Map<?, ?> map) {
            return map.isEmpty()
                    ? "{}"
                    : map.entrySet().stream()
                            .map(e -> scalar((String) e.getKey()) + ": " + flow(e.getValue()))
                            .collect(Collectors.joining(", ", "{ ", " }"));
        }
        if (value instanceof List<?> list) {
            return list.stream().map(YamlText::flow).collect(Collectors.joining(", ", "[", "]"));
        }
        return scalar((String) value);
    }

    /** A mapping in block style, one key a line, its values in flow style but for lists of mappings; not indented. */
    static List<String> block(Map<String, Object> map) {
        List<String> lines = new ArrayList<>();
        map.forEach((key, value) -> {
            if (value instanceof List<?> list && !list.isEmpty() && list.get(0) instanceof Map<?, ?>) {
                lines.add(scalar(key) + ":");
                list.forEach(item -> lines.add("  - " + flow(item)));
            } else {
                lines.add(scalar(key) + ": " + flow(value));
            }
        });
        return lines;
    }
}
