package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.Wiring;

class ContinuityTest {
    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "x").plan().orElseThrow();
    }

    static Stream<Plan> plans() {
        Stream<Plan> fixtures = Stream.of("drivers-desk.yaml", "guards-panel.yaml", "lamp-switches.yaml")
                .map(name -> {
                    try {
                        return plan(Files.readString(Path.of("fixtures/plans", name)));
                    } catch (IOException problem) {
                        throw new UncheckedIOException(problem);
                    }
                });
        return Stream.concat(fixtures, Stream.of(plan("""
                ringout: 1
                box: { name: Mixed }
                lines:
                  rows: { R1: GP1, R2: GP3 }
                  columns: { C1: GP7, C2: GP9 }
                  direct: { D1: A0 }
                  shift: { S1: { pin: GP20, registers: 1 } }
                scan: { drive: columns, diodes: per-contact, direct: supply }
                controls:
                  - { id: a, kind: push, at: [R1, C1], input: button 1 }
                  - { id: b, kind: push, at: [R2, C1], input: button 2, diode: none }
                  - { id: lights, kind: selector, positions: [ { at: [R1, C2], input: button 3 }, { at: [R2, C2], input: button 4 }] }
                  - { id: c, kind: push, at: D1, input: button 5 }
                  - { id: d, kind: push, at: [S1, 1, 3], input: button 6 }
                  - { id: e, kind: axis, input: axis X }
                  - { id: f, kind: push, input: button 7 }
                """)));
    }

    @ParameterizedTest
    @MethodSource("plans")
    void coversEveryLegEveryDiodeAndEveryPairThatMeets(Plan plan) {
        List<Continuity.Step> steps = Continuity.steps(Circuit.of(plan));
        assertTrue(Continuity.preparation(plan).get(0).text().startsWith("Unplug USB"));
        Set<String> seen = new HashSet<>();
        for (Continuity.Step step : steps) {
            assertTrue(
                    seen.add(Names.node(step.red()).text() + Names.node(step.black())), () -> "twice: " + step.text());
            assertEquals(step.kind() == Continuity.Kind.DIODE, step.mode() == ProbeMode.DIODE);
            assertEquals(
                    switch (step.kind()) {
                        case LINE -> ProbeReading.BEEP;
                        case DIODE -> ProbeReading.ONE_DROP;
                        case APART -> ProbeReading.OPEN;
                    },
                    step.good(),
                    step.text());
        }
        long diodes = plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .count();
        assertEquals(
                diodes,
                steps.stream().filter(s -> s.kind() == Continuity.Kind.DIODE).count());
        for (Line line : plan.lines()) {
            for (String contact : line.contacts()) {
                String words = contact.contains(".")
                        ? contact.substring(contact.indexOf('.') + 1)
                        : plan.control(contact).orElseThrow().label();
                assertTrue(
                        steps.stream().anyMatch(s -> s.text().contains(words.toUpperCase(java.util.Locale.ROOT))),
                        contact);
            }
            assertTrue(
                    steps.stream()
                            .anyMatch(s -> s.kind() == Continuity.Kind.APART
                                    && s.text().contains("(" + line.name() + ", GND)")),
                    line.name());
        }
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing x && !contact.id().endsWith(".1")) {
                assertTrue(
                        steps.stream().anyMatch(s -> s.text().contains("(" + x.row() + ", " + x.column() + ")")),
                        contact.id());
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void movesTheProbesLittle(Plan plan) {
        List<Continuity.Step> steps = Continuity.steps(Circuit.of(plan));
        int moves = Continuity.moves(steps);
        List<Continuity.Step> shuffled = new ArrayList<>(steps);
        java.util.Collections.shuffle(shuffled, new java.util.Random(1));
        // Every step moves at least one probe; each change of line or mode may need a second one.
        assertTrue(
                moves <= steps.size() + 3 * plan.lines().size() + 4, moves + " moves for " + steps.size() + " steps");
        assertTrue(moves < Continuity.moves(shuffled));
        long turnsOfTheDial = 0;
        for (int i = 1; i < steps.size(); i++) {
            turnsOfTheDial += steps.get(i).mode() != steps.get(i - 1).mode() ? 1 : 0;
        }
        assertTrue(turnsOfTheDial <= 1);
    }

    private static boolean found(Circuit circuit, List<Continuity.Step> steps, Fault fault) {
        Meter meter =
                circuit.with(List.of(fault)).meter(circuit.hold(steps.get(0).hold()));
        return steps.stream().anyMatch(s -> {
            ProbeReading reading = meter.reads(s.red(), s.black(), s.mode());
            return reading != s.good() && reading != ProbeReading.UNCERTAIN;
        });
    }

    /** What a meter can find with every control at rest: open wires, bad diodes, exchanged wires, stuck switches, bridges. */
    @ParameterizedTest
    @MethodSource("plans")
    void findsEveryWireAndDiodeFaultOfTheModel(Plan plan) {
        Circuit circuit = Circuit.of(plan);
        List<Continuity.Step> steps = Continuity.steps(circuit);
        List<String> missed = new ArrayList<>();
        int looked = 0;
        for (Fault fault : circuit.singleFaults()) {
            boolean wire = fault instanceof Fault.LineOpen f
                            && plan.line(f.line()).orElseThrow().kind() != Line.Kind.SHIFT
                    || fault instanceof Fault.LineBroken
                    || fault instanceof Fault.DiodeOpen
                    || fault instanceof Fault.DiodeShort
                    || fault instanceof Fault.DiodeReversed
                    || fault instanceof Fault.LinesShorted s && (s.second().equals(Fault.GROUND) || stepFor(steps, s));
            if (wire) {
                looked++;
                if (!found(circuit, steps, fault)) {
                    missed.add(fault.toString());
                }
            }
        }
        assertTrue(looked >= plan.contacts().size(), "faults looked for: " + looked);
        assertEquals(List.of(), missed);
    }

    private static boolean stepFor(List<Continuity.Step> steps, Fault.LinesShorted s) {
        return steps.stream()
                .anyMatch(step -> step.text().contains("(" + s.first() + ", " + s.second() + ")")
                        || step.text().contains("(" + s.second() + ", " + s.first() + ")"));
    }

    @Test
    void itsReadingsAreEvidenceForTheDiagnosis() throws IOException {
        Plan plan = plan(Files.readString(Path.of("fixtures/plans/guards-panel.yaml")));
        Circuit circuit = Circuit.of(plan);
        List<Continuity.Step> steps = Continuity.steps(circuit);
        for (Fault fault : List.of(new Fault.LineBroken("R1", "door-close"), new Fault.LinesShorted("R1", "R2"))) {
            Meter meter = circuit.with(List.of(fault)).meter(circuit.hold(List.of()));
            List<ProbeResult> results = steps.stream()
                    .map(s -> s.result(meter.reads(s.red(), s.black(), s.mode())))
                    .toList();
            Diagnosis diagnosis = new Diagnoser(circuit, DiagnosisSettings.DEFAULT).diagnose(List.of(), results);
            assertTrue(
                    diagnosis.explanations().get(0).alternatives().contains(List.of(fault)),
                    () -> fault + " not among "
                            + diagnosis.explanations().get(0).text());
        }
    }

    @Tag("slow")
    @Test
    void notesAndVerdictAgreeInALargeBox() throws IOException {
        notesAndVerdictAgree("drivers-desk");
    }

    /**
     * The note at a probe and the verdict at the end, over every single fault of the model and every step of the checklist:
     * whatever is noted leaves the truth in, and what the last note holds likeliest is among what the diagnosis names first.
     */
    @ParameterizedTest
    @ValueSource(strings = {"guards-panel", "lamp-switches"})
    void notesAndVerdictAgree(String name) throws IOException {
        Circuit circuit = Circuit.of(plan(Files.readString(Path.of("fixtures/plans", name + ".yaml"))));
        ContinuityNotes notes = new ContinuityNotes(circuit);
        Diagnoser diagnoser = new Diagnoser(circuit, DiagnosisSettings.WHILE_WAITING);
        List<Fault> faults = new ArrayList<>(circuit.singleFaults());
        faults.removeIf(f -> f instanceof Fault.Intermittent);
        circuit.softFaults().stream()
                .filter(f -> !(f instanceof Fault.PullLost))
                .forEach(faults::add);
        List<String> missed = new ArrayList<>();
        int noted = 0;
        int compared = 0;
        for (Fault fault : faults) {
            Optional<ContinuityNotes.Cause> likeliest = Optional.empty();
            ContinuityRun run = ContinuityRun.of(circuit);
            Meter meter = circuit.with(List.of(fault))
                    .meter(circuit.hold(run.steps().get(0).hold()));
            for (Continuity.Step step : run.steps()) {
                ProbeReading reading = meter.reads(meter.ways() / 2, step.red(), step.black(), step.mode());
                if (reading != step.good() && reading != ProbeReading.UNCERTAIN) {
                    noted++;
                    List<ContinuityNotes.Cause> causes = notes.causes(run, reading);
                    if (causes.stream().noneMatch(c -> c.fault().equals(fault))) {
                        missed.add(fault.text() + " not noted at " + step.text());
                    }
                    likeliest = causes.stream().findFirst();
                }
                run = run.answer(reading);
            }
            // Every so many to the end: a diagnosis takes longer than all its notes.
            if (likeliest.isPresent() && noted % 7 == 0) {
                compared++;
                // A good reading after the last bad one may have ruled out what was likeliest then.
                Diagnosis verdict = diagnoser.diagnose(List.of(), run.outcome().evidence());
                // A press tells some of them apart, which a meter at rest does not: those are as likely, one by one.
                double first = verdict.explanations().isEmpty()
                        ? 1
                        : verdict.explanations().get(0).probability();
                Set<Fault> named = verdict.explanations().stream()
                        .filter(e -> e.probability() >= first / 2)
                        .flatMap(e -> e.alternatives().stream())
                        .filter(a -> a.size() == 1)
                        .map(a -> a.get(0))
                        .collect(java.util.stream.Collectors.toSet());
                if (!named.contains(fault)) {
                    missed.add(fault.text() + " not in the verdict "
                            + verdict.verdict().text());
                }
                ContinuityRun all = run;
                Fault likely = likeliest.get().fault();
                Meter other = circuit.with(List.of(likely))
                        .meter(circuit.hold(run.steps().get(0).hold()));
                boolean still = java.util.stream.IntStream.range(0, other.ways())
                        .anyMatch(way -> java.util.stream.IntStream.range(
                                        0, all.shown().size())
                                .allMatch(i -> all.shown().get(i).isEmpty()
                                        || Evidence.fit(
                                                        other.reads(
                                                                way,
                                                                all.steps()
                                                                        .get(i)
                                                                        .red(),
                                                                all.steps()
                                                                        .get(i)
                                                                        .black(),
                                                                all.steps()
                                                                        .get(i)
                                                                        .mode()),
                                                        all.shown().get(i).get(),
                                                        all.steps().get(i).mode())
                                                > 0));
                if (still && !named.contains(likely)) {
                    missed.add(likely.text() + " noted for " + fault.text() + " and not in the verdict");
                }
            }
        }
        assertEquals(List.of(), missed);
        assertTrue(noted > 100 && compared > 10, noted + " noted, " + compared + " compared");
    }

    /** Five parts in a row, the board to the right of them: the first probe goes to the nearest, and each way begins where the last ended. */
    @Test
    void theProbeGoesToTheNearestEndNext() throws IOException {
        String yaml = Files.readString(Path.of("fixtures/plans/lamp-switches.yaml"))
                .replaceFirst("panel: .*", "panel: { width: 180 mm, height: 60 mm, board: [163 mm, 30 mm] }")
                .replaceFirst("(?s)inside:.*?\nlines:", "lines:");
        List<String> controls = new ArrayList<>();
        for (Continuity.Step step : Continuity.steps(Circuit.of(plan(yaml)))) {
            if (step.kind() == Continuity.Kind.LINE) {
                String contact = ((NodeName.Leg) step.red()).contact();
                controls.add(contact.replaceFirst("[.].*", ""));
            }
        }
        // Its two lines, then along the ground to the far end, and back line by line.
        assertEquals(
                List.of(
                        "dimmer",
                        "dimmer",
                        "dimmer",
                        "flash",
                        "marker",
                        "gauge-light",
                        "cab-light",
                        "cab-light",
                        "gauge-light",
                        "marker",
                        "marker",
                        "flash"),
                controls);
    }

    /** The short way asks for the same measurements, and one answer that is not for all of a sweep opens it. */
    @ParameterizedTest
    @MethodSource("plans")
    void aSweepIsTheSameStepsWithOneAnswer(Plan plan) {
        Circuit circuit = Circuit.of(plan);
        Set<Set<NodeName>> alone = pairs(Continuity.steps(circuit));
        ContinuityRun run = ContinuityRun.inSweeps(circuit);
        assertEquals(alone, pairs(run.steps()));
        assertEquals(Continuity.steps(circuit).size(), run.steps().size());

        int answers = 0;
        while (run.step().isPresent()) {
            run = run.answer(run.step().get().good());
            answers++;
        }
        assertTrue(run.outcome().wrong().isEmpty());
        assertEquals(run.steps().size(), run.outcome().measured());
        assertEquals(run.sweeps().size(), answers);
        assertTrue(answers < run.steps().size(), answers + " answers");

        ContinuityRun start = ContinuityRun.inSweeps(circuit);
        while (start.sweep().isEmpty()) {
            start = start.answer(start.step().orElseThrow().good());
        }
        ContinuityRun opened = start.oneByOne();
        assertTrue(opened.sweep().isEmpty());
        assertEquals(
                start.shown().size() + 1,
                opened.answer(ProbeReading.OPEN).shown().size());
        assertEquals(start, opened.back());
        assertEquals(opened, opened.answer(ProbeReading.OPEN).back());
        assertEquals(start, start.answer(start.step().orElseThrow().good()).back());
    }

    private static Set<Set<NodeName>> pairs(List<Continuity.Step> steps) {
        return steps.stream().map(s -> Set.of(s.red(), s.black())).collect(java.util.stream.Collectors.toSet());
    }
}
