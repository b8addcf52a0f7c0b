package ringout.bench;

/** Ends what a listener hears; from then on it is neither called nor kept. Ending it twice is harmless. */
@FunctionalInterface
public interface Listening extends AutoCloseable {
    @Override
    void close();
}
