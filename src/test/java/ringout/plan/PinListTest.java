package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PinListTest {
    @Test
    void numbersRangesAndNamesAreReadInTheOrderWritten() {
        assertEquals(
                List.of("pin 14", "pin 2", "pin 3", "pin 4", "A0", "A1", "GP15"),
                PinList.parse("14, 2-4, A0-A1, GP15"));
        assertEquals(List.of("pin 2", "pin 3"), PinList.parse("pin 2; pin 3"));
        assertEquals(List.of("pin 7"), PinList.parse("7-7"));
        assertEquals(List.of(), PinList.parse(" "));
    }

    @ParameterizedTest
    @ValueSource(strings = {"4-2", "2, 2", "A0-B3", "1-9999", "2/3", "#"})
    void whatIsNoListIsRefused(String text) {
        assertThrows(PlanEditException.class, () -> PinList.parse(text));
    }

    @Test
    void moreThan256PinsAreMoreThanAnyBoardHas() {
        assertEquals(256, PinList.parse("0-255").size());
        assertEquals(256, PinList.parse("2, 3-257").size());
        assertThrows(PlanEditException.class, () -> PinList.parse("0-256"));
    }

    @Test
    void whatIsWrittenIsReadBack() {
        List<String> pins = List.of("pin 2", "pin 3", "pin 4", "pin 7", "pin 8", "A0", "A1", "A2", "MISO");
        assertEquals("2-4, 7, 8, A0-A2, MISO", PinList.text(pins));
        assertEquals(pins, PinList.parse(PinList.text(pins)));
    }

    @Test
    void anotherPinIsTheOneAfterTheLast() {
        assertEquals("pin 10", PinList.another(List.of("pin 9", "pin 4", "A3")));
        assertEquals("pin 10", PinList.another(List.of("pin 4", "pin 9")));
        assertEquals("pin 2", PinList.another(List.of()));
    }
}
