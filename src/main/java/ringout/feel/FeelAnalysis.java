package ringout.feel;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import ringout.signal.LinearFit;

/**
 * From rounds to what they tell.
 *
 * <p><b>Confused pairs.</b> Only the first wrong press of a trial counts, since those after it are the search. Given how
 * many such slips there were, without any confusion each falls on one pair with a probability known beforehand: either on
 * any other control alike, or on any of those next to the one that was asked for. Each pair is tested, exactly, with the
 * larger of the two, so that a hand which now and then lands one control too far is no confusion; Holm's correction holds
 * the probability of a single false pair in all of them at {@link #FALSE_ALARM}.
 *
 * <p><b>Reaching.</b> Fitts (1954), "The information capacity of the human motor system in controlling the amplitude of
 * movement", Journal of Experimental Psychology 47, 381-391, in the Shannon form of MacKenzie (1992), "Fitts' law as a
 * research and design tool in human-computer interaction", Human-Computer Interaction 7, 91-139.
 */
public final class FeelAnalysis {
    /** How often a panel without any confusion may be told to have one. */
    public static final double FALSE_ALARM = 0.05;
    /** Fewest slips between two controls that are called a confusion, whatever the probability. */
    private static final int LEAST_TAKEN = 3;
    /** Fewest presses and least spread of difficulty, bits, for a line to be fitted. */
    private static final int LEAST_POINTS = 20;

    private static final double LEAST_BITS = 1;
    /** Controls no farther than this times the nearest are next to one another, diagonals included. */
    private static final double NEXT_TO = 1.5;
    /** Fingertip and cap: nearer centres should be moved apart where two are confused. Common practice, no source. */
    private static final double NEAR_MM = 30;
    /** A saving below this is not worth a new cap: a tenth of what a name takes to be understood. Our choice, no source. */
    private static final double LEAST_SAVING = 0.05;

    private final List<Target> targets;
    private final Map<String, Integer> index = new HashMap<>();
    private final List<Trial> counted;

    private FeelAnalysis(List<Target> targets, List<Trial> trials) {
        this.targets = targets;
        for (int i = 0; i < targets.size(); i++) {
            index.put(targets.get(i).id(), i);
        }
        counted = trials.stream()
                .filter(t -> t.counts() && index.containsKey(t.target()))
                .toList();
    }

    /** What these trials of these controls tell. */
    public static FeelResult of(List<Target> targets, List<Trial> trials) {
        return new FeelAnalysis(List.copyOf(targets), trials).result();
    }

    /** Difficulty of a reach in bits; both in the same unit, width more than 0. */
    static double bits(double distance, double width) {
        return Math.log(distance / width + 1) / Math.log(2);
    }

    private FeelResult result() {
        int rounds = 0;
        for (int round = 1; whole(round); round++) {
            rounds = round;
        }
        int wrong = (int) counted.stream().filter(t -> !t.wrong().isEmpty()).count();
        List<FeelResult.Found> found = targets.stream().map(this::found).toList();
        if (rounds < Feel.LEAST_ROUNDS) {
            return new FeelResult(
                    rounds,
                    counted.size(),
                    wrong,
                    found,
                    List.of(),
                    Optional.empty(),
                    FeelResult.NoReach.FEW,
                    List.of());
        }
        List<FeelResult.Confusion> confusions = confusions(found);
        List<Point> points = points();
        FeelResult.NoReach why = why(points);
        Optional<FeelResult.Reach> reach =
                why == FeelResult.NoReach.NONE ? Optional.of(reach(points)) : Optional.empty();
        if (reach.isPresent() && !sure(points)) {
            why = FeelResult.NoReach.NO_SLOPE;
        }
        List<FeelResult.Proposal> proposals =
                new ArrayList<>(confusions.stream().map(FeelAnalysis::apart).toList());
        if (why == FeelResult.NoReach.NONE) {
            larger(reach.get().slope()).ifPresent(proposals::add);
        }
        proposals.sort(Comparator.comparingDouble(FeelResult.Proposal::seconds).reversed());
        return new FeelResult(rounds, counted.size(), wrong, found, confusions, reach, why, proposals);
    }

    private boolean whole(int round) {
        return counted.stream()
                        .filter(t -> t.round() == round)
                        .map(Trial::target)
                        .distinct()
                        .count()
                == targets.size();
    }

