package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.PlanMaker;
import ringout.hid.AxisUsage;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** The table of docs/diagnosis.md at the places of one box, read off the page and shared out by hand. */
class PriorsTest {
    /**
     * Pins 2 to 9 are R1, R2, C1, C2, C3, D1, D2 and D3, and a chain is the ninth line; of seven contacts one and two are beside each other
     * on R1, and two are the phases of the dial.
     */
    private static final Plan PLAN = PlanMaker.box()
            .rows(2)
            .columns(3)
            .directs(3)
            .diode(Contact.Diode.CATHODE_ROW)
            .push("one", "R1", "C1")
            .push("two", "R1", "C2")
            .push("three", "R2", "C3")
            .encoder("dial", PlanMaker.at("D1"), PlanMaker.at("D2"))
            .push("four", "D3")
            .chain("S1", 2)
            .push("five", "S1", "1", "0")
            .axis("brake", AxisUsage.Z)
            .axis("power", AxisUsage.Y)
            .plan();

    private final Priors known = new Priors(PLAN);

    private double of(String fault) {
        return known.of(Fault.parse(fault, PLAN));
    }

    @ParameterizedTest
    @CsvSource({
        "open:contact:one, 0.0020",
        "closed:contact:one, 0.0007",
        "normally-closed:one, 0.0007",
        "open:R1, 0.0020",
        "open:R1@after:one, 0.0007",
        "short:R1|R2, 0.0005",
        "short:R1|C2, 0.0001",
        "short:R1|GND, 0.0001",
        "exchange:C1|C2, 0.0015",
        "exchange:C1|C3, 0.0004",
        "exchange:R2|C1, 0.0001",
        "diode-open:one, 0.0004",
        "diode-short:one, 0.0002",
        "diode-reversed:one, 0.0015",
        "phases:dial, 0.0300",
        "mirrored:rows, 0.0050",
        "mirrored:both, 0.0050",
        "transposed, 0.0050",
        "rotated:columns:+1, 0.0050",
        "scan:other-way, 0.0100",
        "silent, 0.0200",
        "weak:contact:one, 0.0005",
        "weak:R1, 0.0003",
        "leak:R1|R2, 0.0002",
        "leak:R1|GND, 0.00003",
        "leak:contact:one, 0.0002",
        "floating:C1, 0.0003",
        "axis-open:brake.wiper, 0.0040",
        "axis-open:brake.ground, 0.0020",
        "axis-exchange:brake.ends, 0.0300",
        "axis-exchange:brake.wiper-supply, 0.0020",
        "axis-worn:brake, 0.0050",
        "exchange:brake|power, 0.0050"
    })
    void eachKindHasItsRow(String fault, double prior) {
        assertEquals(prior, of(fault.replace('|', ',')), 1e-12);
    }

    /**
     * 0.005 / n / (n + 1) either way; from a button on 0.005 / n / 7 contacts, counted for n more 0.005 / n;
     * 0.001 / n / (n + 1) for a scan too fast; by columns 0.01.
     */
    @ParameterizedTest
    @CsvSource({
        "numbering:shift:+1, 0.0025",
        "numbering:shift:-1, 0.0025",
        "numbering:shift:+2, 0.000833333333",
        "numbering:shift:-4, 0.00025",
        "numbering:shift:+2:from:3, 0.00035714285714",
        "numbering:wider:columns:+2, 0.0025",
        "numbering:by-columns, 0.01",
        "scan:hurried:1, 0.0005",
        "scan:hurried:3, 0.0000833333333"
    })
    void whatGoesFurtherIsRarer(String fault, double prior) {
        assertEquals(prior, of(fault), 1e-12);
    }

    @Test
    void whatComesAndGoesIsAQuarterAsLikely() {
        assertEquals(0.0005, known.of(new Fault.Intermittent(new Fault.ContactOpen("one"))), 1e-12);
    }

    /** Nine lines: another line's pin is shared out over eight; half of the chain's figure for either level. */
    @Test
    void whatMayBeAnywhereIsSharedOut() {
        assertEquals(0.0003, known.of(new Fault.WrongPin("R1", Fault.UNUSED_PIN)), 1e-12);
        assertEquals(0.0003 / 8, known.of(new Fault.WrongPin("R1", "pin 3")), 1e-12);
        assertEquals(0.00025, known.of(new Fault.ChainBroken("S1", 1, true)), 1e-12);
    }

    /** Seven contacts: any two that have nothing to do with each other share 0.0006 over six. */
    @Test
    void contactsAreExchangedWithThoseOfTheirControlOrNextToThem() {
        assertEquals(0.0004, known.of(new Fault.ContactsExchanged("one", "two")), 1e-12);
        assertEquals(0.0004, known.of(new Fault.ContactsExchanged("two", "one")), 1e-12);
        assertEquals(0.0001, known.of(new Fault.ContactsExchanged("one", "three")), 1e-12);
        assertEquals(0.0030, known.contactsExchanged(3, 4), 1e-12, "the phases of one encoder");
        assertThrows(IllegalArgumentException.class, () -> known.of(new Fault.ContactsExchanged("one", "nobody")));
    }

