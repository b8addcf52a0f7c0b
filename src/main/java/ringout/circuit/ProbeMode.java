package ringout.circuit;

import java.util.List;
import java.util.Locale;

/** What a multimeter is set to. */
public enum ProbeMode {
    /** Beeps where the resistance is a few ohms; a diode in the path keeps it silent. The same both ways round. */
    CONTINUITY(ProbeReading.BEEP, ProbeReading.OPEN),
    /** Shows the drop of a diode from the red probe to the black one, and beeps or shows about zero for plain wire. */
    DIODE(ProbeReading.BEEP, ProbeReading.ONE_DROP, ProbeReading.TWO_DROPS, ProbeReading.OPEN),
    /**
     * Shows a resistance, the same both ways round, unless diodes lie in the path: how much a meter sends through those
     * is its own affair.
     */
    RESISTANCE(
            ProbeReading.BEEP,
            ProbeReading.BELOW_1K,
            ProbeReading.BELOW_10K,
            ProbeReading.BELOW_100K,
            ProbeReading.BELOW_1M,
            ProbeReading.OPEN);

    private final List<ProbeReading> readings;

    ProbeMode(ProbeReading... readings) {
        this.readings = List.of(readings);
    }

    /** How it is written: {@code continuity}. */
    public String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    /** All it can show, from the best path to none. */
    public List<ProbeReading> readings() {
        return readings;
    }
}
