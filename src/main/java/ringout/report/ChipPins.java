package ringout.report;

import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Where the pins that are printed on common ATmega32U4 boards are on the chip.
 *
 * <p>Source: the pin assignments of the ATmega16U4/32U4 data sheet for the ports and ADC channels; which of them a board
 * prints as 0 to 16 and A0 to A5 is common practice, from memory, no source. A pin may also be written as the chip has it:
 * {@code PB4}.
 */
public final class ChipPins {
    private static final Pattern PORT = Pattern.compile("P([BCDEF])([0-7])");
    private static final Map<String, String> PRINTED = new HashMap<>();
    /** By ADC channel; empty where the chip has none. */
    private static final String[] CHANNELS = {
        "PF0", "PF1", "", "", "PF4", "PF5", "PF6", "PF7", "PD4", "PD6", "PD7", "PB4", "PB5", "PB6"
    };

    static {
        String[] digital = {
            "PD2", "PD3", "PD1", "PD0", "PD4", "PC6", "PD7", "PE6", "PB4", "PB5", "PB6", "PB7", "PD6", "PC7", "PB3",
            "PB1", "PB2", "PB0"
        };
        for (int i = 0; i < digital.length; i++) {
            PRINTED.put("pin " + i, digital[i]);
        }
        String[] analogue = {"PF7", "PF6", "PF5", "PF4", "PF1", "PF0"};
        for (int i = 0; i < analogue.length; i++) {
            PRINTED.put("a" + i, analogue[i]);
            PRINTED.put("pin " + (digital.length + i), analogue[i]);
        }
    }

    private ChipPins() {}

    /** The chip's name of a pin as a plan writes it: {@code PB4} for {@code pin 8}. */
    public static Optional<String> port(String pin) {
        String plain = pin.strip().toLowerCase(Locale.ROOT);
        if (PORT.matcher(plain.toUpperCase(Locale.ROOT)).matches()) {
            return Optional.of(plain.toUpperCase(Locale.ROOT));
        }
        return Optional.ofNullable(PRINTED.get(plain));
    }

    /** As the firmware counts pins: the port from B times 8, and the bit. */
    public static int index(String port) {
        Matcher matcher = PORT.matcher(port);
        if (!matcher.matches()) {
            throw new IllegalArgumentException(port);
        }
        return (matcher.group(1).charAt(0) - 'B') * 8 + matcher.group(2).charAt(0) - '0';
    }

    /** The name of a pin by its index. */
    public static String name(int index) {
        return "P" + (char) ('B' + index / 8) + index % 8;
    }

    /** The analogue channel of a pin of the chip. */
    public static OptionalInt channel(String port) {
        for (int i = 0; i < CHANNELS.length; i++) {
            if (CHANNELS[i].equals(port)) {
                return OptionalInt.of(i);
            }
        }
        return OptionalInt.empty();
    }
}
