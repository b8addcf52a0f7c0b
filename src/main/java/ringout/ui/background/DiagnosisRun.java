package ringout.ui.background;

import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import ringout.bench.Advisor;
import ringout.check.Observation;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.plan.Plan;

/**
 * Explains what was observed while a check still runs, and what a multimeter showed after it, on a thread of its own; of several questions asked meanwhile, only the newest is answered.
 */
public final class DiagnosisRun implements AutoCloseable {
    private record Question(List<Observation> observations, List<ProbeResult> probes) {}

    /** After an answer that took longer than this, only urgent questions are taken. */
    private static final long PATIENCE_NANOS = 400_000_000L;

    private final Plan plan;
    private final Consumer<Diagnosis> answered;
    private final AtomicReference<Question> wanted = new AtomicReference<>();
    private final Object bell = new Object();
    private final Thread thread = new Thread(this::run, "ringout-diagnosis");
    private volatile boolean closed;
    private volatile long lastNanos;

    /** @param answered called on the thread of its own */
    public DiagnosisRun(Plan plan, Consumer<Diagnosis> answered) {
        this.plan = plan;
        this.answered = answered;
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        thread.start();
    }

    /**
     * Asks; returns at once.
     *
     * @param urgent false where an answer would be nice, but not at the price of a processor kept busy
     */
    public void explain(List<Observation> observations, List<ProbeResult> probes, boolean urgent) {
        if (!urgent && lastNanos > PATIENCE_NANOS) {
            return;
        }
        wanted.set(new Question(observations, List.copyOf(probes)));
        synchronized (bell) {
            bell.notifyAll();
        }
    }

    private void run() {
        try {
            Advisor advisor = new Advisor(plan);
            while (!closed) {
                Question question = wanted.getAndSet(null);
                if (question == null) {
                    synchronized (bell) {
                        if (wanted.get() == null && !closed) {
                            bell.wait();
                        }
                    }
                    continue;
                }
                long began = System.nanoTime();
                Diagnosis diagnosis = advisor.diagnose(question.observations(), question.probes());
                lastNanos = System.nanoTime() - began;
                if (!closed) {
                    answered.accept(diagnosis);
                }
            }
        } catch (InterruptedException stop) {
            // Closed.
        }
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }
}
