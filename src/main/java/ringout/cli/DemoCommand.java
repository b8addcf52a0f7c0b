package ringout.cli;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.circuit.Fault;
import ringout.device.Time;
import ringout.diagnosis.Diagnosis;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.simulate.HiddenFaults;
import ringout.words.Texts;

/** Shows a check of a simulated box with hidden faults. */
@Command(name = "demo", mixinStandardHelpOptions = true, description = "help.demo")
final class DemoCommand implements Callable<Integer> {
    private static final String PLAN = "/ringout/plans/drivers-desk.yaml";
    private static final double SPEED = 10;

    @ParentCommand
    private Ringout root;

    @Option(names = "--terminal", descriptionKey = "help.demo.terminal")
    private boolean terminal;

    @Option(names = "--seed", paramLabel = "${bundle:label.number}", descriptionKey = "help.demo.seed")
    private long seed = 1;

    @Option(names = "--fault", paramLabel = "${bundle:label.fault-short}", descriptionKey = "help.demo.fault")
    private List<String> faults = List.of();

    @Mixin
    private JsonOutput output;

    @Override
    public Integer call() {
        PrintWriter out = output.out();
        Plan plan = plan();
        List<Fault> given = FaultOption.parse(plan, faults);
        if (!terminal && !output.asJson()) {
            Optional<String> obstacle = root.window().open(arguments());
            if (obstacle.isEmpty()) {
                return ExitCode.OK.status();
            }
            out.println(Texts.say("demo.no-window", obstacle.get()));
            out.println();
        }
        List<Fault> hidden = given.isEmpty() ? HiddenFaults.two(plan, seed) : given;
        Rehearsal rehearsal = new Rehearsal(Rehearsal.Setup.of(plan, hidden, seed));
        if (output.asJson()) {
            Check check = rehearsal.start();
            Diagnosis diagnosis = rehearsal.runAdvised();
            output.print("check", CheckText.document(plan, check.view(), Optional.of(diagnosis)));
            return ExitCode.OK.status();
        }
        out.println(
                given.isEmpty()
                        ? Texts.say("demo.hidden", plan.box().name())
                        : Texts.say("demo.given", plan.box().name()));
        out.println();
        Terminal screen = new Terminal(out);
        rehearsal.listen(paced(screen, root.time()));
        Check check = rehearsal.start();
        Diagnosis diagnosis = rehearsal.runAdvised();
        screen.end();
        CheckText.print(out, plan, check.view(), Optional.of(diagnosis));
        out.println();
        String written = hidden.stream().map(Fault::text).collect(Collectors.joining(Texts.say("demo.and")));
        out.println(
                given.isEmpty()
                        ? Texts.say("demo.were-hidden", written, String.valueOf(seed + 1))
                        : Texts.say("demo.were-given", written));
        out.println(Texts.say("demo.not-recorded"));
        out.flush();
        return ExitCode.OK.status();
    }

    /** For the window, which hides the same faults for the same seed. */
    private List<String> arguments() {
        return Stream.concat(
                        Stream.of("--demo", "--seed=" + seed), faults.stream().map(fault -> "--fault=" + fault))
                .toList();
    }

    /** Shows every prompt for a tenth of the time a person would see it; at once where nobody watches. */
    private static Rehearsal.Listener paced(Terminal screen, Time time) {
        return new Rehearsal.Listener() {
            private long last;

            @Override
            public void moved(long nanos, Check check) {
                if (Keyboard.present()) {
                    time.park(Math.round((nanos - last) / SPEED));
                }
                last = nanos;
                screen.show(check.view(), "");
            }
        };
    }

    private static Plan plan() {
        try (InputStream in = DemoCommand.class.getResourceAsStream(PLAN)) {
            String yaml = new String(in.readAllBytes(), StandardCharsets.UTF_8);
            return PlanReader.read(yaml, PLAN).plan().orElseThrow();
        } catch (IOException | RuntimeException damaged) {
            throw new IllegalStateException("the installation is damaged: " + PLAN + " cannot be read", damaged);
        }
    }
}
