package ringout.cli;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.util.Optional;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import ringout.files.FileTrouble;
import ringout.files.WholeFile;
import ringout.journal.JournalException;
import ringout.words.Texts;

/** How every sub-command writes a file: whole or not at all, and over what is there only where that was wanted. */
@Command
final class OutFile extends Output {
    @Option(names = "--force", descriptionKey = "help.option.force")
    private boolean force;

    /**
     * Writes a file.
     *
     * @param inputs that the command reads, which are never written over
     * @throws BadInput     where that file cannot be the one that is meant
     * @throws FailedOutput where the system fails to write
     * @throws E            what {@code content} throws
     */
    <E extends Exception> void write(Path out, WholeFile.Content<E> content, Path... inputs) throws E {
        put(out, claim(out, force, inputs), content);
    }

    /**
     * What is to become of a file that is there; in a terminal the person is asked.
     *
     * @param force whether it may be written over without that
     * @throws BadInput     where it is one of the inputs
     * @throws FailedOutput where the system does not tell
     */
    static WholeFile.Existing claim(Path out, boolean force, Path... inputs) {
        refuseInputs(out, inputs);
        return force || mayReplace(out) ? WholeFile.Existing.REPLACE : WholeFile.Existing.REFUSE;
    }

    /** As {@link #write}, where what becomes of a file that is there is known. */
    static <E extends Exception> void put(Path out, WholeFile.Existing existing, WholeFile.Content<E> content)
            throws E {
        try {
            WholeFile.write(out, existing, content);
        } catch (IOException problem) {
            throw failure(out, problem);
        }
    }

    /** As {@link #put}, for content that opens its file itself. */
    static <E extends Exception> void make(Path out, WholeFile.Existing existing, WholeFile.File<E> content) throws E {
        try {
            WholeFile.make(out, existing, content);
        } catch (IOException problem) {
            throw failure(out, problem);
        }
    }

    /**
     * Refuses now what could not be written later.
     *
     * @throws BadInput     where no file can be written there
     * @throws FailedOutput where the system fails to
     */
    static void tryPlace(Path out) {
        try {
            WholeFile.tryPlace(out);
        } catch (IOException problem) {
            throw failure(out, problem);
        }
    }

    /** @param trouble why a recording does not hold all there was, or empty */
    static void requireWhole(String trouble) {
        if (!trouble.isEmpty()) {
            throw new FailedOutput(Texts.say("out.recording", trouble), null);
        }
    }

    /** What a recording's trouble is to the command line: a mistake of whoever typed it, or of the system. */
    static RuntimeException failure(JournalException problem) {
        return problem instanceof JournalException.Unwritable
                ? new FailedOutput(problem.getMessage(), problem)
                : new BadInput(problem.getMessage(), problem);
    }

    private static RuntimeException failure(Path out, IOException problem) {
        if (problem instanceof FileAlreadyExistsException) {
            return new BadInput(Texts.say("out.there", out), problem);
        }
        if (problem instanceof NoSuchFileException || problem instanceof NotDirectoryException) {
            return new BadInput(Texts.say("out.no-folder", out, folder(out)), problem);
        }
        if (problem instanceof AccessDeniedException) {
            return new BadInput(Texts.say("out.no-permission", out, folder(out)), problem);
        }
        return new FailedOutput(Texts.say("out.failed", out, FileTrouble.why(problem)), problem);
    }

    private static void refuseInputs(Path out, Path... inputs) {
        for (Path input : inputs) {
            try {
                if (input != null && Files.exists(out) && Files.exists(input) && Files.isSameFile(out, input)) {
                    throw new BadInput(Texts.say("out.own-input", out));
                }
            } catch (IOException unknown) {
                throw new FailedOutput(Texts.say("out.failed", out, FileTrouble.why(unknown)), unknown);
            }
        }
    }

    @SuppressWarnings("SystemConsoleNull") // asked further for the Javas that it warns of
    private static boolean mayReplace(Path out) {
        if (!Files.isRegularFile(out)) {
            return false;
        }
        return Keyboard.console()
                .map(console -> console.readLine("%s ", Texts.say("out.ask", out)))
                .filter(answer -> answer.strip().equalsIgnoreCase(Texts.say("out.ask.yes")))
                .isPresent();
    }

    /** The one it is in, or where that is missing the one that it was to be made in. */
    private static Path folder(Path out) {
        Path folder = Optional.ofNullable(out.toAbsolutePath().getParent()).orElse(out);
        for (Path there = folder; there != null; there = there.getParent()) {
            if (Files.exists(there)) {
                return there;
            }
        }
        return folder;
    }
}
