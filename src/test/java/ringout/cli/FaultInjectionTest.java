package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringout.Thorough;
import ringout.device.Time;
import ringout.journal.JournalException;
import ringout.journal.RecordingReader;
import ringout.journal.SmallDisk;
import ringout.plan.PlanReader;

/**
 * Every command while something fails under it: each write, in turn; each signal, at moments all through its run; each
 * input cut, bit-flipped, edited, and swapped with that of another command. There is never a stack trace, never half a
 * file, never a file lost that was there, and the exit status is the documented one.
 *
 * <p>What needs the system (limits, signals, closed pipes) is done to a process; what a changed file does is tried in this
 * one. {@code -Dringout.faults=full} takes ten moments for each signal, ten places for each failing write, and forty changes
 * of each sort for each input; else a few of each, in turn. It prints the counts.
 */
class FaultInjectionTest {
    private static final boolean FULL = System.getProperty("ringout.faults", "").equals("full");
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";
    private static final Map<String, Integer> COUNTS = new TreeMap<>();
    private static final Set<Integer> STATUSES = new TreeSet<>();

    /** Signals and their numbers (POSIX.1-2017, kill). Java takes no notice of a broken pipe. */
    private static final Map<String, Integer> SIGNALS =
            new LinkedHashMap<>(Map.of("INT", 2, "TERM", 15, "HUP", 1, "KILL", 9, "PIPE", 13));

    /** Java 17 says so, with status 1, where a signal comes while it sets itself up: nothing of ours has begun then. */
    private static final String JAVA_NOT_STARTED = "Error occurred during initialization of VM";

    @TempDir
    static Path folder;

    private static Path inputs;

    /**
     * One way to call a command.
     *
     * @param line  as typed; {@code @name} is a file of {@link #inputs}, {@code %name} one that is written
     * @param typed standard input; empty for none
     * @param ends  whether it ends by itself
     */
    private record Call(String line, String typed, boolean ends) {
        Call(String line) {
            this(line, "", true);
        }

        List<String> arguments(Path out) {
            return Arrays.stream(line.split(" "))
                    .map(word -> word.replace("@", inputs + "/").replace("%", out + "/"))
                    .toList();
        }

        /** Files it reads ({@code @}) or writes ({@code %}). */
        List<String> named(char mark) {
            return Pattern.compile(mark + "([\\w.-]+)")
                    .matcher(line)
                    .results()
                    .map(found -> found.group(1))
                    .distinct()
                    .toList();
        }

        String command() {
            return line.split(" ")[0];
        }
    }

    private static final List<Call> CALLS = List.of(
            new Call("devices"),
            new Call("fields --descriptor @desk.hex"),
            new Call("decode --descriptor @desk.hex --report 01010000000F0080"),
            new Call("plan @desk.yaml --ghosts"),
            new Call("predict --plan @desk.yaml --fault open:R2"),
            new Call("explain --plan @desk.yaml --observations @dead-row.json"),
            new Call("check --plan @desk.yaml --replay @shift.jsonl --rewrite-plan %new.yaml --force"),
            new Call("simulate --plan @desk.yaml --out %sim.jsonl"),
            new Call("check --plan @desk.yaml --replay @rec.jsonl --json"),
            new Call("check --plan @desk.yaml --device sim:@desk.yaml?fault=open:R2 --out %check.jsonl", "", false),
            new Call(
                    "check --plan @desk.yaml --device sim:@desk.yaml?fault=open:R2 --hunt sander --out %hunt.jsonl",
                    "", false),
            new Call("learn --device sim:@desk.yaml --out %learned.yaml", "Horn\nBell\n", false),
            new Call("continuity @desk.yaml", "y\nn\n\ns\nb\ny\nq\n", true),
            new Call("record --device rec:@noisy.jsonl --out %record.jsonl", "", false),
            new Call("listen --plan @desk.yaml --replay @rec.jsonl"),
            new Call("listen --device sim:desk --plan @desk.yaml --out %tape.jsonl", "", false),
            new Call("timing @rec.jsonl"),
            new Call("ready @rec.jsonl"),
            new Call("compare --replay @rec.jsonl --baseline @before.jsonl"),
            new Call("report @rec.jsonl --out %report.html --force"),
            new Call("report @rec.jsonl --out %report.pdf --force"),
            new Call("sheet @desk.yaml --out %sheet.pdf --firmware %desk.c --force"),
            new Call("export @rec.jsonl --out %rec.csv --force"),
            new Call("export @rec.jsonl --out %rec.pcapng --force"),
            new Call("export @rec.jsonl"),
            new Call("mended"),
            new Call(
                    "feel --plan @desk.yaml --device sim:@desk.yaml?speed=20 --rounds 2 --seed 3 --out %feel.jsonl",
                    "", false),
            new Call("look --plan @desk.yaml --replay @rec.jsonl"),
            new Call("remark --plan @desk.yaml"),
            new Call("solder @desk.yaml", "\n\n\ns\nb\n\nq\n", true),
            new Call("sheet @desk.yaml --card %card.pdf --force"),
            new Call("demo --terminal"));

