package ringout.ui;

import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.check.Observation;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.diagnosis.Settings;
import ringout.plan.Plan;

/** Explains observations on a thread of its own; of several questions asked meanwhile, only the newest is answered. */
final class DiagnosisRun implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(DiagnosisRun.class);

    private record Question(List<Observation> observations, List<ProbeResult> probes) {
    }

    private final Plan plan;
    private final Consumer<Diagnosis> answered;
    private final AtomicReference<Question> wanted = new AtomicReference<>();
    private final Object bell = new Object();
    private final Thread thread = new Thread(this::run, "ringout-diagnosis");
    private volatile boolean closed;

    /** @param answered called on the thread of its own */
    DiagnosisRun(Plan plan, Consumer<Diagnosis> answered) {
        this.plan = plan;
        this.answered = answered;
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        thread.start();
    }

    /** Asks; returns at once. */
    void explain(List<Observation> observations, List<ProbeResult> probes) {
        wanted.set(new Question(observations, List.copyOf(probes)));
        synchronized (bell) {
            bell.notifyAll();
        }
    }

    private void run() {
        try {
            Diagnoser diagnoser = new Diagnoser(plan, Settings.DEFAULT);
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
                Diagnosis diagnosis = diagnoser.diagnose(question.observations(), question.probes());
                if (!closed) {
                    answered.accept(diagnosis);
                }
            }
        } catch (InterruptedException stop) {
            // Closed.
        } catch (RuntimeException mistake) {
            // The check goes on without explanations; whoever reads the log can mend this.
            LOG.error("the diagnosis failed", mistake);
        }
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }
}
