package ringout.cli;

import ringout.bench.Mends;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;

/** What is known of who builds the boxes on this computer. */
final class KnownBuilder {
    private KnownBuilder() {}

    /** The record; where it cannot be read that is said, and the usual odds are taken. */
    static BuilderRecord record(JsonOutput output) {
        try {
            return Mends.record(KeptChecks.ofUser());
        } catch (JournalException problem) {
            output.note(problem.getMessage() + "; going on with the usual odds");
            return BuilderRecord.EMPTY;
        }
    }
}