    @BeforeAll
    static void prepare() throws IOException {
        inputs = Files.createDirectory(folder.resolve("inputs"));
        Files.copy(Path.of(DESK), inputs.resolve("desk.yaml"));
        Files.copy(Path.of("fixtures/descriptors/drivers-desk.hex"), inputs.resolve("desk.hex"));
        Files.copy(Path.of("fixtures/observations/dead-row.json"), inputs.resolve("dead-row.json"));
        record("rec.jsonl", "--bounce", "bell=9");
        record("before.jsonl", "--bounce", "bell=6");
        record("noisy.jsonl", "--noise", "brake=30");
        record("shift.jsonl", "--fault", "numbering:shift:+1");
    }

    private static void record(String name, String what, String how) {
        CommandRun run = CommandRun.of(
                "simulate",
                "--plan",
                DESK,
                what,
                how,
                "--out",
                inputs.resolve(name).toString());
        assertEquals(0, run.status(), run.err());
    }

    @AfterAll
    static void tell() {
        System.out.printf(
                "fault injection (%s): %d calls of %d commands; %s; exit statuses seen %s%n",
                FULL ? "full" : "short",
                CALLS.size(),
                CALLS.stream().map(Call::command).distinct().count(),
                COUNTS,
                STATUSES);
    }

    @BeforeEach
    void elsewhereThanOnWindows() {
        assumeFalse(System.getProperty("os.name").startsWith("Windows"), "signals and limits of POSIX");
    }

    private static synchronized void count(String what, int status) {
        COUNTS.merge(what, 1, Integer::sum);
        STATUSES.add(status);
    }

    @Test
    void everyCommandIsAmongThem() {
        Set<String> tried = new TreeSet<>();
        CALLS.forEach(call -> tried.add(call.command()));
        assertEquals(
                new TreeSet<>(
                        Ringout.commandLine(null, Time.OURS).getSubcommands().keySet()),
                tried);
    }

    // ---------------------------------------------------------------- writes

    /** Writes fail from the first, the middle or the last byte on: as on a full disk (POSIX, setrlimit, RLIMIT_FSIZE). */
    @Test
    void aWriteThatFails() throws Exception {
        int turn = 0;
        for (Call call : CALLS) {
            if (call.ends && !call.named('%').isEmpty()) {
                long whole = size(call);
                int places = FULL ? 10 : 1;
                for (int i = 0; i < places; i++) {
                    long blocks = whole / 512 * (FULL ? i : turn++ % 10) / 10;
                    writeFails(call, blocks);
                }
            }
        }
    }

    /** Of the largest file that it writes, in bytes. */
    private static long size(Call call) throws Exception {
        Path out = scratch();
        run(call, call.arguments(out), call.typed);
        long most = 0;
        for (String name : call.named('%')) {
            most = Math.max(most, Files.exists(out.resolve(name)) ? Files.size(out.resolve(name)) : 0);
        }
        return most;
    }

