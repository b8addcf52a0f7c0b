package ringout.circuit;

import java.util.Arrays;
import java.util.List;
import java.util.function.Function;
import java.util.function.Predicate;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.words.Phrase;

/** The written forms of {@link Fault}, read against one plan. */
final class FaultSyntax {
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
                    throw new FaultException(Phrase.of("refused.closed", whole));
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
                    throw new FaultException(Phrase.of("refused.scan", whole));
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
            default -> throw new FaultException(Phrase.of("refused.fault", whole, forms()));
        };
    }

    private static String[] dotted(String rest, String whole) {
        int dot = rest.lastIndexOf('.');
        if (dot < 0) {
            throw new FaultException(Phrase.of("refused.no-dot", whole, forms()));
        }
        return new String[] {rest.substring(0, dot), rest.substring(dot + 1)};
    }

    private static <T> T named(T[] values, Function<T, String> word, String name, String whole) {
        return Arrays.stream(values)
                .filter(v -> word.apply(v).equals(name))
                .findFirst()
                .orElseThrow(() -> new FaultException(Phrase.of(
                        "refused.word",
                        whole,
                        Phrase.commas(Arrays.stream(values).map(word).toList()))));
    }

    private List<String> axes() {
        return plan.controls().stream()
                .filter(Control.Axis.class::isInstance)
                .map(Control::id)
                .toList();
    }

    private String axis(String id) {
        if (!axes().contains(id)) {
            throw new FaultException(Phrase.of("refused.axis", id, possible(axes())));
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
            throw new FaultException(Phrase.of("refused.chain", whole, line.name()));
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
            throw new FaultException(Phrase.of("refused.open-line", whole, line.name()));
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
            throw new FaultException(Phrase.of("refused.open-chain", whole, line.name()));
        }
        return new Fault.ChainBroken(line.name(), register, readsOn);
    }

    private int register(Line line, String number) {
        int register = number.matches("\\d{1,4}") ? Integer.parseInt(number) : 0;
        if (register < 1 || register > line.registers()) {
            throw new FaultException(Phrase.of("refused.register", number, line.name(), line.registers()));
        }
        return register;
    }

    private String joint(Line line, String id) {
        int at = line.contacts().indexOf(id);
        if (at < 0) {
            throw new FaultException(Phrase.of("refused.not-on", id, line.name(), Phrase.commas(line.contacts())));
        }
        if (at == line.contacts().size() - 1) {
            throw new FaultException(Phrase.of(
                    "refused.last-on",
                    id,
                    line.name(),
                    at,
                    Phrase.commas(line.contacts().subList(0, at))));
        }
        return id;
    }

    private Fault shorted(String[] names, String whole) {
        int first = netOrder(names[0]);
        int second = netOrder(names[1]);
        if (first == second) {
            throw new FaultException(Phrase.of("refused.short-itself", whole));
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
                                .orElseThrow(() -> new FaultException(Phrase.of("refused.net", name, lineNames()))));
        };
    }

    private Fault exchange(String[] names, String whole) {
        if (names[0].equals(names[1])) {
            throw new FaultException(Phrase.of("refused.exchange-itself", whole));
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
            throw new FaultException(
                    Phrase.of("refused.exchange-line", whole, firstLine ? names[0] : names[1], other, lineNames()));
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
                    throw new FaultException(
                            Phrase.of("refused.right-pin", other.pin(), line.name(), Fault.UNUSED_PIN));
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
            throw new FaultException(Phrase.of("refused.pair", whole, forms()));
        }
        return new String[] {first, second};
    }

    private Line line(String name) {
        return plan.line(name.strip())
                .orElseThrow(() -> new FaultException(Phrase.of("refused.line", name.strip(), lineNames())));
    }

    private Phrase lineNames() {
        return Phrase.commas(plan.lines().stream().map(Line::name).toList());
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
        throw new FaultException(Phrase.of("refused.contact", id, ids(c -> true)));
    }

    private String diode(String id) {
        Contact contact = contacts.get(index(id.strip()));
        if (!Circuit.hasDiode(contact)) {
            Phrase others = ids(Circuit::hasDiode);
            throw new FaultException(Phrase.of("refused.diode", contact.id(), others.isEmpty() ? 0 : 1, others));
        }
        return contact.id();
    }

    private String encoder(String id) {
        List<String> encoders = plan.controls().stream()
                .filter(Control.Encoder.class::isInstance)
                .map(Control::id)
                .toList();
        if (!encoders.contains(id)) {
            throw new FaultException(Phrase.of("refused.encoder", id, possible(encoders)));
        }
        return id;
    }

    /** What can be named instead, where there is something. */
    private static Phrase possible(List<String> names) {
        return names.isEmpty() ? Phrase.of("refused.none") : Phrase.of("refused.possible", Phrase.commas(names));
    }

    private static Phrase forms() {
        return Phrase.of("refused.forms");
    }

    private Phrase ids(Predicate<Contact> which) {
        return Phrase.commas(contacts.stream().filter(which).map(Contact::id).toList());
    }
}
