package ringout.windows;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.bench.PlanInUse;
import ringout.bench.Plans;
import ringout.bench.Rehearsal;
import ringout.bench.Replay;
import ringout.check.Check;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.hid.FieldText;
import ringout.hid.ReportDescriptor;
import ringout.journal.PlanHash;
import ringout.kernel.DescriptorCase;
import ringout.kernel.WorkedBox;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.walk.Desktop;
import ringout.walk.Walker;
import ringout.windows.PlayedBox.Identity;
import ringout.windows.Wine.Ended;
import ringout.windows.Wine.Running;

/**
 * The zip for Windows under Wine: its own programs with its own Java, hid4java's hidapi.dll and JavaFX's libraries, and
 * boxes that are played. What this cannot show is Microsoft's own parser of descriptors; docs/platforms.md has a table of
 * what was seen where.
 *
 * <p>Skipped where something is missing, saying what; with {@code RINGOUT_WINE=required} in the environment that is a
 * failure instead.
 */
class WineTest {
    private static final int VENDOR = 0x1209;
    private static final Identity GUARD = new Identity("Guard's panel", VENDOR, 0x0002, "GUARD-01");
    private static final Path PICTURES = Path.of("target", "wine");
    private static final long SEED = 3;
    private static final ObjectMapper JSON = new ObjectMapper();

    /** Descriptors that come back otherwise, and why. The list is held to be true in both directions. */
    private static final Map<String, String> OTHERWISE = Map.of(
            "a joystick and a game pad behind one interface, with a vendor page between",
            "Wine 8.0 nests collections that stand side by side into one; Windows makes a device of each",
            "a joystick in a vendor's collection",
            "not looked for on Windows: every box that is none would have to be opened");

    @TempDir
    static Path folder;

    private static Wine wine;

    private static Wine wine() throws IOException, InterruptedException {
        String missing = Wine.missing();
        if (!missing.isEmpty()) {
            if (Wine.required()) {
                fail("the zip for Windows cannot be tried: " + missing);
            }
            System.out.println("Wine test skipped: " + missing);
            Assumptions.abort(missing);
        }
        if (wine == null) {
            wine = new Wine(folder, Wine.zip().orElseThrow());
        }
        wine.restart(); // whatever the test before left in it
        return wine;
    }

    @AfterAll
    static void end() {
        if (wine != null) {
            wine.close();
        }
    }

    /** PE Format, "Optional Header": subsystem 2 has no console, 3 has one. VERSIONINFO texts are UTF-16. */
    @Test
    void theProgramsSayWhatTheyAre() throws Exception {
        Wine wine = wine();
        for (String[] program : new String[][] {{"Ringout.exe", "2"}, {"ringout.com", "3"}}) {
            byte[] bytes = Files.readAllBytes(wine.program.resolve(program[0]));
            ByteBuffer file = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
            assertEquals(Integer.parseInt(program[1]), file.getShort(file.getInt(0x3C) + 24 + 68), program[0]);
            String texts = new String(bytes, StandardCharsets.UTF_16LE); // resources begin at even places
            assertTrue(texts.contains("ProductVersion\0"), program[0]);
            assertTrue(texts.contains(version()), program[0]);
        }
        Ended asked = wine.run("ringout.com", "--version");
        assertEquals(new Ended(0, "ringout " + version() + "\r\n", ""), asked);
    }

    private static String version() throws IOException {
        return Wine.zip().orElseThrow().getFileName().toString().replaceAll("ringout-windows-|\\.zip", "");
    }

