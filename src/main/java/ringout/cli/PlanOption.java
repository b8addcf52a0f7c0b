package ringout.cli;

import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.stream.Collectors;
import ringout.bench.PlanInUse;
import ringout.files.FileTrouble;
import ringout.files.SmallFile;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.words.Texts;

/** How every sub-command reads a plan file. */
final class PlanOption {
    private PlanOption() {}

    /**
     * Reads a plan file, problems included.
     *
     * @throws BadInput where the file itself cannot be read
     */
    static PlanReading read(Path file) {
        return PlanReader.read(text(file), file.toString());
    }

    /**
     * The text of a plan file.
     *
     * @throws BadInput where the file itself cannot be read
     */
    static String text(Path file) {
        try {
            return SmallFile.text(file, SmallFile.PLAN);
        } catch (NoSuchFileException missing) {
            throw new BadInput(Texts.say("plan.gone", file), missing);
        } catch (CharacterCodingException binary) {
            throw new BadInput(Texts.say("plan.no-text", file), binary);
        } catch (IOException problem) {
            throw new BadInput(Texts.say("plan.unreadable", file, FileTrouble.why(problem)), problem);
        }
    }

    /**
     * The plan in a file.
     *
     * @throws BadInput with every error in it, one a line, where it has any
     */
    static Plan require(Path file) {
        return require(read(file));
    }

    /**
     * The plan in a file, with what ties recordings to it.
     *
     * @throws BadInput with every error in it, one a line, where it has any
     */
    static PlanInUse inUse(Path file) {
        String text = text(file);
        return PlanInUse.of(require(PlanReader.read(text, file.toString())), text);
    }

    private static Plan require(PlanReading reading) {
        return reading.plan()
                .orElseThrow(() -> new BadInput(reading.problems().stream()
                        .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                        .map(PlanProblem::text)
                        .collect(Collectors.joining("\n", Texts.say("plan.errors") + "\n", ""))));
    }
}
