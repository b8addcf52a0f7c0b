package ringout.check;

import java.time.Duration;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import ringout.naming.FigureWords;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.LinearFit;
import ringout.signal.Measured;
import ringout.words.Phrase;

/**
 * A contact whose bounce grows from check to check.
 *
 * @param action   id of the action
 * @param checks   how many checks worked it
 * @param perMonth growth in 30 days, known to two standard errors
 * @param first    on the fitted line, at the first check
 * @param last     on the fitted line, at the last
 * @param said     all of it in a sentence
 */
public record Trend(String action, int checks, Measured perMonth, Measured first, Measured last, Phrase said) {
    /** All of it in a sentence. */
    public String words() {
        return said.text();
    }

    /** Fewer checks say nothing. */
    public static final int LEAST_CHECKS = 5;
    /** Good switches bounce for up to about 3 ms, now more, now less (from memory, no source); that much is no growth. */
    private static final double LEAST_RISE_NANOS = 3e6;

    private static final double MONTH_DAYS = 30;
    private static final double DAY_NANOS = 86_400e9;

    /**
     * Finds growth that chance would show less than once in a thousand series, and that is more than a good switch varies.
     *
     * @param checks of the same box against the same plan, in any order
     * @param zone   of the dates in the words
     */
    public static List<Trend> of(Plan plan, List<KeptCheck> checks, ZoneId zone) {
        Asking words = new Asking(plan);
        DateTimeFormatter date = DateTimeFormatter.ISO_LOCAL_DATE.withZone(zone);
        List<Trend> trends = new ArrayList<>();
        for (Action action : plan.actions()) {
            List<KeptCheck> worked = checks.stream()
                    .filter(c -> c.worked(action.id()))
                    .sorted(Comparator.comparing(KeptCheck::when))
                    .toList();
            if (worked.size() < LEAST_CHECKS
                    || worked.get(0).when().equals(worked.get(worked.size() - 1).when())) {
                continue;
            }
            KeptCheck first = worked.get(0);
            KeptCheck last = worked.get(worked.size() - 1);
            double[] days = worked.stream()
                    .mapToDouble(c -> Duration.between(first.when(), c.when()).toNanos() / DAY_NANOS)
                    .toArray();
            double[] bounce =
                    worked.stream().mapToDouble(c -> c.bounce(action.id())).toArray();
            LinearFit fit = LinearFit.of(days, bounce);
            double span = days[days.length - 1];
            double resolution = first.limits().resolution().nanos()
                    + last.limits().resolution().nanos();
            if (fit.isSure() && fit.slope() * span > Math.max(LEAST_RISE_NANOS, resolution)) {
                Measured perMonth = new Measured(
                        fit.slope() * MONTH_DAYS / 1e6,
                        Measured.Unit.MILLISECONDS,
                        Math.max(2 * fit.error() * MONTH_DAYS, resolution * MONTH_DAYS / span) / 1e6,
                        true);
                Measured then = first.limits().time(Math.max(0, fit.at(0)));
                Measured now = last.limits().time(fit.at(span));
                trends.add(new Trend(
                        action.id(),
                        worked.size(),
                        perMonth,
                        then,
                        now,
                        Phrase.of(
                                "since.trend.said",
                                words.name(action),
                                FigureWords.of(then),
                                date.format(first.when()),
                                FigureWords.of(now),
                                date.format(last.when()),
                                FigureWords.of(perMonth),
                                worked.size())));
            }
        }
        return trends;
    }
}
