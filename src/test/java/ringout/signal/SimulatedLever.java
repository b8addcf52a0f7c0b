package ringout.signal;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import ringout.hid.AxisUsage;
import ringout.hid.Input;
import ringout.hid.InputLayout;

/** A lever moved by a hand that is never quite steady, on a track that may be worn, read by a noisy converter. */
final class SimulatedLever {
    static final long MS = 1_000_000;

    final InputLayout.Axis axis;
    final Random random;
    private final long period;
    private final long range;
    private final double noise;
    private final DoubleUnaryOperator track;
    private final AxisMeter meter;
    private double at;
    private long now;
    private int spikesLeft;

    /**
     * @param maximum logical maximum; the minimum is 0
     * @param noise   standard deviation in steps
     * @param track   from the lever's place to the reading, both 0 to 1
     */
    SimulatedLever(long seed, long maximum, long period, double noise, DoubleUnaryOperator track) {
        this.random = new Random(seed);
        this.axis = new InputLayout.Axis(new Input.Axis(AxisUsage.Z), 0, maximum, false);
        this.range = maximum;
        this.period = period;
        this.noise = noise;
        this.track = track;
        this.meter = new AxisMeter(axis);
    }

    /** Nobody touches it for a while. */
    SimulatedLever rest(long nanos) {
        read();
        meter.rest(now);
        for (long end = now + nanos; now < end; now += period) {
            read();
        }
        meter.stop(now);
        return this;
    }

    /** From one end to the other and back, so many times each way. */
    SimulatedLever sweep(int passes) {
        at = 0;
        meter.sweep(now);
        for (int pass = 0; pass < passes; pass++) {
            pass(pass % 2 == 0);
        }
        meter.stop(now);
        return this;
    }

    /** So many spikes during what follows. */
    SimulatedLever spikes(int count) {
        spikesLeft = count;
        return this;
    }

    AxisMeter.Summary summary() {
        return meter.summary();
    }

    /** Speeds up and slows down twice at random, rests at the ends, and now and then stops halfway. */
    private void pass(boolean up) {
        double seconds = 0.8 + 2 * random.nextDouble();
        double wobble = 0.3 * random.nextDouble();
        double phase = 2 * Math.PI * random.nextDouble();
        double pauseAt = random.nextInt(3) == 0 ? 0.1 + 0.8 * random.nextDouble() : 2;
        linger((long) (50 * MS + random.nextDouble() * 250 * MS));
        long start = now;
        while (true) {
            double u = (now - start) / (seconds * 1e9);
            if (u >= 1) {
                break;
            }
            double s = u + wobble / (4 * Math.PI) * (Math.sin(4 * Math.PI * u + phase) - Math.sin(phase));
            double eased = s * s * (3 - 2 * s);
            at = Math.max(0, Math.min(1, up ? eased : 1 - eased));
            if (u >= pauseAt) {
                pauseAt = 2;
                long pause = (long) ((0.1 + 0.3 * random.nextDouble()) * 1e9);
                linger(pause);
                start += pause;
            }
            read();
            now += period;
        }
        at = up ? 1 : 0;
        linger((long) (50 * MS + random.nextDouble() * 250 * MS));
    }

    private void linger(long nanos) {
        for (long end = now + nanos; now < end; now += period) {
            read();
        }
    }

    private void read() {
        double reading = track.applyAsDouble(at) * range + noise * random.nextGaussian();
        long value = Math.max(0, Math.min(range, Math.round(reading)));
        if (spikesLeft > 0 && at > 0.2 && at < 0.8 && random.nextInt(40) == 0) {
            spikesLeft--;
            meter.sample(now, value < range / 2 ? range : 0);
            now += period;
        }
        meter.sample(now, value);
    }
}
