package ringout.check;

import java.util.List;
import java.util.Optional;
import ringout.hid.Input;
import ringout.signal.Measured;
import ringout.words.Phrase;

/**
 * One difference between the box and its plan.
 *
 * @param kind     which sort
 * @param controls ids of the controls it is about; empty only for an input that no control has
 * @param actions  ids of the actions that showed it, for marking a picture: {@code look.up} rather than {@code look}
 * @param expected inputs the plan promises there, in the order of {@code actions}
 * @param actual   inputs that came instead or as well, in the order of {@code actions}; empty where none came
 * @param told     what was done and what the box reported, in whole sentences with labels and inputs
 * @param figure   how bad it is, where that can be measured: the time of a bounce or drop-out, the clicks an encoder lost or
 *                 gave too many, the noise of an axis, the width of a dead spot
 */
public record Finding(
        FindingKind kind,
        List<String> controls,
        List<String> actions,
        List<Input> expected,
        List<Input> actual,
        Phrase told,
        Optional<Measured> figure) {
    /** One without a figure. */
    public Finding(
            FindingKind kind,
            List<String> controls,
            List<String> actions,
            List<Input> expected,
            List<Input> actual,
            Phrase told) {
        this(kind, controls, actions, expected, actual, told, Optional.empty());
    }

    public Finding {
        controls = List.copyOf(controls);
        actions = List.copyOf(actions);
        expected = List.copyOf(expected);
        actual = List.copyOf(actual);
    }

    /** What was done and what the box reported, in whole sentences. */
    public String evidence() {
        return told.text();
    }

    /** What it is called to people: that nothing came, or that another input did. */
    public Phrase said() {
        if (kind != FindingKind.MISSING || actual.isEmpty()) {
            return kind.said();
        }
        return actions.size() == 1 || expected.stream().noneMatch(actual::contains)
                ? Phrase.of("finding.other-number")
                : Phrase.of("finding.missing-together");
    }
}
