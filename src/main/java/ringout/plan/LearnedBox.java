package ringout.plan;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import ringout.hid.Input;
import ringout.words.Phrase;

/** The plan of a box that was learned from what it reports: inputs are known, wiring is not. */
public final class LearnedBox {
    private static final String GHOSTS = "# Ghosts: ";
    private static final String REMARK = "  # Mind: ";
    private static final String CONTROL = "  - ";
    private static final Pattern NUMBERS = Pattern.compile("\\d{1,9}(, \\d{1,9})+");

    private LearnedBox() {}

    /**
     * What was learned of a box, without wiring.
     *
     * @param controls in the order learned
     * @param remarks  what is not certain about a control, by its id
     * @param ghosts   see {@link #yaml}
     */
    public record Learned(Plan.Box box, List<Control> controls, Map<String, String> remarks, Set<Set<Integer>> ghosts) {
        /** Of no box, nothing. */
        public static final Learned NOTHING = new Learned(
                new Plan.Box("", Optional.empty(), Optional.empty(), Optional.empty()), List.of(), Map.of(), Set.of());

        public Learned {
            controls = List.copyOf(controls);
            remarks = Map.copyOf(remarks);
            ghosts = Set.copyOf(ghosts);
        }

        /** What is known already. */
        public List<Input> inputs() {
            return controls.stream()
                    .flatMap(c -> c.actions().stream())
                    .flatMap(a -> a.input().stream())
                    .toList();
        }

        String yaml() {
            return LearnedBox.yaml(box, controls, remarks, ghosts);
        }
    }

    /**
     * Reads what {@link #yaml} wrote, to go on with it.
     *
     * @return empty where it is anything else: another plan, or this one after somebody edited it, who would lose the edits
     */
    public static Optional<Learned> read(String yaml) {
        Optional<Plan> plan = PlanReader.read(yaml, "learned").plan();
        if (plan.isEmpty()) {
            return Optional.empty();
        }
        List<Control> controls =
                plan.get().controls().stream().map(LearnedBox::unwired).toList();
        Map<String, String> remarks = new LinkedHashMap<>();
        Set<Set<Integer>> ghosts = new LinkedHashSet<>();
        String remark = "";
        int at = 0;
        for (String line : yaml.lines().toList()) {
            if (line.startsWith(GHOSTS)) {
                NUMBERS.matcher(line.replaceAll(" \\(.*", ""))
                        .results()
                        .forEach(four -> ghosts.add(Arrays.stream(four.group().split(", "))
                                .map(Integer::valueOf)
                                .collect(Collectors.toSet())));
            } else if (line.startsWith(REMARK)) {
                remark = line.substring(REMARK.length()).replaceFirst("\\.$", "");
            } else if (line.startsWith(CONTROL) && at < controls.size()) {
                String id = controls.get(at++).id();
                if (!remark.isEmpty()) {
                    remarks.put(id, remark);
                }
                remark = "";
            }
        }
        Learned learned = new Learned(plan.get().box(), controls, remarks, ghosts);
        return Optional.of(learned).filter(l -> l.yaml().equals(yaml));
    }

    /** Ghosts give push buttons a place; what was learned is without. */
    private static Control unwired(Control control) {
        return control instanceof Control.Push push
                ? new Control.Push(
                        push.id(),
                        push.label(),
                        push.mount(),
                        new Contact(
                                push.contact().id(),
                                push.contact().control(),
                                new Wiring.Unknown(),
                                push.contact().diode(),
                                push.contact().input()))
                : control;
    }

