package ringout.cli;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import picocli.CommandLine;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What is wrong with a command line, and what would be right: the parser's own messages speak of types and indices. */
final class UsageText {
    private UsageText() {}

    /** @param typed the whole command line: where options exclude each other, the parser does not tell which it met */
    static String of(CommandLine.ParameterException problem, String[] typed) {
        if (problem instanceof CommandLine.UnmatchedArgumentException unmatched) {
            return unmatched(unmatched);
        }
        if (problem instanceof CommandLine.OverwrittenOptionException twice) {
            return Texts.say("usage.twice", name(twice.getOverwritten()));
        }
        if (problem instanceof CommandLine.MissingParameterException missing) {
            return missing(missing.getMissing());
        }
        if (problem instanceof CommandLine.MutuallyExclusiveArgsException
                || problem instanceof CommandLine.MaxValuesExceededException) {
            return onlyOne(problem.getCommandLine(), typed);
        }
        return problem.getArgSpec() != null && problem.getValue() != null
                ? Texts.say("usage.wrong", name(problem.getArgSpec()), problem.getValue(), wanted(problem.getArgSpec()))
                : String.valueOf(problem.getMessage()).replaceFirst("^Error: ", "");
    }

    private static String unmatched(CommandLine.UnmatchedArgumentException problem) {
        String first = problem.getUnmatched().get(0);
        String like = problem.getSuggestions().stream().findFirst().orElse("");
        int likes = like.isEmpty() ? 0 : 1;
        if (first.startsWith("-")) {
            return Texts.say("usage.no-option", first, likes, like);
        }
        return problem.getCommandLine().getSubcommands().isEmpty()
                ? Texts.say("usage.too-many", first)
                : Texts.say("usage.no-command", first, likes, like);
    }

    private static String missing(List<ArgSpec> arguments) {
        List<String> forms = arguments.stream().map(UsageText::form).toList();
        boolean either =
                arguments.stream().allMatch(a -> a.group() != null && a.group().exclusive());
        return either
                ? Texts.say("usage.missing.or", Phrase.or(forms))
                : Texts.say("usage.missing", Phrase.and(forms), forms.size());
    }

    private static String onlyOne(CommandLine command, String[] typed) {
        List<String> given = command.getCommandSpec().options().stream()
                .filter(o -> o.group() != null && o.group().exclusive())
                .map(OptionSpec::longestName)
                .filter(name -> Arrays.stream(typed).anyMatch(t -> t.equals(name) || t.startsWith(name + "=")))
                .toList();
        return given.size() > 1
                ? Texts.say("usage.only-one", Phrase.and(given))
                : Texts.say("usage.twice", Phrase.and(given));
    }

    /** As it is to be typed. */
    private static String form(ArgSpec argument) {
        return argument instanceof OptionSpec option && !option.paramLabel().isEmpty()
                ? option.longestName() + " " + option.paramLabel()
                : name(argument);
    }

    private static String name(ArgSpec argument) {
        return argument instanceof OptionSpec option ? option.longestName() : argument.paramLabel();
    }

    private static String wanted(ArgSpec argument) {
        Class<?> type = argument.type();
        if (type.isEnum()) {
            return Texts.say(
                    "usage.one-of",
                    Arrays.stream(type.getEnumConstants())
                            .map(c -> c.toString().toLowerCase(Locale.ROOT))
                            .collect(Collectors.joining(", ")));
        }
        if (type == boolean.class || type == Boolean.class) {
            return Texts.say("usage.no-value");
        }
        boolean small = type == int.class || type == Integer.class;
        if (small || type == long.class || type == Long.class) {
            return Texts.say("usage.whole", small ? 9 : 18);
        }
        return type == double.class || type == Double.class ? Texts.say("usage.number") : Texts.say("usage.file");
    }
}
