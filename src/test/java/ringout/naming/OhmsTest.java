package ringout.naming;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.ProbeMode;

/** Figures as people read them off a meter; {@code 4k7} as IEC 60062 marks resistors. */
class OhmsTest {
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "12k | 12000",
                "4.7k | 4700",
                "4,7 k | 4700",
                "4k7 | 4700",
                "4R7 | 4.7",
                "330 | 330",
                "330 ohm | 330",
                "0.3 | 0.3",
                "1M | 1000000",
                "1.2 MΩ | 1200000",
                "1.2 Meg | 1200000",
                "47 kohms | 47000",
                "47 KΩ | 47000"
            })
    void aFigureIsRead(String typed, double ohms) {
        assertEquals(ohms, Ohms.parse(typed).orElseThrow(), 1e-6);
    }

    @ParameterizedTest
    @ValueSource(strings = {"OL", "open", "0L", "O.L", " ol "})
    void anOpenLineIsInfinite(String typed) {
        assertTrue(Double.isInfinite(Ohms.parse(typed).orElseThrow()));
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "k", "12 V", "-3", "4.7k3", "4k", "1e3", "beep", "12 k k", "99999999999"})
    void whatIsNoResistanceIsNone(String typed) {
        assertEquals(typed.equals("4k"), Ohms.parse(typed).isPresent(), typed);
    }

    @Test
    void everyRangeHasWordsOfItsOwn() {
        var words = ProbeMode.RESISTANCE.readings().stream()
                .map(r -> Ohms.range(r).text())
                .toList();
        assertEquals(words.size(), words.stream().distinct().count());
        assertFalse(words.contains(""));
    }
}
