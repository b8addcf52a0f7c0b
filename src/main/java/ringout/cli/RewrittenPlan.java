package ringout.cli;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.PlanRewrite;
import ringout.files.WholeFile;

/** Writes the plan of a box as it is. */
final class RewrittenPlan {
    private RewrittenPlan() {}

    /**
     * Writes it where the likeliest explanation is one that a plan can be changed to fit.
     *
     * @param plan the plan as it was
     * @param to   where the new one goes; may be the same file
     * @param out  where to say what was done, or null for nowhere
     * @throws BadInput     where that file cannot be the one that is meant
     * @throws FailedOutput where the system fails to write; what was there before is untouched
     */
    static void write(Path plan, Path to, Diagnosis diagnosis, @Nullable PrintWriter out) {
        Optional<String> text = diagnosis.explanations().isEmpty()
                ? Optional.empty()
                : PlanRewrite.of(
                        PlanOption.text(plan),
                        plan.toString(),
                        diagnosis.explanations().get(0).alternatives().get(0));
        text.ifPresent(changed -> OutFile.put(to, WholeFile.Existing.REPLACE, (WholeFile.Content<RuntimeException>)
                file -> file.write(changed.getBytes(StandardCharsets.UTF_8))));
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
