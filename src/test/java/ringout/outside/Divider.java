package ringout.outside;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * A potentiometer and its three wires as resistors between the board's supply, its ground and an analogue input, solved node
 * by node. Shares nothing with {@code ringout.circuit}.
 *
 * <p>The input leaks: common 8-bit controllers promise less than a microampere (from memory of their data sheets), which
 * at 5 V is 5 MΩ and more; here it goes to half the supply.
 *
 * @param track  ohms from end to end
 * @param wiper  ohms between wiper and track
 * @param leak   ohms of the input, to half the supply
 * @param pullUp ohms from the input to the supply; infinite for none
 * @param volts  of the supply
 */
record Divider(double track, double wiper, double leak, double pullUp, double volts) {
    /** Where a wire can be soldered. */
    enum Lug {
        LOW_END,
        WIPER,
        HIGH_END,
        NOWHERE
    }

    /** Wires that leave the board. */
    enum Wire {
        GROUND,
        INPUT,
        SUPPLY
    }

    /** As planned. */
    static Map<Wire, Lug> good() {
        Map<Wire, Lug> wires = new EnumMap<>(Wire.class);
        wires.put(Wire.GROUND, Lug.LOW_END);
        wires.put(Wire.INPUT, Lug.WIPER);
        wires.put(Wire.SUPPLY, Lug.HIGH_END);
        return wires;
    }

    private record Resistor(int from, int to, double ohms) {}

    /** Ground, then supply and half the supply, which have a voltage, then the input and the four nodes of the potentiometer. */
    private static final int GROUND = 0;

    private static final int SUPPLY = 1;
    private static final int HALF = 2;
    private static final int INPUT = 3;
    private static final int LOW_END = 4;
    private static final int WIPER = 5;
    private static final int HIGH_END = 6;
    private static final int TOUCH = 7;
    private static final int NODES = 8;
    /** A good joint, and a wire that is off. */
    private static final double JOINT = 0.05;

    private static final double OFF = 1e12;
    /** The source behind the supply pin. */
    private static final double REGULATOR = 0.5;

    /**
     * The circuit with the wiper there.
     *
     * @param place 0 at the low end to 1 at the high end
     * @param lift  ohms added between wiper and track, where it is worn
     */
    private List<Resistor> resistors(Map<Wire, Lug> wires, double place, double lift) {
        List<Resistor> all = new ArrayList<>();
        all.add(new Resistor(LOW_END, TOUCH, Math.max(1, place * track)));
        all.add(new Resistor(TOUCH, HIGH_END, Math.max(1, (1 - place) * track)));
        all.add(new Resistor(TOUCH, WIPER, wiper + lift));
        all.add(new Resistor(INPUT, HALF, leak));
        if (!Double.isInfinite(pullUp)) {
            all.add(new Resistor(INPUT, SUPPLY, pullUp));
        }
        wires.forEach((wire, lug) -> {
            int from = wire == Wire.GROUND ? GROUND : wire == Wire.INPUT ? INPUT : SUPPLY;
            double ohms = wire == Wire.SUPPLY ? REGULATOR + JOINT : JOINT;
            switch (lug) {
                case LOW_END -> all.add(new Resistor(from, LOW_END, ohms));
                case WIPER -> all.add(new Resistor(from, WIPER, ohms));
                case HIGH_END -> all.add(new Resistor(from, HIGH_END, ohms));
                case NOWHERE -> all.add(new Resistor(from, LOW_END, OFF));
            }
        });
        return all;
    }

    /** Volts at the input. */
    double input(Map<Wire, Lug> wires, double place, double lift) {
        List<Resistor> resistors = resistors(wires, place, lift);
        double[][] g = new double[NODES][NODES + 1];
        for (Resistor r : resistors) {
            g[r.from][r.from] += 1 / r.ohms;
            g[r.to][r.to] += 1 / r.ohms;
            g[r.from][r.to] -= 1 / r.ohms;
            g[r.to][r.from] -= 1 / r.ohms;
        }
        double[] known = {0, volts, volts / 2};
        for (int node = 0; node < known.length; node++) {
            java.util.Arrays.fill(g[node], 0);
            g[node][node] = 1;
            g[node][NODES] = known[node];
        }
        return solve(g)[INPUT];
    }

    /** Gauss and Jordan, with the largest pivot. */
    private static double[] solve(double[][] g) {
        int n = g.length;
        for (int c = 0; c < n; c++) {
            int best = c;
            for (int r = c + 1; r < n; r++) {
                best = Math.abs(g[r][c]) > Math.abs(g[best][c]) ? r : best;
            }
            double[] row = g[best];
            g[best] = g[c];
            g[c] = row;
            for (int r = 0; r < n; r++) {
                double factor = r == c ? 0 : g[r][c] / g[c][c];
                for (int k = c; factor != 0 && k <= n; k++) {
                    g[r][k] -= factor * g[c][k];
                }
            }
        }
        double[] result = new double[n];
        for (int i = 0; i < n; i++) {
            result[i] = g[i][n] / g[i][i];
        }
        return result;
    }

    /** The same circuit for a simulator of circuits. */
    List<String> spice(String name, Map<Wire, Lug> wires, double place, double lift) {
        List<String> lines = new ArrayList<>();
        lines.add(String.format(Locale.ROOT, "V%ss %sn1 0 %g", name, name, volts));
        lines.add(String.format(Locale.ROOT, "V%sh %sn2 0 %g", name, name, volts / 2));
        int i = 0;
        for (Resistor r : resistors(wires, place, lift)) {
            lines.add(String.format(
                    Locale.ROOT, "R%sr%d %s %s %g", name, i++, node(name, r.from), node(name, r.to), r.ohms));
        }
        return lines;
    }

    /** What a simulator calls the input. */
    static String inputNode(String name) {
        return node(name, INPUT);
    }

    private static String node(String name, int node) {
        return node == GROUND ? "0" : name + "n" + node;
    }
}
