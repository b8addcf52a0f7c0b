package ringout.bench;

import java.util.Optional;
import ringout.journal.PlanHash;
import ringout.plan.Plan;

/**
 * A plan with what ties recordings to it.
 *
 * @param hash SHA-256 of its file, see {@link ringout.journal.PlanHash}
 * @param text of its file, to be kept with recordings; empty where only the plan itself is known
 */
public record PlanInUse(Plan plan, String hash, Optional<String> text) {

    /** A plan whose text is not kept. */
    public PlanInUse(Plan plan, String hash) {
        this(plan, hash, Optional.empty());
    }

    /** A plan read from that text. */
    public static PlanInUse of(Plan plan, String text) {
        return new PlanInUse(plan, PlanHash.of(text), Optional.of(text));
    }
}