    private void writeFails(Call call, long blocks) throws Exception {
        Path out = scratch();
        old(call, out);
        try (Program program = new Program.Start(out)
                .out(Path.of("/dev/null"))
                .through("sh", "-c", "trap '' XFSZ; ulimit -f " + blocks + "; exec \"$@\"", "sh")
                .run(call.arguments(out))) {
            int status = program.type(call.typed).status();
            count("failing writes", status);
            assertEquals(4, status, () -> call + ", " + blocks + " blocks: " + said(program));
        }
        assertWhole(call, out, true);
    }

    /** How standard output is lost. */
    private enum Lost {
        CLOSED_PIPE("closed pipes"),
        FULL_DISK("full disks under standard output"),
        /** As by {@code head -n 1}. */
        PIPE_CLOSED_LATER("pipes closed after a line");

        private final String what;

        Lost(String what) {
            this.what = what;
        }
    }

    @Test
    void standardOutputThatIsLost() throws Exception {
        int turn = 0;
        for (Call call : CALLS) {
            boolean silent = call.line.startsWith("export") && call.line.contains("--out");
            if (call.ends && !silent) {
                for (Lost how : List.of(Lost.CLOSED_PIPE, Lost.FULL_DISK)) {
                    if (FULL || turn++ % 5 == 0) {
                        lost(call, call.line, how);
                    }
                }
            }
        }
    }

    /** What runs until it is told to end does not run on where nobody sees it, and keeps what it has recorded. */
    @Test
    void standardOutputThatIsLostUnderALiveCommand() throws Exception {
        int turn = 0;
        for (Call call : CALLS) {
            if (!call.ends || !call.typed.isEmpty()) {
                // These two print at their end, or where something happens.
                boolean silent = call.line.startsWith("record") || call.line.startsWith("listen");
                String line = call.line + (silent ? " --seconds 1.5" : "");
                for (Lost how : FULL ? Lost.values() : new Lost[] {Lost.values()[turn++ % 3]}) {
                    if (!silent || how != Lost.PIPE_CLOSED_LATER) {
                        Path out = lost(call, line, how);
                        for (String name : call.named('%')) {
                            boolean recorded = name.endsWith(".jsonl");
                            assertTrue(!recorded || recording(out.resolve(name), false), () -> call + ": " + name);
                        }
                    }
                }
            }
        }
    }

    private Path lost(Call call, String line, Lost how) throws Exception {
        Path out = scratch();
        Program.Start start = new Program.Start(out);
        start = switch (how) {
            case CLOSED_PIPE -> start.intoClosedPipe();
            case FULL_DISK -> start.out(Path.of("/dev/full"));
            case PIPE_CLOSED_LATER -> start.intoPipe();
        };
        try (Program program = start.run(new Call(line).arguments(out))) {
            if (how == Lost.PIPE_CLOSED_LATER) {
                program.closeAfterFirstLine();
            }
            try {
                program.type(call.typed);
            } catch (IOException over) {
                // It has ended already, as it should.
            }
            int status = program.status();
            count(how.what, status);
            String where = line + ", " + how.what;
            assertEquals(4, status, () -> where + ": " + said(program));
            String err = program.err();
            assertEquals(
                    1,
                    err.lines()
                            .filter(told -> told.contains("cannot be written"))
                            .count(),
                    where + ": " + err);
            assertQuiet(where, err);
        }
        assertWhole(call, out, false);
        return out;
    }

    @Test
    void aFolderThatCannotBeWritten() throws Exception {
        try (SmallDisk disk = SmallDisk.mount(folder.resolve("closed"))) {
            disk.readOnly();
            for (Call call : CALLS) {
                if (!call.named('%').isEmpty()) {
                    CommandRun run = run(call, call.arguments(disk.folder()), call.typed);
                    count("read-only folders", run.status());
                    assertTrue(run.status() == 4 || run.status() == 2, () -> call + ": " + run);
                    assertQuiet(call.toString(), run.err());
                }
            }
        }
    }

