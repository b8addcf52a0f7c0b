package ringout.outside;

import java.util.SplittableRandom;
import ringout.plan.Plan;
import ringout.plan.Scan;

/**
 * The microcontroller and firmware of one box as they came from the factory.
 *
 * <p>Ranges, all from memory of the published data sheets, not read again here: pull-ups of 20 to 50 kΩ at I/O pins and
 * input thresholds between 0.2 VCC − 0.1 V (always low) and 0.2 VCC + 0.9 V (always high) for an ATmega32U4; pulls of 50
 * to 80 kΩ, low below 0.8 V and high above 2.0 V at 3.3 V for an RP2040; pulls of 30 to 50 kΩ, thresholds of 0.3 and 0.7
 * VDD for an STM32F1; pulls of 20 to 60 kΩ, thresholds of 0.3 and 0.55 VDD for a SAMD21. Outputs of 20 to 50 Ω. Lines of
 * 50 to 200 pF with their pins: common practice, no source.
 *
 * @param volts       supply
 * @param pull        ohms of every pull
 * @param drive       ohms of a driven pin
 * @param threshold   volts at which an input turns over
 * @param farads      of one line with its pin
 * @param settle      seconds from driving a line to reading
 * @param idle        what the lines that are not driven now do
 * @param debounceMs  how long a change must stand
 * @param floatingTo  volts a pin without a pull creeps to
 */
record Chip(
        double volts,
        double pull,
        double drive,
        double threshold,
        double farads,
        double settle,
        Idle idle,
        int debounceMs,
        double floatingTo) {

    /** What firmware does with the driven lines that are not this turn's. */
    enum Idle {
        /** Nothing: an input without a pull. */
        FREE,
        /** An input with its pull on. */
        PULLED
    }

    static Chip draw(Plan plan, SplittableRandom random) {
        boolean five = plan.scan().supply().map(s -> s == Scan.Supply.V5).orElseGet(random::nextBoolean);
        double volts = five ? 5 : 3.3;
        double pull;
        double low;
        double high;
        int maker = five ? 0 : random.nextInt(4);
        switch (maker) {
            case 1 -> {
                pull = random.nextDouble(50e3, 80e3);
                low = 0.8;
                high = 2.0;
            }
            case 2 -> {
                pull = random.nextDouble(30e3, 50e3);
                low = 0.3 * volts;
                high = 0.7 * volts;
            }
            case 3 -> {
                pull = random.nextDouble(20e3, 60e3);
                low = 0.3 * volts;
                high = 0.55 * volts;
            }
            default -> {
                pull = random.nextDouble(20e3, 50e3);
                low = 0.2 * volts - 0.1;
                high = 0.2 * volts + 0.9;
            }
        }
        // Thresholds of real parts stay clear of their guaranteed limits.
        double threshold = low + (high - low) * random.nextDouble(0.15, 0.85);
        if (plan.scan().active() == Scan.Active.HIGH && maker == 0) {
            // An AVR has no pull-downs; a board that drives high has resistors of its own.
            pull = 10_000;
        }
        int debounce = plan.scan().debounceNanos() > 0
                ? (int) Math.max(1, plan.scan().debounceNanos() / 1_000_000)
                : random.nextInt(2, 8);
        return new Chip(
                volts,
                pull,
                random.nextDouble(20, 50),
                threshold,
                random.nextDouble(50e-12, 200e-12),
                // Direct pins have all the time in the world; a matrix whose designer was careful waits several RC.
                random.nextDouble(60e-6, 120e-6),
                random.nextBoolean() ? Idle.FREE : Idle.PULLED,
                debounce,
                random.nextBoolean() ? volts : 0);
    }

    /** The same chip whose firmware reads so many seconds after driving. */
    Chip settling(double seconds) {
        return new Chip(volts, pull, drive, threshold, farads, seconds, idle, debounceMs, floatingTo);
    }

    /** The same chip that waits so long before it believes a change. */
    Chip debouncing(int ms) {
        return new Chip(volts, pull, drive, threshold, farads, settle, idle, ms, floatingTo);
    }
}
