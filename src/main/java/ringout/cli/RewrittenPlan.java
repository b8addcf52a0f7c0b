package ringout.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.PlanRewrite;

/** Writes the plan of a box as it is. */
final class RewrittenPlan {
    private RewrittenPlan() {}

    /**
     * Writes it where the likeliest explanation is one that a plan can be changed to fit.
     *
     * @param plan the plan as it was
     * @param to   where the new one goes; may be the same file
     * @param out  where to say what was done, or null for nowhere
     * @throws BadInput where the file cannot be written
     */
    static void write(Path plan, Path to, Diagnosis diagnosis, @Nullable PrintWriter out) {
        Optional<String> text = Optional.empty();
        try {
            if (!diagnosis.explanations().isEmpty()) {
                text = PlanRewrite.of(
                        Files.readString(plan),
                        plan.toString(),
                        diagnosis.explanations().get(0).alternatives().get(0));
            }
            if (text.isPresent()) {
                Files.writeString(to, text.get());
            }
        } catch (IOException problem) {
            throw new BadInput("cannot write the changed plan to " + to + ": " + problem.getMessage(), problem);
        }
        if (out != null) {
            out.println();
            out.println(
                    text.isPresent()
                            ? "Wrote the plan of this box as it is to " + to + "."
                            : "No change of the plan would make this good; " + to + " was not written.");
            out.flush();
        }
    }
}
