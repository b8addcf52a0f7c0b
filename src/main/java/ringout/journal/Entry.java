package ringout.journal;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import ringout.check.CheckSettings;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;

/** One line of a recording after the first. */
public sealed interface Entry {
    /** Nanoseconds since the recording began. */
    long nanos();

    /** A report that differs from the one before it, as it came. */
    record Report(long nanos, byte[] bytes) implements Entry {}

    /** Something that the check was told between two reports: where it stands among them decides what comes of it. */
    sealed interface Told extends Entry {
        /**
         * How many reports of this recording the check had been given by then. On a busy computer some of those that were
         * read by then, and stand before it, came to the check after it.
         */
        long after();
    }

    /**
     * A guided check began.
     *
     * @param plan  the text of the plan file, so that the recording can be judged without it; empty where it was not kept
     * @param after {@link #UNKNOWN} in recordings that do not say it
     */
    record CheckBegan(long nanos, String planHash, Optional<String> plan, int rules, long after) implements Told {
        public static final long UNKNOWN = -1;

        /** By the rules of now. */
        public CheckBegan(long nanos, String planHash, Optional<String> plan, long after) {
            this(nanos, planHash, plan, CheckSettings.RULES, after);
        }
    }

    /** The builder said something to the check. */
    record Said(long nanos, Instruction command, long after) implements Told {}

    /** The diagnosis asked for more steps. */
    record Appended(long nanos, List<ExtraStep> steps, long after) implements Told {
        public Appended {
            steps = List.copyOf(steps);
        }
    }

    /**
     * The builder said what a meter showed.
     *
     * @param reading as {@link ringout.diagnosis.ProbeResult#text} writes it; one that is uncertain takes back what was said
     *                of these points before
     */
    record Measured(long nanos, String reading) implements Entry {}

    /** The check asked for something. For people and programs that read the file; a replay asks by itself. */
    record Asked(long nanos, Prompt.Kind kind, String sentence, List<String> actions, int attempt) implements Entry {
        public Asked {
            actions = List.copyOf(actions);
        }
    }

    /** The box went away. */
    record Lost(long nanos, String message) implements Entry {}

    /** It came back, with that descriptor. */
    record Found(long nanos, byte[] descriptor, String warning) implements Entry {}

    /**
     * A long watch noticed something. Stands where it became known.
     *
     * @param began  when it began
     * @param kind   as {@link ringout.watch.WatchEvent.Kind#word} has it
     * @param inputs what it is about; empty for the whole box
     * @param words  what happened
     */
    record Noticed(long nanos, long began, String kind, List<String> inputs, String words) implements Entry {
        public Noticed {
            inputs = List.copyOf(inputs);
        }
    }

    /** The wall clock was set, or the computer slept: this moment is that time of day. */
    record Clock(long nanos, Instant wall) implements Entry {}

    /** Reports are missing here because the program could not keep up. */
    record Dropped(long nanos, long count) implements Entry {}

    /** Lines are missing here because the disk was full or failed. */
    record Gap(long nanos, long lines) implements Entry {}

    /** The recording was still being made then; {@code reports} counts all that came, repetitions too. */
    record Beat(long nanos, long reports) implements Entry {}

    /** The recording was ended in good order. */
    record Ended(long nanos, String message) implements Entry {}

    /** Something this program does not know; kept by whoever copies recordings. */
    record Unknown(long nanos, String line) implements Entry {}
}
