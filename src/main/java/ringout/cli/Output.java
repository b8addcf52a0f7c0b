package ringout.cli;

import java.io.PrintWriter;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** Where a sub-command prints: results to standard output, remarks to standard error. */
@Command
class Output {
    @Spec(Spec.Target.MIXEE)
    private CommandSpec command;

    final PrintWriter out() {
        return command.commandLine().getOut();
    }

    final PrintWriter err() {
        return command.commandLine().getErr();
    }

    /** Says something that is no result. */
    final void note(String sentence) {
        err().println("ringout: " + sentence);
        err().flush();
    }
}