    @Test
    void descriptorsAndReportsComeThroughHidapi() throws Exception {
        Wine wine = wine();
        Map<String, DescriptorCase> cases = new TreeMap<>();
        Map<String, PlayedBox> boxes = new TreeMap<>();
        Map<String, List<String>> sent = new TreeMap<>();
        for (DescriptorCase one : DescriptorCase.all()) {
            String serial = String.format(Locale.ROOT, "CASE-%02d", cases.size() + 1);
            cases.put(serial, one);
            boxes.put(
                    serial,
                    PlayedBox.plugIn(
                            wine.boxes,
                            new Identity("Case " + cases.size(), VENDOR, cases.size(), serial),
                            one.descriptor()));
        }
        int reports = 20;
        Running reading = wine.startClass(ReadBoxes.class, String.valueOf(reports), String.valueOf(cases.size()));
        Random random = new Random(SEED);
        for (String said = ""; !said.contains("END"); ) {
            said = Files.readString(reading.out());
            for (String line : said.split("\r?\n")) {
                String serial = line.startsWith("BOX\t") && line.split("\t").length == 3 ? line.split("\t")[1] : "";
                if (!serial.isEmpty() && !sent.containsKey(serial)) {
                    sent.put(serial, send(boxes.get(serial), cases.get(serial), reports, random));
                }
            }
            assertTrue(
                    reading.process().isAlive()
                            || Files.readString(reading.out()).contains("END"),
                    reading.said());
            Thread.sleep(20);
        }
        String[] came = reading.end().out().split("\r?\n");
        for (PlayedBox box : boxes.values()) {
            box.close();
        }
        Set<String> otherwise = new TreeSet<>();
        for (Map.Entry<String, DescriptorCase> one : cases.entrySet()) {
            ReportDescriptor real = ReportDescriptor.parse(one.getValue().descriptor());
            List<String> got = values(came, "BOX", one.getKey());
            List<String> alike = got.stream()
                    .filter(hex -> FieldText.of(real).equals(fields(hex)))
                    .collect(Collectors.toList());
            if (alike.size() == 1 && got.size() == 1) {
                assertEquals(
                        sent.get(one.getKey()),
                        values(came, "REPORT", one.getKey()),
                        one.getValue().name());
            } else {
                otherwise.add(one.getValue().name());
            }
        }
        assertEquals(new TreeSet<>(OTHERWISE.keySet()), otherwise);
    }

    private static String fields(String hex) {
        try {
            return FieldText.of(ReportDescriptor.parse(HexFormat.of().parseHex(hex)));
        } catch (ringout.hid.DescriptorException unreadable) {
            return unreadable.getMessage();
        }
    }

    private static List<String> values(String[] lines, String kind, String serial) {
        return Stream.of(lines)
                .filter(line -> line.startsWith(kind + "\t" + serial + "\t"))
                .map(line -> line.split("\t")[2])
                .collect(Collectors.toList());
    }

