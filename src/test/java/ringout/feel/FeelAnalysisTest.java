package ringout.feel;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.math3.distribution.BinomialDistribution;
import org.apache.commons.math3.stat.regression.SimpleRegression;
import org.junit.jupiter.api.Test;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Mount;

/** Builders of whom it is known what they confuse, and published movement times. */
class FeelAnalysisTest {
    /** Inches to millimetres, so that widths and distances are as a plan has them. */
    private static final double INCH = 25.4;

    private static Target target(int number, double x, double y, double width) {
        return new Target(
                "c" + number,
                "Control " + number,
                Optional.of(new Mount.Place(x, y)),
                Optional.of(width),
                List.of(new Input.Button(number)),
                false);
    }

    private static List<Target> grid(int columns, int rows, double pitch, double width) {
        List<Target> panel = new ArrayList<>();
        for (int i = 0; i < columns * rows; i++) {
            panel.add(target(i + 1, 20 + pitch * (i % columns), 20 + pitch * (i / columns), width));
        }
        return panel;
    }

    private static InputLayout layout(List<Target> panel) {
        return new InputLayout(panel.stream().map(t -> t.inputs().get(0)).toList(), List.of());
    }

    private static FeelResult rounds(Hand hand, List<Target> panel, int rounds, long seed) {
        InputLayout layout = layout(panel);
        return FeelAnalysis.of(panel, hand.through(new Feel(panel, layout, rounds, seed), layout));
    }

    private static Set<String> pairs(FeelResult result) {
        Set<String> pairs = new TreeSet<>();
        result.confusions().forEach(c -> pairs.add(c.a() + "-" + c.b()));
        return pairs;
    }

    @Test
    void tenBuildersWithConfusionsAndTenWithoutAreToldApart() {
        for (int i = 0; i < 10; i++) {
            List<Target> panel = grid(4, 3 + i % 2, 25, 16);
            int a = 1 + i % 3;
            int b = a + 1 + 4 * (i % 2);
            Hand mixing = new Hand(panel, 40 + i).slipping(0.02, 0.03).mixing("c" + a, "c" + b, 0.6);
            FeelResult with = rounds(mixing, panel, 6, i);
            assertEquals(Set.of("c" + a + "-c" + b), pairs(with), "builder " + i);
            FeelResult.Confusion pair = with.confusions().get(0);
            assertEquals(25 * (i % 2 == 0 ? 1 : Math.sqrt(2)), pair.spacing().orElseThrow(), 1e-9);
            assertEquals(0.8, pair.seconds(), 0.3, "what a slip costs this hand");
            assertTrue(with.proposals().stream()
                    .anyMatch(p -> p.controls().equals(List.of(pair.a(), pair.b())) && p.seconds() > 0.1));
            Hand sure = new Hand(panel, 80 + i).slipping(0.02, 0.06);
            assertEquals(Set.of(), pairs(rounds(sure, panel, 6, i)), "builder " + i + " confuses nothing");
        }
    }

    /** With chance held at 5 %, 300 builders without confusions give 15 false alarms on average, and 26 or more once in 200 series. */
    @Test
    void aPanelWithoutConfusionsIsSeldomToldToHaveOne() {
        int alarms = 0;
        for (int i = 0; i < 300; i++) {
            List<Target> panel = grid(3 + i % 3, 3, 25, 16);
            Hand hand = new Hand(panel, 1000 + i).slipping(i % 2 == 0 ? 0.2 : 0, i % 2 == 0 ? 0 : 0.2);
            alarms += pairs(rounds(hand, panel, 8, i)).isEmpty() ? 0 : 1;
        }
        int most = new BinomialDistribution(300, FeelAnalysis.FALSE_ALARM).inverseCumulativeProbability(0.995);
        assertTrue(alarms <= most, alarms + " false alarms in 300, more than " + most);
    }

    @Test
    void twoRoundsOrNothing() {
        List<Target> panel = grid(3, 3, 25, 16);
        InputLayout layout = layout(panel);
        List<Trial> trials = new Hand(panel, 1)
                .mixing("c1", "c2", 1).through(new Feel(panel, layout, 12, 1), layout).stream()
                        .filter(t -> t.round() == 1)
                        .toList();
        FeelResult one = FeelAnalysis.of(panel, trials);
        assertFalse(one.enough());
        assertEquals(List.of(), one.confusions());
        assertEquals(List.of(), one.proposals());
        assertEquals(FeelResult.NoReach.FEW, one.noReach());
    }

    @Test
    void withoutPlacesNothingIsSaidOfDistance() {
        List<Target> panel = grid(3, 3, 25, 16).stream()
                .map(t -> new Target(t.id(), t.label(), Optional.empty(), t.width(), t.inputs(), false))
                .toList();
        FeelResult result = rounds(new Hand(panel, 5).mixing("c1", "c2", 0.7), panel, 6, 5);
        assertEquals(FeelResult.NoReach.PLACES, result.noReach());
        assertEquals(Optional.empty(), result.reach());
        assertEquals(Set.of("c1-c2"), pairs(result));
        assertEquals(Optional.empty(), result.confusions().get(0).spacing());
    }

