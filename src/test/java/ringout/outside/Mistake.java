package ringout.outside;

import java.util.Arrays;
import java.util.List;
import java.util.Set;

/**
 * One thing that is wrong with a box, read from the written form that {@code predict} takes; with the resistance of it
 * where that matters.
 *
 * @param text  the written form
 * @param kind  the word before the first colon, without {@code intermittent}
 * @param names what it is about
 * @param ohms  of a weak joint or a leak
 */
record Mistake(String text, String kind, List<String> names, boolean comesAndGoes, double ohms) {
    /** Ohms where only the text is known: the geometric middle of what a press can show at all. */
    static final double TYPICAL_OHMS = 10_000;

    private static final Set<String> KINDS = Set.of(
            "open",
            "closed",
            "short",
            "exchange",
            "diode-open",
            "diode-short",
            "diode-reversed",
            "phases",
            "normally-closed",
            "wrong-pin",
            "numbering",
            "mirrored",
            "transposed",
            "rotated",
            "scan",
            "silent",
            "weak",
            "leak",
            "floating",
            "slow",
            "firmware");

    Mistake {
        names = List.copyOf(names);
    }

    static Mistake of(String text) {
        return of(text, TYPICAL_OHMS);
    }

    /** @throws IllegalArgumentException where the text is of no kind known here */
    static Mistake of(String text, double ohms) {
        boolean comesAndGoes = text.startsWith("intermittent:");
        String rest = comesAndGoes ? text.substring("intermittent:".length()) : text;
        int colon = rest.indexOf(':');
        String kind = colon < 0 ? rest : rest.substring(0, colon);
        if (!KINDS.contains(kind)) {
            throw new IllegalArgumentException("no mistake known here: " + text);
        }
        List<String> names =
                colon < 0 ? List.of() : Arrays.asList(rest.substring(colon + 1).split("[:,]|@after:"));
        return new Mistake(text, kind, names, comesAndGoes, ohms);
    }

    static List<Mistake> all(List<String> texts) {
        return texts.stream().map(Mistake::of).toList();
    }

    /** Changes when inputs come on, and not which. */
    boolean ofTime() {
        return kind.equals("slow")
                || kind.equals("firmware") && Set.of("one", "pulses", "toggles").contains(name(0));
    }

    /** True where it is about a contact by its id: {@code open:contact:ID}. */
    boolean ofContact() {
        return names.size() > 1 && names.get(0).equals("contact");
    }

    String name(int i) {
        return i < names.size() ? names.get(i) : "";
    }
}
