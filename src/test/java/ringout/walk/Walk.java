package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** The way through the program. */
final class Walk {
    private final Walker walker;

    Walk(Walker walker) {
        this.walker = walker;
    }

    void all() throws IOException {
        firstStart();
        practise();
    }

    private void firstStart() {
        walker.await("try-it");
        Walker.pause(3_000);
        walker.shoot("first-start");
    }

    /** A check by the scripted builder, to its end; its report saved and there. */
    private void practise() throws IOException {
        walker.click("try-it");
        walker.await("the end of the check", s -> s.words().startsWith("Done"), 240);
        walker.shoot("check-done");
        walker.click("report");
        Path file = walker.home.resolve("desk.html");
        walker.file("Save report", file);
        walker.awaitWords("The report is in");
        walker.shoot("report-saved");
        assertTrue(Files.readString(file).contains("<html"), "no report");
    }
}
