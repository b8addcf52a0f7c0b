package ringout.hid;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.math.BigInteger;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * Every place and size a value can have in reports of one to twenty bytes, against the report read as one big number:
 * lowest bit of a byte first (HID 1.11 section 5.6), two's complement (section 5.8).
 */
class BitsTest {
    private static final int LONGEST = 20;

    private final SplittableRandom random = new SplittableRandom(1);

    @Test
    void valuesAtEveryPlace() {
        for (int length = 1; length <= LONGEST; length++) {
            byte[] report = new byte[length];
            random.nextBytes(report);
            for (int bit = 0; bit < length * 8; bit++) {
                for (int size = 1; size <= 32 && bit + size <= length * 8; size++) {
                    BigInteger modulus = BigInteger.ONE.shiftLeft(size);
                    BigInteger value = number(report).shiftRight(bit).mod(modulus);
                    String where = size + " bits at " + bit + " of " + length + " bytes";
                    assertEquals(value.longValueExact(), Bits.value(report, bit, size, false), where);
                    BigInteger signed = value.testBit(size - 1) ? value.subtract(modulus) : value;
                    assertEquals(signed.longValueExact(), Bits.value(report, bit, size, true), where);
                }
            }
        }
    }

    @Test
    void whatIsPutIsThereAndNothingElseIsTouched() {
        for (int bit = 0; bit < 24; bit++) {
            for (int size = 1; size <= 32; size++) {
                byte[] report = new byte[7];
                random.nextBytes(report);
                BigInteger mask =
                        BigInteger.ONE.shiftLeft(size).subtract(BigInteger.ONE).shiftLeft(bit);
                long value = random.nextLong();
                BigInteger before = number(report);
                BigInteger after = before.andNot(mask)
                        .or(BigInteger.valueOf(value).shiftLeft(bit).and(mask));
                String where = size + " bits at " + bit;
                assertEquals(!after.equals(before), Bits.put(report, bit, size, value), where);
                assertEquals(after, number(report), where);
                assertFalse(Bits.put(report, bit, size, value), "a second time, " + where);
            }
        }
    }

    @Test
    void valuesOfMoreThan32BitsAreTheirLowest32() {
        byte[] report = {0, 0, (byte) 0xFF, 0, 0, (byte) 0x80, 1, 2, 3, 4};
        assertEquals(0x800000FFL, Bits.value(report, 16, 40, false));
        assertEquals(0xFFFFFFFF800000FFL, Bits.value(report, 16, 40, true));
    }

    @Test
    void valuesBeyondTheReportAreRefused() {
        for (int length = 0; length <= LONGEST; length++) {
            byte[] report = new byte[length];
            int end = length * 8;
            assertThrows(IndexOutOfBoundsException.class, () -> Bits.unsigned(report, end, 1));
            assertThrows(IndexOutOfBoundsException.class, () -> Bits.unsigned(report, end - 1, 2));
            assertThrows(IndexOutOfBoundsException.class, () -> Bits.unsigned(report, end + 64, 8));
        }
    }

    private static BigInteger number(byte[] report) {
        BigInteger number = BigInteger.ZERO;
        for (int i = report.length - 1; i >= 0; i--) {
            number = number.shiftLeft(8).or(BigInteger.valueOf(report[i] & 0xFF));
        }
        return number;
    }
}
