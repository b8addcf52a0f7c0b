package ringout.files;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.PosixFileAttributeView;
import java.time.Duration;
import java.time.Instant;
import java.util.regex.Pattern;

/**
 * A file in the making, hidden beside its place. Whatever ends the program removes it, in whatever moment that comes: who
 * is to remove it is registered before it is there, and once that was done it can neither be created nor moved. Only what
 * gives a program no moment at all (kill -9, a lost power supply) leaves one behind; a later file in the same folder takes
 * it away when a day has passed.
 *
 * <p>When the program is ending already, only an {@link EndThread} can begin one.
 */
final class Part implements AutoCloseable {
    /** Far longer than any file takes to write, so that nobody is still at it. */
    private static final Duration STALE = Duration.ofDays(1);

    private static final Pattern NAME = Pattern.compile("\\.ringout-[0-9a-f]+-[0-9a-f]+\\.part");

    private final Path path;
    private final Thread atEnd;
    private final boolean registered;
    private boolean over;

    private Part(Path path) {
        this.path = path;
        atEnd = new Thread(this::end, "ringout-part");
        registered = register();
    }

    /**
     * Begins one beside a file, in a folder that is made where it is missing.
     *
     * @throws NotDirectoryException where the folder cannot be one
     * @throws IOException           where it cannot be created
     */
    static Part beside(Path target) throws IOException {
        makeFolder(target);
        // With a short name of its own: the file's may be as long as the file system allows.
        Part part = new Part(target.resolveSibling(
                ".ringout-" + Long.toHexString(ProcessHandle.current().pid()) + "-"
                        + Long.toHexString(System.nanoTime()) + ".part"));
        try {
            part.create();
            return part;
        } catch (IOException | RuntimeException failed) {
            part.close();
            throw failed;
        }
    }

    /** The same trouble as one with the file that was to be: nobody knows of the part. */
    static FileSystemException told(FileSystemException problem, Path target) {
        String file = problem.getFile();
        if (file == null
                || !NAME.matcher(Path.of(file).getFileName().toString()).matches()) {
            return problem;
        }
        String name = target.toString();
        FileSystemException told = problem instanceof AccessDeniedException
                ? new AccessDeniedException(name, null, problem.getReason())
                : problem instanceof NoSuchFileException
                        ? new NoSuchFileException(name, null, problem.getReason())
                        : new FileSystemException(name, null, problem.getReason());
        told.initCause(problem);
        return told;
    }

    private static void makeFolder(Path target) throws IOException {
        Path folder = target.toAbsolutePath().getParent();
        if (folder == null || Files.isDirectory(folder)) {
            return;
        }
        Path there = folder;
        while (there.getParent() != null && !Files.exists(there)) {
            there = there.getParent();
        }
        if (Files.exists(there) && !Files.isDirectory(there)) {
            throw new NotDirectoryException(there.toString());
        }
        Files.createDirectories(folder);
    }

    private boolean register() {
        try {
            Runtime.getRuntime().addShutdownHook(atEnd);
            return true;
        } catch (IllegalStateException ending) {
            return false;
        }
    }

    private synchronized void create() throws IOException {
        requireTime();
        Files.createFile(path);
    }

    private void requireTime() throws IOException {
        if (over || !registered && !(Thread.currentThread() instanceof EndThread)) {
            throw new FileSystemException(path.toString(), null, "the program is ending");
        }
    }

    /** It is empty at first. */
    Path path() {
        return path;
    }

    /** Gives it its name. */
    synchronized void moveTo(Path target, WholeFile.Existing existing) throws IOException {
        requireTime();
        if (existing == WholeFile.Existing.REFUSE) {
            Files.move(path, target);
        } else {
            PosixFileAttributeView old = Files.getFileAttributeView(target, PosixFileAttributeView.class);
            if (old != null && Files.exists(target)) {
                Files.setPosixFilePermissions(path, old.readAttributes().permissions());
            }
            try {
                Files.move(path, target, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
            } catch (AtomicMoveNotSupportedException elsewhere) {
                Files.move(path, target, StandardCopyOption.REPLACE_EXISTING);
            }
        }
        removeStale();
    }

    private void removeStale() {
        Path folder = path.toAbsolutePath().getParent();
        if (folder == null) {
            return;
        }
        Instant since = Instant.now().minus(STALE);
        try (DirectoryStream<Path> parts = Files.newDirectoryStream(folder, ".ringout-*.part")) {
            for (Path part : parts) {
                if (NAME.matcher(part.getFileName().toString()).matches()
                        && Files.isRegularFile(part, LinkOption.NOFOLLOW_LINKS)
                        && Files.getLastModifiedTime(part).toInstant().isBefore(since)) {
                    delete(part);
                }
            }
        } catch (IOException | DirectoryIteratorException unseen) {
            // They are hidden and harmless, and what was asked for is done.
        }
    }

    private synchronized void end() {
        over = true;
        delete(path);
    }

    @Override
    public void close() {
        delete(path);
        if (registered) {
            try {
                Runtime.getRuntime().removeShutdownHook(atEnd);
            } catch (IllegalStateException ending) {
                // Then it runs, and finds nothing.
            }
        }
    }

    private static void delete(Path part) {
        try {
            Files.deleteIfExists(part);
        } catch (IOException left) {
            // What went wrong before counts, and is on its way; a left part is hidden and harmless.
        }
    }
}
