package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import picocli.CommandLine;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import ringout.device.Time;
import ringout.words.Texts;
import ringout.words.texts_en_XA;

/** The help is the documentation: every command and every option says what it is for, and ends as it promises. */
class HelpTest {
    private static final Pattern NAMED =
            Pattern.compile("\\b(?:descriptionKey|description|footer) = \"(help\\.[^\"]+)\"");

    private static Stream<CommandLine> commands() {
        return Ringout.commandLine(window -> Optional.of("no window in this test"), Time.OURS)
                .getSubcommands()
                .values()
                .stream();
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
                    assertTrue(Texts.say("help." + spec.name(), "").length() > 40, "what it does and for what");
                    List<ArgSpec> arguments = new ArrayList<>(spec.options());
                    arguments.addAll(spec.positionalParameters());
                    for (ArgSpec argument : arguments) {
                        String said = own(argument) ? Texts.say(argument.descriptionKey(), "") : "standard";
                        assertFalse(
                                said.isBlank(), () -> spec.name() + ": " + argument.paramLabel() + " is not explained");
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
                            run.err().contains("--no-such-option")
                                    || run.err().lines().findFirst().orElse("").endsWith(" missing"),
                            run.err());
                    assertFalse(run.err().contains("Exception"), run.err());
                    assertEquals("", run.out());
                }));
    }

    /** {@link ringout.words.TextsTest} has every key in the bundle stand in the code; here that code is one of the commands'. */
    @Test
    void everyKeyOfTheHelpIsOfTheCommandOrOptionThatItNames() throws IOException {
        Map<String, Set<String>> used = new TreeMap<>();
        CommandLine root = Ringout.commandLine(window -> Optional.of("no window in this test"), Time.OURS);
        Stream.concat(Stream.of(root), root.getSubcommands().values().stream()).forEach(command -> {
            CommandSpec spec = command.getCommandSpec();
            String name = spec.name();
            assertEquals(List.of("help." + name), List.of(spec.usageMessage().description()));
            List<String> keys = new ArrayList<>(List.of(spec.usageMessage().description()));
            keys.addAll(List.of(spec.usageMessage().footer()));
            for (ArgSpec argument : spec.args()) {
                if (own(argument)) {
                    String key = argument.descriptionKey();
                    String called = argument instanceof OptionSpec option
                            ? option.longestName().substring(2)
                            : argument.paramLabel().toLowerCase(Locale.ROOT);
                    assertTrue(
                            key.equals("help." + name + "." + called) || key.startsWith("help.option."),
                            () -> name + " " + called + ": " + key);
                    keys.add(key);
                }
            }
            for (String key : keys) {
                used.computeIfAbsent(key, k -> new TreeSet<>()).add(name);
            }
        });
        used.forEach((key, commands) -> {
            assertTrue(!key.endsWith(".more") || commands.equals(Set.of(key.split("\\.")[1])), key);
            assertEquals(key.startsWith("help.option."), commands.size() > 1, () -> key + " is of " + commands);
        });
        Set<String> named = new TreeSet<>();
        try (Stream<Path> files = Files.walk(Path.of("src/main/java/ringout"))) {
            for (Path file : files.filter(f -> f.toString().endsWith(".java")).toList()) {
                Matcher key = NAMED.matcher(Files.readString(file));
                while (key.find()) {
                    named.add(key.group(1));
                }
            }
        }
        assertEquals(named, used.keySet());
    }

    /** Help and version are picocli's. */
    private static boolean own(ArgSpec argument) {
        return !(argument instanceof OptionSpec option && (option.usageHelp() || option.versionHelp()));
    }

    @Test
    void aLongerLanguageFitsTheTerminal() {
        Locale usual = Locale.getDefault();
        Locale.setDefault(texts_en_XA.LOCALE);
        try {
            commands().forEach(command -> {
                String help = CommandRun.of(command.getCommandName(), "--help").out();
                assertTrue(help.startsWith("[Ús"), help);
                assertTrue(help.lines().allMatch(line -> line.length() <= 80), help);
            });
        } finally {
            Locale.setDefault(usual);
        }
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
        CommandRun escape = CommandRun.of("record", "--device", "sim:desk?fault=%", "--out", "x.jsonl");
        assertEquals(3, escape.status());
        assertTrue(escape.err().contains("after a percent sign come two hex digits"), escape.err());
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
