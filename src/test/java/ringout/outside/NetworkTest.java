package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/** The solver against textbook formulas: Ohm, Kirchhoff, Shockley, and the charging of a capacitor. */
class NetworkTest {
    @Test
    void dividerDivides() {
        Network net = new Network(3);
        net.source(1, 5, 0.001);
        net.resistor(1, 2, 30_000);
        net.resistor(2, 0, 10_000);
        assertEquals(1.25, net.settled(new double[3])[2], 1e-6);
    }

    /** I = (V − Vd) / R and Vd = N·Vt·ln(I / IS + 1) hold at once. */
    @Test
    void diodeFollowsShockley() {
        for (double ohms : new double[] {100, 1_000, 35_000, 1e6}) {
            Network net = new Network(3);
            net.source(1, 5, 0.001);
            net.resistor(1, 2, ohms);
            net.diode(2, 0);
            double drop = net.settled(new double[3])[2];
            double amperes = (5 - drop) / ohms;
            assertEquals(1.752 * 0.02585 * Math.log(amperes / 2.52e-9 + 1), drop, 2e-3, ohms + " ohms");
        }
    }

    @Test
    void diodeBlocksTheOtherWay() {
        Network net = new Network(3);
        net.source(1, 5, 0.001);
        net.resistor(1, 2, 35_000);
        net.diode(0, 2);
        assertEquals(5, net.settled(new double[3])[2], 1e-3);
    }

    /** V(t) = V·(1 − e^(−t / RC)). */
    @Test
    void capacitorCharges() {
        Network net = new Network(2);
        net.source(1, 5, 35_000);
        net.capacitor(1, 200e-12);
        double[] v = new double[2];
        int steps = 1000;
        for (int i = 0; i < steps; i++) {
            v = net.after(v, 7e-6 / steps);
        }
        assertEquals(5 * (1 - Math.exp(-1)), v[1], 0.005);
    }

    @Test
    void nodeInTheAirIsSolvable() {
        assertEquals(0, new Network(2).settled(new double[2])[1]);
    }
}
