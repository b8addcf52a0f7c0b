package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.api.io.TempDir;
import ringout.check.Check;
import ringout.check.CheckView;
import ringout.check.ExtraStep;
import ringout.check.Finding;
import ringout.check.Instruction;
import ringout.check.Observation;
import ringout.check.Prompt;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.hid.Input;
import ringout.journal.Entry;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingHeader;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/**
 * Checks that were recorded once, of boxes with all sorts of faults and of builders who slip, pull the plug and change their
 * mind, replay as they did then: what was asked and when, how every step stood, what was found and what was observed.
 * Sentences are left out; what they say is in the rest.
 *
 * <p>{@code mvn test -Dtest=RecordedChecksTest -Dtest.argLine=-Dringout.regenerate=replays} writes the transcripts anew from
 * the recordings that are there, {@code =recordings} the recordings, too: read the difference before it is committed.
 */
class RecordedChecksTest {
    private static final Path FOLDER = Path.of("src", "test", "resources", "ringout", "bench", "checks");

    @TempDir
    private Path folder;

    private static List<Path> recordings() throws Exception {
        try (Stream<Path> files = Files.list(FOLDER)) {
            return files.filter(f -> f.toString().endsWith(".jsonl.gz"))
                    .sorted()
                    .toList();
        }
    }

    @TestFactory
    Stream<DynamicTest> everyRecordingReplaysAsItDid() throws Exception {
        return recordings().stream()
                .map(file -> DynamicTest.dynamicTest(
                        file.getFileName().toString(),
                        () -> assertEquals(Files.readString(transcript(file)), replay(file))));
    }

    private static Path transcript(Path recording) {
        return recording.resolveSibling(recording.getFileName().toString().replace(".jsonl.gz", ".txt"));
    }

    private String replay(Path packed) throws Exception {
        Path file = folder.resolve(packed.getFileName().toString().replace(".gz", ""));
        try (InputStream in = new GZIPInputStream(Files.newInputStream(packed));
                OutputStream out = Files.newOutputStream(file)) {
            in.transferTo(out);
        }
        StringBuilder text = new StringBuilder();
        Replay replay = Replay.measure(file, Optional.empty(), new Replay.Passenger() {
            private Bench bench;
            private Prompt shown;

            @Override
            public void begin(Bench played) {
                bench = played;
            }

            @Override
            public void pass(Entry entry, double share) {
                bench.check()
                        .map(Check::prompt)
                        .filter(prompt -> prompt != shown)
                        .ifPresent(prompt -> {
                            shown = prompt;
                            text.append(asked(prompt));
                        });
            }
        });
        replay.explain(KnownBoxes.NONE);
        Check check = replay.bench().check().orElseThrow();
        CheckView view = check.view();
        text.append(String.format(Locale.ROOT, "%d of %d, finished %s%n", view.done(), view.total(), view.finished()));
        view.steps()
                .forEach(step -> text.append("step ")
                        .append(String.join("+", step.actions()))
                        .append(step.extra() ? " extra " : " ")
                        .append(step.status())
                        .append('\n'));
        view.findings().forEach(finding -> text.append(found(finding)));
        for (Observation observation : check.observations()) {
            text.append("held ")
                    .append(String.join("+", observation.held()))
                    .append(": ")
                    .append(inputs(observation.on()))
                    .append('\n');
        }
        replay.notes().forEach(note -> text.append("note ").append(note).append('\n'));
        return text.toString();
    }

    private static String asked(Prompt prompt) {
        return String.format(
                Locale.ROOT,
                "%.6f %s %s x%d #%d: %s%n",
                prompt.since() / 1e9,
                prompt.kind(),
                String.join("+", prompt.actions()),
                prompt.times(),
                prompt.attempt(),
                inputs(prompt.expected()));
    }

    private static String found(Finding finding) {
        return "found " + finding.kind() + " " + finding.actions() + " expected " + inputs(finding.expected())
                + " actual " + inputs(finding.actual())
                + finding.figure()
                        .map(f -> String.format(Locale.ROOT, " %.4f", f.value()))
                        .orElse("")
                + "\n";
    }

