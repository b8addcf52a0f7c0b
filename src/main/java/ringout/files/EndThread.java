package ringout.files;

/**
 * What is still done when the program ends, as a shutdown hook. Java waits for it, so that it alone may still begin to
 * write files then: what another thread had begun could be left half.
 */
public final class EndThread extends Thread {
    /** @param last the program ends when it returns */
    public EndThread(Runnable last) {
        super(last, "ringout-end");
    }
}
