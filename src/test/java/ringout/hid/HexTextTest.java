package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class HexTextTest {
    private static final byte[] BYTES = {0x05, 0x01, (byte) 0xA1, 0x0F};

    @ParameterizedTest
    @ValueSource(
            strings = {
                "0501A10F",
                "05 01 a1 0f",
                "0x05, 0x01, 0xA1, 0x0F,",
                "0X5,1,a1\tF",
                "0x0501A10F",
                "0501 // A1 is left out\nA10F",
                "05,01,A1//\n,0F//",
                "// 0x00, zz\r\n05\r\n01\r\nA1\r\n0F\r\n// end",
                " \n05 01 A1 0F\n\n"
            })
    void readsWhatPeopleWrite(String text) throws HexException {
        assertArrayEquals(BYTES, HexText.parse(text));
    }

    @Test
    void noBytesAtAll() throws HexException {
        assertEquals(0, HexText.parse("").length);
        assertEquals(0, HexText.parse(" // nothing").length);
    }

    @Test
    void errorsNameLineAndColumn() {
        error("05 0g", 4, "line 1, column 5: 'g' where a hex digit was expected");
        error("05\n01 // x\n  050", 13, "line 3, column 3: an odd number of hex digits, 3");
        error("05 0x", 5, "line 1, column 6: the end where a hex digit was expected");
        error("05;01", 2, "line 1, column 3: ';' where a hex digit was expected");
        error("05 / 01", 3, "line 1, column 4: '/' where a hex digit was expected");
        // An Arabic-Indic digit is no hex digit.
        error("05 \u0661", 3, "line 1, column 4: '\u0661' where a hex digit was expected");
    }

    private static void error(String text, int offset, String message) {
        HexException e = assertThrows(HexException.class, () -> HexText.parse(text));
        assertEquals(message, e.getMessage());
        assertEquals(offset, e.index());
    }
}
