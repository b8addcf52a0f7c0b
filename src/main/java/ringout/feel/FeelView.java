package ringout.feel;

import java.util.List;
import java.util.Optional;

/**
 * Rounds as they stand.
 *
 * @param asked  what is to be found now; empty between two, in a pause and at the end
 * @param round  from 1
 * @param rounds in all
 * @param found  how many count in this round
 * @param of     how many a round has
 * @param trials all that are over
 */
public record FeelView(
        Stage stage, Optional<Target> asked, int round, int rounds, int found, int of, List<Trial> trials) {
    /** What is going on. */
    public enum Stage {
        /** Soon the next name. */
        WAIT,
        /** A name stands. */
        FIND,
        /** Nothing is asked until a control is worked. */
        PAUSE,
        /** The box is away. */
        AWAY,
        /** All rounds are over, or it was ended. */
        DONE
    }

    public FeelView {
        trials = List.copyOf(trials);
    }
}