    /** Random reports at their declared length; what is longer ends Wine 8.0. */
    private static List<String> send(PlayedBox box, DescriptorCase one, int count, Random random) throws Exception {
        ReportDescriptor descriptor = ReportDescriptor.parse(one.descriptor());
        List<String> sent = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            var layout =
                    descriptor.reports().get(random.nextInt(descriptor.reports().size()));
            int before = descriptor.usesReportIds() ? 1 : 0;
            byte[] report = new byte[before + layout.bytes()];
            random.nextBytes(report);
            if (before > 0) {
                report[0] = (byte) layout.id();
            }
            box.report(report);
            sent.add(HexFormat.of().formatHex(report));
            Thread.sleep(4);
        }
        return sent;
    }

    /**
     * What hidapi does where a box is held, with its own code: opening without access, and a read that fails. That Windows
     * refuses the first opening is played, see {@code src/test/windows/cfgmgr32.c}.
     */
    @Test
    void aHeldBoxIsHeldAndAGoneOneGone() throws Exception {
        Wine wine = wine();
        byte[] descriptor = DescriptorCase.all().get(0).descriptor();
        String tape = wine.windows(wine.user().resolve("held.jsonl"));
        String[] record = {"record", "--device", GUARD.serial(), "--seconds", "1", "--out", tape};
        Map<String, String> held = Map.of("RINGOUT_HELD", "1");
        try (PlayedBox box = PlayedBox.plugIn(wine.boxes, GUARD, descriptor)) {
            Ended refused = wine.start(held, "ringout.com", record).end();
            assertEquals(3, refused.status(), refused.toString());
            assertEquals("", refused.out());
            assertTrue(refused.err().contains(" is held by another program: close games, "), refused.err());
            JsonNode listed =
                    device(wine.start(held, "ringout.com", "devices", "--json").end());
            assertTrue(listed.get("problem").asText().contains("is held by another program"), listed.toString());
            assertTrue(listed.get("buttons").isNull());

            JsonNode free = device(wine.run("ringout.com", "devices", "--json"));
            assertEquals(16, free.get("buttons").asInt());
            assertEquals(2, free.get("axes").asInt());
            assertEquals(GUARD.name(), free.get("name").asText());
            assertTrue(free.get("problem").isNull());
        }
        Ended gone = wine.run("ringout.com", record);
        assertEquals(3, gone.status());
        assertEquals("ringout: No connected box is called \"GUARD-01\". Plug it in and try again.\n", gone.err());
    }

    private static JsonNode device(Ended devices) throws IOException {
        JsonNode all = JSON.readTree(devices.out()).get("devices");
        assertEquals(1, all.size(), devices.toString());
        return all.get(0);
    }

    /** From the command to the report, with a fault to be found; unplugged in the middle; under names of several scripts. */
    @Test
    void aCheckFindsTheFaultThroughAnUnplugging() throws Exception {
        Wine wine = wine();
        String yaml = Files.readString(Plans.file("guards-panel"))
                .replace("diodes: none }", "diodes: none, debounce: 5 ms }") // a busy machine would stretch bounce
                .replace("\n", "\r\n");
        Plan plan = Plans.of(yaml);
        String fault = "exchange:C1,C2";
        List<Fault> faults = List.of(Fault.parse(fault, plan));
        Map<String, Prompt> prompts = prompts(plan, faults);
        Path work = Files.createDirectories(wine.user().resolve("Führerstand Ω 制御"));
        String planFile = wine.windows(Files.writeString(work.resolve("guard's panel.yaml"), yaml));
        Ended ended;
        boolean unplugged = false;
        try (WorkedBox box =
                new WorkedBox(descriptor -> PlayedBox.plugIn(wine.boxes, GUARD, descriptor), plan, faults, SEED)) {
            Running check =
                    wine.start("ringout.com", "check", "--plan", planFile, "--device", GUARD.serial(), "--json");
            int seen = 0;
            boolean out = false;
            while (check.process().isAlive()) {
                String said = check.said();
                String[] lines = said.substring(0, said.lastIndexOf('\n') + 1).split("\n");
                for (; seen < lines.length; seen++) {
                    String line = lines[seen];
                    Prompt prompt = prompts.get(sentence(line));
                    if (prompt != null) {
                        box.see(again(prompt));
                    }
                    if (line.startsWith("[4/") && !unplugged) {
                        unplugged = true;
                        out = true;
                        box.unplug();
                    } else if (out && line.contains("Unplugged at step 4: plug it in again")) {
                        Thread.sleep(500);
                        out = false;
                        box.plugIn();
                    }
                }
                Thread.sleep(20);
            }
            ended = check.end();
            assertFalse(out, "it did not notice: " + ended);
        }
        assertTrue(unplugged, ended.toString());
        assertEquals(1, ended.status(), ended.toString());
        JsonNode result = JSON.readTree(ended.out());
        assertEquals(result.get("steps"), result.get("done"));
        assertTrue(result.at("/explanations/0/faults").toString().contains("\"" + fault + "\""), result.toString());

        // It says where it records; other tests do so in the same folder.
        Matcher told = Pattern.compile("recording to .*\\\\([^\\\\]+\\.jsonl)").matcher(ended.err());
        assertTrue(told.find(), ended.err());
        Path tape = wine.user().resolve("AppData/Local/Ringout/recordings").resolve(told.group(1));
        assertTrue(Files.isRegularFile(tape), ended.err());
        Ended replayed = wine.run("ringout.com", "check", "--plan", planFile, "--replay", wine.windows(tape), "--json");
        assertEquals(1, replayed.status(), replayed.toString());
        assertEquals(result.get("explanations"), JSON.readTree(replayed.out()).get("explanations"));
        // The recording reads alike on this system.
        Replay here = Replay.of(tape, Optional.of(new PlanInUse(plan, PlanHash.of(yaml))));
        assertEquals(
                result.get("findings").size(),
                here.bench().check().orElseThrow().view().findings().size());

        Path report = work.resolve("Bericht Ω.html");
        Ended reported = wine.run("ringout.com", "report", wine.windows(tape), "--out", wine.windows(report));
        assertEquals(0, reported.status(), reported.toString());
        assertTrue(Files.readString(report).contains("Guard&#39;s panel")
                || Files.readString(report).contains("Guard's panel"));
        assertTrue(Files.readString(report).contains("C1"));
    }

    /** What this check may ask, by the sentence that it is asked in; slips of the hand make it ask more. */
    private static Map<String, Prompt> prompts(Plan plan, List<Fault> faults) {
        Map<String, Prompt> prompts = new HashMap<>();
        for (double slips : new double[] {0, 0.3}) {
            for (long seed = 0; seed < 10; seed++) {
                Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, faults, Wear.NONE, 1000, slips, seed));
                rehearsal.listen(new Rehearsal.Listener() {
                    @Override
                    public void moved(long nanos, Check check) {
                        Prompt prompt = check.view().prompt();
                        prompts.put(prompt.sentence(), prompt);
                    }
                });
                rehearsal.start();
                rehearsal.run();
            }
        }
        return prompts;
    }

    /** Of a line like {@code [3/14] Hold BUZZER  (button 3)}. */
    private static String sentence(String line) {
        return line.replaceFirst("^\\[[0-9/]+\\] ", "").split("  ", 2)[0];
    }

    /** The builder acts on what it has not seen yet. */
    private static Prompt again(Prompt p) {
        return new Prompt(p.kind(), p.said(), p.more(), p.actions(), p.times(), p.expected(), p.attempt(), p.since());
    }

    @Test
    void namesAndPlacesAreThoseOfWindows() throws Exception {
        Wine wine = wine();
        Map<Path, Long> before = contents(wine.program);
        String yaml = Files.readString(Plans.file("lamp-switches"));
        Path work = Files.createDirectories(wine.user().resolve("Führerstand Ω 制御"));
        Path plan = Files.writeString(work.resolve("制御 panel.yaml"), yaml.replace("\n", "\r\n"));
        Ended read = wine.run("ringout.com", "plan", wine.windows(plan), "--json");
        assertEquals(0, read.status(), read.toString());
        Ended plain = wine.run(
                "ringout.com", "plan", wine.windows(wine.program.resolve("plans/lamp-switches.yaml")), "--json");
        assertEquals(plain.out(), read.out(), "line ends make no difference");

        // Longer than MAX_PATH, 260 letters (Maximum Path Length Limitation, Microsoft's documentation of Win32).
        Path deep = work;
        for (int i = 0; i < 4; i++) {
            deep = deep.resolve("ein sehr tief verschachtelter Ordner, wie er in Vereinen vorkommt " + i);
        }
        Files.createDirectories(deep);
        String tape = wine.windows(deep.resolve("tape Ω.jsonl"));
        assertTrue(tape.length() > 300);
        Ended simulated = wine.run("ringout.com", "simulate", "--plan", wine.windows(plan), "--out", tape);
        assertTrue(simulated.status() <= 1, simulated.toString());
        assertTrue(Files.size(deep.resolve("tape Ω.jsonl")) > 1000);

        // Nobody may write there, not even root.
        Ended refused =
                wine.run("ringout.com", "simulate", "--plan", wine.windows(plan), "--out", "Z:\\proc\\tape.jsonl");
        assertNotEquals(0, refused.status(), refused.toString());
        assertTrue(
                refused.err().startsWith("ringout: ") && refused.err().contains("Z:\\proc\\tape.jsonl"), refused.err());

        Ended unknown = wine.run("ringout.com", "plan", "C:\\Führerstand Ω 制御.yaml");
        assertEquals(2, unknown.status());
        assertTrue(unknown.err().contains("C:\\Führerstand Ω 制御.yaml"), unknown.err());
        assertTrue(Files.isDirectory(wine.user().resolve("AppData/Roaming")));
        assertFalse(Files.exists(wine.user().resolve("AppData/Roaming/Ringout/recordings")), "recordings do not roam");
        assertEquals(before, contents(wine.program), "the program's folder is written to");
    }

    private static Map<Path, Long> contents(Path folder) throws IOException {
        Map<Path, Long> contents = new TreeMap<>();
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : (Iterable<Path>) files.filter(Files::isRegularFile)::iterator) {
                contents.put(
                        file, Files.size(file) ^ Files.getLastModifiedTime(file).toMillis());
            }
        }
        return contents;
    }

    /** A terminal with the code page of western Europe's DOS, as many have it, shows every letter and has it back after. */
    @Test
    void aTerminalShowsEveryLetterAndKeepsItsCodePage() throws Exception {
        Wine wine = wine();
        String before = Files.readString(Plans.file("guards-panel"));
        Path plan = Files.writeString(
                Files.createDirectories(wine.drive().resolve("plans")).resolve("panel.yaml"),
                before.replace("label: Buzzer", "label: Ω 制御 д"));
        String seen = wine.terminal("""
                @echo off
                chcp 850
                ringout plan %s
                chcp
                """.formatted(wine.windows(plan)));
        assertTrue(seen.contains("Ω 制御 д"), seen);
        assertTrue(seen.contains("R1 × C3"), seen);
        assertEquals(3, seen.split("Active code page: 850", -1).length, seen);
    }

    @Test
    void ctrlCEndsARecordingWithWhatItHas() throws Exception {
        Wine wine = wine();
        Path tape = wine.user().resolve("interrupted.jsonl");
        try (PlayedBox box =
                PlayedBox.plugIn(wine.boxes, GUARD, DescriptorCase.all().get(0).descriptor())) {
            String seen = wine.interrupted(
                    "Ctrl-C ends it",
                    () -> {
                        for (int i = 0; i < 20; i++) {
                            box.report((byte) (1 << (i % 8)), (byte) 0, (byte) i, (byte) 0);
                            Walker.pause(50);
                        }
                    },
                    "ringout.com",
                    "record",
                    "--device",
                    GUARD.serial(),
                    "--out",
                    wine.windows(tape));
            assertTrue(seen.contains("Recorded 20 reports of Guard's panel in "), seen);
            assertTrue(seen.contains("status 130"), seen);
        }
        assertTrue(Files.size(tape) > 0);
    }

    @Test
    void theWindowOpensAndShowsWhatTheBoxDoes() throws Exception {
        Wine wine = wine();
        assertEquals(Optional.empty(), Desktop.missing(), "is missing for a window");
        byte[] descriptor = DescriptorCase.all().get(0).descriptor();
        try (PlayedBox box = PlayedBox.plugIn(wine.boxes, GUARD, descriptor);
                Desktop desktop = new Desktop(1366, 768);
                Walker walker = new Walker(
                        desktop,
                        wine.alone(wine.program.resolve("Ringout.exe").toString()),
                        Files.createDirectories(folder.resolve("window")),
                        PICTURES)) {
            walker.awaitWords(GUARD.name());
            walker.shoot("start");
            walker.clickOn("Only watch");
            Thread pressing = new Thread(() -> press(box), "pressing");
            pressing.start();
            walker.await("reports", s -> s.words().matches("[1-9][0-9]* reports? so far"), 60);
            walker.shoot("watch");
            pressing.interrupt();
            assertEquals("", walker.errors(), "it printed on stderr");
        }
    }

    /** After a double click there is nowhere to print to. */
    @Test
    void whereTheWindowCannotOpenAMessageSaysWhy() throws Exception {
        Wine wine = wine();
        assertEquals(Optional.empty(), Desktop.missing(), "is missing for a window");
        Path javafx = wine.program.resolve("lib/javafx");
        Path away = javafx.resolveSibling("elsewhere");
        Files.move(javafx, away);
        try (Desktop desktop = new Desktop(800, 600)) {
            String program = wine.windows(wine.program.resolve("Ringout.exe"));
            Process started = desktop.with(new ProcessBuilder(wine.alone("start", "/wait", program)))
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            desktop.dialog("Ringout");
            desktop.shoot(Files.createDirectories(PICTURES).resolve("message.png"));
            assertTrue(started.isAlive());
            desktop.key("Return");
            assertTrue(started.waitFor(60, TimeUnit.SECONDS), "it goes on after the message");
            assertEquals(2, started.exitValue(), "as in a terminal");
        } finally {
            Files.move(away, javafx);
        }
    }

    /** Button 3, for two seconds of every four. */
    private static void press(PlayedBox box) {
        try {
            while (true) {
                box.report((byte) 0x04, (byte) 0, (byte) 0x80, (byte) 0x80);
                Thread.sleep(2000);
                box.report((byte) 0, (byte) 0, (byte) 0x80, (byte) 0x80);
                Thread.sleep(2000);
            }
        } catch (InterruptedException enough) {
            // Seen.
        }
    }
}
