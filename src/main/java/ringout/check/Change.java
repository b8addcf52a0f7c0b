package ringout.check;

import java.util.List;
import java.util.Optional;
import ringout.signal.Measured;
import ringout.words.Phrase;

/**
 * One difference between a check and an earlier one of the same box.
 *
 * @param sort     how it differs
 * @param kind     of the finding it is about
 * @param controls ids of the controls it is about
 * @param before   the figure then; empty where the finding has none
 * @param now      the figure now; empty where the finding has none
 * @param said     the difference in whole sentences, with the date of the earlier check
 */
public record Change(
        Sort sort,
        FindingKind kind,
        List<String> controls,
        Optional<Measured> before,
        Optional<Measured> now,
        Phrase said) {

    /** How a check can differ from an earlier one. */
    public enum Sort {
        /** Was not there. */
        NEW("new", Phrase.of("change.new")),
        /** Was there already, or was harmless, and is more now. */
        WORSE("worse", Phrase.of("change.worse")),
        /** Is less now, and still there. */
        BETTER("better", Phrase.of("change.better")),
        /** Is as it was. */
        STILL("still there", Phrase.of("change.still-there")),
        /** Is not there any more. */
        GONE("gone", Phrase.of("change.gone")),
        /** Was there; its controls were not checked this time. */
        NOT_CHECKED("not checked this time", Phrase.of("change.not-checked-this-time"));

        private final String word;
        private final Phrase said;

        Sort(String word, Phrase said) {
            this.word = word;
            this.said = said;
        }

        /** The lower-case word used in JSON. */
        public String word() {
            return word;
        }

        /** What it is called to people. */
        public Phrase said() {
            return said;
        }
    }

    public Change {
        controls = List.copyOf(controls);
    }

    /** The difference in whole sentences. */
    public String words() {
        return said.text();
    }

    /** True where the box is worse than it was. */
    public boolean isWorse() {
        return sort == Sort.NEW || sort == Sort.WORSE;
    }
}
