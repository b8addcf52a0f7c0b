package ringout.bench;

import java.util.Locale;
import java.util.Optional;
import ringout.journal.Entry;

/**
 * What a line of a recording says to people, in the formats it is exported to.
 *
 * @param event one word: what kind of line it is
 * @param words what happened; may be empty
 */
record EntryText(String event, String words) {
    /** Empty for lines that are no event: reports, beats, and what this program does not know. */
    static Optional<EntryText> of(Entry entry) {
        if (entry instanceof Entry.CheckBegan) {
            return text("check", "");
        } else if (entry instanceof Entry.Said said) {
            return text("command", said.command().name().toLowerCase(Locale.ROOT));
        } else if (entry instanceof Entry.Appended appended) {
            return text("steps", appended.steps().size() + " more");
        } else if (entry instanceof Entry.Asked asked) {
            return text("prompt", asked.sentence());
        } else if (entry instanceof Entry.Lost lost) {
            return text("lost", lost.message());
        } else if (entry instanceof Entry.Found found) {
            return text("found", found.warning());
        } else if (entry instanceof Entry.Dropped dropped) {
            return text("dropped", dropped.count() + " reports");
        } else if (entry instanceof Entry.Gap gap) {
            return text("gap", gap.lines() + " lines");
        } else if (entry instanceof Entry.Noticed noticed) {
            return text(noticed.kind(), noticed.words());
        } else if (entry instanceof Entry.Measured measured) {
            return text("meter", measured.reading());
        } else if (entry instanceof Entry.Clock clock) {
            return text("clock", clock.wall().toString());
        } else if (entry instanceof Entry.Ended ended) {
            return text("end", ended.message());
        }
        return Optional.empty();
    }

    private static Optional<EntryText> text(String event, String words) {
        return Optional.of(new EntryText(event, words));
    }

    /** Seconds since the recording began, with all nine decimals. */
    static String seconds(Entry entry) {
        return entry.nanos() / 1_000_000_000L + "."
                + String.format(Locale.ROOT, "%09d", entry.nanos() % 1_000_000_000L);
    }
}
