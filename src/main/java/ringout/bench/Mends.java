package ringout.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
import ringout.circuit.FaultException;
import ringout.circuit.FaultKind;
import ringout.diagnosis.BuilderRecord;
import ringout.diagnosis.Diagnosis;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.plan.Plan;

/**
 * What was said to have been mended, and what that makes of a builder's record.
 *
 * @param check   the kept check that found it
 * @param choices what it may have been, the likeliest first
 */
public record Mends(KeptChecks.Kept check, List<List<Fault>> choices) {
    private static final int MOST_CHOICES = 5;

    public Mends {
        choices = choices.stream().map(List::copyOf).toList();
    }

    /** The look-alikes of the likeliest explanation, as they are kept with a check. */
    static List<List<String>> explained(Diagnosis diagnosis) {
        return diagnosis.explanations().stream()
                .limit(1)
                .filter(e -> !e.healthy())
                .flatMap(e -> e.alternatives().stream())
                .limit(MOST_CHOICES)
                .map(set -> set.stream().map(Fault::text).toList())
                .toList();
    }

    /**
     * What may have been mended between a check and a later one that found nothing any more; empty where there is nothing to
     * ask.
     */
    public static Optional<Mends> between(KeptChecks.Kept before, CheckedBox now) {
        if (before.check().findings().isEmpty()
                || !before.mended().isEmpty()
                || !now.finished()
                || !now.check().findings().isEmpty()
                || !before.planHash().equals(now.kept().planHash())) {
            return Optional.empty();
        }
        return Optional.of(new Mends(before, choices(before, now.plan())));
    }

    private static List<List<Fault>> choices(KeptChecks.Kept check, Plan plan) {
        List<List<Fault>> choices = new ArrayList<>();
        for (List<String> set : check.explained()) {
            try {
                choices.add(set.stream().map(text -> Fault.parse(text, plan)).toList());
            } catch (FaultException edited) {
                // The plan has it no more.
            }
        }
        return choices;
    }

    /**
     * Keeps with the check what it was.
     *
     * @throws JournalException where it cannot be kept
     */
    public static void tell(KeptChecks store, KeptChecks.Kept check, List<Fault> faults) throws JournalException {
        store.tell(
                check,
                faults.stream()
                        .map(f ->
                                new KeptChecks.Mend(f.text(), f.lasting().kind().name()))
                        .toList());
    }

    /**
     * What is known of who built the boxes: a mistake made many times in one box counts once.
     *
     * @throws JournalException where the kept checks cannot be read
     */
    public static BuilderRecord record(KeptChecks store) throws JournalException {
        List<FaultKind> kinds = new ArrayList<>();
        for (List<KeptChecks.Mend> mends : store.mends()) {
            // Kinds that a later version may not have are passed over.
            Set<String> once = mends.stream().map(KeptChecks.Mend::kind).collect(Collectors.toSet());
            Arrays.stream(FaultKind.values())
                    .filter(kind -> once.contains(kind.name()))
                    .forEach(kinds::add);
        }
        return BuilderRecord.of(kinds);
    }
}
