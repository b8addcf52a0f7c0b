package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.PlanMaker;
import ringout.plan.Contact;

/** Two contacts in each other's place are numbered, not listed: the numbers stand for just what a list would have. */
class ExchangesTest {
    private static final Circuit CIRCUIT = Circuit.of(PlanMaker.box()
            .rows(2)
            .columns(3)
            .directs(3)
            .push("one", "R1", "C1")
            .encoder("dial", PlanMaker.at("D1"), PlanMaker.at("D2"))
            .push("two", "R2", "C3")
            .push("three", "D3")
            .plan());

    @Test
    void numbersFaultsInTheOrderOfTheList() {
        FaultTable table = FaultTable.of(CIRCUIT);
        List<Fault> listed = CIRCUIT.singleFaults();
        FaultTable all = new FaultTable(
                CIRCUIT, listed.stream().filter(f -> CIRCUIT.worst(f) == f).toList());
        for (int f = 0; f < listed.size(); f++) {
            assertEquals(listed.get(f), table.fault(f));
        }
        for (int f = 0; f < all.size(); f++) {
            int same = listed.indexOf(all.fault(f));
            assertEquals(
                    all.logOdds(f), table.logOdds(same), 1e-12, all.fault(f).text());
            assertEquals(all.lines(f), table.lines(same), all.fault(f).text());
            assertArrayEquals(
                    all.contacts(f), table.contacts(same), all.fault(f).text());
        }
        for (int contact = 0; contact < CIRCUIT.contacts().size(); contact++) {
            int c = contact;
            int[] there = IntStream.range(0, table.size())
                    .filter(f -> table.searched(f)
                            && table.reach(f) == FaultTable.CONTACT
                            && IntStream.of(table.contacts(f)).anyMatch(named -> named == c))
                    .toArray();
            assertArrayEquals(there, table.atContact(c));
            assertEquals(there.length, table.countAt(c));
        }
    }

    @Test
    void listsNoMoreThanContactsTimesLines() {
        FaultTable table = FaultTable.of(
                Circuit.of(PlanMaker.matrix(24, 24, Contact.Diode.CATHODE_ROW).plan()));
        assertEquals(24 * 24 * (24 * 24 - 1) / 2, table.size() - table.listed());
        assertEquals(true, table.listed() < 24 * 24 * 48, table.listed() + " listed");
    }
}
