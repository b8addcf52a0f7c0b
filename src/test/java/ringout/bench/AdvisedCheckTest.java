package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnosis;
import ringout.plan.Plan;

/**
 * The whole way from reports to an explanation: a simulated box with one fault, a scripted builder, the guided check with
 * the presses and chords it asks for by itself. What {@code AccuracyTest} counts with observations holds for the check.
 */
class AdvisedCheckTest {
    @Test
    void everySingleFaultOfAPanelIsInTheFirstClassAfterTheGuidedCheck() {
        Plan plan = Plans.fixture("guards-panel");
        List<String> wrong = new ArrayList<>();
        for (Fault fault : Circuit.of(plan).singleFaults()) {
            if (fault instanceof Fault.Intermittent) {
                continue;
            }
            Rehearsal rehearsal = new Rehearsal(Rehearsal.Setup.of(plan, List.of(fault), 7));
            rehearsal.start();
            Diagnosis diagnosis = rehearsal.runAdvised();
            if (diagnosis.explanations().isEmpty()
                    || !diagnosis.explanations().get(0).alternatives().contains(List.of(fault))) {
                wrong.add(fault.text() + ": "
                        + (diagnosis.explanations().isEmpty()
                                ? diagnosis.verdict()
                                : diagnosis.explanations().get(0).text()));
            }
        }
        assertEquals(List.of(), wrong);
    }
}
