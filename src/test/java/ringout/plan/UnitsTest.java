package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import java.util.OptionalInt;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.PlanMaker;

/** Quantities as people write them, and how much of something a plan may have. */
class UnitsTest {
    @ParameterizedTest
    @DisplayName("the international inch of 1959 is 25.4 mm exactly")
    @CsvSource({"7 mm, 7", "3.7 cm, 37", "2 in, 50.8", "16.2MM, 16.2", "0 mm, 0", "10000 mm, 10000"})
    void lengthsAreMillimetresCentimetresOrInches(String text, double mm) {
        assertEquals(Optional.of(mm), Units.millimetres(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"7", "-1 mm", "7 m", "10000.1 mm", "mm", "7,5 mm"})
    void whatIsNoLengthIsNone(String text) {
        assertEquals(Optional.empty(), Units.millimetres(text));
    }

    @ParameterizedTest
    @CsvSource({
        "250 us, 250000",
        "1.5 ms, 1500000",
        "60 s, 60000000000",
        "2 min, 120000000000",
        "0 s, 0",
        "1440 min, 86400000000000"
    })
    void timesAreMicrosecondsToMinutes(String text, long nanos) {
        assertEquals(Optional.of(nanos), Units.nanoseconds(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"5", "1 h", "86400.1 s", "ms"})
    void whatIsNoTimeUpToADayIsNone(String text) {
        assertEquals(Optional.empty(), Units.nanoseconds(text));
    }

    @ParameterizedTest
    @CsvSource({"1 %, 1", "90%, 90", "100 %, 100"})
    void sharesAreWholePercent(String text, int percent) {
        assertEquals(Optional.of(percent), Units.percent(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"0 %", "101 %", "90", "1.5 %"})
    void whatIsNoShareIsNone(String text) {
        assertEquals(Optional.empty(), Units.percent(text));
    }

    @ParameterizedTest
    @DisplayName("YAML 1.2.2, 10.3.2: whole numbers are decimal, 0o octal or 0x hexadecimal")
    @CsvSource({"0x1209, 4617", "0o17, 15", "10, 10", "0, 0", "0xFFFF, 65535", "010, 10"})
    void wholeNumbersAreAsYamlHasThem(String text, int id) {
        assertEquals(Optional.of(id), Units.usbId(text));
    }

    @ParameterizedTest
    @ValueSource(strings = {"-1", "0x10000", "65536", "0o8", "x", ""})
    void whatIsNoUsbIdIsNone(String text) {
        assertEquals(Optional.empty(), Units.usbId(text));
    }

    // ---------------------------------------------------------------- limits

    /** See docs/limits.md: 32 x 32 contacts on 64 lines, or 300 direct lines, are not large yet. */
    @Test
    void aPlanIsLargeFromMoreThan100000ContactsTimesLines() {
        assertFalse(Limits.isLarge(directs(316)));
        assertTrue(Limits.isLarge(directs(317)));
        assertFalse(Limits.isLarge(new Lines(250, 400).plan()), "100 000 exactly");
    }

    private static Plan directs(int count) {
        return new Lines(count, count).plan();
    }

    private record Lines(int lines, int contacts) {
        Plan plan() {
            PlanMaker maker = PlanMaker.box().directs(lines);
            for (int i = 1; i <= contacts; i++) {
                maker.push("b" + i);
            }
            return maker.plan();
        }
    }

    @ParameterizedTest
    @CsvSource({"32, 0", "33, 32", "128, 32", "129, 128"})
    void someProgramsSeeNoButtonBeyond32OrBeyond128(int button, int seen) {
        assertEquals(seen == 0 ? OptionalInt.empty() : OptionalInt.of(seen), Limits.reach(button));
    }
}
