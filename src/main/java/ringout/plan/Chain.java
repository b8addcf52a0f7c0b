package ringout.plan;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * The order in which one wire visits its solder joints so that it is short: the shortest open path from a start.
 *
 * <p>Exact up to {@link #EXACT} joints by dynamic programming over sets (Held &amp; Karp, "A dynamic programming approach to
 * sequencing problems", Journal of SIAM 10, 1962; from memory). Beyond that, always on to the nearest joint, then
 * 2-opt (reverse a stretch of the path while that shortens it; Croes, "A method for solving traveling-salesman
 * problems", Operations Research 6, 1958; from memory): no promise, usually within some per cent.
 */
public final class Chain {
    /** Most joints for which the order is proven shortest. */
    public static final int EXACT = 11;

    private Chain() {}

    /**
     * The order of visiting.
     *
     * @param stops places in millimetres
     * @param start where the wire comes from; empty where the path may start at any stop
     * @return indexes of {@code stops}
     */
    public static List<Integer> order(List<Mount.Place> stops, Optional<Mount.Place> start) {
        double[][] far = distances(stops, start);
        int[] path = stops.size() <= EXACT ? exact(far, stops.size()) : improved(far, stops.size());
        return Arrays.stream(path).boxed().toList();
    }

    /** Length of the path in that order, from the start where there is one, in millimetres. */
    public static double length(List<Mount.Place> stops, List<Integer> order, Optional<Mount.Place> start) {
        return length(
                distances(stops, start),
                order.stream().mapToInt(Integer::intValue).toArray());
    }

    /** Straight distance in millimetres. */
    public static double distance(Mount.Place one, Mount.Place other) {
        return Math.hypot(one.x() - other.x(), one.y() - other.y());
    }

    /**
     * Quick estimate for comparing many assignments: nearest neighbour and 2-opt only.
     *
     * @param all   {@link #distances} of all there is to visit
     * @param stops indexes of what is visited
     */
    static double estimate(double[][] all, int[] stops) {
        int n = stops.length;
        double[][] far = new double[n + 1][n];
        for (int i = 0; i <= n; i++) {
            double[] from = all[i < n ? stops[i] : all.length - 1];
            for (int j = 0; j < n; j++) {
                far[i][j] = from[stops[j]];
            }
        }
        return length(far, improved(far, n));
    }

    /** Between stops; the last row is from the start, or nothing where any stop may be the first. */
    static double[][] distances(List<Mount.Place> stops, Optional<Mount.Place> start) {
        int n = stops.size();
        double[][] far = new double[n + 1][n];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++) {
                far[i][j] = distance(stops.get(i), stops.get(j));
            }
            far[n][i] = start.isPresent() ? distance(start.get(), stops.get(i)) : 0;
        }
        return far;
    }

    private static double length(double[][] far, int[] path) {
        double sum = 0;
        int at = far.length - 1;
        for (int next : path) {
            sum += far[at][next];
            at = next;
        }
        return sum;
    }

    private static int[] exact(double[][] far, int n) {
        if (n == 0) {
            return new int[0];
        }
        double[][] best = new double[1 << n][n];
        int[][] from = new int[1 << n][n];
        for (double[] row : best) {
            Arrays.fill(row, Double.POSITIVE_INFINITY);
        }
        for (int i = 0; i < n; i++) {
            best[1 << i][i] = far[n][i];
        }
        for (int set = 1; set < 1 << n; set++) {
            for (int last = 0; last < n; last++) {
                if (best[set][last] == Double.POSITIVE_INFINITY) {
                    continue;
                }
                for (int next = 0; next < n; next++) {
                    int more = set | 1 << next;
                    double sum = best[set][last] + far[last][next];
                    if (more != set && sum < best[more][next]) {
                        best[more][next] = sum;
                        from[more][next] = last;
                    }
                }
            }
        }
        int set = (1 << n) - 1;
        int last = 0;
        for (int i = 1; i < n; i++) {
            last = best[set][i] < best[set][last] ? i : last;
        }
        int[] path = new int[n];
        for (int i = n - 1; i >= 0; i--) {
            path[i] = last;
            int before = from[set][last];
            set ^= 1 << last;
            last = before;
        }
        return path;
    }

    private static int[] improved(double[][] far, int n) {
        int[] path = nearest(far, n);
        boolean better = true;
        while (better) {
            better = false;
            for (int i = 0; i < n - 1; i++) {
                for (int j = i + 1; j < n; j++) {
                    int before = i == 0 ? n : path[i - 1];
                    double old = far[before][path[i]] + (j == n - 1 ? 0 : far[path[j]][path[j + 1]]);
                    double now = far[before][path[j]] + (j == n - 1 ? 0 : far[path[i]][path[j + 1]]);
                    if (now < old - 1e-9) {
                        reverse(path, i, j);
                        better = true;
                    }
                }
            }
        }
        return path;
    }

    private static int[] nearest(double[][] far, int n) {
        boolean[] visited = new boolean[n];
        int[] path = new int[n];
        int at = n;
        for (int i = 0; i < n; i++) {
            int nearest = -1;
            for (int candidate = 0; candidate < n; candidate++) {
                if (!visited[candidate] && (nearest < 0 || far[at][candidate] < far[at][nearest])) {
                    nearest = candidate;
                }
            }
            visited[nearest] = true;
            path[i] = nearest;
            at = nearest;
        }
        return path;
    }

    private static void reverse(int[] path, int from, int to) {
        for (int i = from, j = to; i < j; i++, j--) {
            int swap = path[i];
            path[i] = path[j];
            path[j] = swap;
        }
    }
}
