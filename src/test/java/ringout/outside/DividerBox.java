package ringout.outside;

import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import ringout.hid.Input;

/**
 * A box whose axes are potentiometers: what a hand does to a lever goes through {@link Divider} and a converter of ten bits
 * with its noise before the box reports it.
 */
final class DividerBox implements PlayedBox {
    private static final long MS = 1_000_000;
    /** How often the converter takes a new value: common practice, no source. */
    private static final long CONVERSION = 4 * MS;

    /** What a pin does that nothing holds. All three are met; which is a matter of the board. */
    enum Floating {
        /** It leaks to half the supply, and picks up the mains. */
        HUM,
        /** The converter's capacitor still has what the channel before gave it. */
        KEEPS,
        /** The firmware has left a pull-up on. */
        PULLED
    }

    /** One lever. */
    static final class Lever {
        final Input reports;
        final Map<Divider.Wire, Divider.Lug> wires = new EnumMap<>(Divider.good());
        final double track;
        /** The wire that comes and goes; null for none. */
        Divider.Wire loose;
        /** Where the track is worn, its width a twenty-fifth of the travel; negative for nowhere. */
        double wornAt = -1;

        double place = 0.5;
        double hand = 0.5;
        boolean off;
        long changes;

        Lever(Input reports, double track) {
            this.reports = reports;
            this.track = track;
        }
    }

    private final LiveBox inner;
    private final Map<Input, Lever> levers;
    private final List<Input> order;
    private final Floating floating;
    private final SplittableRandom random;
    private final double volts;
    private final Map<Input, Integer> last = new HashMap<>();
    private long nextConversion;

    /**
     * @param levers by the input that the plan gives them
     * @param order  in which the converter goes through them
     */
    DividerBox(LiveBox inner, Map<Input, Lever> levers, List<Input> order, Floating floating, double volts, long seed) {
        this.inner = inner;
        this.levers = levers;
        this.order = order;
        this.floating = floating;
        this.volts = volts;
        random = new SplittableRandom(seed);
        levers.values().forEach(l -> l.changes = between(100, 500));
        // Firmware reads before it reports at all.
        convert(0);
        nextConversion = CONVERSION;
    }

    private long between(long least, long most) {
        return random.nextLong(least * MS, most * MS);
    }

    @Override
    public byte[] descriptor() {
        return inner.descriptor();
    }

    @Override
    public void move(long nanos, String contact, boolean close) {
        inner.move(nanos, contact, close);
    }

    @Override
    public void axis(long nanos, Input input, int value) {
        levers.get(input).hand = value / 1023.0;
    }

    @Override
    public Report run(long until) {
        while (true) {
            Report report = inner.run(Math.min(until, nextConversion));
            if (report != null) {
                return report;
            }
            if (nextConversion > until) {
                return null;
            }
            convert(nextConversion);
            nextConversion += CONVERSION;
        }
    }

    private void convert(long now) {
        double before = volts / 2;
        for (Input input : order) {
            Lever lever = levers.get(input);
            // A hand does not move in steps: here it lags some twenty milliseconds.
            lever.place += 0.2 * (lever.hand - lever.place);
            if (lever.loose != null && now >= lever.changes) {
                lever.off = !lever.off;
                lever.changes = now + (lever.off ? between(20, 120) : between(150, 700));
            }
            Map<Divider.Wire, Divider.Lug> wires = new EnumMap<>(lever.wires);
            if (lever.off) {
                wires.put(lever.loose, Divider.Lug.NOWHERE);
            }
            boolean worn = Math.abs(lever.place - lever.wornAt) < 0.02;
            boolean pulled = floating == Floating.PULLED;
            Divider divider = new Divider(
                    lever.track,
                    100,
                    floating == Floating.HUM ? 20e6 : 200e6,
                    pulled ? 35e3 : Double.POSITIVE_INFINITY,
                    volts);
            double level = divider.input(wires, lever.place, worn ? 20e6 : 0);
            boolean floats = wires.get(Divider.Wire.INPUT) == Divider.Lug.NOWHERE || worn;
            if (floats && floating == Floating.KEEPS) {
                level = before;
            } else if (floats && floating == Floating.HUM) {
                level += 0.2 * volts * Math.sin(2 * Math.PI * 50 * (now / 1e9)) + 0.03 * volts * random.nextGaussian();
            }
            before = level;
            int value = (int) Math.round(level / volts * 1023 + 0.4 * random.nextGaussian());
            value = Math.max(0, Math.min(1023, value));
            // Firmware keeps a value that has hardly changed: common practice, no source.
            if (Math.abs(value - last.getOrDefault(lever.reports, -9)) > 1) {
                last.put(lever.reports, value);
                inner.axis(now, lever.reports, value);
            }
        }
    }
}
