package ringout.circuit;

import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;

/** The written forms of {@link Fault}, read against one plan. */
final class FaultSyntax {
    private static final String FORMS =
            "open:LINE, open:LINE@after:ID, open:LINE@register:N, open:contact:ID, closed:contact:ID, "
                    + "short:LINE,LINE (or GND, VCC), exchange:LINE,LINE, exchange:ID,ID, diode-open:ID, diode-short:ID, diode-reversed:ID, "
                    + "phases:ID, normally-closed:ID, wrong-pin:LINE,PIN, intermittent: before an open, a short or a closed contact, "
                    + "weak:LINE, weak:contact:ID, leak:LINE,LINE, leak:contact:ID, floating:LINE, numbering:shift:+1, "
                    + "numbering:shift:+1:from:13, numbering:wider:columns:+1, numbering:by-columns, mirrored:rows, mirrored:columns, mirrored:both, transposed, rotated:rows:+1, "
                    + "rotated:columns:+1, scan:other-way, scan:hurried:1, silent, "
                    + "axis-open:ID.wiper (or .ground, .supply), axis-exchange:ID.ends (or .wiper-ground, .wiper-supply), "
                    + "axis-worn:ID and exchange:ID,ID of two axes";

    private final Plan plan;
    private final List<Contact> contacts;

    FaultSyntax(Plan plan) {
        this.plan = plan;
        this.contacts = plan.contacts();
    }

    Fault parse(String text) {
        String whole = text.strip();
        int colon = whole.indexOf(':');
        String kind = colon < 0 ? whole : whole.substring(0, colon).strip();
        String rest = colon < 0 ? "" : whole.substring(colon + 1).strip();
        return switch (kind) {
            case "intermittent" -> new Fault.Intermittent(parse(rest));
            case "open" -> open(rest, whole);
            case "closed" -> {
                if (!rest.startsWith("contact:")) {
                    throw new FaultException("\"" + whole + "\": only a contact can be closed, as closed:contact:ID");
                }
                yield new Fault.ContactClosed(contact(rest.substring("contact:".length())));
            }
            case "short" -> shorted(pair(rest, whole), whole);
            case "exchange" -> exchange(pair(rest, whole), whole);
            case "diode-open" -> new Fault.DiodeOpen(diode(rest));
            case "diode-short" -> new Fault.DiodeShort(diode(rest));
            case "diode-reversed" -> new Fault.DiodeReversed(diode(rest));
            case "phases" -> new Fault.PhasesExchanged(encoder(rest));
            case "normally-closed" -> new Fault.NormallyClosed(contact(rest));
            case "wrong-pin" -> wrongPin(pair(rest, whole));
            case "numbering", "mirrored", "transposed", "rotated" -> new Fault.Misordered(Orders.parse(whole));
            case "scan" -> {
                if (rest.matches("hurried:[1-9]\\d{0,2}")) {
                    yield new Fault.ScanHurried(Integer.parseInt(rest.substring("hurried:".length())));
                } else if (!rest.equals("other-way")) {
                    throw new FaultException(
                            "\"" + whole + "\": a scan can only be wrong as scan:other-way or scan:hurried:1");
                }
                yield new Fault.ScannedOtherWay();
            }
            case "silent" -> new Fault.Silent();
            case "weak" ->
                rest.startsWith("contact:")
                        ? new Fault.ContactWeak(contact(rest.substring("contact:".length())))
                        : new Fault.LineWeak(notChain(line(rest), whole));
            case "leak" ->
                rest.startsWith("contact:")
                        ? new Fault.ContactLeak(contact(rest.substring("contact:".length())))
                        : leaking(pair(rest, whole), whole);
            case "axis-open" -> {
                String[] parts = dotted(rest, whole);
                yield new Fault.AxisOpen(
                        axis(parts[0]),
                        named(Fault.AxisOpen.Wire.values(), Fault.AxisOpen.Wire::word, parts[1], whole));
            }
            case "axis-exchange" -> {
                String[] parts = dotted(rest, whole);
                yield new Fault.AxisExchanged(
                        axis(parts[0]),
                        named(Fault.AxisExchanged.Pair.values(), Fault.AxisExchanged.Pair::word, parts[1], whole));
            }
            case "axis-worn" -> new Fault.AxisWorn(axis(rest));
            case "floating" -> lost(line(notChain(line(rest), whole)));
            default -> throw new FaultException("\"" + whole + "\" is no fault; possible are " + FORMS);
        };
    }

