package ringout.files;

import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import ringout.words.Texts;

/** Why a file cannot be read or written, to stand behind its name. */
public final class FileTrouble {
    private FileTrouble() {}

    /** The system's own words, without the path that file system exceptions put before them, or have instead of them. */
    public static String why(Exception problem) {
        if (problem instanceof AccessDeniedException) {
            return Texts.say("file.no-permission");
        } else if (problem instanceof NoSuchFileException) {
            return Texts.say("file.not-there");
        } else if (problem instanceof NotDirectoryException) {
            return Texts.say("file.folder-is-file");
        } else if (problem instanceof FileAlreadyExistsException) {
            return Texts.say("file.there-already");
        }
        String reason = problem instanceof FileSystemException inFile ? inFile.getReason() : problem.getMessage();
        return reason == null || reason.isBlank() ? problem.getClass().getSimpleName() : reason;
    }
}
