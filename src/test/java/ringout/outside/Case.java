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
 */
record Case(
        String series, long seed, String planName, Plan plan, Chip chip, List<Mistake> truth, Hand.Manners manners) {}