    private static String[] dotted(String rest, String whole) {
        int dot = rest.lastIndexOf('.');
        if (dot < 0) {
            throw new FaultException(
                    "\"" + whole + "\": write the axis, a dot and what of it; possible faults are " + FORMS);
        }
        return new String[] {rest.substring(0, dot), rest.substring(dot + 1)};
    }

    private static <T> T named(T[] values, Function<T, String> word, String name, String whole) {
        return Arrays.stream(values)
                .filter(v -> word.apply(v).equals(name))
                .findFirst()
                .orElseThrow(() -> new FaultException("\"" + whole + "\": possible are "
                        + Arrays.stream(values).map(word).collect(Collectors.joining(", "))));
    }

    private List<String> axes() {
        return plan.controls().stream()
                .filter(Control.Axis.class::isInstance)
                .map(Control::id)
                .toList();
    }

    private String axis(String id) {
        if (!axes().contains(id)) {
            throw new FaultException("there is no axis \"" + id + "\"; "
                    + (axes().isEmpty() ? "the plan has none" : "possible are " + String.join(", ", axes())));
        }
        return id;
    }

    private Fault leaking(String[] names, String whole) {
        Fault.LinesShorted pair = (Fault.LinesShorted) shorted(names, whole);
        return new Fault.LinesLeak(pair.first(), pair.second());
    }

    private Fault lost(Line line) {
        return new Fault.PullLost(line.name(), line.kind() == SingleFaults.read(plan));
    }

    private static String notChain(Line line, String whole) {
        if (line.kind() == Line.Kind.SHIFT) {
            throw new FaultException("\"" + whole + "\": of a shift chain it can only be said where it is open (open:"
                    + line.name() + ")");
        }
        return line.name();
    }

    private Fault open(String rest, String whole) {
        if (rest.startsWith("contact:")) {
            return new Fault.ContactOpen(contact(rest.substring("contact:".length())));
        }
        String[] parts = rest.split("@", -1);
        Line line = line(parts[0]);
        boolean chain = line.kind() == Line.Kind.SHIFT;
        int at = 1;
        if (!chain) {
            if (parts.length == 1) {
                return new Fault.LineOpen(line.name());
            }
            if (parts.length == 2 && parts[1].strip().startsWith("after:")) {
                return new Fault.LineBroken(
                        line.name(),
                        joint(
                                line,
                                parts[1].strip().substring("after:".length()).strip()));
            }
            throw new FaultException("\"" + whole + "\": a line can be open at its pin (open:" + line.name()
                    + ") or after a contact on it (open:" + line.name() + "@after:ID)");
        }
        int register = 1;
        if (at < parts.length && parts[at].strip().startsWith("register:")) {
            register = register(
                    line, parts[at].strip().substring("register:".length()).strip());
            at++;
        }
        boolean readsOn = at < parts.length && parts[at].strip().equals("on");
        if (readsOn) {
            at++;
        }
        if (at != parts.length) {
            throw new FaultException("\"" + whole + "\": a shift chain can be open at the board (open:" + line.name()
                    + ") or before a register (open:" + line.name()
                    + "@register:2), with @on at the end where the lost inputs read as closed");
        }
        return new Fault.ChainBroken(line.name(), register, readsOn);
    }

    private int register(Line line, String number) {
        int register = number.matches("\\d{1,4}") ? Integer.parseInt(number) : 0;
        if (register < 1 || register > line.registers()) {
            throw new FaultException("there is no register \"" + number + "\" on " + line.name() + "; it has "
                    + (line.registers() == 1 ? "one" : "registers 1 to " + line.registers()));
        }
        return register;
    }

    private String joint(Line line, String id) {
        int at = line.contacts().indexOf(id);
        if (at < 0) {
            throw new FaultException("\"" + id + "\" is not on " + line.name() + "; on it, from the pin, are "
                    + String.join(", ", line.contacts()));
        }
        if (at == line.contacts().size() - 1) {
            throw new FaultException(id + " is the last on " + line.name() + ", so nothing comes after it"
                    + (at == 0
                            ? ""
                            : "; possible are "
                                    + String.join(", ", line.contacts().subList(0, at))));
        }
        return id;
    }

    private Fault shorted(String[] names, String whole) {
        int first = netOrder(names[0]);
        int second = netOrder(names[1]);
        if (first == second) {
            throw new FaultException("\"" + whole + "\": a line cannot be shorted to itself; name two different ones");
        }
        return first < second ? new Fault.LinesShorted(names[0], names[1]) : new Fault.LinesShorted(names[1], names[0]);
    }

