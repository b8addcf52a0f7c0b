package ringout.files;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringout.words.Texts;

/**
 * Writes a file that is there whole or not at all: beside its place, forced to the disk, then renamed. What was there
 * before is untouched until then, whatever happens: a full disk, a signal, a lost power supply. A folder that is missing
 * is made. Every file that Ringout writes goes through here.
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
                throw new FileSystemException(file.toString(), null, Texts.say("file.is-folder"));
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
            try (FileChannel channel = FileChannel.open(part, StandardOpenOption.WRITE)) {
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
        /** @param part where to; an empty file */
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
        try (Part part = Part.beside(target)) {
            content.make(part.path());
            part.moveTo(target, existing);
        } catch (FileSystemException problem) {
            throw Part.told(problem, target);
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
     * Tries whether a file could be written in the place of {@code file}; leaves nothing behind but its folder.
     *
     * @throws IOException where it could not
     */
    public static void tryPlace(Path file) throws IOException {
        try (Part part = Part.beside(file)) {
            Files.write(part.path(), new byte[] {'\n'});
        } catch (FileSystemException problem) {
            throw Part.told(problem, file);
        }
    }
}
