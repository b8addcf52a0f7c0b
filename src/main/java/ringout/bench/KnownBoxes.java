package ringout.bench;

import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.BareBoard.Proof;
import ringout.device.DeviceInfo;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.words.Texts;

/**
 * What is known before a box is checked, hunted in or replayed: of who builds the boxes, and of its board from before anything
 * was soldered to it, and of what the meter showed meanwhile. Reads files.
 *
 * @param checks    kept of real boxes; empty where nothing is to be taken from there
 * @param practised kept of simulated ones; likewise
 */
public record KnownBoxes(Optional<KeptChecks> checks, Optional<KeptChecks> practised) {
    /** Nothing. */
    public static final KnownBoxes NONE = new KnownBoxes(Optional.empty(), Optional.empty());

    /** Of the user's real boxes. */
    public static KnownBoxes ofUser() {
        return new KnownBoxes(Optional.of(KeptChecks.ofUser()), Optional.empty());
    }

    /**
     * Who builds the boxes.
     *
     * @param note told where that cannot be read: the usual odds are taken then
     */
    public BuilderRecord builder(Consumer<String> note) {
        try {
            return checks.isPresent() ? Mends.record(checks.get()) : BuilderRecord.EMPTY;
        } catch (JournalException problem) {
            note.accept(Texts.say("known.no-odds", problem.getMessage()));
            return BuilderRecord.EMPTY;
        }
    }

    /**
     * The plan with all that is known of that box.
     *
     * @param note told what cannot be read; it goes on without
     */
    public PlanInUse of(DeviceInfo device, boolean simulated, PlanInUse plan, Consumer<String> note) {
        BuilderRecord builder = builder(note);
        Optional<KeptChecks> boards = (simulated ? practised : checks).map(KeptChecks::bareBoards);
        PlanInUse known = plan.by(builder);
        try {
            Proof proof = boards.isPresent() ? BareBoards.proof(device, plan, boards.get()) : Proof.NONE;
            known = plan.by(builder.proving(proof));
        } catch (JournalException problem) {
            note.accept(Texts.say("known.no-board", problem.getMessage()));
        }
        try {
            return simulated || checks.isEmpty() ? known : SolderedBoxes.measured(device, known, checks.get());
        } catch (JournalException problem) {
            note.accept(Texts.say("solder.unread", problem.getMessage()));
            return known;
        }
    }
}
