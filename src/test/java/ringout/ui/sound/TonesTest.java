package ringout.ui.sound;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.SourceDataLine;
import org.junit.jupiter.api.Test;
import ringout.ui.model.Cues;

/** Where the computer has no audio output this is told, once; whether it has one, Java itself is asked. */
class TonesTest {
    @Test
    void whereNoToneCanBeHeardItIsToldOnce() throws InterruptedException {
        boolean output = AudioSystem.isLineSupported(
                new DataLine.Info(SourceDataLine.class, new AudioFormat(44_100, 16, 1, true, false)));
        BlockingQueue<Boolean> told = new LinkedBlockingQueue<>();
        try (Tones tones = new Tones(told::add)) {
            tones.play(Cues.Tone.TICK);
            if (!output) {
                assertEquals(false, told.poll(30, TimeUnit.SECONDS), "it was not told");
            }
            tones.play(Cues.Tone.TICK);
            assertNull(told.poll(2, TimeUnit.SECONDS), "it was told again");
        }
    }
}
