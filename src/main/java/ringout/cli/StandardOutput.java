package ringout.cli;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;

/**
 * Standard output that remembers where writing failed: {@link PrintWriter} keeps it to itself. In UTF-8 whatever the
 * locale: Java 17 would print a question mark for every letter a C locale lacks.
 */
final class StandardOutput extends OutputStream {
    private final OutputStream to;
    private final AtomicReference<IOException> failure = new AtomicReference<>();

    StandardOutput() {
        this(new FileOutputStream(FileDescriptor.out));
    }

    StandardOutput(OutputStream to) {
        this.to = to;
    }

    PrintWriter writer() {
        return new PrintWriter(new OutputStreamWriter(this, StandardCharsets.UTF_8), true);
    }

    /** Why something that was printed did not get out. */
    Optional<IOException> failure() {
        return Optional.ofNullable(failure.get());
    }

    @Override
    public void write(int b) throws IOException {
        write(new byte[] {(byte) b}, 0, 1);
    }

    @Override
    public void write(byte[] bytes, int from, int length) throws IOException {
        try {
            to.write(bytes, from, length);
        } catch (IOException failed) {
            failure.compareAndSet(null, failed);
            throw failed;
        }
    }

    @Override
    public void flush() throws IOException {
        to.flush();
    }
}
