/**
 * Recordings: everything a box sent and everything that was asked and said, append-only, one JSON object a line.
 *
 * <p>{@link ringout.journal.RecordingFile} writes one, {@link ringout.journal.Journal} does so from a thread of its own
 * behind a bounded queue, {@link ringout.journal.RecordingReader} streams one back. {@code docs/recording.md} is the
 * format.
 */
package ringout.journal;
