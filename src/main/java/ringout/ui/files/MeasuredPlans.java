package ringout.ui.files;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.ProbeResult;

/** What a meter showed of plans that were measured, by the plan's hash: evidence for the diagnosis of a check. */
public final class MeasuredPlans {
    private final Map<String, List<ProbeResult>> good = new HashMap<>();

    /** A multimeter checklist was done to the end. */
    public void measured(String hash, ContinuityRun.Outcome outcome) {
        // What was wrong will be mended, and then no reading of before need hold.
        good.put(hash, outcome.wrong().isEmpty() ? outcome.evidence() : List.of());
    }

    /** What the meter showed, where all of it was good. */
    public List<ProbeResult> of(String hash) {
        return good.getOrDefault(hash, List.of());
    }

    /** Something was mended: no reading of before need hold. */
    public void forget(String hash) {
        good.remove(hash);
    }
}
