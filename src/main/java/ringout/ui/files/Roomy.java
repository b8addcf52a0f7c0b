package ringout.ui.files;

import java.util.Optional;
import ringout.plan.Limits;
import ringout.plan.Plan;
import ringout.words.Phrase;

/** Whether there is memory to draw a box: a large one is refused at once, before the window stands still for want of it. */
final class Roomy {
    /** In so much, in bytes, a 40 x 40 was drawn and answered, see docs/limits.md; what Java calls 1 GB is a little less. */
    private static final long ENOUGH = 900L << 20;

    private Roomy() {}

    /** Why a plan cannot be drawn with that much memory, with the size that can; empty where it can. */
    static Optional<Phrase> refusal(Plan plan, long memory) {
        return Limits.isLarge(plan) && memory < ENOUGH
                ? Optional.of(Phrase.of(
                        "files.too-large-to-draw",
                        plan.contacts().size(),
                        plan.lines().size(),
                        memory >> 20))
                : Optional.empty();
    }

    static Optional<Phrase> refusal(Plan plan) {
        return refusal(plan, Runtime.getRuntime().maxMemory());
    }
}