    private FeelResult.Found found(Target target) {
        List<Trial> of =
                counted.stream().filter(t -> t.target().equals(target.id())).toList();
        double[] clean = of.stream()
                .filter(t -> t.wrong().isEmpty())
                .mapToDouble(t -> t.nanos() / 1e9)
                .sorted()
                .toArray();
        return new FeelResult.Found(target.id(), of.size(), of.size() - clean.length, median(clean));
    }

    private static double median(double[] sorted) {
        int n = sorted.length;
        return n == 0 ? 0 : (sorted[(n - 1) / 2] + sorted[n / 2]) / 2;
    }

    // ---- confused pairs

    private List<FeelResult.Confusion> confusions(List<FeelResult.Found> found) {
        int n = targets.size();
        int[][] taken = new int[n][n];
        int slips = 0;
        for (Trial trial : counted) {
            Optional<Integer> first = first(trial);
            if (first.isPresent()) {
                taken[asked(trial)][first.get()]++;
                slips++;
            }
        }
        double[][] share = shares(found);
        List<FeelResult.Confusion> pairs = new ArrayList<>();
        for (int a = 0; a < n; a++) {
            for (int b = a + 1; b < n; b++) {
                int both = taken[a][b] + taken[b][a];
                double chance = Chance.atLeast(both, slips, Math.min(1, share[a][b] + share[b][a]));
                pairs.add(new FeelResult.Confusion(
                        targets.get(a).id(),
                        targets.get(b).id(),
                        both,
                        found.get(a).presses() + found.get(b).presses(),
                        chance,
                        targets.get(a).distance(targets.get(b)),
                        cost(found, a, b)));
            }
        }
        pairs.sort(Comparator.comparingDouble(FeelResult.Confusion::chance));
        List<FeelResult.Confusion> sure = new ArrayList<>();
        double corrected = 0;
        for (int i = 0; i < pairs.size(); i++) {
            FeelResult.Confusion pair = pairs.get(i);
            corrected = Math.max(corrected, Math.min(1, pair.chance() * (pairs.size() - i)));
            if (corrected > FALSE_ALARM) {
                break;
            }
            if (pair.taken() >= LEAST_TAKEN) {
                sure.add(new FeelResult.Confusion(
                        pair.a(), pair.b(), pair.taken(), pair.presses(), corrected, pair.spacing(), pair.seconds()));
            }
        }
        return sure;
    }

    /** The probability that one slip of all falls on [asked][taken], where nothing is confused; the larger of two views. */
    private double[][] shares(List<FeelResult.Found> found) {
        int n = targets.size();
        double all = counted.size();
        double[][] share = new double[n][n];
        for (int a = 0; a < n; a++) {
            double asked = found.get(a).presses() / all;
            List<Integer> next = nextTo(a);
            for (int b = 0; b < n; b++) {
                double near = next.contains(b) ? 1.0 / next.size() : 0;
                share[a][b] = b == a ? 0 : asked * Math.max(1.0 / (n - 1), near);
            }
        }
        return share;
    }

    private List<Integer> nextTo(int a) {
        double nearest = Double.POSITIVE_INFINITY;
        for (Target other : targets) {
            if (other != targets.get(a)) {
                nearest = Math.min(nearest, targets.get(a).distance(other).orElse(Double.POSITIVE_INFINITY));
            }
        }
        List<Integer> next = new ArrayList<>();
        for (int b = 0; b < targets.size(); b++) {
            Optional<Double> away = targets.get(a).distance(targets.get(b));
            if (b != a && away.isPresent() && away.get() <= NEXT_TO * nearest) {
                next.add(b);
            }
        }
        return next;
    }

    private double cost(List<FeelResult.Found> found, int a, int b) {
        return counted.stream()
                .filter(t -> {
                    Optional<Integer> first = first(t);
                    int target = asked(t);
                    return first.isPresent() && (target == a && first.get() == b || target == b && first.get() == a);
                })
                .mapToDouble(t -> t.nanos() / 1e9 - usual(found.get(asked(t))))
                .average()
                .orElse(0);
    }

    private int asked(Trial trial) {
        return Objects.requireNonNull(index.get(trial.target()), "counted trials alone");
    }

