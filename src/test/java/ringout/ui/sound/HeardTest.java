package ringout.ui.sound;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.ui.model.Cues;

/**
 * What comes out at the loudspeaker: a program of its own plays tones and speaks into a sound server whose only output is
 * a null sink, and what that sink got is recorded from outside (PulseAudio's {@code parec}) and measured.
 *
 * <p>Skipped where PulseAudio, its ALSA plugin or espeak-ng is missing, saying which; with {@code RINGOUT_SOUND=required} in
 * the environment that is a failure.
 */
class HeardTest {
    private static final int RATE = 44_100;
    /** Samples in ten milliseconds. */
    private static final int SLICE = RATE / 100;
    /** Below that a slice is silent; full scale is 32,767. */
    private static final double SILENT = 200;
    /** A rest within one tone or between two words is shorter. */
    private static final int REST_SLICES = 40;

    private static final int LONGEST_SLICES = 1_500;
    private static final int TRIES = 5;
    private static final long SOON_MILLIS = 300;

    /** Ten milliseconds of what was heard, and when the last of it came, on this computer's monotonic clock. */
    private record Slice(long nanos, short[] samples) {
        double loudness() {
            double sum = 0;
            for (short s : samples) {
                sum += (double) s * s;
            }
            return Math.sqrt(sum / samples.length);
        }
    }

    /** A sound from its first slice that is not silent to its last. */
    private record Sound(long delayMillis, List<Slice> slices) {
        int millis() {
            return slices.size() * 10;
        }

        /** True where it rises from silence and falls back to it: cut at an end, it would begin or end with a click there. */
        boolean whole() {
            int[] loud = slices.stream()
                    .flatMapToInt(s -> IntStream.range(0, s.samples.length).map(i -> Math.abs(s.samples[i])))
                    .toArray();
            int peak = IntStream.of(loud).max().orElseThrow();
            int[] heard = IntStream.range(0, loud.length)
                    .filter(i -> loud[i] > SILENT)
                    .toArray();
            int first = heard[0];
            int last = heard[heard.length - 1];
            return IntStream.range(0, SLICE / 10).allMatch(i -> Math.max(loud[first + i], loud[last - i]) < peak / 2);
        }

        /** The loudest frequency of every thirty milliseconds that are not silent, in hertz. */
        List<Double> pitches() {
            List<Double> pitches = new ArrayList<>();
            for (int i = 0; i + 3 <= slices.size(); i += 3) {
                List<Slice> three = slices.subList(i, i + 3);
                if (three.stream().allMatch(s -> s.loudness() > SILENT)) {
                    pitches.add(loudest(three));
                }
            }
            return pitches;
        }

        /** How many times it is silent in between for at least that long, and one more. */
        int bursts(int slicesOfRest) {
            int bursts = 1;
            int silent = 0;
            for (Slice slice : slices) {
                silent = slice.loudness() > SILENT ? 0 : silent + 1;
                bursts += silent == slicesOfRest ? 1 : 0;
            }
            return bursts;
        }
    }

    @TempDir
    Path folder;

    private final List<Process> running = new ArrayList<>();
    private final List<Slice> heard = new ArrayList<>();
    private PrintWriter tell;
    private BufferedReader told;

