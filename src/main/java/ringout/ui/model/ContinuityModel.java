package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.check.CheckView.Status;
import ringout.check.Instruction;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.diagnosis.ContinuityRun;
import ringout.diagnosis.Diagnosis;
import ringout.naming.Names;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What the card of the multimeter checklist says, from step to step and at the end. */
public final class ContinuityModel {
    private ContinuityModel() {}

    /**
     * The card.
     *
     * @param diagnosis what the readings mean, once it is known; only asked for at the end
     */
    public static StepModel.Card card(ContinuityRun run, Optional<Diagnosis> diagnosis) {
        if (run.sweep().isPresent()) {
            return card(run, run.sweep().get());
        }
        return run.step().map(step -> card(run, step)).orElseGet(() -> end(run, diagnosis));
    }

    /** One answer for all points of a sweep. */
    private static StepModel.Card card(ContinuityRun run, Continuity.Sweep sweep) {
        Continuity.Step first = sweep.steps().get(0);
        String should = MeterAnswer.should(first.mode(), first.good());
        String sentence = first.kind() == Continuity.Kind.APART
                ? Texts.say("meter.sweep.apart", Names.node(sweep.stays()))
                : Texts.say(
                        "meter.sweep", Names.node(sweep.stays()), sweep.steps().size(), should);
        List<Phrase> points =
                sweep.steps().stream().map(step -> Names.node(step.red())).toList();
        return new StepModel.Card(
                Texts.say("meter.sweep.place", run.at() + 1, run.sweeps().size()),
                sentence,
                meter(run, first) + " " + Texts.say("meter.sweep.points", Phrase.commas(points)),
                StepModel.Tone.ASK,
                counts(run),
                ruler(run),
                run.shown().isEmpty() ? Set.of(Instruction.SKIP) : Set.of(Instruction.SKIP, Instruction.UNDO),
                false,
                List.of(
                        new MeterAnswer(
                                first.good(), Texts.say("meter.sweep.all"), Texts.say("meter.sweep.all.help", should)),
                        new MeterAnswer(
                                ProbeReading.UNCERTAIN,
                                Texts.say("meter.sweep.not-all"),
                                Texts.say("meter.sweep.not-all.help"))));
    }

    private static String meter(ContinuityRun run, Continuity.Step step) {
        boolean first =
                run.shown().isEmpty() || run.steps().get(run.shown().size() - 1).mode() != step.mode();
        return step.mode() == ProbeMode.DIODE
                ? first ? Texts.say("meter.turn-diode") : Texts.say("meter.diode")
                : first ? Texts.say("meter.turn-continuity") : Texts.say("meter.continuity");
    }

    private static StepModel.Card card(ContinuityRun run, Continuity.Step step) {
        String sentence = step.kind() == Continuity.Kind.APART
                ? Texts.say("meter.apart", Names.node(step.red()), Names.node(step.black()))
                : Texts.say(
                        "meter.probe",
                        Names.node(step.red()),
                        Names.node(step.black()),
                        MeterAnswer.should(step.mode(), step.good()));
        return new StepModel.Card(
                run.sweeps().isEmpty()
                        ? Texts.say(
                                "meter.place",
                                run.shown().size() + 1,
                                run.steps().size())
                        : Texts.say(
                                "meter.sweep.place", run.at() + 1, run.sweeps().size()),
                sentence,
                meter(run, step) + " " + run.otherwise(),
                StepModel.Tone.ASK,
                counts(run),
                ruler(run),
                run.shown().isEmpty() && run.singly().isEmpty()
                        ? Set.of(Instruction.SKIP)
                        : Set.of(Instruction.SKIP, Instruction.UNDO),
                false,
                MeterAnswer.of(step.mode()));
    }

    private static String counts(ContinuityRun run) {
        return Texts.say(
                "meter.counts",
                run.shown().size(),
                run.steps().size() - run.shown().size(),
                run.outcome().wrong().size());
    }

    private static List<Status> ruler(ContinuityRun run) {
        if (!run.sweeps().isEmpty()) {
            return sweepRuler(run);
        }
        List<Status> ruler = new ArrayList<>();
        for (int i = 0; i < run.steps().size(); i++) {
            if (i >= run.shown().size()) {
                ruler.add(i == run.shown().size() ? Status.CURRENT : Status.WAITING);
            } else {
                Continuity.Step step = run.steps().get(i);
                ruler.add(run.shown()
                        .get(i)
                        .map(r -> r == step.good() ? Status.GOOD : Status.FAULTY)
                        .orElse(Status.SKIPPED));
            }
        }
        return ruler;
    }

    private static List<Status> sweepRuler(ContinuityRun run) {
        List<Status> ruler = new ArrayList<>();
        int from = 0;
        for (int i = 0; i < run.sweeps().size(); i++) {
            List<Continuity.Step> steps = run.sweeps().get(i).steps();
            if (i >= run.at()) {
                ruler.add(i == run.at() ? Status.CURRENT : Status.WAITING);
            } else {
                boolean skipped = false;
                boolean wrong = false;
                for (int k = 0; k < steps.size(); k++) {
                    Optional<ProbeReading> shown = run.shown().get(from + k);
                    skipped |= shown.isEmpty();
                    wrong |= shown.isPresent() && shown.get() != steps.get(k).good();
                }
                ruler.add(wrong ? Status.FAULTY : skipped ? Status.SKIPPED : Status.GOOD);
            }
            from += steps.size();
        }
        return ruler;
    }

    private static StepModel.Card end(ContinuityRun run, Optional<Diagnosis> diagnosis) {
        ContinuityRun.Outcome outcome = run.outcome();
        String counts = Texts.say(
                "meter.measured",
                outcome.measured(),
                run.steps().size(),
                outcome.wrong().size());
        String place = Texts.say("meter.end");
        Set<Instruction> commands = Set.of(Instruction.UNDO);
        if (outcome.wrong().isEmpty()) {
            boolean all = outcome.measured() == run.steps().size();
            return new StepModel.Card(
                    place,
                    all ? Texts.say("meter.end.good") : Texts.say("meter.end.some"),
                    all ? Texts.say("meter.end.good-detail") : Texts.say("meter.end.some-detail"),
                    all ? StepModel.Tone.GOOD : StepModel.Tone.WAIT,
                    counts,
                    ruler(run),
                    commands,
                    false,
                    List.of());
        }
        List<Reasoning.Card> cards = diagnosis.map(Reasoning::cards).orElse(List.of());
        String sentence = outcome.supplyShorted()
                ? Texts.say("meter.end.supply")
                : cards.isEmpty()
                        ? Texts.say("meter.end.wrong", outcome.wrong().size())
                        : cards.get(0).text();
        String working = outcome.toExplain() && diagnosis.isEmpty() ? Texts.say("meter.end.working") + " " : "";
        String unexplained = diagnosis.isPresent() && cards.isEmpty() ? Texts.say("meter.end.unexplained") + " " : "";
        return new StepModel.Card(
                place,
                sentence,
                working
                        + unexplained
                        + (outcome.supplyShorted() ? Texts.say("meter.end.supply-detail") + " " : "")
                        + Texts.say("meter.end.mend"),
                StepModel.Tone.FOUND,
                counts,
                ruler(run),
                commands,
                false,
                List.of());
    }
}
