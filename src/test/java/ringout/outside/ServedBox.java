package ringout.outside;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import ringout.report.FirmwareSettings;

/** A box on an emulated chip in real time, whose USB is offered to another kernel by USB/IP. */
final class ServedBox implements AutoCloseable {
    private final Soldered soldered;
    private final Process process;
    private final Writer to;
    private final int port;
    private final Set<String> closed = new HashSet<>();
    private final Map<Set<String>, Integer> nets = new HashMap<>();

    ServedBox(Soldered soldered, FirmwareSettings settings) throws IOException {
        this.soldered = soldered;
        process = new ProcessBuilder(
                        Firmwares.host().toAbsolutePath().toString(),
                        Firmwares.compile(settings).toString(),
                        "serve",
                        "0")
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .start();
        to = new OutputStreamWriter(process.getOutputStream(), StandardCharsets.US_ASCII);
        BufferedReader from =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.US_ASCII));
        String line = from.readLine();
        while (line != null && !line.startsWith("ready ")) {
            line = from.readLine();
        }
        if (line == null) {
            throw new IOException("the emulated chip did not start");
        }
        port = Integer.parseInt(line.substring("ready ".length()));
        Thread reader = new Thread(
                () -> from.lines().forEach(said -> System.out.println("box on port " + port + ": " + said)),
                "served-box-" + port);
        reader.setDaemon(true);
        reader.start();
        wire();
    }

    /** Where its USB is served, on this computer's own address. */
    int port() {
        return port;
    }

    /** {@code press ID}, {@code release ID}, {@code unplug}, {@code plug} or {@code brown-out}. */
    synchronized void does(String what) throws IOException {
        String[] words = what.split(" ");
        switch (words[0]) {
            case "press" -> {
                closed.add(words[1]);
                wire();
            }
            case "release" -> {
                closed.remove(words[1]);
                wire();
            }
            case "unplug", "plug" -> say(words[0]);
            case "brown-out" -> say("reset");
            default -> throw new IOException("nobody can " + what + " a box");
        }
    }

    private void wire() throws IOException {
        Integer id = nets.get(closed);
        if (id == null) {
            id = nets.size();
            nets.put(Set.copyOf(closed), id);
            say("net " + id + "\n"
                    + soldered.netlist(closed, new BitSet()).orElseThrow().stripTrailing());
        }
        say("use 0 " + id);
    }

    private void say(String line) throws IOException {
        to.write(line + "\n");
        to.flush();
    }

    @Override
    public void close() {
        process.destroy();
    }
}
