package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import ringout.Thorough;
import ringout.plan.Plan;

/**
 * Whole guided checks of boxes that an independent electrical model scans: what is wrong with them, and how often the first
 * explanation names it. Prints one table. Few boxes in the ordinary run; {@code -Dtest.argLine=-Dringout.outside=full} for
 * 200 of every series, or a number.
 *
 * <p>Asked in the end, of every series: 95 % of what is stated at 95 % or more is right; 95 % of repeated mistakes named;
 * every human cause alone named; with one fault more, nine in ten; an answer to 98 % of triples; a silent box's question
 * within 30 s. {@link #LEAST} is what holds today.
 */
class OutsideSeriesTest {
    private static final int FEW = 2;
    private static final int MANY = 200;

    /** Series by their name, with the least part of their boxes that is named first. */
    private static final Map<String, Double> LEAST = Map.of(
            "single", 0.8,
            "human [^+].*", 1.0,
            "repeated (open:contact|diode-reversed|diode-open|normally-closed)", 0.8);

    /** More than half of the time of all: on the build server only, and where all are asked for. */
    private static final Set<String> LONG = Set.of(
            "human + 2",
            "floating",
            "repeated diode-short",
            "repeated exchange",
            "odd key stuck at times",
            "odd table in no order",
            "odd plug a pin on, one pin dead",
            "odd mirrored and bridged",
            "odd numbers one on and a bridge",
            "odd cold joints, some at times");

    /** Of what is stated at 95 % or more, in all series together; few boxes leave much to chance. */
    private static final double RIGHT = 0.85;

    @Test
    void namesWhatIsWrong() {
        String wanted = System.getProperty("ringout.outside", "");
        int count = wanted.isEmpty() ? FEW : wanted.equals("full") ? MANY : Integer.parseInt(wanted);
        StringBuilder table = new StringBuilder(Series.HEAD).append('\n');
        List<Series.Outcome> every = new ArrayList<>();
        List<String> tooLow = new ArrayList<>();
        Cases.series(Cases.PANELS).forEach((name, draw) -> {
            if (LONG.contains(name) && wanted.isEmpty() && !Thorough.ALL) {
                return;
            }
            // What was thought up takes longest: a table in no order can be explained in no way. Elsewhere than on the
            // build server one box does, too, of a series that only adds to what is asked of all.
            boolean one = name.startsWith("odd ")
                    || !Thorough.ALL && LEAST.keySet().stream().noneMatch(name::matches);
            Series.Row row = Series.run(name, draw, 1, wanted.isEmpty() && one ? 1 : count);
            every.addAll(row.all());
            table.append(row.text()).append('\n');
            LEAST.forEach((start, least) -> {
                if (name.matches(start) && row.named() < Math.floor(least * row.visible())) {
                    tooLow.add(name + ": " + row.named() + " of " + row.visible() + " named, at least " + least);
                }
            });
        });
        Series.Row all = new Series.Row("all", every);
        System.out.println(table.append(all.text()).append('\n').append(Series.byGroup(every)));
        assertTrue(tooLow.isEmpty(), tooLow + "\n" + table);
        assertTrue(
                all.right() >= RIGHT * all.certain(),
                all.right() + " right of " + all.certain() + " that were certain\n" + table);
        long healthyWrong = every.stream()
                .filter(o -> o.box().series().equals("healthy") && o.told().findings() > 0)
                .count();
        assertTrue(healthyWrong == 0, healthyWrong + " good boxes with findings");
    }

    /** Boxes that were once told wrongly with certainty, each for another reason. */
    @Test
    void isNotCertainOfWhatOnlyLooksLikeIt() {
        // The first is told soon; the rest takes as long as all other boxes of the ordinary run.
        Map<String, List<Long>> boxes = Thorough.ALL
                ? Map.of(
                        "odd three numbers round", List.of(881005L, 881011L),
                        "odd one key at a time", List.of(881003L),
                        "human + 3", List.of(540001L))
                : Map.of("odd one key at a time", List.of(881003L));
        boxes.forEach((series, seeds) -> seeds.forEach(seed -> {
            Series.Outcome told =
                    Series.run(Cases.series(Cases.PANELS).get(series).apply(seed));
            assertTrue(!told.certain() || told.right(), Series.describe(told, true));
        }));
    }

    /** Where numbers go round, and where one stuck key silences all others, that is what the words say. */
    @Test
    void saysWhatNoFaultIs() {
        String round = verdict("odd three numbers round", 881005);
        assertTrue(round.contains("the numbers of K1, K11 and K14 go round"), round);
        String one = verdict("odd one key at a time", 881003);
        assertTrue(one.contains("one key at a time"), one);
    }

    private static String verdict(String series, long seed) {
        return Series.run(Cases.series(Cases.PANELS).get(series).apply(seed))
                .told()
                .diagnosis()
                .verdict()
                .toString();
    }

    /** Of four keys one answers: what is told first has the truth among its look-alikes, whichever contact is open besides. */
    @Test
    void threeOfFourDeadIsAsWellAWireAndAContact() {
        for (boolean diodes : new boolean[] {true, false}) {
            Plan plan = Panels.grid(2, 2, diodes);
            for (String contact : List.of("k3", "k4")) {
                List<Mistake> truth = Mistake.all(List.of("open:R1", "open:contact:" + contact));
                Series.Outcome told = Series.run(new Case(
                        "two by two",
                        1,
                        "2x2",
                        plan,
                        Chip.draw(plan, new SplittableRandom(1)),
                        truth,
                        Hand.Manners.CAREFUL));
                assertTrue(told.named(), Series.describe(told, false));
            }
        }
    }
}
