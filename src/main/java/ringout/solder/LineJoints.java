package ringout.solder;

import java.util.List;
import java.util.Optional;
import ringout.diagnosis.Continuity;
import ringout.plan.Line;
import ringout.words.Phrase;

/**
 * The joints of one line in the order to solder them, and what to measure when all of them are done.
 *
 * @param name   of the line, id of an axis, or a rail
 * @param kind   of the line; empty for axes and rails
 * @param title  its name in words
 * @param wire   which wire to take
 * @param joints at least one, the deep ones first, the board's pin last
 * @param sweeps what to measure then, as they can be answered together
 */
public record LineJoints(
        String name,
        Optional<Line.Kind> kind,
        Phrase title,
        Phrase wire,
        List<Joint> joints,
        List<Continuity.Sweep> sweeps) {
    public LineJoints {
        joints = List.copyOf(joints);
        sweeps = List.copyOf(sweeps);
    }

    /** All steps of its sweeps. */
    public List<Continuity.Step> steps() {
        return sweeps.stream().flatMap(s -> s.steps().stream()).toList();
    }
}
