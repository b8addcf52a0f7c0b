package ringout.cli;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.Ohms;
import ringout.words.Texts;

/** What a builder types for what a meter shows. */
final class MeterAnswers {
    private MeterAnswers() {}

    /** What can be typed. */
    static String readings(ProbeMode mode) {
        String ranges = mode.readings().stream()
                .map(reading -> mode == ProbeMode.RESISTANCE
                        ? word(mode, reading) + " " + Ohms.range(reading)
                        : word(mode, reading))
                .collect(Collectors.joining(", "));
        return mode == ProbeMode.RESISTANCE ? Texts.say("ohms.or-figure", ranges) : ranges;
    }

    /** The reading typed, empty where it is none of that mode. */
    static Optional<ProbeReading> reading(ProbeMode mode, String typed) {
        String word =
                typed == null ? "" : typed.strip().toLowerCase(Locale.ROOT).replace(',', '.');
        Optional<ProbeReading> range = mode.readings().stream()
                .filter(reading -> word(mode, reading).equals(word))
                .findFirst();
        if (range.isPresent() || mode != ProbeMode.RESISTANCE) {
            return range;
        }
        OptionalDouble ohms = Ohms.parse(word);
        return ohms.isPresent() ? Optional.of(ProbeReading.ofOhms(ohms.getAsDouble())) : Optional.empty();
    }

    private static String word(ProbeMode mode, ProbeReading reading) {
        return switch (mode) {
            case CONTINUITY -> reading == ProbeReading.BEEP ? "beep" : "silent";
            case DIODE ->
                switch (reading) {
                    case BEEP -> "beep";
                    case ONE_DROP -> "0.6";
                    case TWO_DROPS -> "1.2";
                    default -> "open";
                };
            // One letter a range: a figure would be taken for what the meter shows.
            case RESISTANCE -> String.valueOf((char) ('a' + mode.readings().indexOf(reading)));
        };
    }
}
