package ringout.cli;

import java.util.Locale;
import java.util.Optional;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;

/** What a builder types for what a meter shows. */
final class MeterAnswers {
    private MeterAnswers() {
    }

    /** What can be typed: on continuity a meter beeps or does not; only diode test tells drops. */
    static String readings(ProbeMode mode) {
        return mode == ProbeMode.CONTINUITY ? "beep, open" : "beep, 0.6, 1.2, open";
    }

    /** The reading typed, empty where it is none of that mode. */
    static Optional<ProbeReading> reading(ProbeMode mode, String typed) {
        String word = typed == null ? "" : typed.strip().toLowerCase(Locale.ROOT).replace(',', '.');
        return switch (word) {
            case "beep" -> Optional.of(ProbeReading.BEEP);
            case "0.6" -> mode == ProbeMode.DIODE ? Optional.of(ProbeReading.ONE_DROP) : Optional.empty();
            case "1.2" -> mode == ProbeMode.DIODE ? Optional.of(ProbeReading.TWO_DROPS) : Optional.empty();
            case "open" -> Optional.of(ProbeReading.OPEN);
            default -> Optional.empty();
        };
    }
}
