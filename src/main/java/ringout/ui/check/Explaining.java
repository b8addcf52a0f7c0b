package ringout.ui.check;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.bench.PlanInUse;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.check.Observation;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.ProbeResult;
import ringout.ui.background.DiagnosisRun;
import ringout.ui.model.Reasoning;
import ringout.words.Texts;

/** Has what was observed of a check explained, behind the window, and shows it on the bench. On the application thread. */
final class Explaining {
    private final BenchPage page;
    private final Consumer<String> failed;
    private Optional<DiagnosisRun> run = Optional.empty();
    private final List<ProbeResult> probes = new ArrayList<>();
    private List<Observation> explained = List.of();
    /** What is found now, what the newest question was about, and what the explanation that is shown is about. */
    private List<Finding> found = List.of();

    private List<Finding> asked = List.of();
    private List<Finding> about = List.of();
    /** No question was passed over since. */
    private boolean working;

    private boolean toTheEnd;
    private boolean finished;
    /** Counts checks, so that an answer about an earlier one is not taken for one about this. */
    private int round;

    /** @param failed takes why something is not explained */
    Explaining(BenchPage page, Consumer<String> failed) {
        this.page = page;
        this.failed = failed;
    }

    /**
     * Another check begins.
     *
     * @param plan     it is judged by, with what is known of the box; empty where nothing is explained
     * @param measured what a meter showed before
     */
    void begin(Optional<PlanInUse> plan, List<ProbeResult> measured) {
        close();
        int mine = ++round;
        explained = List.of();
        found = List.of();
        asked = List.of();
        about = List.of();
        toTheEnd = false;
        finished = false;
        probes.clear();
        probes.addAll(measured);
        page.explain(Optional.empty(), List.of());
        run = plan.map(p -> new DiagnosisRun(p.plan(), p.builder(), said -> said(mine, said), failed));
    }

    void close() {
        run.ifPresent(DiagnosisRun::close);
        run = Optional.empty();
    }

    private void said(int mine, Diagnosis said) {
        if (round == mine && run.isPresent() && (!finished || !probes.isEmpty())) {
            about = asked;
            if (about.equals(found)) {
                page.explain(Optional.of(said), probes);
            }
        }
    }

    /** Has a snapshot explained, where there is something to explain. */
    void follow(SessionView view) {
        view.check().ifPresent(check -> follow(view, check));
    }

    private void follow(SessionView view, CheckView check) {
        finished = check.finished();
        found = check.findings();
        if (finished && view.diagnosis().isPresent() && probes.isEmpty()) {
            explained = view.observations();
            page.explain(check.findings().isEmpty() ? Optional.empty() : view.diagnosis(), probes);
        } else if (!check.findings().isEmpty() && (!view.observations().equals(explained) || finished && !toTheEnd)) {
            // While a check runs a question may be passed over; the last one must be answered.
            toTheEnd = finished;
            explained = view.observations();
            working = run.isPresent() && run.get().explain(explained, probes, finished);
            if (working) {
                asked = found;
            }
        }
        boolean said = finished && view.diagnosis().isPresent() && probes.isEmpty();
        if (!said && !found.isEmpty() && run.isPresent() && !about.equals(found)) {
            page.working(working ? Texts.say("findings.working") : Texts.say("findings.later"));
        }
    }

    /** The builder says what the meter showed at the probe that is asked for; empty where none is. */
    Optional<ProbeResult> measured(ProbeReading reading) {
        Optional<ProbeResult> result =
                page.next().map(Reasoning.Next::probe).map(probe -> ProbeResult.of(probe, reading));
        result.ifPresent(shown -> {
            probes.add(shown);
            asked = found;
            run.ifPresent(d -> d.explain(explained, probes, true));
        });
        return result;
    }

    /** What is known beyond a recording, because a meter showed it; empty where none did. */
    Optional<Diagnosis> measured() {
        return probes.isEmpty() ? Optional.empty() : page.diagnosis();
    }
}