    /**
     * Writes the plan.
     *
     * @param box      as USB shows it
     * @param controls without wiring, at least one
     * @param remarks  what is not certain about a control, by its id; written as comments
     * @param ghosts   sets of four buttons, by number, that came on together while three were held; where they leave but one
     *                 way to number the matrix along its rows, its push buttons are wired so, on pins not known
     */
    public static String yaml(
            Plan.Box box, List<Control> controls, Map<String, String> remarks, Collection<Set<Integer>> ghosts) {
        if (controls.isEmpty()) {
            throw new PlanEditException(Phrase.of("learned.nothing"));
        }
        StringBuilder out = new StringBuilder();
        line(
                out,
                "# Learned from the box by working every control once. What each control reports is known; how it is wired is not:");
        line(
                out,
                "# a check tells what is missing, stuck or bouncing. With lines and \"at\" added it can tell the wire or joint, too.");
        line(out, "ringout: " + PlanReader.VERSION);
        line(out, "");
        Map<String, Object> usb = new LinkedHashMap<>();
        box.vendor().ifPresent(id -> usb.put("vendor", hex(id)));
        box.product().ifPresent(id -> usb.put("product", hex(id)));
        box.serial().ifPresent(serial -> usb.put("serial", serial));
        Map<String, Object> identity = new LinkedHashMap<>();
        identity.put("name", box.name());
        if (!usb.isEmpty()) {
            identity.put("usb", usb);
        }
        line(out, "box: " + YamlText.flow(identity));
        line(out, "");
        List<Control> wired = wired(out, controls, ghosts);
        line(out, "controls:");
        for (Control control : wired) {
            if (remarks.containsKey(control.id())) {
                line(out, REMARK + remarks.get(control.id()).replaceAll("\\s+", " ") + ".");
            }
            Map<String, Object> map = PlanYaml.control(control, Contact.Diode.NONE);
            if (map.values().stream().anyMatch(v -> v instanceof Map || v instanceof List)) {
                String indent = CONTROL;
                for (String text : YamlText.block(map)) {
                    line(out, indent + text);
                    indent = "    ";
                }
            } else {
                line(out, CONTROL + YamlText.flow(map));
            }
        }
        return out.toString();
    }

    /** Writes what the ghosts tell of the lines, and gives the controls with the wiring that comes of it. */
    private static List<Control> wired(StringBuilder out, List<Control> controls, Collection<Set<Integer>> ghosts) {
        List<Integer> numbers =
                controls.stream().flatMap(c -> number(c).stream()).toList();
        List<Integer> columns = ghosts.isEmpty() ? List.of() : NumberedMatrix.columns(numbers, ghosts);
        if (ghosts.isEmpty()) {
            return controls;
        }
        line(
                out,
                GHOSTS
                        + ghosts.stream()
                                .map(g ->
                                        g.stream().sorted().map(String::valueOf).collect(Collectors.joining(", ")))
                                .sorted()
                                .collect(Collectors.joining("; "))
                        + " (buttons on two rows and two columns without diodes).");
        if (columns.size() != 1) {
            line(
                    out,
                    columns.isEmpty()
                            ? "# Numbered along the rows, no number of columns explains them: the firmware numbers in another way."
                            : "# Numbered along the rows, these numbers of columns explain them: "
                                    + columns.stream().map(String::valueOf).collect(Collectors.joining(", ")) + ".");
            line(out, "");
            return controls;
        }
        line(
                out,
                "# Numbered along the rows, only " + columns.get(0)
                        + " columns explain them. Pins are not known, nor which side is driven and so the rows.");
        Map<String, Object> rows = new TreeMap<>();
        Map<String, Object> across = new TreeMap<>();
        List<Control> wired = new ArrayList<>();
        for (Control control : controls) {
            Optional<Integer> number = number(control);
            if (number.isPresent()) {
                Control.Push push = (Control.Push) control;
                Wiring.Crossing at = NumberedMatrix.crossing(number.get(), columns.get(0));
                rows.put(at.row(), "unknown " + at.row());
                across.put(at.column(), "unknown " + at.column());
                Contact c = push.contact();
                wired.add(new Control.Push(
                        push.id(),
                        push.label(),
                        push.mount(),
                        new Contact(c.id(), c.control(), at, Contact.Diode.NONE, c.input())));
            } else {
                wired.add(control);
            }
        }
        line(out, "lines:");
        line(out, "  rows:    " + YamlText.flow(rows));
        line(out, "  columns: " + YamlText.flow(across));
        line(out, "scan: { drive: rows, active: low, diodes: none }");
        line(out, "");
        return wired;
    }

    private static Optional<Integer> number(Control control) {
        return control instanceof Control.Push push
                        && push.contact().input().orElse(null) instanceof Input.Button b
                        && b.collection() == 1
                ? Optional.of(b.number())
                : Optional.empty();
    }

    private static String hex(int id) {
        return String.format(Locale.ROOT, "0x%04x", id);
    }

    private static void line(StringBuilder out, String text) {
        out.append(text).append('\n');
    }
}
