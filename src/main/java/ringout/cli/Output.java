package ringout.cli;

import java.io.PrintWriter;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;
import ringout.words.Texts;

/** Where a sub-command prints: results to standard output, remarks to standard error. */
@Command
class Output {
    @Spec(Spec.Target.MIXEE)
    private CommandSpec command;

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

    final String name() {
        return command.name();
    }

    /** Says something that is no result. */
    final void note(String sentence) {
        err().println("ringout: " + sentence);
        err().flush();
    }
}
