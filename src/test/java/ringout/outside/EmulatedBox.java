package ringout.outside;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import ringout.hid.Input;
import ringout.report.FirmwareSettings;

/**
 * A box whose firmware runs on an emulated microcontroller, with the wires of {@link Soldered} at its pins: enumerated and
 * polled every millisecond as by a USB host, in the chip's own time.
 */
final class EmulatedBox implements PlayedBox, AutoCloseable {
    /** The supply fell short: no chip runs on these wires. */
    private static final int NO_SUPPLY = -1;

    /** Pulses of encoders are over by then, or reports have come meanwhile. */
    private static final int QUIET_MS = 60;

    private static final double FULL_SCALE_MILLIVOLTS = 5000;

    private final Soldered soldered;
    private final FirmwareSettings settings;
    private final SplittableRandom random;
    private final Process process;
    private final Writer to;
    private final BufferedReader from;
    private final Map<List<Object>, Integer> nets = new HashMap<>();
    private final Set<String> closed = new HashSet<>();
    private final TreeMap<Long, Map<String, Boolean>> motions = new TreeMap<>();
    private final BitSet there = new BitSet();
    private final byte[] descriptor;
    private long began;
    private long now;
    private boolean off;

    /** @param settings of the firmware; usually {@link Soldered#settings()} */
    EmulatedBox(Soldered soldered, FirmwareSettings settings, long seed) {
        this.soldered = soldered;
        this.settings = settings;
        random = new SplittableRandom(seed ^ 0x454D55L);
        try {
            process = new ProcessBuilder(
                            Firmwares.host().toAbsolutePath().toString(),
                            Firmwares.compile(settings).toString())
                    .redirectError(ProcessBuilder.Redirect.INHERIT)
                    .start();
        } catch (IOException missing) {
            throw new UncheckedIOException(missing);
        }
        to = new OutputStreamWriter(process.getOutputStream(), StandardCharsets.US_ASCII);
        from = new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.US_ASCII));
        redraw();
        say("quiet " + (QUIET_MS + 2 * settings.debounceMs()));
        wire(0);
        for (int channel : settings.channels()) {
            say("axis " + channel + " " + (int) (FULL_SCALE_MILLIVOLTS / 2));
        }
        say("enumerate");
        String[] answer = answer('d').split(" ");
        descriptor = HexFormat.of().parseHex(answer[3]);
        say("run 0");
        began = nanos(answer('t').split(" ")[1]);
    }

    @Override
    public byte[] descriptor() {
        return descriptor.clone();
    }

    private void redraw() {
        for (int i = 0; i < soldered.comingAndGoing(); i++) {
            there.set(i, random.nextBoolean());
        }
    }

    /** Bounce of up to 3 ms, each chatter 20 to 300 µs (common practice, no source). */
    @Override
    public void move(long nanos, String contact, boolean close) {
        int bounces = random.nextInt(5);
        long[] chatters = new long[2 * bounces];
        for (int i = 0; i < chatters.length; i++) {
            chatters[i] = random.nextLong(20_000, 300_000);
        }
        move(nanos, contact, close, chatters);
    }

    /** With this bounce: how long it makes, breaks, makes … before it stays. */
    void move(long nanos, String contact, boolean close, long... chatters) {
        redraw();
        boolean closes = close;
        long at = Math.max(now, nanos);
        for (long chatter : chatters) {
            motions.computeIfAbsent(at, x -> new HashMap<>()).put(contact, closes);
            at += chatter;
            closes = !closes;
        }
        motions.computeIfAbsent(at, x -> new HashMap<>()).put(contact, close);
    }

    @Override
    public void axis(long nanos, Input input, int value) {
        int i = settings.axes().indexOf(input);
        if (i >= 0) {
            say("axis " + settings.channels().get(i) + " " + Math.round(value / 1023.0 * FULL_SCALE_MILLIVOLTS));
        }
    }

    private void wire(long nanos) {
        int id = nets.computeIfAbsent(List.of(Set.copyOf(closed), there.clone()), key -> {
            Optional<String> netlist = soldered.netlist(closed, there);
            if (netlist.isEmpty()) {
                return NO_SUPPLY;
            }
            say("net " + nets.size() + "\n"
                    + netlist.get()
                            .replace("%CLOCK%", String.valueOf(settings.shiftClock()))
                            .replace("%LOAD%", String.valueOf(settings.shiftLoad()))
                            .stripTrailing());
            return nets.size();
        });
        off = id == NO_SUPPLY;
        if (!off) {
            say("use " + micros(nanos) + " " + id);
        }
    }

    @Override
    public Report run(long until) {
        while (true) {
            long limit = motions.isEmpty() ? until : Math.min(until, Math.max(now, motions.firstKey()));
            say("run " + micros(limit));
            String[] answer = answer('r', 't').split(" ");
            now = Math.max(now, nanos(answer[1]) - began);
            if (answer[0].equals("r") && !off) {
                return new Report(now, HexFormat.of().parseHex(answer[2]));
            }
            if (answer[0].equals("t") && !motions.isEmpty() && motions.firstKey() <= limit) {
                long at = motions.firstKey();
                motions.pollFirstEntry().getValue().forEach((contact, close) -> {
                    if (close) {
                        closed.add(contact);
                    } else {
                        closed.remove(contact);
                    }
                });
                wire(at);
            } else if (answer[0].equals("t") && limit == until) {
                return null;
            }
        }
    }

    /** A dip of the supply: the chip starts again, and the host enumerates it anew. */
    void brownOut() {
        say("reset");
        answer('t');
        say("enumerate");
        answer('d');
    }

    private String micros(long nanos) {
        return String.format("%.3f", (nanos + began) / 1e3);
    }

    private static long nanos(String micros) {
        return Math.round(Double.parseDouble(micros) * 1e3);
    }

    private void say(String line) {
        try {
            to.write(line + "\n");
        } catch (IOException broken) {
            throw new UncheckedIOException("the emulated chip is gone", broken);
        }
    }

    private String answer(char... kinds) {
        try {
            to.flush();
            for (String line = from.readLine(); line != null; line = from.readLine()) {
                for (char kind : kinds) {
                    if (line.startsWith(kind + " ")) {
                        return line;
                    }
                }
            }
        } catch (IOException broken) {
            throw new UncheckedIOException("the emulated chip is gone", broken);
        }
        throw new IllegalStateException("the emulated chip is gone");
    }

    @Override
    public void close() {
        process.destroy();
    }
}
