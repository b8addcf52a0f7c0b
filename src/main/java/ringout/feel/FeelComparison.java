package ringout.feel;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Rounds of one panel compared with earlier ones, both with enough to say anything.
 *
 * @param gone   confusions of then that are none now; {@code taken} is of then
 * @param fresh  confusions of now that were none then
 * @param faster of {@code both} controls, how many are found faster than then
 * @param both   controls that were found both times
 * @param chance that as many or more of them are faster, or slower, where nothing has changed: exact, two-sided sign test
 */
public record FeelComparison(
        List<FeelResult.Confusion> gone, List<FeelResult.Confusion> fresh, int faster, int both, double chance) {
    public FeelComparison {
        gone = List.copyOf(gone);
        fresh = List.copyOf(fresh);
    }

    /** What has changed. */
    public static FeelComparison of(FeelResult before, FeelResult now) {
        Map<String, Double> then = new HashMap<>();
        before.controls().stream().filter(c -> c.seconds() > 0).forEach(c -> then.put(c.id(), c.seconds()));
        int faster = 0;
        int both = 0;
        for (FeelResult.Found control : now.controls()) {
            Double was = then.get(control.id());
            if (was != null && control.seconds() > 0 && control.seconds() != was) {
                both++;
                faster += control.seconds() < was ? 1 : 0;
            }
        }
        int more = Math.max(faster, both - faster);
        return new FeelComparison(
                missing(before.confusions(), now.confusions()),
                missing(now.confusions(), before.confusions()),
                faster,
                both,
                Math.min(1, 2 * Chance.atLeast(more, both, 0.5)));
    }

    private static List<FeelResult.Confusion> missing(
            List<FeelResult.Confusion> all, List<FeelResult.Confusion> others) {
        List<FeelResult.Confusion> missing = new ArrayList<>(all);
        missing.removeIf(c -> others.stream().anyMatch(o -> o.a().equals(c.a()) && o.b().equals(c.b())));
        return missing;
    }

    /** True where the times differ by more than chance has it once in twenty times. */
    public boolean timesDiffer() {
        return both > 0 && chance <= 0.05;
    }
}
