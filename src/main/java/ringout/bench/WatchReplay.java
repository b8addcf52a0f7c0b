package ringout.bench;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.hid.DescriptorException;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * A long watch over a recording, at once.
 *
 * @param box     as it was when it was recorded
 * @param began   when the recording began
 * @param summary what it comes to
 * @param kept    the same in the form of a check, to be compared with one; empty without a plan
 * @param notes   what the reader of the result should know: damaged lines, gaps
 */
public record WatchReplay(
        DeviceInfo box, Instant began, WatchSummary summary, Optional<KeptCheck> kept, List<String> notes) {
    public WatchReplay {
        notes = List.copyOf(notes);
    }

    /**
     * Watches a recording to its end, in constant memory.
     *
     * @param listener told everything that is noticed
     * @throws JournalException where it cannot be read
     */
    public static WatchReplay of(
            Path recording, Optional<PlanInUse> plan, WatchSettings settings, Consumer<WatchEvent> listener)
            throws JournalException {
        try (RecordingReader reader = RecordingReader.open(recording)) {
            WatchFeed feed =
                    new WatchFeed(reader.header().descriptor(), plan.map(PlanInUse::plan), settings, listener::accept);
            long last = 0;
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                last = Math.max(last, entry.get().nanos());
                play(feed, entry.get(), last);
            }
            feed.tick(last);
            Instant began = reader.header().start();
            return new WatchReplay(
                    reader.header().device(), began, feed.summary(last), feed.kept(began, last), reader.notes());
        } catch (DescriptorException malformed) {
            throw new JournalException(
                    Texts.say("recording.malformed", recording, String.valueOf(malformed.getMessage())), malformed);
        }
    }

    private static void play(WatchFeed feed, Entry entry, long nanos) {
        if (entry instanceof Entry.Report report) {
            feed.report(nanos, report.bytes(), report.bytes().length);
        } else if (entry instanceof Entry.Lost lost) {
            feed.lost(nanos, lost.message());
        } else if (entry instanceof Entry.Found found) {
            feed.found(nanos, found.descriptor(), found.warning());
        } else if (entry instanceof Entry.Dropped dropped) {
            feed.dropped(nanos, dropped.count());
        } else if (entry instanceof Entry.Noticed noticed && noticed.kind().equals(WatchEvent.Kind.OUTAGE.word())) {
            // Of all that was noticed, this alone does not follow from the box' own reports.
            feed.outage(nanos, Phrase.verbatim(noticed.words()));
        } else {
            feed.tick(nanos);
        }
    }
}
