package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** No command opens a network connection: strace lists what each asks the kernel for (socket(2), families in ip(7)). */
class NoNetworkTest {
    /**
     * An address of the internet, to connect to, to be reached at or to send to. Java itself makes sockets, to see which
     * families there are, when files are first opened; they get no address.
     */
    private static final Pattern NETWORK =
            Pattern.compile("(connect|bind|sendto|sendmsg|sendmmsg)\\(.*(AF_INET|AF_PACKET)");

    @TempDir
    Path folder;

    @Test
    void noCommandAsksForANetwork() throws Exception {
        assumeTrue(straces(), "strace is missing, or may not trace here");
        String plan = "fixtures/plans/drivers-desk.yaml";
        String recording = folder.resolve("rec.jsonl").toString();
        for (List<String> command : List.of(
                List.of("simulate", "--plan", plan, "--fault", "open:R2", "--out", recording),
                List.of("check", "--plan", plan, "--replay", recording),
                List.of("report", recording, "--out", folder.resolve("r.pdf").toString()),
                List.of("sheet", plan, "--out", folder.resolve("s.pdf").toString()),
                List.of("listen", "--plan", plan, "--replay", recording),
                List.of(
                        "record",
                        "--device",
                        "sim:desk",
                        "--seconds",
                        "0.5",
                        "--out",
                        folder.resolve("x.jsonl").toString()),
                List.of("devices"),
                List.of("--version"))) {
            Path trace = folder.resolve("trace.txt");
            try (Program program = new Program.Start(folder)
                    .through("strace", "-f", "-qq", "-e", "trace=network", "-o", trace.toString())
                    .run(command)) {
                assertTrue(program.status() <= 1, program.err());
            }
            try (Stream<String> calls = Files.lines(trace)) {
                assertEquals(
                        List.of(),
                        calls.filter(line -> NETWORK.matcher(line).find()).toList(),
                        () -> String.join(" ", command));
            }
        }
    }

    /** The pattern does find a connection: a Java that opens one. */
    @Test
    void aProgramThatAsksForOneIsSeen() throws Exception {
        assumeTrue(straces(), "strace is missing, or may not trace here");
        Path source = folder.resolve("Talks.java");
        Files.writeString(
                source,
                "class Talks { public static void main(String[] a) throws Exception {"
                        + " new java.net.ServerSocket(0, 1, java.net.InetAddress.getLoopbackAddress()).close(); } }");
        Path trace = folder.resolve("trace.txt");
        String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
        assertEquals(
                0, run("strace", "-f", "-qq", "-e", "trace=network", "-o", trace.toString(), java, source.toString()));
        assertTrue(NETWORK.matcher(Files.readString(trace)).find());
    }

    private static boolean straces() throws InterruptedException {
        try {
            return run("strace", "-f", "-qq", "-o", "/dev/null", "true") == 0;
        } catch (IOException missing) {
            return false;
        }
    }

    private static int run(String... command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start();
        assertTrue(process.waitFor(120, TimeUnit.SECONDS));
        return process.exitValue();
    }
}
