package ringout.check;

import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.words.Phrase;

/**
 * Where a check stands; an immutable snapshot for window and terminal.
 *
 * @param prompt   what to ask for now
 * @param step     the current step, from 1; {@code total} once finished
 * @param done     steps answered or skipped
 * @param total    steps planned so far; grows where the diagnosis asks for more
 * @param finished true once nothing more is asked
 * @param paused   true while the box is away
 * @param steps    all steps, in the order they are asked
 * @param findings so far, in the order of the steps that showed them
 */
public record CheckView(
        Prompt prompt,
        int step,
        int done,
        int total,
        boolean finished,
        boolean paused,
        List<StepView> steps,
        List<Finding> findings) {

    /** How a step, or a control, stands. */
    public enum Status {
        /** Not asked yet. */
        WAITING,
        /** Being asked. */
        CURRENT,
        /** Did what the plan says. */
        GOOD,
        /** Skipped by the builder. */
        SKIPPED,
        /** Has a finding. */
        FAULTY
    }

    /**
     * One step.
     *
     * @param title    for a list of steps: {@code Horn low}
     * @param controls ids of the controls it works; empty for hands off
     * @param actions  ids of the actions it works; empty for hands off
     * @param extra    true where the diagnosis asked for it
     */
    public record StepView(Phrase title, List<String> controls, List<String> actions, boolean extra, Status status) {
        public StepView {
            controls = List.copyOf(controls);
            actions = List.copyOf(actions);
        }

        /** For a list of steps. */
        public String words() {
            return title.text();
        }
    }

    public CheckView {
        steps = List.copyOf(steps);
        findings = List.copyOf(findings);
    }

    /** What a check has come to. */
    public enum Outcome {
        /** Every step was done, and the box matches its plan. */
        MATCHES("matches", Phrase.of("outcome.matches")),
        /** Some steps were skipped; all that was checked matches. */
        MATCHES_AS_FAR("matches as far as checked", Phrase.of("outcome.matches-as-far")),
        /** Nothing wrong so far; not finished. */
        UNFINISHED("unfinished", Phrase.of("outcome.unfinished")),
        /** There are findings. */
        DIFFERS("differs", Phrase.of("outcome.differs")),
        /** There are findings; not finished. */
        DIFFERS_SO_FAR("differs so far", Phrase.of("outcome.differs-so-far"));

        private final String word;
        private final Phrase said;

        Outcome(String word, Phrase said) {
            this.word = word;
            this.said = said;
        }

        /** The lower-case words used in JSON. */
        public String word() {
            return word;
        }

        /** In one sentence. */
        public Phrase said() {
            return said;
        }
    }

    /** What it has come to. */
    public Outcome outcome() {
        if (!findings.isEmpty()) {
            return finished ? Outcome.DIFFERS : Outcome.DIFFERS_SO_FAR;
        }
        return !finished
                ? Outcome.UNFINISHED
                : steps.stream().anyMatch(s -> s.status() == Status.SKIPPED) ? Outcome.MATCHES_AS_FAR : Outcome.MATCHES;
    }

    /** Ids of the actions that were asked for and answered. */
    public Set<String> answered() {
        return steps.stream()
                .filter(s -> s.status() == Status.GOOD || s.status() == Status.FAULTY)
                .flatMap(s -> s.actions().stream())
                .collect(Collectors.toUnmodifiableSet());
    }

    /** The outcome in one sentence. */
    public String verdict() {
        return outcome().said().text();
    }

    /** How a control stands: faulty if any finding names it, else current, waiting, skipped or good by its own steps. */
    public Status status(String control) {
        for (Finding finding : findings) {
            if (finding.controls().contains(control)) {
                return Status.FAULTY;
            }
        }
        Status worst = null;
        for (StepView step : steps) {
            if (!step.extra() && step.controls().contains(control)) {
                worst = worst == null ? step.status() : worse(worst, step.status());
            }
        }
        return worst == null ? Status.WAITING : worst;
    }

    private static Status worse(Status a, Status b) {
        List<Status> order = List.of(Status.GOOD, Status.SKIPPED, Status.WAITING, Status.CURRENT, Status.FAULTY);
        return order.indexOf(a) >= order.indexOf(b) ? a : b;
    }
}
