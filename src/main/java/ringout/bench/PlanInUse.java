package ringout.bench;

import ringout.plan.Plan;

/**
 * A plan with what ties recordings to it.
 *
 * @param hash SHA-256 of its file, see {@link ringout.journal.PlanHash}
 */
public record PlanInUse(Plan plan, String hash) {
}