    /** The disk fills up while a recording grows: what is there is whole, and the status says that it is not all. */
    @Test
    void aDiskThatFillsUpUnderARecording() throws Exception {
        for (Call call : CALLS) {
            boolean recorded = call.line.startsWith("record");
            if (recorded || FULL && call.line.startsWith("check --plan @desk.yaml --device")) {
                try (SmallDisk disk = SmallDisk.mount(folder.resolve("small-" + call.command()))) {
                    String ending = call.line.startsWith("check") ? "" : " --seconds 10";
                    Path recording = disk.folder().resolve(call.named('%').get(0));
                    Path out = scratch();
                    try (Program program =
                            new Program.Start(out).run(new Call(call.line + ending).arguments(disk.folder()))) {
                        program.await(() -> Files.exists(recording));
                        disk.fill();
                        int status = program.status();
                        count("full disks", status);
                        assertEquals(4, status, () -> call + ": " + said(program));
                        assertTrue(said(program).contains("No space left"), () -> call + ": " + said(program));
                    }
                    assertWhole(call, disk.folder(), false);
                }
            }
        }
    }

    // ---------------------------------------------------------------- signals

    @Test
    void eachSignalAtMomentsAllThroughTheRun() throws Exception {
        List<String> failures = new ArrayList<>();
        int turn = 0;
        // Most of a short run is Java's beginning: elsewhere than in the long series the first one tells how long they
        // take.
        long usual = duration(CALLS.get(0));
        for (Call call : CALLS) {
            long millis = !call.ends ? 2500 : FULL ? duration(call) : usual;
            List<String> signals = new ArrayList<>(new TreeSet<>(SIGNALS.keySet()));
            if (!FULL && !Thorough.ALL && turn % 2 == 1) {
                // Every other call; all of them on the build server.
                turn++;
                continue;
            }
            for (String signal : FULL ? signals : List.of(signals.get(turn++ % signals.size()))) {
                int moments = FULL ? 10 : 1;
                for (int i = 0; i < moments; i++) {
                    int tenth = FULL ? i : turn % 10;
                    try {
                        signal(call, signal, Math.max(1, millis * (2 * tenth + 1) / 20));
                    } catch (AssertionError failed) {
                        // The long series goes on, so that its counts are of all.
                        failures.add(failed.getMessage());
                    }
                }
            }
        }
        assertEquals(List.of(), failures);
    }

    private static long duration(Call call) throws Exception {
        Path out = scratch();
        long start = System.nanoTime();
        try (Program program = new Program.Start(out).run(call.arguments(out))) {
            program.type(call.typed).status();
        }
        return (System.nanoTime() - start) / 1_000_000;
    }

    private void signal(Call call, String signal, long afterMillis) throws Exception {
        Path out = scratch();
        old(call, out);
        String where = call + ", " + signal + " after " + afterMillis + " ms";
        try (Program program = new Program.Start(out).run(call.arguments(out))) {
            if (!call.typed.isEmpty()) {
                program.type(call.typed);
            }
            Thread.sleep(afterMillis);
            boolean ended = program.ended();
            program.signal(signal);
            if (signal.equals("PIPE") && !call.ends) {
                // Before Java has its hands on it, this one ends it, too.
                Thread.sleep(200);
                program.signal("TERM");
            }
            int status = program.status();
            if (program.out().startsWith(JAVA_NOT_STARTED)) {
                count("signals before Java had started, " + signal, status);
                return;
            }
            count((ended ? "signals too late, " : "signals, ") + signal, status);
            int number = SIGNALS.get(signal);
            boolean bySignal = status == 128 + number || signal.equals("PIPE") && !call.ends && status == 128 + 15;
            assertTrue(bySignal || call.ends && status <= 1, () -> where + ": status " + status + ", " + said(program));
            assertQuiet(where, program.err());
        }
        boolean killed = signal.equals("KILL");
        assertWhole(call, out, true, killed);
        if (killed) {
            countParts(out);
        }
    }

