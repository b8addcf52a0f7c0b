package ringout.journal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.solder.Act;

class KeptSolderingTest {
    private static final Instant NOW = Instant.parse("2026-05-02T09:00:00Z");

    @TempDir
    private Path folder;

    private static Plan plan(String name) {
        return PlanReader.read("ringout: 1\nbox: { name: \"" + name + "\" }\ncontrols: []\n", "x")
                .plan()
                .orElseThrow();
    }

    private static List<Act> acts() {
        return List.of(
                new Act(NOW, Act.Kind.DONE, "wire:R1:horn-low"),
                new Act(NOW.plusSeconds(1), Act.Kind.MEASURED, "continuity,leg:horn-low:R1,pin:R1,beep"),
                new Act(NOW.plusSeconds(2), Act.Kind.AGAIN, ""));
    }

    @Test
    void whatIsKeptComesBack() throws Exception {
        KeptSoldering store = new KeptSoldering(folder.resolve("new"));
        assertEquals(List.of(), store.acts(plan("Desk")));
        store.keep(plan("Desk"), "hash", acts());
        assertEquals(acts(), store.acts(plan("Desk")));
        assertEquals(List.of(), store.acts(plan("Desk 2")), "another box");
    }

    @Test
    void beginningAnewLosesNothing() throws Exception {
        KeptSoldering store = new KeptSoldering(folder);
        store.keep(plan("Desk"), "hash", acts());
        store.putAside(plan("Desk"), NOW);
        assertEquals(List.of(), store.acts(plan("Desk")));
        try (Stream<Path> files = Files.list(folder)) {
            assertEquals(1, files.count());
        }
        store.putAside(plan("Desk"), NOW);
    }

    @Test
    void aDamagedFileIsToldWithWhatToDo() throws Exception {
        KeptSoldering store = new KeptSoldering(folder);
        store.keep(plan("Desk"), "hash", acts());
        Path file = store.file(plan("Desk"));
        for (String text : List.of(
                "", "{", "[]", "{\"ringout\":\"check\"}", Files.readString(file).replace("done", "dune"))) {
            Files.writeString(file, text);
            JournalException told = assertThrows(JournalException.class, () -> store.acts(plan("Desk")), text);
            assertTrue(told.getMessage().contains("away"), told.getMessage());
            assertEquals(1, told.getMessage().lines().count(), told.getMessage());
        }
        Files.writeString(file, "{\"ringout\":\"soldering\",\"version\":99}");
        assertTrue(assertThrows(JournalException.class, () -> store.acts(plan("Desk")))
                .getMessage()
                .contains("newer"));
    }

    @Test
    void aPlaceThatCannotBeWrittenIsTold() throws Exception {
        Path file = Files.writeString(folder.resolve("file"), "");
        KeptSoldering store = new KeptSoldering(file.resolve("soldering"));
        assertThrows(JournalException.Unwritable.class, () -> store.keep(plan("Desk"), "hash", acts()));
    }
}
