package ringout.cli;

import java.io.PrintWriter;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;
import ringout.device.Time;
import ringout.plan.Limits;
import ringout.plan.Plan;
import ringout.words.Texts;

/** Where a sub-command prints: results to standard output, remarks to standard error. */
@Command
class Output {
    /** Seconds of silence that a person puts up with. */
    private static final int PATIENCE = 2;

    @Spec(Spec.Target.MIXEE)
    private CommandSpec command;

    private @Nullable Working working;

    final PrintWriter out() {
        return command.commandLine().getOut();
    }

    /**
     * True once what is printed no longer gets out: its pipe is closed, or the disk full. What runs for long ends then, in
     * good order; {@link Ringout#run} says why, and makes it the exit status.
     */
    final boolean lost() {
        return out().checkError();
    }

    final PrintWriter err() {
        return command.commandLine().getErr();
    }

    /**
     * Refuses options that do nothing here: whoever gave them expects something else to happen than what will.
     *
     * @param where what makes them useless, such as another option
     */
    final void refuse(String where, String... options) {
        for (String option : options) {
            if (command.commandLine().getParseResult().hasMatchedOption(option)) {
                throw new BadInput(Texts.say("usage.useless", option, where));
            }
        }
    }

    /** Work that may take a while. */
    @FunctionalInterface
    interface Work<T, E extends Exception> {
        T done() throws E;
    }

    /** Does something that may take a while; in a terminal it is told how long it has taken so far. */
    final <T, E extends Exception> T working(Work<T, E> work) throws E {
        if (!Keyboard.present()) {
            return work.done();
        }
        try (Working shown = new Working(err(), PATIENCE, Time.OURS)) {
            working = shown;
            return work.done();
        } finally {
            working = null;
        }
    }

    /** Says at once where a box is so large that what is worked out of it takes minutes. */
    final void tellSize(Plan plan) {
        if (Limits.isLarge(plan)) {
            note(Texts.say("large", plan.contacts().size(), plan.lines().size()));
        }
    }

    final String name() {
        return command.name();
    }

    /** Says something that is no result. */
    final void note(String sentence) {
        if (working != null) {
            working.clear();
        }
        err().println("ringout: " + sentence);
        err().flush();
    }
}
