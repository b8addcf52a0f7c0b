package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.PlanHash;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;

/**
 * What the program asks after a mend, as a process in a terminal: a box that was bad in a kept check is played back good
 * ({@code rec:FILE}, in virtual time), and a number is typed.
 */
class MendedQuestionTest {
    private static final String PLAN = """
            ringout: 1
            box:
              name: Two buttons
              usb: { vendor: 0x1209, product: 0x0009, serial: TWO-01 }
            lines:
              direct: { D1: pin 2, D2: pin 3 }
            scan: { direct: ground }
            controls:
              - { id: horn, label: Horn, kind: push, at: D1, input: button 1 }
              - { id: bell, label: Bell, kind: push, at: D2, input: button 2 }
            """;
    /** Sixteen buttons, report id 1: USB HID 1.11, sections 6.2.2 and 8. */
    private static final String DESCRIPTOR = "05010904a101850105091901291015002501750195108102c0";

    private static final long SECOND = 1_000_000_000L;
    /** Seconds at which each of the two is pressed: well after it is asked for, and well before that is given up. */
    private static final List<Integer> PRESSED = List.of(5, 8);

    private static final int PATIENCE_SECONDS = 120;

    @TempDir
    private Path home;

    @Test
    void afterAMendItAsksWhatItWasAndKeepsTheAnswerWithTheCheckThatFoundIt()
            throws IOException, InterruptedException, JournalException {
        assumeTrue(hasScript(), "script is not there, which gives a program a terminal (Debian: bsdutils)");
        Path plan = Files.writeString(home.resolve("two.yaml"), PLAN);
        KeptChecks store = new KeptChecks(home.resolve(".local/share/ringout/checks"));
        keepABadCheck(store);

        String said = inATerminal(
                "What was it?",
                "2\n",
                "check",
                "--no-record",
                "--plan",
                plan.toString(),
                "--device",
                "rec:" + goodRecording());

        assertTrue(said.contains("1  ") && said.contains("2  "), "the choices are numbered: " + said);
        assertTrue(said.contains("kept with that check"), said);
        KeptChecks.Kept asked = store.all().stream()
                .filter(kept -> !kept.check().findings().isEmpty())
                .findFirst()
                .orElseThrow();
        assertEquals(
                List.of("open:D2"),
                asked.mended().stream().map(KeptChecks.Mend::fault).toList());
        assertEquals(2, store.all().size(), "the good check is kept, too");
    }

    private static boolean hasScript() {
        return Stream.of(System.getenv().getOrDefault("PATH", "").split(":"))
                .anyMatch(folder -> Files.isExecutable(Path.of(folder, "script")));
    }

    private static void keepABadCheck(KeptChecks store) throws JournalException {
        store.keep(
                DeviceInfo.joystick("Two buttons", 0x1209, 9, "TWO-01", "/dev/hidraw0"),
                new KeptChecks.Kept(
                        new KeptCheck(
                                Instant.parse("2026-02-01T10:00:00Z"),
                                Set.of("horn", "bell"),
                                List.of(MendedCommandTest.deadBell()),
                                new TreeMap<>(),
                                new TimingLimits(new Resolution(1_000_000, true), 5_000_000)),
                        "Two buttons",
                        PlanHash.of(PLAN),
                        "",
                        List.of(),
                        List.of(List.of("open:contact:bell"), List.of("open:D2")),
                        List.of()));
    }

    /** A real box of which only reports were recorded: each button for 400 ms, and a sign of life at the very end. */
    private Path goodRecording() throws IOException {
        StringBuilder lines = new StringBuilder();
        lines.append("{\"ringout\":\"recording\",\"version\":1,\"start\":\"2026-03-02T10:00:00Z\",\"device\":{\"name\":"
                + "\"Two buttons\",\"vendorId\":4617,\"productId\":9,\"serial\":\"TWO-01\",\"path\":\"/dev/hidraw0\"},"
                + "\"descriptor\":\""
                + DESCRIPTOR + "\",\"simulated\":false}\n");
        lines.append(report(0, "010000"));
        for (int i = 0; i < PRESSED.size(); i++) {
            long from = PRESSED.get(i) * SECOND;
            lines.append(report(from, "010" + (1 << i) + "00"));
            lines.append(report(from + SECOND * 2 / 5, "010000"));
        }
        lines.append(report(10L * PATIENCE_SECONDS * SECOND, "010000"));
        return Files.writeString(home.resolve("good.jsonl"), lines);
    }

    private static String report(long nanos, String bytes) {
        return "{\"t\":" + nanos + ",\"r\":\"" + bytes + "\"}\n";
    }

    /** Runs the program in a terminal and types once it has said that; what stood in the terminal in the end. */
    private String inATerminal(String until, String typed, String... arguments)
            throws IOException, InterruptedException {
        List<String> words = Stream.concat(
                        Stream.of(
                                Path.of(System.getProperty("java.home"), "bin", "java")
                                        .toString(),
                                "-XX:TieredStopAtLevel=1",
                                "-cp",
                                System.getProperty("java.class.path"),
                                "ringout.cli.VirtualMain"),
                        Stream.of(arguments))
                .toList();
        String line = words.stream().map(word -> "'" + word + "'").collect(Collectors.joining(" "));
        Path out = home.resolve("terminal.txt");
        ProcessBuilder start = new ProcessBuilder("script", "-qec", line, "/dev/null")
                .redirectErrorStream(true)
                .redirectOutput(out.toFile());
        start.environment().keySet().removeIf(name -> name.startsWith("XDG_"));
        start.environment().remove("DISPLAY");
        start.environment().put("HOME", home.toString());
        start.environment().put("TERM", "xterm");
        Process process = start.start();
        try (OutputStream keys = process.getOutputStream()) {
            long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
            while (!Files.readString(out).contains(until)) {
                assertTrue(process.isAlive(), "it ended: " + Files.readString(out));
                assertTrue(System.nanoTime() < end, "it takes too long: " + Files.readString(out));
                Thread.sleep(20);
            }
            keys.write(typed.getBytes(StandardCharsets.UTF_8));
            keys.flush();
            assertTrue(process.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS), "it does not end");
        } finally {
            process.destroyForcibly();
        }
        String said = Files.readString(out);
        assertEquals(0, process.exitValue(), said);
        return said;
    }
}
