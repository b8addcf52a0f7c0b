package ringout.outside;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Resistors, diodes, capacitors to ground and drivers between numbered nodes, solved by nodal analysis. Node 0 is ground.
 *
 * <p>Diodes follow the exponential law with the parameters that the published SPICE models of a 1N4148 commonly give
 * (IS = 2.52 nA, N = 1.752, RS left out; from memory, not read again), linearised until the node voltages stand still, with
 * the junction limiting of SPICE2 (Nagel 1975). Capacitors are stepped by backward Euler.
 */
final class Network {
    private static final double SATURATION = 2.52e-9;
    private static final double THERMAL = 1.752 * 0.02585;
    private static final double CRITICAL = THERMAL * Math.log(THERMAL / (Math.sqrt(2) * SATURATION));
    /** Keeps nodes that hang in the air solvable; far below what any part here conducts. */
    private static final double LEAST_SIEMENS = 1e-12;

    private static final int MOST_ROUNDS = 200;
    private static final double STILL_VOLTS = 1e-5;

    private final int nodes;
    private final double[][] siemens;
    private final double[] amperes;
    private final double[] farads;
    private int[] anode = new int[8];
    private int[] cathode = new int[8];
    private int diodes;

    private final double[][] work;
    private final double[] right;
    /** The same parts as lines of a SPICE netlist. */
    private final List<String> parts = new ArrayList<>();

    /** @param nodes with ground */
    Network(int nodes) {
        this.nodes = nodes;
        siemens = new double[nodes][nodes];
        amperes = new double[nodes];
        farads = new double[nodes];
        work = new double[nodes][nodes];
        right = new double[nodes];
    }

    void resistor(int a, int b, double ohms) {
        parts.add("R%d n" + a + " n" + b + " " + ohms);
        double g = 1 / ohms;
        siemens[a][a] += g;
        siemens[b][b] += g;
        siemens[a][b] -= g;
        siemens[b][a] -= g;
    }

    /** A voltage behind a resistance to ground. */
    void source(int node, double volts, double ohms) {
        parts.add("I%d 0 n" + node + " " + volts / ohms);
        parts.add("R%d n" + node + " 0 " + ohms);
        siemens[node][node] += 1 / ohms;
        amperes[node] += volts / ohms;
    }

    void diode(int from, int to) {
        if (diodes == anode.length) {
            anode = Arrays.copyOf(anode, 2 * diodes);
            cathode = Arrays.copyOf(cathode, 2 * diodes);
        }
        parts.add("D%d n" + from + " n" + to + " switching");
        anode[diodes] = from;
        cathode[diodes++] = to;
    }

    void capacitor(int node, double farad) {
        farads[node] += farad;
    }

    /** Its parts for SPICE, numbered on from there; a node is the prefix and its number, and ground 0. */
    List<String> spice(String prefix, int first) {
        List<String> lines = new ArrayList<>();
        for (String part : parts) {
            lines.add(part.replace("%d", String.valueOf(first + lines.size()))
                    .replaceAll(" n0\\b", " 0")
                    .replaceAll(" n(\\d)", " " + prefix + "$1"));
        }
        return lines;
    }

    int nodes() {
        return nodes;
    }

    /** Volts where nothing changes any more. */
    double[] settled(double[] guess) {
        return solve(guess, 0);
    }

    /** Volts so many seconds after {@code from}. */
    double[] after(double[] from, double seconds) {
        return solve(from, seconds);
    }

    private double[] solve(double[] from, double step) {
        double[] v = from.clone();
        double[] across = new double[diodes];
        for (int d = 0; d < diodes; d++) {
            across[d] = Math.min(v[anode[d]] - v[cathode[d]], CRITICAL);
        }
        for (int round = 0; round < MOST_ROUNDS; round++) {
            for (int i = 1; i < nodes; i++) {
                System.arraycopy(siemens[i], 0, work[i], 0, nodes);
                double store = step > 0 ? farads[i] / step : 0;
                work[i][i] += LEAST_SIEMENS + store;
                right[i] = amperes[i] + store * from[i];
            }
            for (int d = 0; d < diodes; d++) {
                double e = Math.exp(Math.max(across[d], -10) / THERMAL);
                double g = SATURATION / THERMAL * e + LEAST_SIEMENS;
                double current = SATURATION * (e - 1) - g * across[d];
                stamp(anode[d], cathode[d], g, current);
            }
            double[] next = eliminate();
            double moved = 0;
            for (int i = 1; i < nodes; i++) {
                moved = Math.max(moved, Math.abs(next[i] - v[i]));
            }
            v = next;
            boolean limited = false;
            for (int d = 0; d < diodes; d++) {
                double wanted = v[anode[d]] - v[cathode[d]];
                double limit = limit(wanted, across[d]);
                limited |= Math.abs(limit - wanted) > STILL_VOLTS;
                across[d] = limit;
            }
            if (moved < STILL_VOLTS && !limited) {
                return v;
            }
            if (diodes == 0) {
                return v;
            }
        }
        throw new IllegalStateException("the network does not converge");
    }

    private static double limit(double wanted, double before) {
        if (wanted <= CRITICAL || Math.abs(wanted - before) <= 2 * THERMAL) {
            return wanted;
        }
        if (before > 0) {
            double ratio = 1 + (wanted - before) / THERMAL;
            return ratio > 0 ? before + THERMAL * Math.log(ratio) : CRITICAL;
        }
        return THERMAL * Math.log(wanted / THERMAL);
    }

    private void stamp(int a, int b, double g, double current) {
        work[a][a] += g;
        work[b][b] += g;
        work[a][b] -= g;
        work[b][a] -= g;
        right[a] -= current;
        right[b] += current;
    }

    private double[] eliminate() {
        // Diagonally dominant, so no pivoting is needed.
        for (int i = 1; i < nodes; i++) {
            double[] row = work[i];
            for (int j = i + 1; j < nodes; j++) {
                double f = work[j][i] / row[i];
                if (f != 0) {
                    double[] other = work[j];
                    for (int k = i; k < nodes; k++) {
                        other[k] -= f * row[k];
                    }
                    right[j] -= f * right[i];
                }
            }
        }
        double[] v = new double[nodes];
        for (int i = nodes - 1; i > 0; i--) {
            double sum = right[i];
            for (int k = i + 1; k < nodes; k++) {
                sum -= work[i][k] * v[k];
            }
            v[i] = sum / work[i][i];
        }
        return v;
    }
}
