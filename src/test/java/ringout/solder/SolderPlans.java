package ringout.solder;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** Plans to solder along. */
final class SolderPlans {
    private SolderPlans() {}

    static final String REGISTERS = """
            ringout: 1
            box: { name: Registers and levers }
            lines: { direct: { D1: pin 1, D2: pin 2, D3: pin 3 }, shift: { S1: { pin: pin 9, registers: 2 } } }
            controls:
              - { id: a, kind: push, at: D1, input: button 1 }
              - { id: t, label: Mode, kind: toggle, up: { at: D2, input: button 2 }, down: { at: D3, input: button 3 } }
              - { id: s, kind: selector, positions: [ { at: [S1, 1, 0], input: button 5 }, { at: [S1, 2, 1], input: button 6 }] }
              - { id: x, kind: axis, input: axis X, pin: A0 }
              - { id: y, kind: axis, input: axis Y }
              - { id: u, kind: push, input: button 9 }
            """;

    static Plan fixture(String name) {
        try {
            return parse(Files.readString(Path.of("fixtures/plans", name)));
        } catch (IOException problem) {
            throw new UncheckedIOException(problem);
        }
    }

    static Plan parse(String yaml) {
        return PlanReader.read(yaml, "x").plan().orElseThrow();
    }

    static Stream<Plan> all() throws IOException {
        List<Path> fixtures;
        try (Stream<Path> files = Files.list(Path.of("fixtures/plans"))) {
            fixtures = files.sorted().toList();
        }
        Map<NewBox.Part, Integer> counts = new EnumMap<>(NewBox.Part.class);
        for (NewBox.Part part : NewBox.Part.values()) {
            counts.put(part, 2);
        }
        Plan everyPart = parse(NewBox.yaml(new NewBox.Answers(
                "Every part",
                counts,
                6,
                true,
                true,
                IntStream.rangeClosed(1, 30).mapToObj(i -> "GP" + i).toList(),
                List.of("A0"),
                Optional.empty())));
        return Stream.concat(
                fixtures.stream().map(path -> fixture(path.getFileName().toString())),
                Stream.of(parse(REGISTERS), everyPart, toColumns()));
    }

    /** The desk with its diodes on the other side. */
    static Plan toColumns() {
        try {
            return parse(Files.readString(Path.of("fixtures/plans/drivers-desk.yaml"))
                    .replace("drive: rows", "drive: columns")
                    .replace("cathode: row", "cathode: column"));
        } catch (IOException problem) {
            throw new UncheckedIOException(problem);
        }
    }
}
