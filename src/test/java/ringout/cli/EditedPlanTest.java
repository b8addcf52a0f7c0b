package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** A plan that was edited since the check: every command goes on, and says what became of the controls. */
class EditedPlanTest {
    private static final Path DESK = Path.of("fixtures/plans/drivers-desk.yaml");

    @TempDir
    static Path folder;

    private static Path recording;

    /** An edit, what has to be said of it, and whether the check is still the same one. */
    private record Edit(String name, String from, String to, String said) {}

    private static final List<Edit> EDITS = List.of(
            new Edit(
                    "a control renamed", "id: sander,", "id: sandbox,", "no control sander any more; sandbox is wired"),
            new Edit(
                    "a measured control renamed",
                    "id: notch,",
                    "id: power,",
                    "no control notch any more; power is wired"),
            new Edit(
                    "an axis renamed",
                    "id: brake,",
                    "id: airbrake,",
                    "no control brake any more; airbrake has its label"),
            new Edit("a hat renamed", "id: look", "id: view", "no control look any more; view is wired"),
            new Edit("a control removed", "(?m)^  - \\{ id: bell,.*\\R", "", "no control bell any more, and nothing"),
            new Edit(
                    "the measured ones removed",
                    "(?m)^  - \\{ id: (notch|brake),.*\\R",
                    "",
                    "no control notch any more"),
            new Edit("another number", "input: button 12", "input: button 30", "judged by the plan of now"),
            new Edit("another label", "label: Bell,", "label: Gong,", "judged by the plan of now"));

    @BeforeAll
    static void record() {
        recording = folder.resolve("check.jsonl");
        CommandRun run = CommandRun.of(
                "simulate",
                "--plan",
                DESK.toString(),
                "--fault",
                "open:R2",
                "--prove-diodes",
                "--out",
                recording.toString());
        assertEquals(0, run.status(), run.err());
    }

    @TestFactory
    Stream<DynamicTest> everyCommandGoesOn() throws IOException {
        String desk = Files.readString(DESK);
        return EDITS.stream()
                .map(edit -> DynamicTest.dynamicTest(edit.name(), () -> {
                    String edited = desk.replaceAll(edit.from(), edit.to());
                    assertFalse(edited.equals(desk));
                    String plan = Files.writeString(folder.resolve("edited.yaml"), edited)
                            .toString();
                    String rec = recording.toString();
                    for (List<String> command : List.of(
                            List.of("check", "--plan", plan, "--replay", rec),
                            List.of("timing", rec, "--plan", plan),
                            List.of(
                                    "report",
                                    rec,
                                    "--plan",
                                    plan,
                                    "--out",
                                    folder.resolve("r.html").toString(),
                                    "--force"),
                            List.of("compare", "--plan", plan, "--replay", rec, "--baseline", rec))) {
                        CommandRun run = CommandRun.of(command.toArray(String[]::new));
                        assertTrue(run.status() <= 1, command + ": " + run.err());
                        assertTrue(run.err().contains(edit.said()), command + ": " + run.err());
                        assertFalse(run.err().contains("\tat "), run.err());
                    }
                    CommandRun check = CommandRun.of("check", "--plan", plan, "--replay", rec);
                    assertEquals(1, check.status(), "the open row is still found");
                    // With another number there is more to explain than the row.
                    assertTrue(
                            edit.name().equals("another number") || check.out().contains("R2"), check.out());
                }));
    }
}
