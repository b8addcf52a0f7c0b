package ringout.cli;

import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.regex.Pattern;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;
import ringout.bench.Boxes;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.Time;
import ringout.files.FileTrouble;
import ringout.words.RefusedException;
import ringout.words.Texts;

/** The command line's root: sub-commands do the work, one class each; without one, the window opens. */
@Command(
        name = "ringout",
        mixinStandardHelpOptions = true,
        versionProvider = Ringout.Version.class,
        description = "help.ringout",
        subcommands = {
            CheckCommand.class,
            CompareCommand.class,
            ContinuityCommand.class,
            DecodeCommand.class,
            DemoCommand.class,
            DevicesCommand.class,
            ExplainCommand.class,
            ExportCommand.class,
            FeelCommand.class,
            FieldsCommand.class,
            LearnCommand.class,
            ListenCommand.class,
            LookCommand.class,
            MendedCommand.class,
            RemarkCommand.class,
            PlanCommand.class,
            PredictCommand.class,
            RecordCommand.class,
            ReportCommand.class,
            SheetCommand.class,
            SimulateCommand.class,
            SolderCommand.class,
            TimingCommand.class,
            ReadyCommand.class,
        })
public final class Ringout implements Callable<Integer> {
    private static final Pattern NUMBER = Pattern.compile("[-+]?(\\d+\\.?\\d*|\\.\\d+)([eE][-+]?\\d{1,2})?");

    private final WindowOpener window;
    private final Time time;

    @Spec
    private CommandSpec spec;

    private Ringout(WindowOpener window, Time time) {
        this.window = window;
        this.time = time;
    }

    /**
     * Runs one command.
     *
     * @param window    opens the window
     * @param time      in which commands wait, and of their simulated boxes
     * @param arguments as typed
     * @return the process exit status, see {@link ExitCode}
     */
    public static int run(WindowOpener window, Time time, String... arguments) {
        StandardOutput standard = new StandardOutput();
        PrintWriter out = standard.writer();
        PrintWriter err = new PrintWriter(new OutputStreamWriter(System.err, StandardCharsets.UTF_8), true);
        LastResort lastResort = new LastResort(err);
        int status;
        try {
            // Who wants the window shall not wait for the description of every command.
            Optional<String> obstacle = arguments.length == 0 ? window.open(List.of()) : Optional.of("");
            status = obstacle.isEmpty()
                    ? ExitCode.OK.status()
                    : commandLine(arguments.length == 0 ? any -> obstacle : window, time, lastResort)
                            .setOut(out)
                            .setErr(err)
                            .execute(arguments);
        } catch (RuntimeException | VirtualMachineError | LinkageError | AssertionError failed) {
            status = lastResort.tell(failed);
        }
        out.flush();
        Optional<IOException> lost = standard.failure();
        if (lost.isPresent()) {
            err.println("ringout: " + Texts.say("out.standard", FileTrouble.why(lost.get())));
            return ExitCode.FAILED.status();
        }
        return status;
    }

    /**
     * The parser with every sub-command, as tests use it with their own output streams.
     *
     * @param time in which commands wait, and of their simulated boxes
     */
    public static CommandLine commandLine(WindowOpener window, Time time) {
        return commandLine(window, time, new LastResort(new PrintWriter(System.err, true, StandardCharsets.UTF_8)));
    }

    private static CommandLine commandLine(WindowOpener window, Time time, LastResort lastResort) {
        return new CommandLine(new Ringout(window, time))
                .setResourceBundle(HelpTexts.labels())
                .setCaseInsensitiveEnumValuesAllowed(true)
                .registerConverter(
                        int.class,
                        text -> whole(text, Integer.MIN_VALUE, Integer.MAX_VALUE)
                                .intValue())
                .registerConverter(long.class, text -> whole(text, Long.MIN_VALUE, Long.MAX_VALUE))
                .registerConverter(double.class, Ringout::number)
                .registerConverter(Double.class, Ringout::number)
                // A reference to the method would load its class for every command.
                .setHelpFactory((command, colours) -> HelpTexts.help(command, colours))
                .setExitCodeExceptionMapper(problem -> ExitCode.BAD_INPUT.status())
                .setParameterExceptionHandler(Ringout::usage)
                .setExecutionExceptionHandler((problem, command, parsed) -> explain(problem, command, lastResort));
    }

    @Override
    public Integer call() {
        Optional<String> obstacle = window.open(List.of());
        if (obstacle.isEmpty()) {
            return ExitCode.OK.status();
        }
        PrintWriter err = spec.commandLine().getErr();
        err.println("ringout: " + Texts.say("usage.no-window", obstacle.get()));
        err.println();
        spec.commandLine().usage(err);
        return ExitCode.BAD_INPUT.status();
    }

    /** For sub-commands that show their work in the window where there is one. */
    WindowOpener window() {
        return window;
    }

    /** In which sub-commands wait. */
    Time time() {
        return time;
    }

    /** Every box that a person can name. */
    DeviceCatalog boxes() {
        return Boxes.catalog(time);
    }

    private static Long whole(String text, long least, long most) {
        try {
            long number = Long.parseLong(text);
            if (number >= least && number <= most) {
                return number;
            }
        } catch (NumberFormatException noNumber) {
            // As one that is too large.
        }
        throw new CommandLine.TypeConversionException(text);
    }

    /** As people write numbers: Java would take "NaN", "1d" and "0x1p3", too. */
    private static Double number(String text) {
        if (!NUMBER.matcher(text).matches()) {
            throw new CommandLine.TypeConversionException(text);
        }
        return Double.valueOf(text);
    }

    private static int explain(Exception problem, CommandLine command, LastResort lastResort) {
        ExitCode status = problem instanceof BadInput || problem instanceof RefusedException
                ? ExitCode.BAD_INPUT
                : problem instanceof DeviceException
                        ? ExitCode.DEVICE
                        : problem instanceof FailedOutput ? ExitCode.FAILED : null;
        if (status == null) {
            return lastResort.tell(problem);
        }
        command.getErr().println("ringout: " + problem.getMessage());
        command.getErr().flush();
        return status.status();
    }

    /** Two lines: what is wrong, and where to look. */
    private static int usage(CommandLine.ParameterException problem, String[] arguments) {
        CommandLine command = problem.getCommandLine();
        PrintWriter err = command.getErr();
        err.println("ringout: " + UsageText.of(problem, arguments).replaceAll("\\p{Cntrl}+", " "));
        err.println(Texts.say("usage.look", command.getCommandSpec().qualifiedName()));
        err.flush();
        return ExitCode.BAD_INPUT.status();
    }

    /** The version in the jar's manifest. */
    static final class Version implements CommandLine.IVersionProvider {
        @Override
        public String[] getVersion() {
            String version = Ringout.class.getPackage().getImplementationVersion();
            return new String[] {"ringout " + (version == null ? Texts.say("usage.not-packaged") : version)};
        }
    }
}
