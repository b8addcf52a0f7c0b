package ringout.cli;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.PlanRewrite;
import ringout.files.WholeFile;
import ringout.words.Texts;

/** Writes the plan of a box as it is, where that was asked for. */
@Command
final class RewrittenPlan extends Output {
    private static final String OPTION = "--rewrite-plan";

    @Option(names = OPTION, paramLabel = "${bundle:label.file}", descriptionKey = "help.option.rewrite-plan")
    private @Nullable Path to;

    @Option(names = "--force", descriptionKey = "help.option.rewrite-plan-force")
    private boolean force;

    private WholeFile.Existing existing = WholeFile.Existing.REFUSE;

    /**
     * Refuses now what could not be written later.
     *
     * @param inputs that the command reads, which are never written over
     * @throws BadInput     where that file cannot be the one that is meant
     * @throws FailedOutput where the system fails to write
     */
    void prepare(@Nullable Path... inputs) {
        if (to == null) {
            if (force) {
                throw new BadInput(Texts.say("usage.needs", "--force", OPTION));
            }
            return;
        }
        existing = OutFile.claim(to, force, inputs);
        if (existing == WholeFile.Existing.REFUSE && Files.exists(to)) {
            throw new BadInput(Texts.say("out.there", to));
        }
        if (!Files.exists(to) || Files.isRegularFile(to)) {
            OutFile.tryPlace(to);
        }
    }

    /**
     * Writes it where the likeliest explanation is one that a plan can be changed to fit.
     *
     * @param plan  the plan as it was
     * @param quiet whether nothing is to be said of it
     * @throws BadInput     where that file cannot be the one that is meant
     * @throws FailedOutput where the system fails to write; what was there before is untouched
     */
    void write(Path plan, Diagnosis diagnosis, boolean quiet) {
        Path file = to;
        if (file == null) {
            return;
        }
        Optional<String> text = diagnosis.explanations().isEmpty()
                ? Optional.empty()
                : PlanRewrite.of(
                        PlanOption.text(plan),
                        plan.toString(),
                        diagnosis.explanations().get(0).alternatives().get(0));
        text.ifPresent(changed -> OutFile.put(file, existing, (WholeFile.Content<RuntimeException>)
                out -> out.write(changed.getBytes(StandardCharsets.UTF_8))));
        if (!quiet) {
            PrintWriter out = out();
            out.println();
            out.println(text.isPresent() ? Texts.say("plan.rewritten", file) : Texts.say("plan.not-rewritten", file));
            out.flush();
        }
    }
}
