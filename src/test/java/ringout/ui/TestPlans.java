package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.journal.RecordingFile;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.plan.PlanReading;
import ringout.simulate.Wear;

/** Plans for tests of the window. */
public final class TestPlans {
    private TestPlans() {}

    public static Plan fixture(String name) {
        Path file = Path.of("fixtures", "plans", name + ".yaml");
        try {
            return parse(Files.readString(file), file.toString());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    public static Plan parse(String yaml, String name) {
        PlanReading reading = PlanReader.read(yaml, name);
        assertTrue(reading.plan().isPresent(), () -> reading.problems().toString());
        return reading.plan().get();
    }

    /** Every plan of the fixtures, a large matrix, and matrices whose chains run in any order. */
    public static List<Plan> all() {
        List<Plan> plans = new ArrayList<>();
        try (Stream<Path> files = Files.list(Path.of("fixtures", "plans"))) {
            for (Path file :
                    files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList()) {
                plans.add(parse(Files.readString(file), file.toString()));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        plans.add(matrix(8, 16));
        for (int seed = 0; seed < 8; seed++) {
            plans.add(shuffled(matrix(4, 5), seed));
        }
        return plans;
    }

    /** Push buttons without places, with diodes. */
    public static Plan matrix(int rows, int columns) {
        StringBuilder yaml = new StringBuilder("ringout: 1\nbox: { name: Matrix ")
                .append(rows)
                .append(" by ")
                .append(columns)
                .append(" }\nlines:\n  rows: { ");
        for (int r = 1; r <= rows; r++) {
            yaml.append(r > 1 ? ", " : "")
                    .append("R")
                    .append(r)
                    .append(": pin ")
                    .append(r);
        }
        yaml.append(" }\n  columns: { ");
        for (int c = 1; c <= columns; c++) {
            yaml.append(c > 1 ? ", " : "")
                    .append("C")
                    .append(c)
                    .append(": pin ")
                    .append(rows + c);
        }
        yaml.append(" }\nscan: { drive: rows, active: low, diodes: per-contact, cathode: row }\ncontrols:\n");
        for (int r = 1; r <= rows; r++) {
            for (int c = 1; c <= columns; c++) {
                yaml.append("  - { id: b")
                        .append(r)
                        .append("-")
                        .append(c)
                        .append(", label: Button ")
                        .append(r)
                        .append(" of ")
                        .append(c)
                        .append(", kind: push, at: [R")
                        .append(r)
                        .append(", C")
                        .append(c)
                        .append("], input: button ")
                        .append((r - 1) * columns + c)
                        .append(" }\n");
            }
        }
        return parse(yaml.toString(), "matrix");
    }

    /** The same plan with every daisy chain in another order. */
    public static Plan shuffled(Plan plan, long seed) {
        Random random = new Random(seed);
        List<Line> lines = new ArrayList<>();
        for (Line line : plan.lines()) {
            List<String> chain = new ArrayList<>(line.contacts());
            Collections.shuffle(chain, random);
            lines.add(new Line(line.name(), line.kind(), line.pin(), chain, line.registers()));
        }
        return new Plan(plan.box(), plan.panel(), lines, plan.scan(), plan.controls());
    }

    /** A check of a box with a worn switch. */
    public static Path recordWorn(Path file) throws Exception {
        Plan plan = fixture("guards-panel");
        PlanInUse inUse = PlanInUse.of(plan, Files.readString(Path.of("fixtures/plans/guards-panel.yaml")));
        Rehearsal rehearsal = new Rehearsal(
                new Rehearsal.Setup(plan, List.of(), Wear.NONE.bouncing("buzzer", 24_000_000L), 1000, 0, 2));
        try (RecordingFile recording = RecordingFile.replace(file, RehearsalRecorder.header(rehearsal, inUse.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(recording, inUse);
            rehearsal.listen(recorder);
            rehearsal.start();
            rehearsal.run();
            recorder.end(rehearsal.time());
        }
        return file;
    }
}
