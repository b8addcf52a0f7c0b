package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.Meter;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** What a meter says of weak joints and leaks, and against shorts. */
class ResistanceTest {
    private static Plan plan(String name) throws Exception {
        return PlanReader.read(Files.readString(Path.of("fixtures/plans", name + ".yaml")), name)
                .plan()
                .orElseThrow();
    }

    private static ProbeReading reads(Circuit circuit, List<Fault> faults, ProbePoints.Points p) {
        Meter meter = circuit.with(faults).meter(circuit.hold(p.hold()));
        return meter.reads(p.red(), p.black(), p.mode());
    }

    /** Whatever touches, there are two points where a beep would show it, and silence there speaks against it for certain. */
    @ParameterizedTest
    @ValueSource(strings = {"drivers-desk", "guards-panel", "lamp-switches"})
    void aSilentMeterRefutesEveryShort(String name) throws Exception {
        Circuit circuit = Circuit.of(plan(name));
        ProbePoints points = new ProbePoints(circuit);
        int shorts = 0;
        for (Fault fault : circuit.singleFaults()) {
            FaultKind kind = fault.kind();
            if (kind != FaultKind.LINES_SHORTED && kind != FaultKind.CONTACT_CLOSED && kind != FaultKind.DIODE_SHORT) {
                continue;
            }
            shorts++;
            Optional<ProbePoints.Points> beeping = points.about(fault).stream()
                    .filter(p -> reads(circuit, List.of(fault), p) == ProbeReading.BEEP)
                    .filter(p -> reads(circuit, List.of(), p) != ProbeReading.BEEP)
                    .findFirst();
            assertTrue(beeping.isPresent(), fault.text());
            ProbeMode mode = beeping.get().mode();
            assertEquals(0, Evidence.fit(ProbeReading.BEEP, ProbeReading.OPEN, mode), fault.text());
        }
        assertTrue(shorts > 20, "only " + shorts);
    }

    /** The same through a whole diagnosis: what was seen is that of the short, and still the meter has the last word. */
    @Test
    void afterSilenceNoShortIsNamed() throws Exception {
        Circuit circuit = Circuit.of(plan("guards-panel"));
        ProbePoints points = new ProbePoints(circuit);
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        Random random = new Random(7);
        int tried = 0;
        for (Fault fault : circuit.singleFaults()) {
            if (fault.kind() != FaultKind.LINES_SHORTED || random.nextInt(6) > 0) {
                continue;
            }
            List<Observation> seen = Boxes.check(circuit, List.of(fault), random, 0);
            List<ProbeResult> silence = points.about(fault).stream()
                    .map(p -> new ProbeResult(p.red(), p.black(), p.mode(), p.hold(), ProbeReading.OPEN))
                    .toList();
            tried++;
            assertTrue(
                    diagnoser.diagnose(seen, silence).explanations().stream()
                            .flatMap(e -> e.alternatives().stream())
                            .noneMatch(a -> a.equals(List.of(fault))),
                    fault.text());
        }
        assertTrue(tried >= 5, "only " + tried);
    }

    /** The meter of a box with a weak joint or a leak, asked what the diagnosis asks for, ends at that very fault. */
    @Test
    @Tag("slow")
    void weakJointsAndLeaksAreToldFromOpensAndShorts() throws Exception {
        Circuit circuit = Circuit.of(plan("guards-panel"));
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        Random random = new Random(3);
        int shown = 0;
        List<String> missed = new ArrayList<>();
        for (Fault fault : circuit.softFaults()) {
            if (fault.kind() == FaultKind.PULL_LOST || random.nextBoolean()) {
                continue;
            }
            // As bad as it may be: so it is taken for an open or a short as long as nothing was measured.
            List<Observation> seen = Boxes.check(circuit, List.of(circuit.worst(fault)), random, 0);
            List<ProbeResult> measured = new ArrayList<>();
            Diagnosis now = diagnoser.diagnose(seen, measured);
            if (now.explanations().get(0).healthy()) {
                continue;
            }
            shown++;
            for (int step = 0; step < 12 && !only(circuit, now, fault); step++) {
                if (now.next().isEmpty()) {
                    break;
                }
                NextStep next = now.next().get(0);
                if (next.probe().isEmpty()) {
                    seen.add(Boxes.observe(circuit, List.of(circuit.worst(fault)), next.hold(), random));
                    now = diagnoser.diagnose(seen, measured);
                    continue;
                }
                Probe p = next.probe().get();
                Meter meter = circuit.with(List.of(fault)).meter(circuit.hold(p.hold()));
                ProbeReading reading = meter.reads(meter.ways() / 2, p.pointA(), p.pointB(), p.mode());
                measured.add(ProbeResult.of(
                        p,
                        reading == ProbeReading.RESISTIVE
                                ? ProbeReading.ofOhms(Math.exp(random.nextDouble(Math.log(2e3), Math.log(90e3))))
                                : reading));
                now = diagnoser.diagnose(seen, measured);
            }
            if (!only(circuit, now, fault)) {
                missed.add(fault.text() + " as "
                        + (now.explanations().isEmpty()
                                ? "nothing"
                                : now.explanations().get(0).text()) + measured);
            }
        }
        assertTrue(shown >= 10, "only " + shown);
        assertEquals(List.of(), missed);
    }

    /** True where the first explanation has that fault, and no more the open or the short that it was taken for. */
    private static boolean only(Circuit circuit, Diagnosis diagnosis, Fault fault) {
        List<List<Fault>> first = diagnosis.explanations().isEmpty()
                ? List.of()
                : diagnosis.explanations().get(0).alternatives();
        // In a panel of two rows, a leak of the first to ground and a scan that is too fast look the same to every
        // press.
        if (first.contains(List.<Fault>of(new Fault.ScanHurried(1)))) {
            return fault.equals(new Fault.LinesLeak("R1", Fault.GROUND));
        }
        return !diagnosis.explanations().isEmpty()
                && diagnosis.explanations().get(0).alternatives().contains(List.of(fault))
                && !diagnosis.explanations().get(0).alternatives().contains(List.of(circuit.worst(fault)));
    }

    /** A weak joint that no press shows is found where a meter happens to be put. */
    @Test
    void aReadingShowsWhatNoPressDoes() throws Exception {
        Circuit circuit = Circuit.of(plan("guards-panel"));
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        List<Observation> good = Boxes.check(circuit, List.of(), new Random(1), 0);
        for (FaultKind kind : List.of(FaultKind.LINE_WEAK, FaultKind.LINES_LEAK, FaultKind.CONTACT_LEAK)) {
            Fault fault = circuit.softFaults().stream()
                    .filter(f -> f.kind() == kind)
                    .findFirst()
                    .orElseThrow();
            ProbePoints.Points at = new ProbePoints(circuit)
                    .about(fault).stream()
                            .filter(p -> p.mode() == ProbeMode.RESISTANCE)
                            .findFirst()
                            .orElseThrow();
            Diagnosis found = diagnoser.diagnose(
                    good,
                    List.of(new ProbeResult(at.red(), at.black(), at.mode(), at.hold(), ProbeReading.BELOW_100K)));
            assertTrue(Bench.first(found, List.of(fault)), fault.text());
            assertFalse(found.unexplained(), fault.text());
        }
    }
}