    /** What was taken first instead. */
    private Optional<Integer> first(Trial trial) {
        return trial.wrong().stream().findFirst().map(w -> index.get(w.control()));
    }

    /** What a press of that control takes without a slip; where it was seldom seen, what one of any control takes. */
    private double usual(FeelResult.Found control) {
        return control.presses() - control.wrong() >= LEAST_TAKEN
                ? control.seconds()
                : median(counted.stream()
                        .filter(t -> t.wrong().isEmpty())
                        .mapToDouble(t -> t.nanos() / 1e9)
                        .sorted()
                        .toArray());
    }

    private static FeelResult.Proposal apart(FeelResult.Confusion pair) {
        boolean near = pair.spacing().filter(mm -> mm < NEAR_MM).isPresent();
        return new FeelResult.Proposal(
                near ? FeelResult.Proposal.What.MARK_OR_MOVE : FeelResult.Proposal.What.MARK,
                List.of(pair.a(), pair.b()),
                Math.max(0, pair.seconds()) * pair.taken() / pair.presses());
    }

    // ---- reaching

    private record Point(double bits, double seconds) {}

    private List<Point> points() {
        List<Point> points = new ArrayList<>();
        for (Trial trial : counted) {
            Integer from = trial.from().map(index::get).orElse(null);
            if (from == null || !trial.wrong().isEmpty()) {
                continue;
            }
            Target target = targets.get(asked(trial));
            Optional<Double> away = targets.get(from).distance(target);
            if (away.isPresent() && away.get() > 0 && target.width().isPresent()) {
                points.add(new Point(bits(away.get(), target.width().get()), trial.nanos() / 1e9));
            }
        }
        return points;
    }

    private FeelResult.NoReach why(List<Point> points) {
        if (targets.stream().noneMatch(t -> t.place().isPresent())) {
            return FeelResult.NoReach.PLACES;
        }
        if (targets.stream().noneMatch(t -> t.width().isPresent())) {
            return FeelResult.NoReach.SIZES;
        }
        double[] bits = points.stream().mapToDouble(Point::bits).sorted().toArray();
        return bits.length < LEAST_POINTS || bits[bits.length - 1] - bits[0] < LEAST_BITS
                ? FeelResult.NoReach.FEW
                : FeelResult.NoReach.NONE;
    }

    private static LinearFit line(List<Point> points) {
        return LinearFit.of(
                points.stream().mapToDouble(Point::bits).toArray(),
                points.stream().mapToDouble(Point::seconds).toArray());
    }

    /** The slope is more than none beyond doubt. */
    private static boolean sure(List<Point> points) {
        LinearFit line = line(points);
        return line.isSure() && line.slope() > 0;
    }

    private static FeelResult.Reach reach(List<Point> points) {
        LinearFit line = line(points);
        double[] x = points.stream().mapToDouble(Point::bits).toArray();
        double[] y = points.stream().mapToDouble(Point::seconds).toArray();
        double meanX = Arrays.stream(x).average().orElse(0);
        double meanY = Arrays.stream(y).average().orElse(0);
        double xx = Arrays.stream(x).map(v -> (v - meanX) * (v - meanX)).sum();
        double yy = Arrays.stream(y).map(v -> (v - meanY) * (v - meanY)).sum();
        double r = yy == 0 ? 0 : line.slope() * Math.sqrt(xx / yy);
        return new FeelResult.Reach(line.intercept(), line.slope(), line.error(), points.size(), r);
    }

    /** The control that would gain most by a cap of twice the size, on the way from any other. */
    private Optional<FeelResult.Proposal> larger(double slope) {
        return targets.stream()
                .filter(t -> t.width().isPresent())
                .map(t -> new FeelResult.Proposal(
                        FeelResult.Proposal.What.LARGER,
                        List.of(t.id()),
                        slope
                                * targets.stream()
                                        .flatMap(o -> o == t ? java.util.stream.Stream.empty() : t.distance(o).stream())
                                        .mapToDouble(away -> bits(
                                                        away, t.width().get())
                                                - bits(away, 2 * t.width().get()))
                                        .average()
                                        .orElse(0)))
                .max(Comparator.comparingDouble(FeelResult.Proposal::seconds))
                .filter(p -> p.seconds() >= LEAST_SAVING);
    }
}