    /** A builder who did it before: each figure of the kind times the factor, but never more than a half. */
    @Test
    void aBuildersFactorMovesItsKindAlone() {
        Priors twice = new Priors(
                PLAN,
                Map.of(
                        FaultKind.CONTACTS_EXCHANGED,
                        2.0,
                        FaultKind.DIODE_REVERSED,
                        3.0,
                        FaultKind.PHASES_EXCHANGED,
                        40.0));
        assertEquals(0.0008, twice.of(new Fault.ContactsExchanged("one", "two")), 1e-12);
        assertEquals(0.0002, twice.of(new Fault.ContactsExchanged("one", "three")), 1e-12);
        assertEquals(0.0060, twice.contactsExchanged(3, 4), 1e-12);
        assertEquals(0.0045, twice.of(new Fault.DiodeReversed("one")), 1e-12);
        assertEquals(0.0020, twice.of(new Fault.ContactOpen("one")), 1e-12);
        assertEquals(0.5, twice.of(new Fault.PhasesExchanged("dial")), 1e-12);
    }

    /** Pins side by side are told by their numbers, after the same letters. */
    @ParameterizedTest
    @CsvSource({
        "A1, A2, true",
        "A2, A1, true",
        "A9, A10, true",
        "A1, A3, false",
        "A1, B2, false",
        "A, B, false",
        "A, A1, false",
        "5, 6, true",
        "GP1234567891, GP1234567892, true",
        "P1000000000, P999999999, false"
    })
    void pinsSideBySide(String one, String other, boolean beside) {
        Plan plan = ringout.bench.Plans.of("""
                ringout: 1
                box: { name: Driver's desk }
                lines:
                  rows: { R1: "%s" }
                  columns: { C1: "%s" }
                scan: { drive: rows, active: low, diodes: none }
                controls:
                  - { id: bell, kind: push, at: [R1, C1], input: button 1 }
                """.formatted(one, one.equals(other) ? one + "x" : other));
        if (!one.equals(other)) {
            assertEquals(beside ? 0.0005 : 0.0001, new Priors(plan).of(new Fault.LinesShorted("R1", "C1")), 1e-12);
        }
    }

    /** As docs/diagnosis.md has it: a half for what is read off a drawing wrongly, and less and less for single bad joints. */
    @Test
    void whatIsMisreadIsRepeatedMost() {
        assertEquals(0.5, Priors.repeats(FaultKind.DIODE_REVERSED));
        assertEquals(0.5, Priors.repeats(FaultKind.NORMALLY_CLOSED));
        assertEquals(0.3, Priors.repeats(FaultKind.CONTACT_OPEN));
        assertEquals(0.2, Priors.repeats(FaultKind.LINES_SHORTED));
        assertEquals(0.15, Priors.repeats(FaultKind.LINES_LEAK));
        EnumSet.allOf(FaultKind.class)
                .forEach(kind -> assertTrue(Priors.repeats(kind) > 0 && Priors.repeats(kind) <= 0.5, kind::name));
    }

    /** The odds of all exchanges, of the likeliest, and of each, against a list of them. */
    @Test
    void exchangesWeighAsTheirListWould() {
        for (Plan plan :
                List.of(PLAN, PlanMaker.matrix(3, 3, Contact.Diode.NONE).plan())) {
            Priors priors = new Priors(plan);
            Exchanges pairs = new Exchanges(plan, 100);
            pairs.weigh(priors);
            List<Contact> contacts = plan.contacts();
            Set<Set<String>> phases = Set.of(Set.of("dial.a", "dial.b"));
            double sum = 0;
            double most = 0;
            int count = 0;
            for (int a = 0; a < contacts.size(); a++) {
                for (int b = a + 1; b < contacts.size(); b++) {
                    if (phases.contains(
                            Set.of(contacts.get(a).id(), contacts.get(b).id()))) {
                        assertEquals(-1, pairs.number(a, b));
                        continue;
                    }
                    double p = priors.of(new Fault.ContactsExchanged(
                            contacts.get(a).id(), contacts.get(b).id()));
                    sum += p / (1 - p);
                    most = Math.max(most, p / (1 - p));
                    int number = pairs.number(b, a);
                    assertEquals(100 + count, number);
                    assertTrue(pairs.has(number));
                    assertEquals(
                            List.of(a, b),
                            IntStream.of(pairs.contacts(number)).boxed().toList());
                    assertEquals(Math.log(p / (1 - p)), pairs.logOdds(number), 1e-12);
                    count++;
                }
            }
            assertEquals(count, pairs.count());
            assertEquals(sum, pairs.odds(), 1e-12);
            assertEquals(Math.log(most), pairs.likeliest(), 1e-12);
            assertTrue(!pairs.has(99) && !pairs.has(100 + count));
            for (int a = 0; a < contacts.size(); a++) {
                int[] of = pairs.of(a);
                assertEquals(of.length, pairs.countOf(a));
                int contact = a;
                assertTrue(IntStream.of(of)
                        .allMatch(f -> IntStream.of(pairs.contacts(f)).anyMatch(c -> c == contact)));
                assertEquals(of.length, IntStream.of(of).distinct().count());
            }
        }
    }

    @Test
    void aBoxOfOneContactHasNothingToExchange() {
        Plan plan = PlanMaker.box().directs(1).push("a", "D1").plan();
        assertEquals(0, new Exchanges(plan, 0).count());
        assertEquals(0, FaultTable.of(Circuit.of(plan)).pairs().count());
    }
}
