package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import picocli.CommandLine;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.CommandSpec;

/** The help is the documentation: every command and every option says what it is for, and ends as it promises. */
class HelpTest {
    private static Stream<CommandLine> commands() {
        return Ringout.commandLine(window -> Optional.of("no window in this test")).getSubcommands().values().stream();
    }

    @TestFactory
    Stream<DynamicTest> everyCommandExplainsItself() {
        return commands()
                .map(command -> DynamicTest.dynamicTest(command.getCommandName(), () -> {
                    CommandSpec spec = command.getCommandSpec();
                    CommandRun run = CommandRun.of(spec.name(), "--help");
                    assertEquals(0, run.status(), run.err());
                    assertEquals("", run.err());
                    assertTrue(run.out().startsWith("Usage: ringout " + spec.name()), run.out());
                    assertTrue(
                            String.join(" ", spec.usageMessage().description()).length() > 40,
                            "what it does and for what");
                    List<ArgSpec> arguments = new ArrayList<>(spec.options());
                    arguments.addAll(spec.positionalParameters());
                    for (ArgSpec argument : arguments) {
                        assertFalse(
                                String.join("", argument.description()).isBlank(),
                                () -> spec.name() + ": " + argument.paramLabel() + " is not explained");
                    }
                    run.out()
                            .lines()
                            .forEach(line -> assertTrue(line.length() <= 80, () -> "wider than a terminal: " + line));
                }));
    }

    @TestFactory
    Stream<DynamicTest> whatNoCommandKnowsEndsWithTwo() {
        return commands()
                .map(command -> DynamicTest.dynamicTest(command.getCommandName(), () -> {
                    CommandRun run = CommandRun.of(command.getCommandName(), "--no-such-option");
                    assertEquals(2, run.status());
                    // What is missing is told before what is unknown.
                    assertTrue(
                            run.err().contains("--no-such-option") || run.err().startsWith("ringout: Missing required"),
                            run.err());
                    assertFalse(run.err().contains("Exception"), run.err());
                    assertEquals("", run.out());
                }));
    }

    @Test
    void wrongNumbersAreToldInNoProgrammersWords() {
        for (String[] arguments : new String[][] {
            {"demo", "--terminal", "--seed", "x"},
            {"simulate", "--plan", "fixtures/plans/guards-panel.yaml", "--out", "x.jsonl", "--rate", "99999999999"}
        }) {
            CommandRun run = CommandRun.of(arguments);
            assertEquals(2, run.status());
            assertTrue(run.err().contains(": give a whole number, such as 5, of at most "), run.err());
        }
        CommandRun device = CommandRun.of("record", "--device", "sim:desk?seed=x", "--out", "x.jsonl");
        assertEquals(3, device.status());
        assertTrue(device.err().contains("\"x\" is no number"), device.err());
        CommandRun record = CommandRun.of("record", "--device", "sim:desk", "--seconds", "1e99");
        assertEquals(2, record.status());
        assertTrue(record.err().contains("outside 0 to ten million"), record.err());
    }

    @Test
    void theRootListsEveryCommandAndEveryExitStatus() {
        String help = CommandRun.of("--help").out();
        commands()
                .forEach(command ->
                        assertTrue(help.contains("  " + command.getCommandName() + " "), command.getCommandName()));
        for (ExitCode code : ExitCode.values()) {
            assertTrue(help.contains("  " + code.status() + "   "), help);
        }
    }
}
