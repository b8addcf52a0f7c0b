package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.IOException;
import java.util.Iterator;
import java.util.List;
import java.util.NoSuchElementException;
import java.util.Spliterator;
import java.util.Spliterators;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/**
 * Boxes made with /dev/uhid in a real Linux kernel, read through the same code as any box: what we decode must be what
 * the kernel decodes, and unplugging must lose nothing. Two guests
 * share the checks, side by side since both wait much; each check is a test here.
 *
 * <p>Skipped where the guest cannot run, saying what is missing. With the Maven profile {@code kernel-hid}, or with
 * {@code RINGOUT_KERNEL=required} in the environment, that is a failure instead.
 */
class KernelHidTest {

    @TestFactory
    Stream<DynamicTest> kernel() throws IOException {
        String missing = Guest.missing();
        if (!missing.isEmpty()) {
            if (Guest.required()) {
                fail("the kernel test cannot run: " + missing);
            }
            System.out.println("Kernel test skipped: " + missing);
            // Inside a test, so that it is counted.
            return Stream.of(DynamicTest.dynamicTest("a kernel guest", () -> Assumptions.abort(missing)));
        }
        Guest hidraw = Guest.start(GuestMain.class, "kernel", List.of());
        Guest evdev = Guest.start(GuestMain.class, "kernel-evdev", List.of(GuestMain.EVDEV));
        return Stream.concat(checks(hidraw), checks(evdev));
    }

    private static Stream<DynamicTest> checks(Guest guest) {
        return StreamSupport.stream(Spliterators.spliteratorUnknownSize(new Checks(guest), Spliterator.ORDERED), false)
                .onClose(guest::close);
    }

    /** One test per line of the guest, each made as soon as the line is there; last, that the guest came to its end. */
    private static final class Checks implements Iterator<DynamicTest> {
        private final Guest guest;
        private int received;
        private boolean ended;

        Checks(Guest guest) {
            this.guest = guest;
        }

        @Override
        public boolean hasNext() {
            return !ended;
        }

        @Override
        public DynamicTest next() {
            if (ended) {
                throw new NoSuchElementException();
            }
            String line = guest.nextResult();
            String[] parts = line.split("\t", 3);
            switch (parts[0]) {
                case Results.PASSED -> {
                    received++;
                    return DynamicTest.dynamicTest(parts[1], () -> {});
                }
                case Results.FAILED -> {
                    received++;
                    return DynamicTest.dynamicTest(parts[1], () -> fail("in the guest: " + Results.unescape(parts[2])));
                }
                case Results.END -> {
                    ended = true;
                    return DynamicTest.dynamicTest(
                            "every check of the guest arrived",
                            () -> assertEquals(Integer.parseInt(parts[1]), received));
                }
                default -> {
                    ended = true;
                    return DynamicTest.dynamicTest("the guest came to its end", () -> fail(line));
                }
            }
        }
    }
}