    // ---------------------------------------------------------------- inputs

    @Test
    void inputsThatWereCutFlippedEditedOrSwapped() throws Exception {
        Random random = new Random(14);
        int times = FULL ? 40 : 3;
        for (Call call : CALLS) {
            for (String name : call.named('@')) {
                Path victim = inputs.resolve(name);
                byte[] whole = Files.readAllBytes(victim);
                try {
                    for (int i = 0; i < times; i++) {
                        changed(call, victim, "cut", Arrays.copyOf(whole, random.nextInt(whole.length)));
                        byte[] flipped = whole.clone();
                        flipped[random.nextInt(flipped.length)] ^= (byte) (1 << random.nextInt(8));
                        changed(call, victim, "flipped", flipped);
                        changed(call, victim, "edited", edited(new String(whole, StandardCharsets.UTF_8), random));
                    }
                    for (Path other : others(victim)) {
                        changed(call, victim, "swapped", Files.readAllBytes(other));
                    }
                } finally {
                    Files.write(victim, whole);
                }
            }
        }
    }

    /** Inputs of other commands, and what no command takes. */
    private static List<Path> others(Path victim) throws IOException {
        List<Path> others = new ArrayList<>();
        try (Stream<Path> all = Files.list(inputs)) {
            all.filter(p -> !p.equals(victim)).sorted().forEach(others::add);
        }
        others.add(Files.write(folder.resolve("empty"), new byte[0]));
        others.add(Files.write(folder.resolve("binary"), new byte[] {0, -1, 10, 13, 0, 127, -128, 34, 123}));
        others.add(Path.of("docs", "plan.schema.json"));
        return others;
    }

    /** As people edit: a line lost, doubled, moved; a word of one line in another; a number that cannot be. */
    private static byte[] edited(String text, Random random) {
        List<String> lines = new ArrayList<>(text.lines().toList());
        int at = random.nextInt(lines.size());
        int other = random.nextInt(lines.size());
        switch (random.nextInt(6)) {
            case 0 -> lines.remove(at);
            case 1 -> lines.add(other, lines.get(at));
            case 2 -> java.util.Collections.swap(lines, at, other);
            case 3 -> lines.set(at, lines.get(at).replaceAll("\\d+", "99999999999999999999"));
            case 4 -> lines.set(at, lines.get(at).replaceAll("\\d+", "-1"));
            default -> {
                String[] from = lines.get(other).split("(?<=\\W)|(?=\\W)");
                String[] words = lines.get(at).split("(?<=\\W)|(?=\\W)");
                words[random.nextInt(words.length)] = from[random.nextInt(from.length)];
                lines.set(at, String.join("", words));
            }
        }
        return String.join("\n", lines).getBytes(StandardCharsets.UTF_8);
    }

    private void changed(Call call, Path victim, String how, byte[] bytes) throws Exception {
        Files.write(victim, bytes);
        Path out = scratch();
        if (!call.ends) {
            // Only whether it begins: what it then does with a box is no matter of the input.
            return;
        }
        CommandRun run = run(call, call.arguments(out), call.typed);
        count("inputs " + how, run.status());
        String where = call + ", " + victim.getFileName() + " " + how;
        // What a watch noticed is asked of the box: where an input has become one with something to ask, none is here.
        boolean noBox = run.status() == 3 && run.err().contains("No game controller is connected");
        if (run.status() > 2 && !noBox) {
            Path kept = Files.write(Path.of("target", "fault-" + victim.getFileName()), bytes);
            throw new AssertionError(where + ", kept as " + kept + ": " + run);
        }
        assertQuiet(where, run.err());
        assertWhole(call, out, false);
        delete(out);
    }

    // ---------------------------------------------------------------- what must hold

