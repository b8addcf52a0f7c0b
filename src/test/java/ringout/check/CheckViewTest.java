package ringout.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import ringout.check.CheckView.Outcome;
import ringout.check.CheckView.Status;
import ringout.check.CheckView.StepView;
import ringout.hid.Input;
import ringout.words.Phrase;

class CheckViewTest {
    private static final Input SEVEN = new Input.Button(7);
    private static final Input EIGHT = new Input.Button(8);

    private static StepView step(String control, boolean extra, Status status) {
        return new StepView(Phrase.verbatim(control), List.of(control), List.of(control + ".on"), extra, status);
    }

    private static CheckView view(boolean finished, List<Finding> findings, StepView... steps) {
        Prompt prompt = new Prompt(Prompt.Kind.DONE, Phrase.none(), Phrase.none(), List.of(), 0, new TreeSet<>(), 0, 0);
        return new CheckView(prompt, 1, 0, steps.length, finished, false, Arrays.asList(steps), findings);
    }

    private static Finding missing(List<String> actions, List<Input> expected, List<Input> actual) {
        return new Finding(FindingKind.MISSING, List.of("bell"), actions, expected, actual, Phrase.none());
    }

    @Test
    void theOutcomeTellsWhatWasFoundAndWhatWasLeftOut() {
        StepView good = step("bell", false, Status.GOOD);
        StepView skipped = step("horn", false, Status.SKIPPED);
        List<Finding> one = List.of(missing(List.of("bell"), List.of(SEVEN), List.of()));
        assertEquals(Outcome.MATCHES, view(true, List.of(), good).outcome());
        assertEquals(
                Outcome.MATCHES_AS_FAR, view(true, List.of(), good, skipped).outcome());
        assertEquals(Outcome.UNFINISHED, view(false, List.of(), good, skipped).outcome());
        assertEquals(Outcome.DIFFERS, view(true, one, good, skipped).outcome());
        assertEquals(Outcome.DIFFERS_SO_FAR, view(false, one, good).outcome());
        assertEquals(
                5, Arrays.stream(Outcome.values()).map(Outcome::word).distinct().count());
        assertEquals(Outcome.DIFFERS.said().text(), view(true, one, good).verdict());
    }

    /** A control of several steps is as good as the worst of them; what the diagnosis asked for besides does not count. */
    @Test
    void aControlStandsAsTheWorstOfItsOwnSteps() {
        CheckView view = view(
                false,
                List.of(missing(List.of("bell.on"), List.of(SEVEN), List.of())),
                step("bell", false, Status.GOOD),
                step("horn", false, Status.GOOD),
                step("horn", false, Status.SKIPPED),
                step("lamp", false, Status.GOOD),
                step("lamp", true, Status.CURRENT),
                step("light", false, Status.CURRENT),
                step("light", false, Status.WAITING),
                step("radio", true, Status.GOOD));
        assertEquals(Status.FAULTY, view.status("bell"));
        assertEquals(Status.SKIPPED, view.status("horn"));
        assertEquals(Status.GOOD, view.status("lamp"));
        assertEquals(Status.CURRENT, view.status("light"));
        assertEquals(Status.WAITING, view.status("radio"));
        assertEquals(Status.WAITING, view.status("no such"));
    }

    @Test
    void whatWasSkippedOrWaitsIsNotAnswered() {
        CheckView view = view(
                false,
                List.of(),
                step("a", false, Status.GOOD),
                step("b", false, Status.FAULTY),
                step("c", false, Status.SKIPPED),
                step("d", false, Status.CURRENT),
                step("e", false, Status.WAITING));
        assertEquals(Set.of("a.on", "b.on"), view.answered());
    }

    @Test
    void aMissingInputIsCalledByWhatCameInItsPlace() {
        assertEquals(
                FindingKind.MISSING.said(),
                missing(List.of("bell"), List.of(SEVEN), List.of()).said());
        assertEquals(
                Phrase.of("finding.other-number"),
                missing(List.of("bell"), List.of(SEVEN), List.of(EIGHT)).said());
        assertEquals(
                Phrase.of("finding.missing-together"),
                missing(List.of("bell", "horn"), List.of(SEVEN, EIGHT), List.of(EIGHT))
                        .said());
        assertEquals(
                Phrase.of("finding.other-number"),
                missing(List.of("bell", "horn"), List.of(SEVEN), List.of(EIGHT)).said());
    }
}
