package ringout.cli;

import java.util.Arrays;
import java.util.Collections;
import java.util.Enumeration;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.ResourceBundle;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Help;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.CommandSpec;
import ringout.check.ExtraStep;
import ringout.words.Texts;

/**
 * What {@code --help} prints of one command, by the names picocli asks for it. Annotations hold keys of {@link Texts}: a
 * command's in {@code description} and {@code footer}, an option's in {@code descriptionKey}, and what stands for its
 * argument in {@code paramLabel}, as picocli's formatter looks it up: {@code ${bundle:label.file}}.
 */
final class HelpTexts extends ResourceBundle {
    private final Map<String, String> texts = new LinkedHashMap<>();

    private HelpTexts() {}

    private HelpTexts(CommandSpec command) {
        texts.put("usage.synopsisHeading", raw(Texts.say("help.usage")) + " ");
        texts.put("usage.synopsisSubcommandLabel", Texts.say("help.command"));
        texts.put("usage.commandListHeading", raw(Texts.say("help.commands")) + "%n");
        for (String key : command.usageMessage().description()) {
            lines("usage.description", text(key));
        }
        for (String key : command.usageMessage().footer()) {
            lines("usage.footer", text(key));
        }
        for (ArgSpec argument : command.args()) {
            String key = argument.descriptionKey();
            lines(
                    key,
                    switch (key) {
                        case "mixinStandardHelpOptions.help" -> Texts.say("help.help");
                        case "mixinStandardHelpOptions.version" -> Texts.say("help.version");
                        default -> text(key);
                    });
        }
        if (command.parent() == null) {
            texts.put("usage.exitCodeListHeading", "%n" + raw(Texts.say("help.exit")) + "%n");
            lines(
                    "usage.exitCodeList",
                    ExitCode.OK.status() + ":" + Texts.say("help.exit.ok"),
                    ExitCode.FINDINGS.status() + ":" + Texts.say("help.exit.findings"),
                    ExitCode.BAD_INPUT.status() + ":" + Texts.say("help.exit.bad-input"),
                    ExitCode.DEVICE.status() + ":" + Texts.say("help.exit.device"),
                    ExitCode.FAILED.status() + ":" + Texts.say("help.exit.failed"),
                    "128 + n:" + Texts.say("help.exit.signal"));
        }
    }

    /** Makes the help of a command, and only then its texts: a command that runs needs none of them. */
    static Help help(CommandSpec command, Help.ColorScheme colours) {
        // With its texts, a command no longer tells their keys.
        if (command.resourceBundle() instanceof HelpTexts had && had.texts.isEmpty()) {
            command.resourceBundle(new HelpTexts(command));
        }
        return new Help(command, colours);
    }

    /** Only what stands for arguments, which the parser names where options exclude each other. */
    static ResourceBundle labels() {
        return new HelpTexts();
    }

    /**
     * What can be typed and what it means, line by line.
     *
     * @param width where the meaning begins; on the next line where what is typed leaves no room
     * @param rows  what is typed and what it means
     */
    static String table(int width, String[][] rows) {
        String gap = " ".repeat(width);
        return Arrays.stream(rows).map(row -> "  " + row(row[0], row[1], gap)).collect(Collectors.joining("\n"));
    }

    private static String row(String typed, String meant, String gap) {
        if (meant.isEmpty()) {
            return typed;
        }
        String below = "\n  " + gap;
        return typed
                + (typed.length() < gap.length() ? gap.substring(typed.length()) : below)
                + meant.replace("\n", below);
    }

    @Override
    protected @Nullable Object handleGetObject(String key) {
        return key.startsWith("label.") ? Texts.say(key) : texts.get(key);
    }

    @Override
    public Enumeration<String> getKeys() {
        return Collections.enumeration(texts.keySet());
    }

    private static String text(String key) {
        return Texts.say(
                key,
                switch (key) {
                    case "help.continuity.more" -> ContinuityCommand.answers();
                    case "help.explain.more" -> ExplainCommand.SAMPLE;
                    case "help.learn.more" -> LearnCommand.answers();
                    case "help.option.presses" -> ExtraStep.MOST_TIMES;
                    case "help.predict.more" -> PredictCommand.faults();
                    case "help.solder.more" -> SolderCommand.answers();
                    default -> "${DEFAULT-VALUE}";
                });
    }

    private void lines(String key, String... said) {
        int i = 0;
        for (String line : String.join("\n", said).split("\n", -1)) {
            texts.put(key + "." + i++, raw(line));
        }
    }

    /** As it stands, to picocli's formatter. */
    private static String raw(String text) {
        return text.replace("%", "%%");
    }
}
