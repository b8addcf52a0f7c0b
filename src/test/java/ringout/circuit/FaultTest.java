package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static ringout.circuit.PlanMaker.at;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.hid.AxisUsage;
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
        List<Fault> all = new ArrayList<>(Circuit.of(MIXED).singleFaults());
        all.addAll(Circuit.of(MIXED).softFaults());
        all.addAll(Circuit.of(MIXED).wholeBox());
        all.addAll(Circuit.of(MIXED).axisFaults());
        Set<String> texts = new HashSet<>();
        for (Fault fault : all) {
            assertTrue(texts.add(fault.text()), fault.text());
            assertEquals(fault, Fault.parse(fault.text(), MIXED));
            Circuit.of(MIXED).with(List.of(fault)).read(List.of("horn", "notch.cw"));
        }
        Set<Class<?>> kinds = all.stream().map(Object::getClass).collect(Collectors.toSet());
        assertEquals(Set.of(Fault.class.getPermittedSubclasses()), kinds);
    }
}
