package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.SourceDataLine;

/** The way through the program. */
final class Walk {
    private static final String PLAN = """
            ringout: 1
            box: { name: Shunter }
            lines:
              rows:    { R1: pin 4, R2: pin 5 }
              columns: { C1: pin 8, C2: pin 9 }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row }
            controls:
              - { id: horn, label: Horn, kind: push, at: [R1, C1], input: button 1 }
              - { id: bell, label: Bell, kind: push, at: [R1, C2], input: button 2 }
              - { id: lamp, label: Lamp, kind: toggle, at: [R2, C1], input: button 3 }
              - { id: dead, label: Vigilance, kind: push, at: [R2, C2], input: button 4 }
            """;

    private static final String LEVER = """
            ringout: 1
            box: { name: Lever }
            lines: { direct: { D1: pin 4 } }
            controls:
              - { id: horn, label: Horn, kind: push, at: D1, input: button 1 }
              - { id: brake, label: Brake lever, kind: axis, input: axis Z, pin: A0, high: full brake, range: 90 % }
            """;

    private final Walker walker;
    private final Path plan;

    Walk(Walker walker) throws IOException {
        this.walker = walker;
        plan = Files.writeString(walker.home.resolve("shunter.yaml"), PLAN);
    }

    void all() throws IOException, InterruptedException {
        firstStart();
        practise();
        choosePlan();
        bareBoard();
        sheet();
        solder();
        measure();
        lever();
        findAndMend();
        feel();
        hunt();
        watch();
        learn();
        recordings();
        planNewBox();
        behindThePanel();
        looks();
    }

    private void firstStart() {
        walker.await("try-it");
        assertTrue(walker.narrowest() > 1_200, () -> "on a screen of 1366 it was once " + walker.narrowest() + " wide");
        Walker.pause(3_000);
        walker.shoot("first-start");
    }

    /** A check by the scripted builder: left and gone on with, paused, to its end; its report saved and there. */
    private void practise() throws IOException {
        walker.click("try-it");
        walker.await("command-pause");
        Walker.pause(2_000);
        walker.click("back");
        walker.awaitWords("waits at step");
        walker.shoot("check-waits");
        walker.click("go-back");
        walker.click("command-pause");
        walker.awaitWords("Paused at step");
        Walker.pause(2_000);
        walker.awaitWords("Paused at step");
        // A click on a control points it out, moves nothing, and leaves the keyboard where it is.
        Walker.Shown bell = walker.await("control-bell");
        walker.click("control-bell");
        Walker.Shown after = walker.await("control-bell");
        // Its frame, once it is seen, counts to it.
        assertEquals(bell.x(), after.x(), 2, "the click moved it");
        assertEquals(bell.y(), after.y(), 2, "the click moved it");
        assertTrue(after.focused(), "the click took the keyboard elsewhere");
        walker.shoot("check-paused");
        walker.desktop.key("g");
        // One Space where a button was that is gone does nothing.
        walker.await("the end of the check", s -> s.words().startsWith("Done"), 240);
        walker.await("again");
        walker.shoot("check-done");
        // What of a box may still not come through to a program, and back.
        walker.click("ready");
        walker.await(
                "ready-sentence",
                s -> s.id().equals("ready-sentence") && s.words().contains("may not come through"));
        walker.reach(walker.await("the toggle", s -> s.words().contains("stays on as long as it is put over")));
        walker.shoot("ready");
        walker.click("ready-back");
        walker.await("again");
        // Tones were to be heard by now; whether this computer can play any, Java is asked.
        assertEquals(
                !AudioSystem.isLineSupported(
                        new DataLine.Info(SourceDataLine.class, new AudioFormat(44_100, 16, 1, true, false))),
                walker.find(s -> s.words().equals("Sound not available")).isPresent(),
                "whether tones can be heard");
        walker.click("report");
        Path file = walker.home.resolve("desk.html");
        walker.file("Save report", file);
        walker.awaitWords("The report is in");
        walker.shoot("report-saved");
        assertTrue(Files.readString(file).contains("<html"), "no report");
        walker.click("back");
        walker.await("start-sentence");
    }

