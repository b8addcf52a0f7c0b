package ringout.words;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Wherever somebody is sent to the iron or the meter, all of the cautions stand. What they say is common practice, no source. */
class CautionsTest {
    private static final List<String> ALL =
            List.of("USB", "second supply", "mains voltage", "ocal codes", "licensed practice");

    @ParameterizedTest
    @ValueSource(
            strings = {
                "reason.caution",
                "reason.unplug",
                "hunt.unplug+hunt.unplug.detail",
                "continuity.unplug+continuity.codes",
                "solder.unplug+solder.codes",
                "sheet.before.usb+sheet.before.codes",
                "report.before.usb+report.before.eyes"
            })
    void allOfThemStand(String keys) {
        StringBuilder said = new StringBuilder();
        for (String key : keys.split("\\+")) {
            said.append(Phrase.of(key, "").text()).append(' ');
        }
        for (String caution : ALL) {
            assertTrue(said.toString().contains(caution), () -> keys + " lacks " + caution + ": " + said);
        }
    }
}
