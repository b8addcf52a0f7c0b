package ringout.ui.files;

import java.io.IOException;
import java.nio.charset.MalformedInputException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.bench.PlanInUse;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.journal.PlanHash;
import ringout.plan.PlanProblem;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.words.Phrase;

/**
 * A plan file as it stood when it was read.
 *
 * @param file    which
 * @param stamp   changes when the file does
 * @param hash    ties recordings to it, see {@link PlanHash}
 * @param text    what is in it, to be kept with recordings
 * @param reading what reading gave; a file that cannot be read is a problem at its first line
 */
public record PlanFile(Path file, String stamp, String hash, String text, PlanReading reading) {
    public static PlanFile read(Path file) {
        String stamp = stampOf(file);
        try {
            if (Files.size(file) > SmallFile.PLAN) {
                return failed(file, stamp, Phrase.of("files.too-large"));
            }
            String yaml = SmallFile.text(file, SmallFile.PLAN);
            PlanReading reading = PlanReader.read(yaml, file.toString());
            Optional<Phrase> refusal = reading.plan().flatMap(Roomy::refusal);
            return refusal.isPresent()
                    ? failed(file, stamp, refusal.get())
                    : new PlanFile(file, stamp, PlanHash.of(yaml), yaml, reading);
        } catch (NoSuchFileException gone) {
            return failed(file, stamp, Phrase.of("files.gone"));
        } catch (MalformedInputException notText) {
            return failed(file, stamp, Phrase.of("files.no-text"));
        } catch (IOException problem) {
            return failed(file, stamp, Phrase.of("files.unreadable", String.valueOf(problem.getMessage())));
        }
    }

    /**
     * Writes a plan's text. What the file held is kept beside it under the same name with {@code .bak} behind, and until
     * the new text is wholly on the disk the file keeps the old one.
     */
    public static void write(Path file, String yaml) throws IOException {
        if (!Files.exists(file)) {
            WholeFile.write(file, WholeFile.Existing.REFUSE, yaml);
            return;
        }
        Path whole = file.toRealPath();
        WholeFile.write(
                whole.resolveSibling(whole.getFileName() + ".bak"),
                WholeFile.Existing.REPLACE,
                Files.readAllBytes(whole));
        WholeFile.write(file, WholeFile.Existing.REPLACE, yaml);
    }

    /** The plan for a session, where it can be used. */
    public Optional<PlanInUse> inUse() {
        return reading.plan().map(plan -> new PlanInUse(plan, hash, Optional.of(text)));
    }

    /** True where the file on disk is another than the one that was read. */
    public boolean changed() {
        return !stampOf(file).equals(stamp);
    }

    private static String stampOf(Path file) {
        try {
            return Files.getLastModifiedTime(file) + " " + Files.size(file);
        } catch (IOException gone) {
            return "";
        }
    }

    /** True where there is no text to read: the file is gone, too large, no text, or may not be read. */
    public boolean unreadable() {
        return hash.isEmpty();
    }

    private static PlanFile failed(Path file, String stamp, Phrase why) {
        return new PlanFile(
                file,
                stamp,
                "",
                "",
                new PlanReading(
                        Optional.empty(),
                        List.of(new PlanProblem(PlanProblem.Severity.ERROR, file.toString(), 1, 1, why)),
                        Map.of()));
    }
}
