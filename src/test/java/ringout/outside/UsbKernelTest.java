package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.fail;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import ringout.kernel.Guest;
import ringout.kernel.Results;
import ringout.plan.Plan;

/**
 * Firmware on an emulated chip, its USB attached by USB/IP to a real Linux kernel, enumerated there by usbhid, read by
 * Ringout through hidraw: an open row wire is found, and boxes come and go as boxes do. The kernel runs in
 * {@link Guest}, the chips beside it; {@link UsbGuestMain} is what runs inside.
 *
 * <p>Skipped with the reason where the guest, avr-gcc or libsimavr is missing; a failure where those are required.
 */
class UsbKernelTest {

    @TestFactory
    Stream<DynamicTest> boxesOnRealUsb() throws IOException {
        String missing = Stream.of(Guest.missing(), Firmwares.missing())
                .filter(m -> !m.isEmpty())
                .reduce("", (a, b) -> a.isEmpty() ? b : a + "; " + b);
        if (!missing.isEmpty()) {
            if (Guest.required() && Firmwares.required()) {
                fail("boxes on USB cannot be tested: " + missing);
            }
            System.out.println("USB test skipped: " + missing);
            return Stream.of(DynamicTest.dynamicTest("boxes on USB", () -> Assumptions.abort(missing)));
        }
        List<DynamicTest> tests = new ArrayList<>();
        try (ServedBox open = box("open", List.of(Mistake.of("open:R2")));
                ServedBox good = box("good", List.of());
                ServerSocket control = new ServerSocket(0, 2, InetAddress.getLoopbackAddress())) {
            Thread hands = new Thread(() -> obey(control, List.of(open, good)), "usb-test-hands");
            hands.setDaemon(true);
            hands.start();
            try (Guest guest = Guest.startConnected(
                    UsbGuestMain.class,
                    List.of(
                            String.valueOf(control.getLocalPort()),
                            String.valueOf(open.port()),
                            String.valueOf(good.port())))) {
                collect(guest, tests);
            }
        }
        return tests.stream();
    }

    private static void collect(Guest guest, List<DynamicTest> tests) {
        int received = 0;
        while (true) {
            String line = guest.nextResult();
            String[] parts = line.split("\t", 3);
            switch (parts[0]) {
                case Results.PASSED -> {
                    received++;
                    tests.add(DynamicTest.dynamicTest(parts[1], () -> {}));
                }
                case Results.FAILED -> {
                    received++;
                    tests.add(DynamicTest.dynamicTest(
                            parts[1], () -> fail("in the guest: " + Results.unescape(parts[2]))));
                }
                default -> {
                    boolean ended = parts[0].equals(Results.END);
                    int arrived = received;
                    tests.add(DynamicTest.dynamicTest("every check of the guest arrived", () -> {
                        if (!ended) {
                            fail(line);
                        }
                        assertEquals(Integer.parseInt(parts[1]), arrived);
                    }));
                    return;
                }
            }
        }
    }

    private static ServedBox box(String which, List<Mistake> mistakes) throws IOException {
        Plan plan = UsbGuestMain.plan(which);
        Chip chip = Emulated.chip(plan, Chip.draw(plan, new SplittableRandom(5)), new SplittableRandom(5));
        Soldered soldered = new Soldered(plan, chip, mistakes);
        return new ServedBox(soldered, soldered.settings());
    }

    /** Lines of the guest: the number of a box, and what it is to do. */
    private static void obey(ServerSocket control, List<ServedBox> boxes) {
        try (Socket guest = control.accept();
                BufferedReader in =
                        new BufferedReader(new InputStreamReader(guest.getInputStream(), StandardCharsets.US_ASCII))) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                boxes.get(line.charAt(0) - '0').does(line.substring(2));
            }
        } catch (IOException gone) {
            System.out.println("the guest's hands are gone: " + gone);
        }
    }
}
