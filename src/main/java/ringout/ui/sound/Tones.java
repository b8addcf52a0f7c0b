package ringout.ui.sound;

import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.function.Consumer;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.SourceDataLine;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.ui.model.Cues;

/** Plays tones on a thread of its own. Where the computer has no audio output it is silent, tells so, and tries again. */
public final class Tones implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(Tones.class);
    private static final float RATE = 44_100;
    private static final AudioFormat FORMAT = new AudioFormat(RATE, 16, 1, true, false);
    private static final double LOUDNESS = 0.35;
    /** Silence before a tone: a sound server has the first moments of a line mixed already when the line begins. */
    private static final double LEAD_MILLIS = 30;
    /** Silence behind it: what a sound server has taken but not played is thrown away as the line closes. */
    private static final double TAIL_MILLIS = 60;

    private final BlockingQueue<Cues.Tone> queue = new ArrayBlockingQueue<>(4);
    private final Thread thread = new Thread(this::run, "ringout-tones");
    private final Consumer<Boolean> audible;
    private volatile boolean closed;

    /** @param audible told, on the thread of the tones, whether they can be heard, whenever that changes; at first they can */
    Tones(Consumer<Boolean> audible) {
        this.audible = audible;
        thread.setDaemon(true);
        thread.start();
    }

    /** Plays a tone soon; one too many is dropped. Returns at once. */
    void play(Cues.Tone tone) {
        queue.offer(tone);
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }

    private void run() {
        boolean heard = true;
        while (!closed) {
            try {
                sound(wave(queue.take()));
                if (!heard) {
                    heard = true;
                    audible.accept(true);
                }
            } catch (InterruptedException stop) {
                return;
            } catch (LineUnavailableException | IllegalArgumentException | IllegalStateException noAudio) {
                // A headset that is plugged in later is heard.
                if (heard) {
                    heard = false;
                    LOG.info("no tones: {}", noAudio.getMessage());
                    audible.accept(false);
                }
            }
        }
    }

    /**
     * Fills the line before it is started. One that is started empty runs dry at once where this thread is late, and then
     * waits for a whole buffer, which never comes: the tone is not heard.
     */
    private static void sound(byte[] wave) throws LineUnavailableException {
        try (SourceDataLine line = AudioSystem.getSourceDataLine(FORMAT)) {
            line.open(FORMAT, wave.length);
            int held = line.write(wave, 0, wave.length);
            line.start();
            line.write(wave, held, wave.length - held);
            line.drain();
        }
    }

    /** Notes of a tone as pairs of frequency in hertz (0 for a rest) and length in milliseconds. */
    private static double[] notes(Cues.Tone tone) {
        return switch (tone) {
            case TICK -> new double[] {1568, 28};
            case RIGHT -> new double[] {784, 70, 1175, 110};
            case WRONG -> new double[] {294, 170, 220, 240};
            case ATTENTION -> new double[] {988, 110, 0, 60, 988, 110, 0, 60, 988, 220};
            case DONE -> new double[] {659, 90, 784, 90, 988, 90, 1319, 260};
        };
    }

    /** 16-bit samples of a tone between silences, each note faded in and out so that it does not click. */
    private static byte[] wave(Cues.Tone tone) {
        double[] notes = notes(tone);
        int total = samples(LEAD_MILLIS) + samples(TAIL_MILLIS);
        for (int i = 1; i < notes.length; i += 2) {
            total += samples(notes[i]);
        }
        byte[] bytes = new byte[2 * total];
        int at = 2 * samples(LEAD_MILLIS);
        for (int n = 0; n < notes.length; n += 2) {
            int samples = samples(notes[n + 1]);
            for (int i = 0; i < samples; i++, at += 2) {
                double fade = Math.min(1, Math.min(i, samples - i) / (RATE * 0.006));
                // A fifth of the octave above makes the sine carry through a workshop.
                double phase = 2 * Math.PI * notes[n] * i / RATE;
                double value = (Math.sin(phase) + 0.2 * Math.sin(2 * phase)) / 1.2;
                short sample = (short) Math.round(Short.MAX_VALUE * LOUDNESS * fade * value);
                bytes[at] = (byte) sample;
                bytes[at + 1] = (byte) (sample >> 8);
            }
        }
        return bytes;
    }

    private static int samples(double millis) {
        return (int) (RATE * millis / 1000);
    }
}
