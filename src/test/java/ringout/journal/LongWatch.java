package ringout.journal;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.SplittableRandom;
import ringout.hid.InputState;
import ringout.hid.ReportDecoder;
import ringout.watch.Watch;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;

/**
 * A program that lets a box report a thousand times a second for hours of simulated time: an axis never rests, buttons are
 * used, one bounces now and then. It watches and records all of it, reads the recording back, and says what that took.
 */
public final class LongWatch {
    private static final long MS = 1_000_000;

    private LongWatch() {}

    /** @param arguments the recording, and hours */
    public static void main(String[] arguments) throws Exception {
        Path path = Path.of(arguments[0]);
        long reports = Math.round(Double.parseDouble(arguments[1]) * 3_600_000);
        RecordingHeader header = Tapes.header();
        ReportDecoder decoder = new ReportDecoder(Tapes.descriptor());
        InputState state = decoder.layout().newState();
        long began = System.nanoTime();
        long bounces = 0;
        long[] told = {0};
        WatchSummary summary;
        long thinned;
        try (Tape tape = new ThinnedTape(RecordingFile.create(path, header), header, Tapes.descriptor())) {
            Watch watch = new Watch(Optional.empty(), decoder.layout(), WatchSettings.STANDARD, 0, event -> {
                told[0]++;
                tape.add(new Entry.Noticed(
                        event.nanos(),
                        event.nanos(),
                        event.kind().word(),
                        event.inputs().stream().map(i -> i.text()).toList(),
                        event.words()));
            });
            SplittableRandom random = new SplittableRandom(1);
            byte[] buffer = new byte[Tapes.LENGTH];
            for (long i = 0; i < reports; i++) {
                long at = i * MS;
                // Every two seconds a button is down for half a second; every ten minutes it bounces for 19 ms.
                long phase = i % 2000;
                boolean bouncing = i % 600_000 > 598_000 && phase > 5 && phase < 19;
                int buttons = phase < 500 && !bouncing ? 1 << i / 2000 % 8 : 0;
                bounces += i % 600_000 == 598_006 ? 1 : 0;
                // A lever that goes back and forth once in eight seconds, read with some noise.
                int lever = (int) (Math.abs(i % 8000 - 4000) * 16) + random.nextInt(64);
                Tapes.report(buffer, buttons, lever);
                decoder.decode(buffer, buffer.length, state);
                watch.report(at, state);
                tape.report(at, buffer, buffer.length);
                if (i % 500 == 0) {
                    tape.beat(at, i);
                    tape.flush();
                }
            }
            tape.add(new Entry.Ended(reports * MS, ""));
            summary = watch.summary(reports * MS);
            thinned = summary.intervals().reports();
        }
        long read = 0;
        try (RecordingReader reader = RecordingReader.open(path)) {
            while (reader.next().isPresent()) {
                read++;
            }
            if (!reader.notes().isEmpty()) {
                throw new IllegalStateException(reader.notes().toString());
            }
        }
        if (summary.lines().stream().mapToLong(WatchSummary.Line::count).sum() != bounces || thinned != reports) {
            throw new IllegalStateException(bounces + " bounces, but " + summary.lines());
        }
        System.out.printf(
                "%.2f h of 1000 reports a second in %.1f s, %d MiB of heap at most; %d bounces, %d told; %d lines, %d KiB%n",
                reports / 3.6e6,
                (System.nanoTime() - began) / 1e9,
                Runtime.getRuntime().maxMemory() >> 20,
                bounces,
                told[0],
                read,
                Files.size(path) >> 10);
    }
}
