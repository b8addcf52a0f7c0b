package ringout.cli;

import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;

/** What a builder types for what a meter shows. */
final class MeterAnswers {
    private MeterAnswers() {}

    /** What can be typed. */
    static String readings(ProbeMode mode) {
        return mode.readings().stream().map(reading -> word(mode, reading)).collect(Collectors.joining(", "));
    }

    /** The reading typed, empty where it is none of that mode. */
    static Optional<ProbeReading> reading(ProbeMode mode, String typed) {
        String word =
                typed == null ? "" : typed.strip().toLowerCase(Locale.ROOT).replace(',', '.');
        return mode.readings().stream()
                .filter(reading -> word(mode, reading).equals(word))
                .findFirst();
    }

    private static String word(ProbeMode mode, ProbeReading reading) {
        return switch (reading) {
            case BEEP -> "beep";
            case ONE_DROP -> "0.6";
            case TWO_DROPS -> "1.2";
            case OPEN -> mode == ProbeMode.CONTINUITY ? "silent" : "open";
            case UNCERTAIN -> "?";
        };
    }
}
