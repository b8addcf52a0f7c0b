package ringout.ui.model;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.diagnosis.Diagnosis;
import ringout.words.Texts;

/** What the next-step card says. */
public final class StepModel {
    /** Probes from here on are many. */
    private static final double MANY = 9.5;

    private StepModel() {}

    /**
     * The card's texts.
     *
     * @param place    where in the check: {@code Step 7 of 18}
     * @param sentence the big one
     * @param detail   smaller, under it; may be empty
     * @param tone     how the card is dressed
     * @param counts   under the ruler: how much is done, left and found
     * @param ruler    how each step stands, in order
     * @param commands what can be said by key now
     * @param again    true where the whole check can begin again
     * @param answers  what a meter may show, where a probe is asked for
     * @param proof    the step that makes certain of what the sentence says
     */
    public record Card(
            String place,
            String sentence,
            String detail,
            Tone tone,
            String counts,
            List<Status> ruler,
            Set<Instruction> commands,
            boolean again,
            List<MeterAnswer> answers,
            Optional<Proof> proof) {
        /** A card that has nothing to make certain of. */
        public Card(
                String place,
                String sentence,
                String detail,
                Tone tone,
                String counts,
                List<Status> ruler,
                Set<Instruction> commands,
                boolean again,
                List<MeterAnswer> answers) {
            this(place, sentence, detail, tone, counts, ruler, commands, again, answers, Optional.empty());
        }

        public Card {
            ruler = List.copyOf(ruler);
            commands = Set.copyOf(commands);
            answers = List.copyOf(answers);
        }
    }

    /**
     * A step that makes certain of a verdict.
     *
     * @param heading  how many of its kind are to be expected
     * @param sentence what to do
     * @param detail   under it
     */
    public record Proof(String heading, String sentence, String detail) {}

    /** What the card wants of the builder. */
    public enum Tone {
        /** Do something. */
        ASK,
        /** Touch nothing. */
        WAIT,
        /** The box is away. */
        TROUBLE,
        /** Finished without a finding. */
        GOOD,
        /** Finished with findings. */
        FOUND
    }

    /** The card for a session without a diagnosis. */
    public static Card of(SessionView view) {
        return of(view, Optional.empty(), Optional.empty(), Optional.empty());
    }

    /**
     * The card for a session.
     *
     * @param diagnosis of what was observed so far; empty where there is none yet
     * @param verdict   the cause that stands out in it
     * @param next      its best next step
     */
    public static Card of(
            SessionView view,
            Optional<Diagnosis> diagnosis,
            Optional<Reasoning.Verdict> verdict,
            Optional<Reasoning.Next> next) {
        if (view.check().isEmpty()) {
            return watching(view);
        }
        CheckView check = view.check().get();
        List<Status> ruler =
                check.steps().stream().map(CheckView.StepView::status).toList();
        int found = check.findings().size();
        String findings = Texts.say("step.findings", found);
        boolean live = view.link() == SessionView.Link.LIVE;
        if (check.finished()) {
            // Whatever was thought while it ran, the last word on it may be another press: nothing is asked before that
            // is known.
            return found > 0 && view.diagnosis().isEmpty() && live
                    ? new Card(
                            Texts.say("step.all", check.total()),
                            Texts.say("step.thinking"),
                            Texts.say("step.thinking.detail"),
                            Tone.WAIT,
                            Texts.say("step.counts.ended", check.done(), findings),
                            ruler,
                            Set.of(Instruction.UNDO),
                            false,
                            List.of())
                    : finished(check, live, ruler, findings, diagnosis, verdict, next);
        }
        if (view.link() == SessionView.Link.ENDED) {
            return new Card(
                    Texts.say("step.stopped.place", check.step()),
                    Texts.say("step.stopped"),
                    view.message().isEmpty() ? Texts.say("step.stopped.detail") : view.message(),
                    Tone.TROUBLE,
                    Texts.say("step.counts.ended", check.done(), findings),
                    ruler,
                    Set.of(),
                    false,
                    List.of());
        }
        Prompt prompt = check.prompt();
        String detail = prompt.detail();
        if (check.paused() && !view.message().isEmpty()) {
            detail = view.message();
        }
        Tone tone = prompt.kind() == Prompt.Kind.HANDS_OFF || prompt.kind() == Prompt.Kind.PAUSED
                ? Tone.WAIT
                : check.paused() ? Tone.TROUBLE : Tone.ASK;
        int left = check.total() - check.done();
        String counts = Texts.say("step.counts", check.done(), left, findings);
        String place = prompt.attempt() > 1
                ? Texts.say("step.place.again", check.step(), check.total())
                : Texts.say("step.place", check.step(), check.total());
        return new Card(
                place, prompt.sentence(), detail, tone, counts, ruler, commands(prompt.kind()), false, List.of());
    }

