package ringout.check;

import java.util.List;
import java.util.Optional;
import ringout.signal.Measured;

/**
 * One difference between a check and an earlier one of the same box.
 *
 * @param sort     how it differs
 * @param kind     of the finding it is about
 * @param controls ids of the controls it is about
 * @param before   the figure then; empty where the finding has none
 * @param now      the figure now; empty where the finding has none
 * @param words    the difference in whole sentences, with the date of the earlier check
 */
public record Change(
        Sort sort,
        FindingKind kind,
        List<String> controls,
        Optional<Measured> before,
        Optional<Measured> now,
        String words) {

    /** How a check can differ from an earlier one. */
    public enum Sort {
        /** Was not there. */
        NEW("new"),
        /** Was there already, or was harmless, and is more now. */
        WORSE("worse"),
        /** Is less now, and still there. */
        BETTER("better"),
        /** Is as it was. */
        STILL("still there"),
        /** Is not there any more. */
        GONE("gone"),
        /** Was there; its controls were not checked this time. */
        NOT_CHECKED("not checked this time");

        private final String word;

        Sort(String word) {
            this.word = word;
        }

        /** The lower-case word used in texts and JSON. */
        public String word() {
            return word;
        }
    }

    public Change {
        controls = List.copyOf(controls);
    }

    /** True where the box is worse than it was. */
    public boolean isWorse() {
        return sort == Sort.NEW || sort == Sort.WORSE;
    }
}
