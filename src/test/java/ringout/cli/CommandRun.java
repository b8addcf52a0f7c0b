package ringout.cli;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.Optional;
import ringout.device.VirtualTime;

/** One run of the command line without a window, in virtual time, and what it printed. */
record CommandRun(int status, String out, String err) {
    static CommandRun of(String... arguments) {
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        int status = Ringout.commandLine(window -> Optional.of("no window in this test"), new VirtualTime())
                .setOut(new PrintWriter(out, true))
                .setErr(new PrintWriter(err, true))
                .execute(arguments);
        return new CommandRun(status, out.toString(), err.toString());
    }
}
