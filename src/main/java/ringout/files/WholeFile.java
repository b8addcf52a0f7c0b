package ringout.files;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributeView;

/**
 * Writes a file that is there whole or not at all: beside its place, forced to the disk, then renamed. What was there
 * before is untouched until then, whatever happens: a full disk, a signal, a lost power supply. Every file that Ringout
 * writes at once goes through here.
 *
 * <p>A link stays a link, and its target takes the new text; permissions of a file that is replaced stay as they are. A
 * device, a pipe or a terminal is written to as it is.
 */
public final class WholeFile {
    private WholeFile() {}

    /** What to do where the file is there already. */
    public enum Existing {
        REFUSE,
        REPLACE
    }

    /** Writes what is to be in the file. */
    @FunctionalInterface
    public interface Content<E extends Exception> {
        /** @param out buffered; not to be closed */
        void writeTo(OutputStream out) throws IOException, E;
    }

    /**
     * Writes a file.
     *
     * @throws FileAlreadyExistsException where it is there and that was to be refused
     * @throws IOException                where it cannot be written; then nothing has changed
     * @throws E                          what {@code content} throws; then nothing has changed
     */
    public static <E extends Exception> void write(Path file, Existing existing, Content<E> content)
            throws IOException, E {
        boolean there = Files.exists(file, LinkOption.NOFOLLOW_LINKS);
        Path target = there && Files.exists(file) ? file.toRealPath() : file;
        if (Files.exists(target) && !Files.isRegularFile(target)) {
            if (Files.isDirectory(target)) {
                throw new FileSystemException(file.toString(), null, "it is a folder");
            }
            try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(target, StandardOpenOption.WRITE))) {
                content.writeTo(out);
                out.flush();
            }
            return;
        }
        if (there && existing == Existing.REFUSE) {
            throw new FileAlreadyExistsException(file.toString());
        }
        make(target, existing, part -> {
            try (FileChannel channel =
                    FileChannel.open(part, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
                OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel), 1 << 16);
                content.writeTo(out);
                out.flush();
                channel.force(true);
            }
        });
    }

    /** Makes a file and has it on the disk when it returns. */
    @FunctionalInterface
    public interface File<E extends Exception> {
        /** @param part where to; not there yet */
        void make(Path part) throws IOException, E;
    }

    /**
     * As {@link #write}, for content that opens its file itself; only for places that are no device.
     *
     * @throws IOException where it cannot be made; then nothing has changed
     * @throws E           what {@code content} throws; then nothing has changed
     */
    public static <E extends Exception> void make(Path target, Existing existing, File<E> content)
            throws IOException, E {
        Path part = beside(target);
        Thread onSignal = new Thread(() -> delete(part), "ringout-part");
        boolean hooked = hook(onSignal);
        try {
            content.make(part);
            move(part, target, existing);
        } finally {
            delete(part);
            if (hooked) {
                unhook(onSignal);
            }
        }
    }

    /** Writes text in UTF-8, see {@link #write}. */
    public static void write(Path file, Existing existing, String text) throws IOException {
        write(file, existing, text.getBytes(StandardCharsets.UTF_8));
    }

    /** Writes bytes, see {@link #write}. */
    public static void write(Path file, Existing existing, byte[] bytes) throws IOException {
        write(file, existing, (Content<IOException>) out -> out.write(bytes));
    }

    /**
     * Tries whether a file could be written in the place of {@code file}; leaves nothing behind.
     *
     * @throws IOException where it could not
     */
    public static void tryPlace(Path file) throws IOException {
        Path part = beside(file.toAbsolutePath());
        try {
            Files.write(part, new byte[] {'\n'}, StandardOpenOption.CREATE_NEW);
        } finally {
            delete(part);
        }
    }

    /** Hidden, and with a short name of its own: the file's may be as long as the file system allows. */
    private static Path beside(Path target) {
        return target.resolveSibling(
                ".ringout-" + Long.toHexString(ProcessHandle.current().pid()) + "-"
                        + Long.toHexString(System.nanoTime()) + ".part");
    }

    private static void move(Path part, Path target, Existing existing) throws IOException {
        if (existing == Existing.REFUSE) {
            Files.move(part, target);
            return;
        }
        PosixFileAttributeView old = Files.getFileAttributeView(target, PosixFileAttributeView.class);
        if (old != null && Files.exists(target)) {
            Files.setPosixFilePermissions(part, old.readAttributes().permissions());
        }
        try {
            Files.move(part, target, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException elsewhere) {
            Files.move(part, target, StandardCopyOption.REPLACE_EXISTING);
        }
    }

    private static void delete(Path part) {
        try {
            Files.deleteIfExists(part);
        } catch (IOException left) {
            // What went wrong before counts, and is on its way; a left part is hidden and harmless.
        }
    }

    private static boolean hook(Thread onSignal) {
        try {
            Runtime.getRuntime().addShutdownHook(onSignal);
            return true;
        } catch (IllegalStateException ending) {
            return false; // the program is ending by itself
        }
    }

    private static void unhook(Thread onSignal) {
        try {
            Runtime.getRuntime().removeShutdownHook(onSignal);
        } catch (IllegalStateException ending) {
            // Then it runs, and finds nothing.
        }
    }
}