    @Test
    void reachingTimeIsFitted() {
        List<Target> panel = grid(5, 3, 45, 14);
        FeelResult result = rounds(new Hand(panel, 3).reaching(0.4, 0.15, 0.05), panel, 8, 3);
        FeelResult.Reach reach = result.reach().orElseThrow();
        assertEquals(FeelResult.NoReach.NONE, result.noReach());
        assertEquals(0.15, reach.slope(), 4 * reach.slopeError());
        FeelResult flat = rounds(new Hand(panel, 4).reaching(0.7, 0, 0.2), panel, 3, 4);
        assertEquals(FeelResult.NoReach.NO_SLOPE, flat.noReach());
        assertTrue(flat.proposals().isEmpty(), "nothing is promised without a slope");
    }

    /** Line, error and correlation against the regression of commons-math. */
    @Test
    void theLineIsThatOfAnotherLibrary() {
        List<Target> panel = grid(4, 3, 30, 16);
        InputLayout layout = layout(panel);
        List<Trial> trials = new Hand(panel, 9).through(new Feel(panel, layout, 5, 9), layout);
        FeelResult.Reach reach = FeelAnalysis.of(panel, trials).reach().orElseThrow();
        SimpleRegression theirs = new SimpleRegression();
        for (Trial trial : trials) {
            if (trial.end() == Trial.End.FOUND
                    && trial.from().isPresent()
                    && trial.wrong().isEmpty()) {
                Mount.Place from = place(panel, trial.from().get());
                Mount.Place to = place(panel, trial.target());
                double far = Math.sqrt(Math.pow(from.x() - to.x(), 2) + Math.pow(from.y() - to.y(), 2));
                if (far > 0) {
                    theirs.addData(Math.log((far + 16) / 16) / Math.log(2), trial.nanos() / 1e9);
                }
            }
        }
        assertEquals(theirs.getN(), reach.points());
        assertEquals(theirs.getSlope(), reach.slope(), 1e-9);
        assertEquals(theirs.getIntercept(), reach.intercept(), 1e-9);
        assertEquals(theirs.getSlopeStdErr(), reach.slopeError(), 1e-9);
        assertEquals(theirs.getR(), reach.correlation(), 1e-9);
    }

    private static Mount.Place place(List<Target> panel, String id) {
        return panel.stream()
                .filter(t -> t.id().equals(id))
                .findFirst()
                .flatMap(Target::place)
                .orElseThrow();
    }

    @Test
    void chanceIsThatOfAnotherLibrary() {
        for (int n : new int[] {0, 1, 5, 40, 400}) {
            for (double p : new double[] {0.001, 0.0416, 0.3, 0.9}) {
                for (int k = 0; k <= n; k += 1 + n / 7) {
                    double theirs = 1 - new BinomialDistribution(null, n, p).cumulativeProbability(k - 1);
                    assertEquals(theirs, Chance.atLeast(k, n, p), 1e-10, k + " of " + n + " at " + p);
                }
            }
        }
    }

    /**
     * Movement times of reciprocal tapping with a stylus of 1 oz: Fitts (1954), Journal of Experimental Psychology 47,
     * 381-391, Table 1; from memory. What confirms them is the line that MacKenzie (1992), Human-Computer Interaction 7,
     * 91-139, prints for them: MT = 12.8 + 94.7 ID milliseconds, r = .9831, and r = .9936 in the Shannon form; from memory,
     * too, and it comes out to the last digit.
     */
    @Test
    void publishedMovementTimes() {
        double[] widths = {0.25, 0.5, 1, 2};
        double[] amplitudes = {2, 4, 8, 16};
        int[][] ms = {{392, 484, 580, 731}, {281, 372, 469, 595}, {212, 260, 357, 481}, {180, 203, 279, 388}};
        SimpleRegression fitts = new SimpleRegression();
        SimpleRegression shannon = new SimpleRegression();
        List<Target> panel = new ArrayList<>();
        List<Trial> trials = new ArrayList<>();
        int number = 1;
        for (int w = 0; w < 4; w++) {
            for (int a = 0; a < 4; a++) {
                fitts.addData(Math.log(2 * amplitudes[a] / widths[w]) / Math.log(2), ms[w][a]);
                shannon.addData(Math.log(amplitudes[a] / widths[w] + 1) / Math.log(2), ms[w][a]);
                // A pair of plates for each condition, tapped to and fro; far from all others.
                double y = 10_000.0 * number;
                Target left = target(2 * number - 1, 0, y, widths[w] * INCH);
                Target right = target(2 * number, amplitudes[a] * INCH, y, widths[w] * INCH);
                panel.add(left);
                panel.add(right);
                for (int round = 1; round <= 2; round++) {
                    long nanos = ms[w][a] * 1_000_000L;
                    trials.add(new Trial(round, left.id(), Optional.of(right.id()), nanos, List.of(), Trial.End.FOUND));
                    trials.add(new Trial(round, right.id(), Optional.of(left.id()), nanos, List.of(), Trial.End.FOUND));
                }
                number++;
            }
        }
        assertEquals(94.7, fitts.getSlope(), 0.05);
        assertEquals(12.8, fitts.getIntercept(), 0.05);
        assertEquals(0.9831, fitts.getR(), 0.00005);
        assertEquals(0.9936, shannon.getR(), 0.00005);
        FeelResult.Reach ours = FeelAnalysis.of(panel, trials).reach().orElseThrow();
        assertEquals(shannon.getSlope() / 1000, ours.slope(), 1e-9);
        assertEquals(shannon.getIntercept() / 1000, ours.intercept(), 1e-9);
        assertEquals(0.9936, ours.correlation(), 0.00005);
    }
}
