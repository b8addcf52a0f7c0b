package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.circuit.PlanMaker.at;

import java.lang.reflect.Proxy;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** The written forms of faults, and the list of single ones. */
class FaultTest {
    /** Something of everything: pins 2 to 8, a bare and a diode crossing, an encoder, a hat, a chain, a bare input. */
    static final Plan MIXED = PlanMaker.box()
            .rows(2)
            .columns(2)
            .directs(2)
            .chain("S1", 2)
            .push("bare", "R1", "C1")
            .diode(Contact.Diode.CATHODE_ROW)
            .push("horn", "R1", "C2")
            .push("bell", "R2", "C1")
            .encoder("notch", at("D1"), at("D2"))
            .push("radio", "S1", "1", "0")
            .push("light", "S1", "2", "1")
            .hat("look", at("S1", "1", "1"), at("S1", "1", "2"), at("S1", "2", "2"), at("S1", "2", "3"))
            .push("lost")
            .axis("brake", AxisUsage.Z)
            .axis("power", AxisUsage.Y)
            .plan();

    @ParameterizedTest
    @ValueSource(
            strings = {
                "open:R2",
                "open:R1@after:bare",
                "open:S1",
                "open:S1@on",
                "open:S1@register:2",
                "open:S1@register:2@on",
                "open:contact:horn",
                "closed:contact:look.up",
                "short:R1,C2",
                "short:R1,GND",
                "short:D2,VCC",
                "short:R2,S1",
                "exchange:R1,R2",
                "exchange:horn,look.left",
                "diode-open:horn",
                "diode-short:horn",
                "diode-reversed:bell",
                "phases:notch",
                "normally-closed:notch.a",
                "wrong-pin:R2,pin 4",
                "wrong-pin:R2,pin 31",
                "wrong-pin:R2,unused",
                "intermittent:open:R2",
                "intermittent:short:R1,C2",
                "intermittent:closed:contact:bell",
                "intermittent:open:S1@register:2",
                "weak:R2",
                "weak:contact:horn",
                "leak:R1,C2",
                "leak:R1,GND",
                "leak:contact:horn",
                "floating:C2",
                "numbering:shift:+1",
                "numbering:shift:-12",
                "numbering:by-columns",
                "mirrored:columns",
                "mirrored:rows",
                "mirrored:both",
                "transposed",
                "rotated:columns:+1",
                "rotated:rows:-1",
                "scan:other-way",
                "silent"
            })
    void everyFormIsReadBack(String text) {
        assertEquals(text, Fault.parse(text, MIXED).text());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "short:C2,R1|short:R1,C2",
                "short:VCC,R1|short:R1,VCC",
                "exchange:R2,R1|exchange:R1,R2",
                "exchange:bell,horn|exchange:horn,bell",
                "exchange:notch.b,notch.a|phases:notch",
                "open:S1@register:1|open:S1",
                "wrong-pin:R2,4|wrong-pin:R2,pin 4",
                "' short: R1 , C2 '|short:R1,C2"
            })
    void equalFaultsHaveOneForm(String written, String canonical) {
        assertEquals(canonical, Fault.parse(written, MIXED).text());
        assertEquals(Fault.parse(canonical, MIXED), Fault.parse(written, MIXED));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "burnt:R1|possible are open:LINE",
                "open:R9|there is no line \"R9\"; possible are R1, R2, C1, C2, D1, D2, S1",
                "open:R1@after:bell|\"bell\" is not on R1; on it, from the pin, are bare, horn",
                "open:R1@after:horn|horn is the last on R1, so nothing comes after it; possible are bare",
                "open:R1@register:2|open:R1@after:ID",
                "open:S1@register:3|it has registers 1 to 2",
                "open:S1@after:radio|open:S1@register:2",
                "open:contact:bel|possible are bare, horn, bell",
                "closed:R1|closed:contact:ID",
                "short:R1|needs two names",
                "short:R1,R1|itself",
                "short:R1,horn|there is no line \"horn\"",
                "exchange:R1,horn|R1 is a line but \"horn\" is not",
                "exchange:horn,horn|itself",
                "diode-open:bare|bare has no diode by the plan; contacts with one are horn, bell",
                "phases:horn|possible are notch",
                "wrong-pin:R2,pin 3|right pin of R2",
                "intermittent:exchange:R1,R2|cannot be intermittent",
            })
    void aMistakeIsExplained(String text, String message) {
        FaultException problem = assertThrows(FaultException.class, () -> Fault.parse(text, MIXED));
        assertTrue(problem.getMessage().contains(message), problem.getMessage());
    }

    @Test
    void everySingleFaultIsListedOnceInItsOneFormAndCanBeModelled() {
        List<Fault> all = all();
        Set<String> texts = new HashSet<>();
        for (Fault fault : all) {
            assertTrue(texts.add(fault.text()), fault.text());
            assertEquals(fault, Fault.parse(fault.text(), MIXED));
            Circuit.of(MIXED).with(List.of(fault)).read(List.of("horn", "notch.cw"));
        }
        Set<Class<?>> kinds = all.stream().map(Object::getClass).collect(Collectors.toSet());
        assertEquals(Set.of(Fault.class.getPermittedSubclasses()), kinds);
    }

    private static List<Fault> all() {
        List<Fault> all = new ArrayList<>(Circuit.of(MIXED).singleFaults());
        all.addAll(Circuit.of(MIXED).softFaults());
        all.addAll(Circuit.of(MIXED).wholeBox());
        all.addAll(Circuit.of(MIXED).axisFaults());
        return all;
    }

    /** What the circuit takes for doubtful, a check tries again; a lost pull, of which more tries tell nothing, excepted. */
    @Test
    void whatMayShowAndMayNotShowsAtTimes() {
        for (Fault fault : all()) {
            boolean doubtful = Circuit.of(MIXED).doubtful(fault).isPresent();
            assertEquals(
                    doubtful && !(fault instanceof Fault.PullLost), fault.kind().showsAtTimes(), fault.text());
        }
    }

    /** {@code LineOpen} to {@code lineOpen}: whoever asks for one kind must not be answered for another. */
    @Test
    void everyFaultGivesItselfToTheMethodOfItsKind() {
        @SuppressWarnings("unchecked") // the proxy's methods all give strings
        Fault.Fold<String> asked = (Fault.Fold<String>) Proxy.newProxyInstance(
                Fault.class.getClassLoader(),
                new Class<?>[] {Fault.Fold.class},
                (proxy, method, given) -> method.getName() + " " + ((Fault) given[0]).text());
        for (Fault fault : all()) {
            String name = fault.getClass().getSimpleName();
            assertEquals(
                    Character.toLowerCase(name.charAt(0)) + name.substring(1) + " " + fault.text(), fault.fold(asked));
        }
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "open:R2|R2|",
                "open:R1@after:bare|R1|",
                "open:S1@register:2|S1|",
                "open:contact:horn||horn",
                "closed:contact:look.up||look.up",
                "short:R1,GND|R1 GND|",
                "exchange:R1,R2|R1 R2|",
                "exchange:horn,look.left||horn look.left",
                "diode-open:horn||horn",
                "diode-short:horn||horn",
                "diode-reversed:bell||bell",
                "phases:notch||notch.a notch.b",
                "normally-closed:notch.a||notch.a",
                "wrong-pin:R2,pin 4|R2|",
                "intermittent:open:R2|R2|",
                "intermittent:closed:contact:bell||bell",
                "weak:R2|R2|",
                "weak:contact:horn||horn",
                "leak:R1,C2|R1 C2|",
                "leak:contact:horn||horn",
                "floating:C2|C2|",
                "transposed||",
                "silent||",
                "axis-open:brake.wiper||"
            })
    void aFaultSaysInWhichWiresAndContactsItSits(String text, String lines, String contacts) {
        Fault fault = Fault.parse(text, MIXED);
        assertEquals(Objects.requireNonNullElse(lines, ""), String.join(" ", fault.lines()));
        assertEquals(Objects.requireNonNullElse(contacts, ""), String.join(" ", fault.contacts()));
    }

    /** One fault and one button at a time: of the kinds that only take away nothing more comes, and the other way round. */
    @Test
    void aKindDoesToButtonsOnlyWhatItSays() {
        Plan plan = PlanMaker.matrix(2, 2, Contact.Diode.CATHODE_ROW)
                .directs(1)
                .push("door", "D1")
                .plan();
        Circuit circuit = Circuit.of(plan);
        Harness good = circuit.with(List.of());
        Set<FaultKind> added = EnumSet.noneOf(FaultKind.class);
        Set<FaultKind> removed = EnumSet.noneOf(FaultKind.class);
        for (Fault fault : circuit.singleFaults()) {
            Harness bad = circuit.with(List.of(fault));
            for (Action action : plan.actions()) {
                Set<Input> planned = good.read(List.of(action.id())).on();
                Set<Input> seen = bad.read(List.of(action.id())).on();
                if (!planned.containsAll(seen)) {
                    added.add(fault.kind());
                    assertTrue(fault.kind().adds(), fault.text());
                }
                // A short to a rail is the exception that the kind names.
                if (!seen.containsAll(planned) && !fault.lines().contains(Fault.SUPPLY)) {
                    removed.add(fault.kind());
                    assertTrue(fault.kind().removes(), fault.text());
                }
            }
        }
        assertEquals(
                Set.of(FaultKind.LINE_OPEN, FaultKind.LINE_BROKEN, FaultKind.CONTACT_OPEN, FaultKind.DIODE_OPEN),
                removed.stream().filter(kind -> !kind.adds()).collect(Collectors.toSet()));
        assertEquals(
                Set.of(FaultKind.CONTACT_CLOSED, FaultKind.LINES_SHORTED),
                added.stream().filter(kind -> !kind.removes()).collect(Collectors.toSet()));
    }

    /** A probe is kept by what its points are written as, and read by a person by what they are called. */
    @Test
    void noTwoPointsOfABoxAreWrittenOrCalledAlike() {
        Circuit circuit = Circuit.of(MIXED);
        List<NodeName> nodes = new ArrayList<>(circuit.nodes());
        nodes.addAll(circuit.axisNodes());
        Set<NodeName> different = new LinkedHashSet<>(nodes);
        assertEquals(
                different.size(),
                different.stream().map(NodeName::written).distinct().count());
        assertEquals(
                different.size(), different.stream().map(Names::node).distinct().count());
        assertEquals(
                Set.of("Pin", "Joint", "Leg", "RegisterInput", "AxisLug", "Rail"),
                different.stream().map(n -> n.getClass().getSimpleName()).collect(Collectors.toSet()));
    }

    @ParameterizedTest
    @CsvSource({
        "0, BEEP",
        "9.9, BEEP",
        "10, BELOW_1K",
        "999, BELOW_1K",
        "1000, BELOW_10K",
        "9999, BELOW_10K",
        "10000, BELOW_100K",
        "99999, BELOW_100K",
        "100000, BELOW_1M",
        "999999, BELOW_1M",
        "1000000, OPEN",
        "Infinity, OPEN"
    })
    void aResistanceFallsIntoTheRangeThatBeginsWithIt(double ohms, ProbeReading reading) {
        assertEquals(reading, ProbeReading.ofOhms(ohms));
    }
}
