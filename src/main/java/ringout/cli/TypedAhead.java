package ringout.cli;

import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;

/**
 * Lines as they are typed, for who follows a box meanwhile. Who types far ahead waits until some are taken, so that a pipe
 * without end fills no memory.
 */
final class TypedAhead {
    /** Comes after the last line, as often as it is asked for: what Ctrl-D types (EOT, ISO 646). */
    static final String END = "\u0004";

    private final BlockingQueue<String> lines = new ArrayBlockingQueue<>(16);
    private boolean reading;

    /** Begins to read, once. */
    void read() {
        if (!reading) {
            reading = true;
            Keyboard.follow(line -> put(line.strip()), () -> put(END));
        }
    }

    private void put(String line) {
        try {
            lines.put(line);
        } catch (InterruptedException wanted) { // by nobody
            throw new IllegalStateException(wanted);
        }
    }

    /** The next line, which it leaves there. */
    Optional<String> peek() {
        return Optional.ofNullable(lines.peek());
    }

    /** The next line, where one is there. */
    Optional<String> poll() {
        return Optional.ofNullable(lines.poll()).map(this::taken);
    }

    /** Waits for the next line. */
    String take() throws InterruptedException {
        return taken(lines.take());
    }

    private String taken(String line) {
        if (line.equals(END)) {
            lines.offer(END);
        }
        return line;
    }
}