    private static CommandRun run(Call call, List<String> arguments, String typed) throws Exception {
        InputStream before = System.in;
        System.setIn(new ByteArrayInputStream(typed.getBytes(StandardCharsets.UTF_8)));
        try {
            return CompletableFuture.supplyAsync(() -> CommandRun.of(arguments.toArray(String[]::new)))
                    .get(120, TimeUnit.SECONDS);
        } catch (java.util.concurrent.TimeoutException hangs) {
            throw new AssertionError(call + " does not end", hangs);
        } finally {
            System.setIn(before);
        }
    }

    private static void assertQuiet(String where, String err) {
        assertFalse(
                err.contains("\tat ") || err.contains("Exception") || err.contains("mistake of its own"),
                () -> where + ": " + err);
    }

    private static String said(Program program) {
        try {
            return program.err() + program.out();
        } catch (IOException problem) {
            return problem.toString();
        }
    }

    private static final String OLD = "what was there before";

    /** Something is there already where a call writes over it. */
    private static void old(Call call, Path out) throws IOException {
        if (call.line.contains("--force")) {
            for (String name : call.named('%')) {
                Files.writeString(out.resolve(name), OLD);
            }
        }
    }

    private static void assertWhole(Call call, Path out, boolean old) throws IOException {
        assertWhole(call, out, old, false);
    }

    /** A file that was being written when the program ended; hidden, and of no harm. */
    private static void countParts(Path out) throws IOException {
        try (Stream<Path> files = Files.list(out)) {
            if (files.anyMatch(p -> p.toString().endsWith(".part"))) {
                COUNTS.merge("hidden parts left by KILL", 1, Integer::sum);
            }
        }
    }

    /** @param dead killed: then a hidden part may be left, which {@link #countParts} counts */
    private static void assertWhole(Call call, Path out, boolean old, boolean dead) throws IOException {
        for (String name : call.named('%')) {
            Path file = out.resolve(name);
            boolean overwrites = call.line.contains("--force");
            assertTrue(!old || !overwrites || Files.exists(file), () -> call + ": " + name + " is lost");
            if (Files.exists(file)
                    && !(old
                            && overwrites
                            && Files.readString(file, StandardCharsets.ISO_8859_1)
                                    .equals(OLD))) {
                assertTrue(
                        whole(file),
                        () -> call + ": " + name + " is half there, "
                                + file.toFile().length() + " bytes");
            }
        }
        try (Stream<Path> files = Files.list(out)) {
            assertEquals(
                    List.of(),
                    files.map(p -> p.getFileName().toString())
                            .filter(n -> n.endsWith(".part") && !dead)
                            .toList(),
                    call::toString);
        }
    }

    private static boolean whole(Path file) throws IOException {
        String name = file.getFileName().toString();
        String text = Files.readString(file, StandardCharsets.ISO_8859_1);
        if (name.endsWith(".jsonl")) {
            return recording(file, name.equals("sim.jsonl"));
        }
        if (name.endsWith(".yaml")) {
            return PlanReader.read(Files.readString(file), name).plan().isPresent();
        }
        return name.endsWith(".html")
                ? text.strip().endsWith("</html>")
                : name.endsWith(".pdf")
                        ? text.strip().endsWith("%%EOF")
                        : name.endsWith(".c") ? text.strip().endsWith("}") : text.length() > 100;
    }

    /** A recording may stop anywhere, but every line of it is whole but for the last. */
    private static boolean recording(Path file, boolean toItsEnd) throws IOException {
        try (RecordingReader reader = RecordingReader.open(file)) {
            Object last = null;
            for (var entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                last = entry.get();
            }
            return reader.notes().stream().allMatch(n -> n.contains("torn off"))
                    && (!toItsEnd || last instanceof ringout.journal.Entry.Ended);
        } catch (JournalException none) {
            return false;
        }
    }

    private static Path scratch() throws IOException {
        return Files.createTempDirectory(folder, "run");
    }

    private static void delete(Path out) throws IOException {
        try (Stream<Path> files = Files.walk(out)) {
            for (Path file : files.sorted(java.util.Comparator.reverseOrder()).toList()) {
                Files.delete(file);
            }
        }
    }
}
