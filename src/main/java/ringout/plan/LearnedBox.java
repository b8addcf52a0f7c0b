package ringout.plan;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import ringout.hid.Input;

/** The plan of a box that was learned from what it reports: inputs are known, wiring is not. */
public final class LearnedBox {
    private LearnedBox() {}

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
            throw new PlanEditException("nothing was learned yet; work at least one control");
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
                line(out, "  # Mind: " + remarks.get(control.id()).replaceAll("\\s+", " ") + ".");
            }
            Map<String, Object> map = PlanYaml.control(control, Contact.Diode.NONE);
            if (map.values().stream().anyMatch(v -> v instanceof Map || v instanceof List)) {
                String indent = "  - ";
                for (String text : YamlText.block(map)) {
                    line(out, indent + text);
                    indent = "    ";
                }
            } else {
                line(out, "  - " + YamlText.flow(map));
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
                "# Ghosts: "
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
