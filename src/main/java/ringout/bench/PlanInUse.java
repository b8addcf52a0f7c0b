package ringout.bench;

import java.util.Optional;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.PlanHash;
import ringout.plan.Plan;

/**
 * A plan with what ties recordings to it.
 *
 * @param hash SHA-256 of its file, see {@link ringout.journal.PlanHash}
 * @param text of its file, to be kept with recordings; empty where only the plan itself is known
 * @param builder what is known of who built the box
 */
public record PlanInUse(Plan plan, String hash, Optional<String> text, BuilderRecord builder) {
    /** A plan of a builder of whom nothing is known. */
    public PlanInUse(Plan plan, String hash, Optional<String> text) {
        this(plan, hash, text, BuilderRecord.EMPTY);
    }

    /** A plan whose text is not kept. */
    public PlanInUse(Plan plan, String hash) {
        this(plan, hash, Optional.empty());
    }

    /** The same, built by that builder. */
    public PlanInUse by(BuilderRecord known) {
        return new PlanInUse(plan, hash, text, known);
    }

    /** A plan read from that text. */
    public static PlanInUse of(Plan plan, String text) {
        return new PlanInUse(plan, PlanHash.of(text), Optional.of(text));
    }
}