    private static String inputs(Iterable<Input> inputs) {
        List<String> texts = new ArrayList<>();
        inputs.forEach(input -> texts.add(input.text()));
        return String.join(", ", texts);
    }

    // ---------------------------------------------------------------- how they were made

    @Test
    @EnabledIfSystemProperty(named = "ringout.regenerate", matches = "recordings|replays")
    void regenerate() throws Exception {
        Files.createDirectories(FOLDER);
        if (System.getProperty("ringout.regenerate").equals("recordings")) {
            for (String name : Plans.FIXTURES) {
                for (Map.Entry<String, List<Fault>> box :
                        boxes(Plans.fixture(name)).entrySet()) {
                    record(name, box.getKey(), box.getValue());
                }
            }
        }
        for (Path file : recordings()) {
            Files.writeString(transcript(file), replay(file));
        }
    }

    /** A healthy one, and some with a fault or two, from all over the list of those there can be. */
    private static Map<String, List<Fault>> boxes(Plan plan) {
        List<Fault> faults = Circuit.of(plan).singleFaults();
        Map<String, List<Fault>> boxes = new LinkedHashMap<>();
        boxes.put("healthy", List.of());
        for (int i = 0; i < 7; i++) {
            boxes.put("fault" + i, List.of(faults.get((i * faults.size() / 7 + 3 * i) % faults.size())));
        }
        boxes.put("two", List.of(faults.get(faults.size() / 5), faults.get(faults.size() / 2)));
        return boxes;
    }

    private void record(String name, String what, List<Fault> faults) throws Exception {
        Plan plan = Plans.fixture(name);
        String yaml = Files.readString(Path.of("fixtures", "plans", name + ".yaml"));
        PlanInUse used = PlanInUse.of(plan, yaml);
        int seed = what.hashCode();
        VirtualBox box = new VirtualBox(plan, faults, Wear.NONE, what.equals("healthy") ? 0 : 0.15, seed);
        CheckFollower check =
                box.feed(b -> new CheckFollower(b.connection, b.header, Optional.empty(), b, b::show, v -> {}));
        check.startCheck(used);
        check.append(Advisor.measuring(plan, what.equals("two") ? 3 : 0));
        check.append(Advisor.diodeProof(plan));
        plan.actions().stream()
                .filter(a -> !a.contacts().isEmpty() && a.input().isPresent())
                .findFirst()
                .ifPresent(a -> check.append(List.of(new ExtraStep(
                        List.of(a.id()),
                        new java.util.TreeSet<>(List.of(a.input().get())),
                        true))));
        // What people do in between.
        List<Instruction> said = List.of(Instruction.values());
        for (int i = 0; i < said.size(); i++) {
            box.run((4 + Math.floorMod(seed + 7 * i, 11)) * 1_000_000_000L);
            if (i % 2 == seed % 2 || what.equals("two")) {
                check.command(said.get(i));
            }
            if (i == 1) {
                box.plug(false);
                box.run(700_000_000L);
                box.plug(true);
            }
        }
        box.runUntil("the end of " + what, () -> check.view().over());
        Path file = folder.resolve(name + "-" + what + ".jsonl");
        try (RecordingFile recording = RecordingFile.create(
                file,
                new RecordingHeader(
                        Instant.parse("2026-03-01T10:00:00Z"),
                        box.connection.info(),
                        box.connection.descriptor(),
                        Optional.of(used.hash()),
                        true))) {
            box.tape.forEach(recording::add);
            recording.add(new Entry.Ended(box.now() + LiveBox.LAG_NANOS, ""));
        }
        try (InputStream in = Files.newInputStream(file);
                OutputStream out =
                        new GZIPOutputStream(Files.newOutputStream(FOLDER.resolve(name + "-" + what + ".jsonl.gz")))) {
            in.transferTo(out);
        }
    }
}