    @BeforeEach
    void start() throws Exception {
        List<String> missing = Stream.of("pulseaudio", "parec", "pactl", "espeak-ng")
                .filter(program -> !onPath(program))
                .toList();
        if (!missing.isEmpty()) {
            lacking(String.join(", ", missing));
        }
        String server = "unix:" + folder.resolve("sound");
        Files.writeString(folder.resolve(".asoundrc"), "pcm.!default { type pulse }\nctl.!default { type pulse }\n");
        run(
                "pulseaudio",
                "-n",
                "--daemonize=no",
                "--exit-idle-time=-1",
                "--use-pid-file=no",
                // A thread of its own that is real-time and late catches up, and is ended by the kernel for that.
                "--realtime=no",
                // Its shared memory ends it by an assertion (memblock.c, n_imported) once in some dozen busy starts.
                "--disable-shm=yes",
                "--load=module-native-protocol-unix socket=" + folder.resolve("sound") + " auth-anonymous=1",
                "--load=module-null-sink sink_name=bench rate=" + RATE + " channels=1");
        until(() -> with(new ProcessBuilder("pactl", "info"), server), 100);
        Process ear = start(
                new ProcessBuilder(
                        "parec",
                        "--raw",
                        "--format=s16le",
                        "--rate=" + RATE,
                        "--channels=1",
                        "--latency-msec=10",
                        "--device=bench.monitor"),
                server);
        Thread listening = new Thread(() -> listen(ear.getInputStream()), "ear");
        listening.setDaemon(true);
        listening.start();
        Process mouth = start(
                new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Mouth.class.getName()),
                server);
        tell = new PrintWriter(mouth.outputWriter(StandardCharsets.UTF_8), true);
        told = new BufferedReader(new InputStreamReader(mouth.getInputStream(), StandardCharsets.UTF_8));
        if (!"ready".equals(told.readLine())) {
            lacking("a way from Java's sound to the sound server (libasound2-plugins)");
        }
        until(() -> heardSlices() > 0, 100);
    }

    @AfterEach
    void end() {
        running.forEach(Process::destroy);
    }

    @Test
    void everyToneIsHeardAsWhatItMeans() throws Exception {
        Sound tick = hear("tone TICK");
        assertTrue(tick.millis() <= 80, () -> "a tick is short: " + tick.millis() + " ms");

        Sound right = hear("tone RIGHT");
        // A fifth up (3 : 2), as equal temperament has it within two cents.
        assertEquals(
                1.5, last(right) / first(right), 0.05, () -> right.pitches().toString());

        Sound wrong = hear("tone WRONG");
        assertTrue(last(wrong) < 0.85 * first(wrong), () -> "wrong falls: " + wrong.pitches());
        assertTrue(wrong.millis() > 2 * tick.millis());

        Sound attention = hear("tone ATTENTION");
        assertEquals(3, attention.bursts(4), "calls three times");
        assertEquals(1, last(attention) / first(attention), 0.05, "on one pitch");

        Sound done = hear("tone DONE");
        assertEquals(2, last(done) / first(done), 0.06, () -> "an octave up: " + done.pitches());
        for (Sound sound : List.of(tick, right, wrong, attention, done)) {
            assertTrue(sound.millis() < 1_000, () -> "nobody waits for it: " + sound.millis() + " ms");
            assertTrue(sound.whole(), "its beginning or its end is missing");
        }
    }

    @Test
    void aPromptIsSpokenSoonAndInFull() throws Exception {
        Sound two = hear("say Press BELL");
        Sound nine = hear("say Turn the power handle from the first to the last notch");
        assertTrue(nine.millis() > 2 * two.millis(), () -> two.millis() + " ms and " + nine.millis() + " ms");
        // Fluent speech has two to seven syllables a second, and that sentence 14 (common practice, no source).
        assertTrue(nine.millis() > 1_500 && nine.millis() < 7_000, () -> nine.millis() + " ms");
        long voiced = nine.pitches().stream().filter(p -> p > 60 && p < 5_000).count();
        assertTrue(voiced > 0.8 * nine.pitches().size(), () -> "no voice: " + nine.pitches());

        long soonest = two.delayMillis;
        for (int i = 1; i < TRIES && soonest > SOON_MILLIS; i++) {
            soonest = Math.min(soonest, hear("say Press BELL").delayMillis);
        }
        long best = soonest;
        assertTrue(best <= SOON_MILLIS, () -> "first heard after " + best + " ms at best");
    }

    @Test
    void theNextPromptCutsTheOneBeforeShort() throws Exception {
        Sound whole = hear("say Turn the power handle from the first to the last notch, and back again");
        Sound cut = hear("cut Turn the power handle from the first to the last notch, and back again");
        assertTrue(
                cut.millis() < 0.7 * whole.millis(),
                () -> "cut short after " + cut.millis() + " of " + whole.millis() + " ms");
    }

    /** Also where it is wanted while the program for the one before is only being started, which the first time takes long. */
    @Test
    void theNextPromptAtOnceIsTheOnlyOne() throws Exception {
        Sound hurried = hear("hurry Turn the power handle from the first to the last notch, and back again");
        Sound alone = hear("say Press");
        assertTrue(
                hurried.millis() < 2 * alone.millis(),
                () -> "heard for " + hurried.millis() + " ms, and that alone for " + alone.millis());
    }

    private static double first(Sound sound) {
        return sound.pitches().get(0);
    }

    private static double last(Sound sound) {
        return sound.pitches().get(sound.pitches().size() - 1);
    }

    /** Has it played, and waits until it is over. */
    private Sound hear(String what) throws Exception {
        int from = heardSlices();
        tell.println(what);
        long asked = Long.parseLong(told.readLine());
        List<Slice> sound = new ArrayList<>();
        int silent = 0;
        for (int at = from; at < from + LONGEST_SLICES && (sound.isEmpty() || silent < REST_SLICES); at++) {
            int next = at;
            until(() -> heardSlices() > next, 500);
            Slice slice = slice(at);
            boolean loud = slice.loudness() > SILENT;
            silent = loud ? 0 : silent + 1;
            if (loud || !sound.isEmpty()) {
                sound.add(slice);
            }
        }
        assertTrue(!sound.isEmpty(), () -> "nothing was heard of " + what);
        return new Sound((sound.get(0).nanos - asked) / 1_000_000, sound.subList(0, sound.size() - silent));
    }

    /** By the discrete Fourier transform's power at every 5 Hz from 60 Hz up. */
    private static double loudest(List<Slice> slices) {
        double best = 0;
        double at = 0;
        for (double frequency = 60; frequency < 6_000; frequency += 5) {
            double real = 0;
            double imaginary = 0;
            int n = 0;
            for (Slice slice : slices) {
                for (short sample : slice.samples) {
                    double phase = 2 * Math.PI * frequency * n++ / RATE;
                    real += sample * Math.cos(phase);
                    imaginary += sample * Math.sin(phase);
                }
            }
            double power = real * real + imaginary * imaginary;
            if (power > best) {
                best = power;
                at = frequency;
            }
        }
        return at;
    }

    private void listen(InputStream stream) {
        try {
            while (true) {
                byte[] bytes = stream.readNBytes(2 * SLICE);
                if (bytes.length < 2 * SLICE) {
                    return;
                }
                short[] samples = new short[SLICE];
                for (int i = 0; i < SLICE; i++) {
                    samples[i] = (short) (bytes[2 * i] & 0xff | bytes[2 * i + 1] << 8);
                }
                synchronized (heard) {
                    heard.add(new Slice(System.nanoTime(), samples));
                }
            }
        } catch (IOException ended) {
            // as the test ends
        }
    }

    private int heardSlices() {
        synchronized (heard) {
            return heard.size();
        }
    }

    private Slice slice(int at) {
        synchronized (heard) {
            return heard.get(at);
        }
    }

    private void run(String... command) throws IOException {
        start(new ProcessBuilder(command), "").getOutputStream().close();
    }

    private Process start(ProcessBuilder builder, String server) throws IOException {
        builder.redirectError(ProcessBuilder.Redirect.appendTo(complaints().toFile()));
        Process process = environment(builder, server).start();
        running.add(process);
        return process;
    }

    private ProcessBuilder environment(ProcessBuilder builder, String server) {
        builder.environment().put("HOME", folder.toString());
        builder.environment().put("XDG_RUNTIME_DIR", folder.toString());
        if (!server.isEmpty()) {
            builder.environment().put("PULSE_SERVER", server);
        }
        return builder;
    }

    private boolean with(ProcessBuilder builder, String server) {
        try {
            return environment(builder, server)
                            .redirectErrorStream(true)
                            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                            .start()
                            .waitFor()
                    == 0;
        } catch (IOException | InterruptedException failed) {
            return false;
        }
    }

    private void until(Supplier<Boolean> condition, int tenths) throws Exception {
        for (int i = 0; i < 20 * tenths && running.stream().allMatch(Process::isAlive); i++) {
            if (condition.get()) {
                return;
            }
            Thread.sleep(5);
        }
        fail("the sound server does not answer; what the programs said:\n" + Files.readString(complaints()));
    }

    /** What the programs wrote on standard error. */
    private Path complaints() {
        return folder.resolve("complaints");
    }

    private static boolean onPath(String program) {
        return Stream.of(Optional.ofNullable(System.getenv("PATH")).orElse("").split(":"))
                .anyMatch(place -> Files.isExecutable(Path.of(place, program)));
    }

    private static void lacking(String what) {
        if ("required".equals(System.getenv("RINGOUT_SOUND"))) {
            fail("there is no " + what);
        }
        abort("there is no " + what);
    }

    /** Plays and says what it is told, and answers when it began. */
    static final class Mouth {
        private Mouth() {}

        public static void main(String[] arguments) throws Exception {
            Tones tones = new Tones(audible -> {});
            Voice voice = new Voice(Voice.Program.ESPEAK_NG);
            boolean sound = javax.sound.sampled.AudioSystem.isLineSupported(new javax.sound.sampled.DataLine.Info(
                    javax.sound.sampled.SourceDataLine.class,
                    new javax.sound.sampled.AudioFormat(RATE, 16, 1, true, false)));
            System.out.println(sound ? "ready" : "no sound");
            BufferedReader in = new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                String[] parts = line.split(" ", 2);
                System.out.println(System.nanoTime());
                switch (parts[0]) {
                    case "tone" -> tones.play(Cues.Tone.valueOf(parts[1]));
                    case "say" -> voice.say(parts[1]);
                    case "cut" -> cut(voice, 1_000, parts[1]);
                    case "hurry" -> cut(voice, 10, parts[1]);
                    default -> throw new IllegalArgumentException(line);
                }
            }
        }

        private static void cut(Voice voice, int millis, String text) throws InterruptedException {
            voice.say(text);
            Thread.sleep(millis);
            voice.say("Press");
        }
    }
}
