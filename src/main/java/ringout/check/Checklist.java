package ringout.check;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.IntStream;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;

/** The steps of a check, what was answered to each so far, and all that follows from these alone. */
final class Checklist {
    private final Plan plan;
    private final InputLayout layout;
    private final Asking words;
    private final List<Step> steps = new ArrayList<>();
    private final List<Result> results = new ArrayList<>();
    private final BitSet verified = new BitSet();
    /** Steps of which nothing came, and nobody has said so. */
    private final BitSet silent = new BitSet();
    /** Of these, the ones that were asked again with somebody there. */
    private final BitSet askedAgain = new BitSet();

    private int current;

    Checklist(Plan plan, InputLayout layout, Asking words) {
        this.plan = plan;
        this.layout = layout;
        this.words = words;
    }

    void add(Step step) {
        steps.add(step);
        results.add(null);
    }

    int size() {
        return steps.size();
    }

    /** Index of the open step; {@link #size()} where none is open. */
    int current() {
        return current;
    }

    boolean done() {
        return current >= steps.size();
    }

    /** The open step. */
    Step step() {
        return steps.get(current);
    }

    List<Step> steps() {
        return steps;
    }

    /** By step; null where it is open. */
    List<Result> results() {
        return results;
    }

    /** Answers the open step; the next one without an answer is open then. */
    void answer(Result result) {
        results.set(current, result);
        current++;
        while (current < steps.size() && results.get(current) != null) {
            current++;
        }
    }

    /** The step before the open one that was asked; the first where there is none. */
    int previous() {
        int step = Math.max(0, current - 1);
        while (step > 0
                && steps.get(step) instanceof Step.Measure measure
                && !works(measure.action().control())) {
            step--;
        }
        return step;
    }

    /**
     * The open step is answered by nothing.
     *
     * @return true where that is no answer until somebody says so
     */
    boolean noteSilence() {
        if (askedAgain.get(current)) {
            return false;
        }
        silent.set(current);
        return true;
    }

    /** Steps of which nothing came, and nobody has said so, in order. */
    BitSet silent() {
        return silent;
    }

    /** Somebody says that he worked them, and nothing came. */
    void vouch() {
        silent.clear();
    }

    /** Opens those again; if nothing comes of them now, that is the answer: somebody is there. */
    void askSilentAgain() {
        silent.stream().forEach(i -> results.set(i, null));
        current = silent.nextSetBit(0);
        askedAgain.or(silent);
        silent.clear();
    }

    /** Goes on without them. */
    void skipSilent() {
        silent.stream().forEach(i -> results.set(i, new Result.Skipped()));
        silent.clear();
    }

    /** By step what counts; null where it is open, or only silence. */
    List<Result> told() {
        List<Result> told = new ArrayList<>(results);
        silent.stream().forEach(i -> told.set(i, null));
        return told;
    }

    /** Forgets all answers from that step to the open one. */
    void restart(int step) {
        for (int i = step; i <= Math.min(current, steps.size() - 1); i++) {
            results.set(i, null);
            verified.clear(i);
            silent.clear(i);
            askedAgain.clear(i);
        }
        current = step;
    }

    /** Opens a step again whose answer is doubtful, once each; false where there is none. */
    boolean reopenDoubtful() {
        for (int i = 0; i < steps.size(); i++) {
            if (isDoubtful(i)) {
                verified.set(i);
                results.set(i, null);
                current = i;
                return true;
            }
        }
        return false;
    }

    /**
     * True for an answer that looks like a slip made twice: the input of another control, which by itself works as
     * planned. Nothing simple in the wiring does that, so it is asked once more at the end.
     */
    private boolean isDoubtful(int i) {
        if (verified.get(i)
                || !(results.get(i) instanceof Result.Worked worked)
                || !(steps.get(i) instanceof Step.Single)) {
            return false;
        }
        SortedSet<Input> wrong = worked.last().came();
        if (wrong.size() != 1 || wrong.equals(steps.get(i).expected())) {
            return false;
        }
        for (int j = 0; j < steps.size(); j++) {
            if (steps.get(j).expected().equals(wrong)
                    && results.get(j) instanceof Result.Worked other
                    && other.last().matches(wrong)) {
                return true;
            }
        }
        return false;
    }

    /** What the parts of a chord gave one by one; empty where some part was not asked for or not answered. */
    Optional<SortedSet<Input>> parts(Step.Chord chord) {
        SortedSet<Input> parts = new TreeSet<>();
        for (int i = 0; i < steps.size(); i++) {
            if (steps.get(i) instanceof Step.Single single && chord.actions().contains(single.action())) {
                if (!(results.get(i) instanceof Result.Worked worked)) {
                    return Optional.empty();
                }
                parts.addAll(worked.last().came());
            }
        }
        return Optional.of(parts);
    }

