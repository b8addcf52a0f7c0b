package ringout.outside;

import java.util.List;
import ringout.plan.Plan;

/**
 * One box of a series.
 *
 * @param series   its name
 * @param seed     of chip, bounce and builder
 * @param planName for the log
 * @param chip     as drawn for it
 * @param truth    what is wrong with it
 * @param nameable false where the written form has no word for what is wrong, so that nothing certain said of it is right
 */
record Case(
        String series,
        long seed,
        String planName,
        Plan plan,
        Chip chip,
        List<Mistake> truth,
        Hand.Manners manners,
        boolean nameable) {}
