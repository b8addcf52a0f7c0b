package ringout.learn;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringout.hid.Input;
import ringout.plan.Control;
import ringout.plan.NewBox;
import ringout.words.Phrase;

/**
 * Where the learning of a box stands.
 *
 * @param stage     what is waited for
 * @param sentence  the one big sentence
 * @param detail    under it; may be empty
 * @param candidate what was just worked, to be named
 * @param learned   controls so far, in the order learned, without wiring
 * @param remarks   what is not certain about a control, by its id, as it is written into the plan
 * @param ghosts    sets of four buttons that came on together while three were held, by their numbers: the corners of a
 *                  rectangle of rows and columns without diodes
 */
public record LearnView(
        Stage stage,
        Phrase sentence,
        Phrase detail,
        Optional<Candidate> candidate,
        List<Control> learned,
        Map<String, String> remarks,
        Set<Set<Integer>> ghosts) {

    /** What is waited for. */
    public enum Stage {
        /** Nothing is to be touched, so that what is on at rest can be seen. */
        HANDS_OFF,
        /** One control is to be worked. */
        WORK,
        /** One control is being worked. */
        WORKING,
        /** The control is to be named. */
        NAME,
        /** The box went away. */
        LOST
    }

    /**
     * What was worked.
     *
     * @param part   what it most looks like
     * @param parts  what it could be, that one among them
     * @param label  a name to start from
     * @param inputs in the order they came
     * @param remark what is not certain about it; may be empty
     * @param guess  true where the remark holds only of what it most looks like
     */
    public record Candidate(
            NewBox.Part part, List<NewBox.Part> parts, Phrase label, List<Input> inputs, Phrase remark, boolean guess) {
        public Candidate {
            parts = List.copyOf(parts);
            inputs = List.copyOf(inputs);
        }
    }

    public LearnView {
        learned = List.copyOf(learned);
        remarks = Map.copyOf(remarks);
        ghosts = Set.copyOf(ghosts);
    }
}