    /** True where every action of that control that was asked for alone did what is planned. */
    boolean works(String control) {
        for (int i = 0; i < steps.size(); i++) {
            if (steps.get(i) instanceof Step.Single single
                    && single.action().control().equals(control)
                    && !(results.get(i) instanceof Result.Worked worked
                            && worked.last().matches(single.expected()))) {
                return false;
            }
        }
        return true;
    }

    /** Switches known to be on, or to change, by themselves: what they do says nothing about a press of another control. */
    BitSet restless() {
        BitSet restless = new BitSet();
        for (Result result : results) {
            SortedSet<Input> on = new TreeSet<>();
            if (result instanceof Result.Left left) {
                on.addAll(left.on());
                on.addAll(left.flickering());
            } else if (result instanceof Result.Worked worked) {
                on.addAll(worked.last().stayed());
            }
            on.removeIf(words::ofSelector);
            on.forEach(input -> layout.indexOf(input).ifPresent(restless::set));
        }
        return restless;
    }

    /** True where the box was left alone, and that input was off and stayed so. */
    boolean restedOff(Input input) {
        return results.stream()
                .anyMatch(result -> result instanceof Result.Left left
                        && !left.on().contains(input)
                        && !left.flickering().contains(input));
    }

    /** What was held and what came on, of all answered steps whose answer says something about contacts. */
    List<Observation> observations() {
        List<String> rest = plan.controls().stream()
                .filter(c -> c instanceof Control.Selector)
                .map(c -> c.actions().get(0).id())
                .toList();
        List<Observation> observations = new ArrayList<>();
        for (int i = 0; i < steps.size(); i++) {
            int step = i;
            Result result = results.get(i);
            if (result instanceof Result.Left left) {
                observations.add(new Observation(new TreeSet<>(rest), left.on()));
            } else if (result instanceof Result.Worked worked && steps.get(i).isSweep()) {
                // What an axis does as planned says nothing about contacts, nor about another axis.
                Outcome sweep = worked.last();
                Optional<AxisSeen> swept = sweep.swept()
                        .map(seen -> Measurements.axis(
                                        (Control.Axis) words.control(
                                                steps.get(step).actions().get(0)),
                                        steps,
                                        results)
                                .map(seen::measured)
                                .orElse(seen));
                if (!silent.get(i)
                        && (!sweep.came().equals(steps.get(i).expected())
                                || swept.filter(AxisSeen::isOdd).isPresent())) {
                    observations.add(new Observation(new TreeSet<>(worked.held()), sweep.came(), swept));
                }
            } else if (result instanceof Result.Worked worked && !silent.get(i)) {
                Outcome last = worked.last();
                for (Outcome attempt : worked.attempts()) {
                    // Each try counts, and one that gave nothing counts though a later one answers; any other that was
                    // not confirmed was a slip of the hand.
                    if (attempt == last
                            || attempt.level().equals(last.level())
                            || attempt.came().isEmpty() && !last.came().isEmpty()
                            || last.came().isEmpty() && isNobodyElses(i, attempt)) {
                        observations.add(new Observation(new TreeSet<>(worked.held()), attempt.level()));
                    }
                }
            }
        }
        return observations;
    }

    /**
     * True for one input that no other control gave: then it was no other one that was worked, and this one came and went.
     */
    private boolean isNobodyElses(int step, Outcome attempt) {
        return steps.get(step) instanceof Step.Single
                && attempt.level().size() == 1
                && IntStream.range(0, steps.size())
                        .filter(j -> j != step && steps.get(j) instanceof Step.Single)
                        .mapToObj(results::get)
                        .noneMatch(r -> r instanceof Result.Worked other
                                && other.attempts().stream()
                                        .anyMatch(o -> o.level().containsAll(attempt.level())));
    }

    /** How many steps are answered or skipped. */
    int answered() {
        return (int) results.stream().filter(result -> result != null).count();
    }

    /** How every step stands. */
    List<CheckView.StepView> views(List<Finding> findings) {
        List<CheckView.StepView> views = new ArrayList<>();
        for (int i = 0; i < steps.size(); i++) {
            Step step = steps.get(i);
            List<String> actions = step.actions().stream().map(Action::id).toList();
            views.add(new CheckView.StepView(
                    words.title(step),
                    step.actions().stream().map(Action::control).distinct().toList(),
                    actions,
                    step.extra(),
                    status(i, actions, findings)));
        }
        return views;
    }

    private CheckView.Status status(int step, List<String> actions, List<Finding> findings) {
        Result result = results.get(step);
        if (result == null || silent.get(step)) {
            return step == current ? CheckView.Status.CURRENT : CheckView.Status.WAITING;
        }
        if (result instanceof Result.Skipped
                || result instanceof Result.Flexed flexed && flexed.joints().isEmpty()) {
            return CheckView.Status.SKIPPED;
        }
        boolean faulty = result instanceof Result.Left left
                ? !left.on().isEmpty() || !left.flickering().isEmpty()
                : findings.stream().anyMatch(f -> f.actions().stream().anyMatch(actions::contains));
        return faulty ? CheckView.Status.FAULTY : CheckView.Status.GOOD;
    }
}
