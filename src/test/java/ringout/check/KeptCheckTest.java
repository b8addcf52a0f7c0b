package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import ringout.circuit.PlanMaker;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.signal.ContactTiming;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

class KeptCheckTest {
    private static final Plan PLAN = PlanMaker.matrix(1, 3, Contact.Diode.NONE).plan();

    private static Finding finding(String... controls) {
        return new Finding(
                FindingKind.MISSING, List.of(controls), List.of(controls), List.of(), List.of(), Phrase.none());
    }

    /** A switch that was changed: what was known of the old one is not held against the new one, all else is kept. */
    @Test
    void whatIsKnownOfAChangedSwitchGoesAndNothingElse() {
        TreeMap<String, ContactTiming.Summary> timed = new TreeMap<>();
        for (String action : List.of("b-1-1", "b-1-2", "b-1-3")) {
            timed.put(action, new ContactTiming().summary());
        }
        Finding ofBoth = finding("b-1-1", "b-1-2");
        Finding ofBox = finding();
        Finding ofOther = finding("b-1-3");
        KeptCheck kept = new KeptCheck(
                Instant.parse("2026-03-01T10:00:00Z"),
                Set.of("b-1-1", "b-1-2", "b-1-3"),
                List.of(finding("b-1-2"), ofBoth, ofBox, ofOther),
                timed,
                new TimingLimits(new Resolution(1_000_000, true), 0));
        KeptCheck left = kept.without(Set.of("b-1-2"), PLAN);
        assertEquals(Set.of("b-1-1", "b-1-3"), left.answered());
        assertEquals(List.of(ofBoth, ofBox, ofOther), left.findings());
        assertEquals(Set.of("b-1-1", "b-1-3"), left.contacts().keySet());
        assertEquals(
                List.of(ofBox, ofOther),
                kept.without(Set.of("b-1-1", "b-1-2"), PLAN).findings());
        assertEquals(kept, kept.without(Set.of(), PLAN));
    }
}