    /** What can be said to a prompt. */
    private static Set<Instruction> commands(Prompt.Kind kind) {
        return switch (kind) {
            case PLUG_IN -> Set.of();
            case PAUSED -> EnumSet.of(Instruction.GO_ON);
            case QUESTION -> EnumSet.of(Instruction.GO_ON, Instruction.NOTHING_CAME, Instruction.SKIP);
            default ->
                EnumSet.of(
                        Instruction.SKIP,
                        Instruction.REPEAT,
                        Instruction.UNDO,
                        Instruction.WRONG_PRESS,
                        Instruction.PAUSE);
        };
    }

    private static Card finished(
            CheckView check,
            boolean live,
            List<Status> ruler,
            String findings,
            Optional<Diagnosis> diagnosis,
            Optional<Reasoning.Verdict> verdict,
            Optional<Reasoning.Next> next) {
        Set<Instruction> commands = live ? Set.of(Instruction.UNDO) : Set.of();
        String counts = Texts.say("step.counts.ended", check.done(), findings);
        int found = check.findings().size();
        if (found == 0) {
            boolean skipped = ruler.contains(Status.SKIPPED);
            return new Card(
                    Texts.say("step.all", check.total()),
                    skipped ? Texts.say("step.good.some") : Texts.say("step.good"),
                    skipped ? Texts.say("step.good.some.detail") : Texts.say("step.good.detail"),
                    Tone.GOOD,
                    counts,
                    ruler,
                    commands,
                    live,
                    List.of());
        }
        if (verdict.isPresent()) {
            return new Card(
                    Texts.say("step.done.chance", findings, verdict.get().chance()),
                    verdict.get().cause(),
                    verdict.get().remedy() + " "
                            + (next.isPresent()
                                    ? Texts.say("step.mend.short")
                                    : Texts.say("step.mend", Reasoning.caution())),
                    Tone.FOUND,
                    counts,
                    ruler,
                    commands,
                    live,
                    next.map(Reasoning.Next::answers).orElse(List.of()),
                    next.map(n -> new Proof(steps(diagnosis.orElseThrow()), n.sentence(), n.detail())));
        }
        if (next.isPresent()) {
            return new Card(
                    Texts.say("step.undecided", findings, steps(diagnosis.orElseThrow())),
                    next.get().sentence(),
                    next.get().detail(),
                    Tone.ASK,
                    counts,
                    ruler,
                    commands,
                    live,
                    next.get().answers());
        }
        String detail = diagnosis.isPresent() && diagnosis.get().unexplained()
                ? Texts.say("step.unexplained", diagnosis.get().verdict())
                : Texts.say("step.found", Reasoning.caution());
        return new Card(
                Texts.say("step.all", check.total()),
                Texts.say("step.done", findings),
                detail,
                Tone.FOUND,
                counts,
                ruler,
                commands,
                live,
                List.of());
    }

    /** How many probes are to be expected until it is certain. */
    private static String steps(Diagnosis diagnosis) {
        double steps = diagnosis.expectedSteps();
        return steps >= MANY ? Texts.say("step.probe.many") : Texts.say("step.probe", Math.round(steps));
    }

    private static Card watching(SessionView view) {
        return switch (view.link()) {
            case LIVE ->
                new Card(
                        Texts.say("step.watching"),
                        Texts.say("step.watching.sentence"),
                        Texts.say("step.watching.detail"),
                        Tone.ASK,
                        Texts.say("step.watching.counts", view.reports()),
                        List.of(),
                        Set.of(),
                        false,
                        List.of());
            case LOST ->
                new Card(
                        Texts.say("step.watching"),
                        Texts.say("step.lost"),
                        view.message(),
                        Tone.TROUBLE,
                        Texts.say("step.watching.counts", view.reports()),
                        List.of(),
                        Set.of(),
                        false,
                        List.of());
            case ENDED ->
                new Card(
                        Texts.say("step.ended"),
                        Texts.say("step.ended.sentence"),
                        view.message(),
                        Tone.WAIT,
                        Texts.say("step.ended.counts", view.reports()),
                        List.of(),
                        Set.of(),
                        false,
                        List.of());
        };
    }
}
