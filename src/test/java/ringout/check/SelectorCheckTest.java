package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.bench.Plans;
import ringout.bench.Rehearsal;
import ringout.circuit.Fault;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/** A rotary selector always has one contact closed, so its steps go round and end where they began. */
class SelectorCheckTest {
    private static final Plan PLAN = Plans.of("""
            ringout: 1
            box: { name: Selector }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3, D4: pin 4 } }
            scan: { direct: ground }
            controls:
              - { id: gong, label: Gong, kind: push, at: D4, input: button 4 }
              - id: mode
                label: Mode
                kind: selector
                positions:
                  - { at: D1, input: button 1 }
                  - { at: D2, input: button 2 }
                  - { at: D3, input: button 3 }
            """);

    private static Check check(String... faults) {
        Rehearsal rehearsal = new Rehearsal(Rehearsal.Setup.of(
                PLAN,
                java.util.Arrays.stream(faults).map(f -> Fault.parse(f, PLAN)).toList(),
                4));
        rehearsal.start();
        return rehearsal.run();
    }

    @Test
    void goodSelectorGivesNoFindingAndCountsAsHeld() {
        Check check = check();
        assertEquals(List.of(), check.findings());
        assertEquals(
                List.of(
                        Set.of("mode.1"),
                        Set.of("gong", "mode.1"),
                        Set.of("mode.2"),
                        Set.of("mode.3"),
                        Set.of("mode.1")),
                check.observations().stream().map(o -> Set.copyOf(o.held())).toList());
        assertEquals(
                List.of("button 1", "button 4"),
                check.observations().get(1).on().stream().map(i -> i.text()).toList());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "open:contact:mode.1",
                "open:contact:mode.2",
                "open:D3",
                "closed:contact:mode.2",
                "closed:contact:mode.1",
                "exchange:mode.1,mode.2",
                "exchange:D2,D3",
                "short:D1,D2",
                "exchange:gong,mode.3"
            })
    void faultsOfSelectorsAreReported(String fault) {
        assertEquals(false, check(fault).findings().isEmpty(), fault);
    }

    @Test
    void exchangedPositionsAreSwapped() {
        List<Finding> findings = check("exchange:mode.2,mode.3").findings();
        assertEquals(
                List.of(FindingKind.SWAPPED),
                findings.stream().map(Finding::kind).toList());
        assertEquals(
                new TreeSet<>(List.of("mode.2", "mode.3")),
                new TreeSet<>(findings.get(0).actions()));
        assertEquals(List.of("mode"), findings.get(0).controls());
    }

    @Test
    void hundredSelectorsGiveNoFinding() {
        for (int seed = 0; seed < 100; seed++) {
            Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(PLAN, List.of(), Wear.NONE, 1000, 0.03, seed));
            rehearsal.start();
            assertEquals(List.of(), rehearsal.run().findings(), "seed " + seed);
        }
    }
}
