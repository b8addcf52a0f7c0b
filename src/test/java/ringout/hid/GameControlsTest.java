package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Nothing that a controller declares is passed over in silence: it is an input, or it is named as not read. Which usages are
 * on/off controls and axes: HID Usage Tables 1.4, Generic Desktop page (0x01), Simulation Controls (0x02), Button (0x09).
 */
class GameControlsTest {
    private static final int[] PAGES = {0x01, 0x02, 0x05, 0x07, 0x09, 0x0B, 0x0C, 0xFF00};

    /** X to Wheel, Vx to Vno of the desktop page; Rudder to Steering of the simulation page. */
    private static boolean isAxis(int page, int id) {
        return page == 0x01 && (id >= 0x30 && id <= 0x38 || id >= 0x40 && id <= 0x46)
                || page == 0x02
                        && List.of(0xB0, 0xB5, 0xB6, 0xB8, 0xBA, 0xBB, 0xC4, 0xC5, 0xC6, 0xC8)
                                .contains(id);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
    void everyValueIsAnInputOrNamedAsUnread(int seed) throws Exception {
        Random random = new Random(seed);
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        bytes.writeBytes(new byte[] {0x05, 0x01, 0x09, (byte) (seed % 2 == 0 ? 4 : 5), (byte) 0xA1, 0x01});
        int oneBit = 0;
        int axes = 0;
        int values = 60;
        for (int i = 0; i < values; i++) {
            int page = PAGES[random.nextInt(PAGES.length)];
            int id = 1 + random.nextInt(page == 0x09 ? 200 : 0xFF);
            int size = random.nextInt(3) == 0 ? 1 : 2 + random.nextInt(15);
            // A switch wherever a firmware puts one; hats and D-pads have tests of their own.
            if (page == 0x01 && (id == 0x39 || id >= 0x90 && id <= 0x93)) {
                id = 0x3D;
            }
            bytes.writeBytes(new byte[] {
                0x06,
                (byte) page,
                (byte) (page >> 8),
                0x09,
                (byte) id,
                0x15,
                0,
                0x25,
                1,
                0x75,
                (byte) size,
                (byte) 0x95,
                1,
                (byte) 0x81,
                2
            });
            boolean button = page == 0x09;
            if (isAxis(page, id)) {
                axes++;
            } else if (size == 1 || button) {
                oneBit++;
            }
        }
        bytes.write(0xC0);
        GameControls controls = GameControls.of(ReportDescriptor.parse(bytes.toByteArray()));
        int unread = controls.unread().values().stream().mapToInt(n -> n).sum();
        assertTrue(controls.layout().axes().size() >= axes, controls.layout().axes() + " for " + axes + " axes");
        assertEquals(
                values,
                controls.layout().switches().size() + controls.layout().axes().size() + unread);
        assertTrue(controls.layout().switches().size()
                >= oneBit - controls.layout().axes().size() + axes);
        Map<String, Integer> names = new HashMap<>();
        controls.layout().inputs().forEach(input -> names.merge(input.text(), 1, Integer::sum));
        assertEquals(controls.layout().inputs().size(), names.size(), "each by a name of its own");
        names.keySet()
                .forEach(name ->
                        assertEquals(name, Input.parse(name).orElseThrow().text()));
    }

    /**
     * HID Usage Tables 1.4, application collections: Joystick 0x04, Gamepad 0x05, Multi-axis Controller 0x08; Simulation
     * Controls 0x01 to 0x0C, 0x20 to 0x25; Game Controls 0x01 to 0x03; their neighbours are none.
     */
    @ParameterizedTest
    @CsvSource({
        "0x01, 0x04, 0x04",
        "0x01, 0x05, 0x05",
        "0x01, 0x08, 0x08",
        "0x02, 0x01, 0x0C",
        "0x02, 0x20, 0x25",
        "0x05, 0x01, 0x03"
    })
    void whatControlsAGameIsTakenAndItsNeighboursAreNot(String page, String first, String last) {
        int from = Integer.decode(first);
        int to = Integer.decode(last);
        for (int id = from; id <= to; id++) {
            assertTrue(GameControls.isController(new Usage(Integer.decode(page), id)), page + " " + id);
        }
        // 0x04 and 0x05 lie side by side.
        boolean joystick = page.equals("0x01") && to == 0x04;
        boolean gamepad = page.equals("0x01") && from == 0x05;
        assertEquals(gamepad, GameControls.isController(new Usage(Integer.decode(page), from - 1)), page);
        assertEquals(joystick, GameControls.isController(new Usage(Integer.decode(page), to + 1)), page);
        assertFalse(GameControls.isController(new Usage(0x0C, from)), "the Consumer page has none");
    }
}