    /** @return when the last key was pressed */
    private long open(Path file) {
        walker.click("open-plan");
        return walker.file("Open a wiring plan or a recording", file);
    }

    /** Opens a recording and tells how long it took from the key to the tape; prints and asserts no figure. */
    private void openTimed(Path file) throws IOException {
        long asked = open(file);
        while (walker.find("tape-paper").isEmpty()
                || walker.find(s -> s.words().contains(file.getFileName().toString()))
                        .isEmpty()) {
            if (System.nanoTime() - asked > TimeUnit.SECONDS.toNanos(60)) {
                throw new AssertionError("never shown: " + file + "\n" + walker.words());
            }
            Walker.pause(10);
        }
        System.out.printf(
                Locale.ROOT,
                "a recording of %d kB: from Return in the dialog to its tape %d ms%n",
                Files.size(file) / 1000,
                TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - asked));
    }

    /** A plan that is gone is never the chosen one, and can be taken off the list. */
    private void choosePlan() throws IOException {
        Path gone = Files.writeString(walker.home.resolve("gone.yaml"), PLAN.replace("Shunter", "Gone"));
        open(gone);
        walker.await("forget-gone.yaml");
        open(plan);
        walker.awaitWords("shunter.yaml");
        walker.await(
                "the plan", s -> s.words().contains("shunter.yaml") && s.words().contains("chosen"));
        Files.delete(gone);
        walker.clickOn("gone.yaml");
        walker.awaitWords("gone.yaml cannot be read");
        walker.await(
                "the plan", s -> s.words().contains("shunter.yaml") && s.words().contains("chosen"));
        walker.click("forget-gone.yaml");
        Walker.pause(500);
        assertTrue(walker.find("forget-gone.yaml").isEmpty(), "still listed");
        walker.shoot("plans");
    }

    /** The board of the box to practise on, alone: it touches itself, pin by pin. */
    private void bareBoard() {
        walker.click("bare-board");
        walker.await("board-begin");
        walker.awaitWords("never the supply or ground pins");
        walker.shoot("board-cautions");
        walker.click("board-begin");
        walker.await("a touch", s -> s.id().equals("sentence") && s.words().startsWith("Resistor on"));
        walker.shoot("board-touch");
        walker.await("all of it", s -> s.id().equals("sentence") && s.words().startsWith("The board reads every"), 120);
        walker.awaitWords("Practice: kept");
        walker.shoot("board-proved");
        walker.click("back");
        walker.await(
                "the start page",
                s -> s.id().equals("start-sentence") && s.words().startsWith("Ready to check"));
    }

    private void sheet() throws IOException, InterruptedException {
        Path file = walker.home.resolve("shunter.pdf");
        walker.click("print-sheet");
        walker.file("Save the wiring sheet", file);
        walker.awaitWords("shunter.pdf");
        assertTrue(
                new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1).startsWith("%PDF"),
                "no wiring sheet");
        Path page = walker.home.resolve("shunter.html");
        walker.run("sheet", plan.toString(), "--out", page.toString());
        assertTrue(Files.readString(page).contains("What to buy"), "no list of parts");
    }

    /** Two joints, left, and gone on with; then practice, whose hidden mistake is found and mended. */
    private void solder() {
        walker.click("solder-plan");
        walker.awaitWords("Unplug USB");
        walker.click("solder-next");
        walker.awaitWords("0 of ");
        walker.desktop.key("space");
        walker.awaitWords("1 of ");
        walker.desktop.key("Return");
        walker.awaitWords("2 of ");
        walker.shoot("solder-joint");
        walker.click("back");
        walker.await("start-sentence");
        walker.click("solder-plan");
        walker.awaitWords("2 of ");
        walker.click("solder-practise");
        walker.awaitWords("Joint 1 of");
        boolean found = false;
        for (int i = 0; i < 200 && walker.find(this::mayBePluggedIn).isEmpty(); i++) {
            if (!found && walker.find(s -> s.words().contains("solder it anew")).isPresent()) {
                found = true;
                walker.shoot("solder-wrong");
            }
            walker.desktop.key("space");
            Walker.pause(150);
        }
        assertTrue(found, "the hidden mistake was not found");
        walker.awaitWords("can be plugged in");
        walker.click("solder-next");
        walker.await("start-sentence");
    }

    private boolean mayBePluggedIn(Walker.Shown shown) {
        return shown.id().equals("solder-sentence") && shown.words().contains("can be plugged in");
    }

    /** The checklist in sweeps, left halfway, gone on with, and done. */
    private void measure() {
        walker.click("measure");
        walker.click("begin-measuring");
        walker.awaitWords("Sweep 1 of");
        walker.shoot("sweep");
        walker.desktop.key("1");
        walker.awaitWords("Sweep 2 of");
        walker.click("back");
        walker.await("start-sentence");
        walker.click("measure");
        walker.click("go-on-measuring");
        walker.awaitWords("Sweep 2 of");
        for (int i = 0; i < 40 && walker.find("measure-done").isEmpty(); i++) {
            // What a good box shows: of a sweep the first answer, of a point alone that is silent or has a diode the
            // second.
            boolean sweep = walker.find(s -> s.words().equals("All of them")).isPresent();
            boolean second = walker.find(s -> s.id().equals("sentence")
                            && (s.words().contains("silent") || s.words().contains("0.6 V")))
                    .isPresent();
            walker.desktop.key(!sweep && second ? "2" : "1");
            Walker.pause(250);
        }
        walker.awaitWords("Wired as planned");
        walker.shoot("measured");
        walker.click("measure-done");
        walker.await("start-sentence");
    }

    /** Keys typed before the list of exercises is there go nowhere, and the first one stays chosen. */
    private void exercise(String words, String... keys) {
        walker.click("exercise");
        walker.await("the list of exercises", s -> s.words().equals(words));
        walker.desktop.key(keys);
        walker.awaitGone("the first exercise", s -> s.words().equals("Two hidden faults"));
    }

    /** A fault of a box built to the builder's own plan: found, mended by a click on the loom, checked again. */
    private void findAndMend() {
        walker.await("the practice of this plan", s -> s.words().equals("Practise on this plan, simulated"));
        exercise("A wire off its pin", "Down", "Down", "Return");
        walker.click("practise");
        walker.await("the verdict", s -> s.id().equals("sentence") && s.words().startsWith("The row wire R2"), 120);
        walker.await("proof");
        walker.shoot("verdict");
        walker.click("pin-R1");
        walker.clickOn("Mend the joint of R1 at pin 4");
        walker.awaitWords("Nothing was wrong there");
        walker.click("pin-R2");
        walker.clickOn("Mend the joint of R2 at pin 5");
        walker.awaitWords("Mended. The row wire R2 is open");
        walker.shoot("mended");
        walker.click("again");
        walker.await("command-skip");
        Walker.pause(700);
        assertTrue(
                walker.find(s -> s.id().equals("command-skip") && s.focused()).isEmpty(), "one Space would skip");
        walker.await("a good box", s -> s.words().equals("Done: the box matches its plan"), 120);
        walker.awaitWords("Practice, since the check of");
        walker.reach(walker.await("the row that is mended", s -> s.words().endsWith("gone")));
        walker.shoot("mended-and-good");
        walker.click("remark-text");
        walker.desktop.type("spare fitted");
        walker.click("remark-keep");
        walker.awaitWords("Remembered: spare fitted");
        walker.shoot("remarked");
        walker.click("back");
        walker.await("start-sentence");
    }

    /** Names of the box that was mended, found by its scripted hand; what it came to is kept. */
    private void feel() {
        walker.click("feel");
        walker.await(
                "one found",
                s -> s.id().equals("feel-progress") && s.words().matches("Round .* [1-9] of \\d+ found"),
                120);
        walker.shoot("feel");
        walker.click("feel-end");
        walker.awaitWords("Kept as");
        walker.shoot("felt");
        walker.click("back");
        walker.await("start-sentence");
    }

    /** One control of a faulty box is dead: plug and meter by their keys. */
    private void hunt() {
        // The same fault as before: it is still chosen.
        walker.click("practise");
        walker.await("bench-hunt");
        walker.click("bench-hunt");
        walker.awaitWords("Which one is dead?");
        walker.click("control-lamp");
        for (int i = 0;
                i < 60 && walker.find(s -> s.words().startsWith("Found after")).isEmpty();
                i++) {
            walker.desktop.key("n");
            Walker.pause(1_000);
            walker.desktop.key("m");
            Walker.pause(1_000);
        }
        walker.awaitWords("The row wire R2 is open");
        walker.shoot("hunt-found");
        walker.click("back");
        walker.await("start-sentence");
    }

    /** An axis by itself: what was measured of it, and its wiper wire off the pin. */
    private void lever() throws IOException {
        open(Files.writeString(walker.home.resolve("lever.yaml"), LEVER));
        walker.await(
                "the lever's plan",
                s -> s.words().contains("lever.yaml") && s.words().contains("chosen"));
        exercise("A wiper wire off its pin", "End", "Return");
        walker.click("practise");
        walker.await("the verdict", s -> s.id().equals("sentence") && s.words().contains("wiper of BRAKE LEVER"), 120);
        walker.reach(walker.await("what was measured", s -> s.words().startsWith("Brake lever: ")));
        walker.shoot("lever");
        walker.click("back");
        walker.await("start-sentence");
        open(plan);
        walker.await(
                "the plan", s -> s.words().contains("shunter.yaml") && s.words().contains("chosen"));
    }

    private void watch() {
        walker.click("watch-long");
        walker.awaitWords("Watching");
        walker.await("what it has read", s -> s.words().matches(".*Plan of Shunter\\. ([3-9]|\\d\\d+) reports.*"));
        walker.shoot("watch");
        walker.click("watch-look");
        walker.awaitWords("Go on: the watch saw nothing get worse");
        walker.shoot("look");
        walker.click("look-back");
        walker.awaitWords("Watching");
        walker.click("watch-end");
        walker.await("watch-summary");
        walker.shoot("watch-ended");
        walker.click("back");
        walker.await("start-sentence");
        walker.click("ready-begin");
        walker.await("ready-sentence");
        walker.shoot("ready-from-start");
        walker.click("ready-back");
        walker.await("start-sentence");
    }

    private void learn() {
        walker.click("learn-box");
        for (int i = 1; i <= 2; i++) {
            // The button is there for every control: a click on it counts for the one whose name is offered.
            String offered = "Button " + i;
            walker.await(
                    "the name of control " + i,
                    s -> s.type().equals("TextField") && s.words().equals(offered));
            walker.clickOn("That is it");
            String learned = i == 1 ? "1 control learned" : "2 controls learned";
            walker.awaitWords(learned);
        }
        walker.shoot("learning");
        walker.clickOn("Make a plan");
        walker.await("properties");
        walker.shoot("learned");
        walker.click("back");
        walker.clickOn("Leave without saving");
        walker.await("start-sentence");
    }

    /** Two recordings one after the other, each with its own tape, down to single reports. */
    private void recordings() throws IOException, InterruptedException {
        Path faulty = walker.home.resolve("faulty.jsonl");
        Path good = walker.home.resolve("good.jsonl");
        walker.run("simulate", "--plan", plan.toString(), "--fault", "open:R2", "--out", faulty.toString());
        walker.run("simulate", "--plan", plan.toString(), "--out", good.toString());
        String compared = walker.run("compare", "--baseline", good.toString(), "--replay", faulty.toString());
        assertTrue(compared.contains("VIGILANCE") || compared.contains("Vigilance"), compared);

        openTimed(faulty);
        int few = lit("recording-faulty");
        assertTrue(few > 0, "the tape is blank");
        for (int i = 0; i < 12; i++) {
            walker.click("tape-zoom-in");
        }
        assertFalse(lit("recording-zoomed") == few, "zoomed, the tape shows the same");
        walker.click("tape-all");
        walker.click("back");
        walker.await("start-sentence");
        openTimed(good);
        int more = lit("recording-good");
        assertFalse(more == few, "the tape of the one before");
        // Down to single reports about the middle of the first press.
        walker.click("tape-paper");
        walker.desktop.key("Home", "Right");
        for (int i = 0; i < 14; i++) {
            walker.desktop.key("plus");
        }
        assertTrue(lit("recording-single") > 0, "zoomed, the tape is blank");
        walker.click("back");
        walker.await("start-sentence");
    }

    /** How much of the tape is on, in pixels of the picture. */
    private int lit(String name) throws IOException {
        Walker.Shown paper = walker.await("tape-paper");
        Walker.pause(700);
        BufferedImage seen = walker.see(name);
        int lit = 0;
        for (int x = paper.x() - paper.width() / 2 + 2; x < paper.x() + paper.width() / 2 - 2; x++) {
            for (int y = paper.y() - paper.height() / 2 + 2; y < paper.y() + paper.height() / 2 - 2; y++) {
                int rgb = seen.getRGB(x, y);
                int red = rgb >> 16 & 0xFF;
                int green = rgb >> 8 & 0xFF;
                int blue = rgb & 0xFF;
                lit += red > 220 && green > 160 && green < 225 && blue < 110 ? 1 : 0;
            }
        }
        return lit;
    }

    /** A few buttons, planned and looked at in the editor: numbered as asked, with the box before beside it, and its card. */
    private void planNewBox() throws IOException {
        walker.click("plan-new");
        for (int i = 0; i < 6; i++) {
            walker.click("more-push");
        }
        walker.await("new-numbering");
        walker.shoot("new-box");
        walker.click("plan-it");
        walker.await("properties");
        walker.shoot("editor");
        walker.click("compare");
        walker.file("The plan of the box before", plan);
        walker.awaitWords("assignments made for the box before");
        walker.shoot("editor-compared");
        walker.click("compare-end");
        Path card = walker.home.resolve("card.pdf");
        walker.click("card");
        walker.file("My box: by feel", card);
        walker.awaitWords("keep it where the box is used");
        assertTrue(new String(Files.readAllBytes(card), StandardCharsets.ISO_8859_1).startsWith("%PDF"), "no card");
    }

    /** A new boss is in the way of a control: that is said, and moving the control clears it. */
    private void behindThePanel() {
        walker.click("keep-out-add");
        walker.click("keep-out-0-x");
        walker.desktop.key("ctrl+a");
        walker.desktop.type("26");
        walker.desktop.key("Return");
        walker.click("keep-out-0-y");
        walker.desktop.key("ctrl+a");
        walker.desktop.type("14");
        walker.desktop.key("Return");
        walker.awaitWords("within Boss 1 behind the panel");
        walker.shoot("editor-boss");
        walker.click("edit-button-1");
        walker.desktop.key("shift+Down");
        for (int i = 0; walker.words().contains("within Boss 1"); i++) {
            assertTrue(i < 50, "the warning stays although the control was moved");
            Walker.pause(200);
        }
        walker.shoot("editor-boss-clear");
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
        walker.click("begin");
        walker.await("command-skip");
        walker.shoot("check-200");
        walker.reach(walker.await("findings"));
        walker.shoot("findings-200");
        small();
    }

    /** Made small on the start page, the largest text still on: everything can be reached, and what is drawn is seen. */
    private void small() {
        walker.click("back");
        walker.await("go-back");
        walker.desktop.window("windowsize", "900", "600");
        Walker.pause(2_000);
        walker.shoot("start-small");
        Walker.Shown start = walker.await("start");
        for (String id : List.of("begin", "watch-long", "open-plan", "exercise", "practise")) {
            Walker.Shown at = walker.reach(walker.await(id));
            assertFalse(at.state().contains("scrolled-away"), id + " cannot be reached");
            assertTrue(
                    Math.abs(at.x() - start.x()) + at.width() / 2 <= start.width() / 2,
                    id + " is cut: " + at + " in " + start);
        }
        walker.click("go-back");
        walker.await("command-skip");
        Walker.pause(1_000);
        walker.shoot("check-small");
        assertFalse(walker.await("control-horn").state().contains("scrolled-away"), "the panel has no room");
        walker.click("show-tape");
        assertTrue(walker.await("tape-paper").height() > 30, "the tape has no room");
        walker.shoot("tape-small");
        walker.click("back");
        walker.await("start-sentence");
    }
}