    /** Plan order with the rails last, ground before supply. */
    private int netOrder(String name) {
        return switch (name) {
            case Fault.GROUND -> Integer.MAX_VALUE - 1;
            case Fault.SUPPLY -> Integer.MAX_VALUE;
            default ->
                plan.lines()
                        .indexOf(plan.line(name)
                                .orElseThrow(() -> new FaultException("there is no line \"" + name + "\"; possible are "
                                        + lineNames() + ", GND and VCC")));
        };
    }

    private Fault exchange(String[] names, String whole) {
        if (names[0].equals(names[1])) {
            throw new FaultException(
                    "\"" + whole + "\": nothing can be exchanged with itself; name two different lines or contacts");
        }
        int firstAxis = axes().indexOf(names[0]);
        int secondAxis = axes().indexOf(names[1]);
        if (firstAxis >= 0 && secondAxis >= 0) {
            return firstAxis < secondAxis
                    ? new Fault.AxesExchanged(names[0], names[1])
                    : new Fault.AxesExchanged(names[1], names[0]);
        }
        boolean firstLine = plan.line(names[0]).isPresent();
        if (firstLine != plan.line(names[1]).isPresent()) {
            String other = firstLine ? names[1] : names[0];
            throw new FaultException("\"" + whole + "\": " + (firstLine ? names[0] : names[1]) + " is a line but \""
                    + other + "\" is not; exchange two lines (" + lineNames() + ") or two contacts");
        }
        if (firstLine) {
            boolean ordered = netOrder(names[0]) < netOrder(names[1]);
            return new Fault.LinesExchanged(names[ordered ? 0 : 1], names[ordered ? 1 : 0]);
        }
        int first = index(names[0]);
        int second = index(names[1]);
        String a = names[first < second ? 0 : 1];
        String b = names[first < second ? 1 : 0];
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder encoder
                    && encoder.a().id().equals(a)
                    && encoder.b().id().equals(b)) {
                return new Fault.PhasesExchanged(encoder.id());
            }
        }
        return new Fault.ContactsExchanged(a, b);
    }

    private Fault wrongPin(String[] names) {
        Line line = line(names[0]);
        String pin = names[1];
        for (Line other : plan.lines()) {
            if (other.pin().equalsIgnoreCase(pin) || other.pin().equalsIgnoreCase("pin " + pin)) {
                if (other == line) {
                    throw new FaultException(other.pin() + " is the right pin of " + line.name()
                            + " by the plan; name a wrong one, or \"" + Fault.UNUSED_PIN
                            + "\" for one that carries no line");
                }
                return new Fault.WrongPin(line.name(), other.pin());
            }
        }
        return new Fault.WrongPin(line.name(), pin);
    }

    private String[] pair(String rest, String whole) {
        int comma = rest.indexOf(',');
        String first = comma < 0 ? "" : rest.substring(0, comma).strip();
        String second = comma < 0 ? "" : rest.substring(comma + 1).strip();
        if (first.isEmpty() || second.isEmpty()) {
            throw new FaultException(
                    "\"" + whole + "\" needs two names with a comma between them; possible faults are " + FORMS);
        }
        return new String[] {first, second};
    }

    private Line line(String name) {
        return plan.line(name.strip())
                .orElseThrow(() ->
                        new FaultException("there is no line \"" + name.strip() + "\"; possible are " + lineNames()));
    }

    private String lineNames() {
        return String.join(", ", plan.lines().stream().map(Line::name).toList());
    }

    private String contact(String id) {
        return contacts.get(index(id.strip())).id();
    }

    private int index(String id) {
        for (int i = 0; i < contacts.size(); i++) {
            if (contacts.get(i).id().equals(id)) {
                return i;
            }
        }
        throw new FaultException("there is no contact \"" + id + "\"; possible are " + ids(c -> true));
    }

    private String diode(String id) {
        Contact contact = contacts.get(index(id.strip()));
        if (!Circuit.hasDiode(contact)) {
            String possible = ids(Circuit::hasDiode);
            throw new FaultException(contact.id() + " has no diode by the plan; "
                    + (possible.isEmpty() ? "no contact has one" : "contacts with one are " + possible));
        }
        return contact.id();
    }

    private String encoder(String id) {
        List<String> encoders = plan.controls().stream()
                .filter(Control.Encoder.class::isInstance)
                .map(Control::id)
                .toList();
        if (!encoders.contains(id)) {
            throw new FaultException("there is no encoder \"" + id + "\"; "
                    + (encoders.isEmpty() ? "the plan has none" : "possible are " + String.join(", ", encoders)));
        }
        return id;
    }

    private String ids(Predicate<Contact> which) {
        return String.join(
                ", ", contacts.stream().filter(which).map(Contact::id).toList());
    }
}
