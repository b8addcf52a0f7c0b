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
        planNewBox();
        looks();
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
        walker.click("back");
        walker.await("start-sentence");
    }

    /** A few buttons, planned and looked at in the editor. */
    private void planNewBox() {
        walker.click("plan-first");
        for (int i = 0; i < 6; i++) {
            walker.click("more-push");
        }
        walker.shoot("new-box");
        walker.click("plan-it");
        walker.await("properties");
        walker.shoot("editor");
    }

    /** The same page in the dark and with the largest text; the way back has to stay within reach. */
    private void looks() {
        walker.click("view");
        walker.clickOn("Dark");
        walker.shoot("editor-dark");
        walker.click("view");
        walker.clickOn("Text 200 %");
        walker.shoot("editor-200");
        walker.click("back");
        walker.clickOn("Leave without saving");
        walker.await("start-sentence");
        walker.shoot("start-200");
        walker.click("try-it");
        walker.await("command-skip");
        walker.shoot("check-200");
        walker.reach(walker.await("findings"));
        walker.shoot("findings-200");
    }
}
