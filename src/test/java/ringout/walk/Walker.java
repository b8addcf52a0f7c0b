package ringout.walk;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import javax.imageio.ImageIO;

/** Ringout as a process of its own, as somebody starts it, worked by mouse and keyboard and looked at from outside. */
public final class Walker implements AutoCloseable {
    private static final int PATIENCE_SECONDS = 60;
    private static final int POLL_MILLIS = 100;
    /** As the peephole has it, px. */
    private static final int EDGE = 4;
    /**
     * What the Java machine says of itself where it is told options by the environment; and what GTK says of its own dialog
     * for files when a key closes it before the key is let go.
     */
    private static final Pattern HARMLESS = Pattern.compile("|Picked up JAVA_TOOL_OPTIONS.*"
            + "|.*Gtk-CRITICAL.*gtk_widget_event: assertion 'WIDGET_REALIZED_FOR_EVENT.*");

    /** Something the window shows; the place is its middle, in pixels of the screen. */
    public record Shown(String id, String type, int x, int y, int width, int height, String state, String words) {
        boolean disabled() {
            return state.contains("disabled");
        }

        boolean selected() {
            return state.contains("selected");
        }

        boolean focused() {
            return state.contains("focused");
        }
    }

    final Desktop desktop;
    final Path home;
    private final Path pictures;
    private final Process program;
    private final Path errors;
    private final Socket eye;
    private final Writer ask;
    private final BufferedReader answer;
    private final List<String> command;
    private int picture;
    private int narrowest = Integer.MAX_VALUE;
    private Path last;

    /**
     * Starts it and waits until its window is there.
     *
     * @param command  how somebody would start it
     * @param home     of the one who starts it
     * @param pictures where {@link #shoot} puts them
     */
    public Walker(Desktop desktop, List<String> command, Path home, Path pictures)
            throws IOException, InterruptedException {
        this(desktop, command, home, pictures, true);
    }

    /** @param measured whether the window's width is looked at as it comes up, which takes time of its own */
    Walker(Desktop desktop, List<String> command, Path home, Path pictures, boolean measured)
            throws IOException, InterruptedException {
        this.desktop = desktop;
        this.command = command;
        this.home = home;
        this.pictures = Files.createDirectories(pictures);
        int port;
        try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            port = free.getLocalPort();
        }
        errors = Files.createTempFile(home, "stderr", ".txt");
        ProcessBuilder start = desktop.with(new ProcessBuilder(command))
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .redirectError(errors.toFile());
        start.environment().put("HOME", home.toString());
        start.environment().keySet().removeIf(name -> name.startsWith("XDG_"));
        start.environment().put("GSETTINGS_BACKEND", "memory");
        // Without a graphics card, so that every machine draws alike.
        start.environment()
                .put(
                        "JAVA_TOOL_OPTIONS",
                        "-Duser.home=" + home + " -Dringout.peephole=" + port + " -Dprism.order=sw -Duser.language=en");
        program = start.start();
        eye = look(port, measured);
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(2);
        while (measured && System.nanoTime() < until) {
            measure();
        }
        ask = new OutputStreamWriter(eye.getOutputStream(), StandardCharsets.UTF_8);
        answer = new BufferedReader(new InputStreamReader(eye.getInputStream(), StandardCharsets.UTF_8));
    }

    private Socket look(int port, boolean measured) throws InterruptedException, IOException {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
        while (true) {
            try {
                return new Socket(InetAddress.getLoopbackAddress(), port);
            } catch (IOException notYet) {
                if (!program.isAlive() || System.nanoTime() > until) {
                    throw new AssertionError("no window: " + Files.readString(errors));
                }
                if (measured) {
                    measure();
                } else {
                    Thread.sleep(POLL_MILLIS);
                }
            }
        }
    }

    /** When its first frame was laid out, and where it lists boxes, when the list of them was; by this computer's clock. */
    Map<String, Long> start() {
        for (int i = 0; i < 100; i++) {
            pause(POLL_MILLIS);
            Map<String, Long> told = new TreeMap<>();
            for (String line : ask("start")) {
                String[] parts = line.split(" ");
                told.put(parts[0], Long.valueOf(parts[1]));
            }
            if (told.containsKey("list") || !told.isEmpty() && i > 10) {
                return told;
            }
        }
        throw new AssertionError("it shows nothing: " + errors());
    }

    /** The window as it comes up: at no moment narrower than it will be. */
    private void measure() throws IOException, InterruptedException {
        desktop.width().ifPresent(width -> narrowest = Math.min(narrowest, width));
        Thread.sleep(POLL_MILLIS / 10);
    }

    /** Of its process. */
    long pid() {
        return program.pid();
    }

    /** How narrow the window ever was while it came up, in pixels. */
    int narrowest() {
        return narrowest;
    }

    private List<String> ask(String question) {
        try {
            ask.write(question + "\n");
            ask.flush();
            List<String> told = new ArrayList<>();
            for (String line = answer.readLine(); line != null && !line.isEmpty(); line = answer.readLine()) {
                told.add(line);
            }
            return told;
        } catch (IOException gone) {
            throw new AssertionError("it does not answer any more: " + errors(), gone);
        }
    }

    /** Everything that is shown now. */
    List<Shown> shown() {
        List<Shown> all = new ArrayList<>();
        for (String line : ask("look")) {
            String[] p = line.split("\t", -1);
            all.add(new Shown(
                    p[0],
                    p[1],
                    Integer.parseInt(p[2]),
                    Integer.parseInt(p[3]),
                    Integer.parseInt(p[4]),
                    Integer.parseInt(p[5]),
                    p[6],
                    p[7]));
        }
        return all;
    }

    /** A press of a mouse button or key. */
    public record Response(long micros, String on) {}

    /** How long each press of a mouse button or key took so far until its frame was laid out, the slowest last. */
    public List<Response> responses() {
        return ask("responses").stream()
                .map(line -> line.split(" ", 2))
                .map(parts -> new Response(Long.parseLong(parts[0]), parts[1]))
                .sorted(Comparator.comparingLong(Response::micros))
                .toList();
    }

    Optional<Shown> find(Predicate<Shown> which) {
        return shown().stream()
                .filter(which)
                .filter(s -> s.width > 0 && s.height > 0)
                .findFirst();
    }

    Optional<Shown> find(String id) {
        return find(s -> s.id.equals(id));
    }

    /** Everything that is said, one text a line; a text in a text once. */
    public String words() {
        return shown().stream()
                .map(Shown::words)
                .filter(said -> !said.isEmpty())
                .distinct()
                .collect(Collectors.joining("\n", "", "\n"));
    }

    Shown await(String what, Predicate<Shown> which) {
        return await(what, which, PATIENCE_SECONDS);
    }

    public Shown await(String what, Predicate<Shown> which, int seconds) {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(seconds);
        while (true) {
            Optional<Shown> found = find(which);
            if (found.isPresent()) {
                return found.get();
            }
            if (System.nanoTime() > until) {
                shoot("missing");
                throw new AssertionError("never shown: " + what + "; shown is\n" + words() + "\n" + errors());
            }
            pause(POLL_MILLIS);
        }
    }

    void awaitGone(String what, Predicate<Shown> which) {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
        while (find(which).isPresent()) {
            assertTrue(System.nanoTime() < until, () -> "still shown: " + what + "; shown is\n" + words());
            pause(POLL_MILLIS);
        }
    }

    public Shown await(String id) {
        return await(id, s -> s.id.equals(id));
    }

    public Shown awaitWords(String part) {
        return await("\"" + part + "\"", s -> s.words.contains(part));
    }

    /** Clicks on what has that id, once it can be clicked. */
    public void click(String id) {
        click(id, s -> s.id.equals(id) && !s.disabled());
    }

    /** Clicks on what says that. */
    public void clickOn(String words) {
        click(words, s -> s.words.equals(words) && !s.disabled());
    }

    /**
     * Clicks until it was that which was clicked: where it moved away under the mouse, it is clicked once more, as a person
     * would. Where something else took the click, the walk is soon lost, and this has told why.
     */
    private void click(String said, Predicate<Shown> which) {
        for (int misses = 0; ; misses++) {
            Shown at = still(reach(await(said, which)));
            int before = ask("clicks").size();
            desktop.click(at.x, at.y);
            pause(POLL_MILLIS);
            List<String> clicks = ask("clicks");
            for (int i = 0; i < 100 && clicks.size() == before; i++) {
                pause(POLL_MILLIS);
                clicks = ask("clicks");
            }
            String hit = clicks.size() == before ? "no window" : clicks.get(clicks.size() - 1);
            // Words in a menu let the mouse through to what they stand on, which has none.
            if (List.of(hit.split("\t", -1)).contains(said) || at.type.equals("MenuLabel")) {
                return;
            }
            System.out.printf(Locale.ROOT, "clicked at %s, which was %s; hit: %s%n", said, at, hit);
            assertTrue(misses < 2, () -> "clicked three times at " + said + " and hit " + hit);
        }
    }

    /** Where it stays: what is laid out anew is clicked once it has come to rest, as a person would. */
    private Shown still(Shown seen) {
        Shown at = seen;
        // On a busy computer a page that is just shown rests for a moment before it is laid out once more.
        int rested = 0;
        for (int i = 0; i < 50 && rested < 4; i++) {
            pause(POLL_MILLIS / 2);
            Shown before = at;
            at = find(s -> s.id.equals(before.id) && s.words.equals(before.words) && s.type.equals(before.type))
                    .orElse(before);
            rested = at.x == before.x && at.y == before.y ? rested + 1 : 0;
        }
        return at;
    }

    /** Brings it into view with the wheel, where it is in a part that scrolls. */
    Shown reach(Shown wanted) {
        Shown at = wanted;
        for (int i = 0; i < 60 && at.state.contains("scrolled-away"); i++) {
            Shown target = at;
            // The innermost: a page may scroll as a whole around it.
            Shown pane = shown().stream()
                    .filter(s -> s.type.contains("ScrollPane")
                            && s.width > 0
                            && s.height > 0
                            && !s.state.contains("scrolled-away")
                            && Math.abs(s.x - target.x) <= s.width / 2
                            && Math.abs(s.y - target.y) > s.height / 2 - EDGE)
                    .min(Comparator.comparingInt(s -> s.width * s.height))
                    .orElseThrow(() -> new AssertionError("nothing scrolls to " + target));
            desktop.wheel(pane.x, pane.y, at.y > pane.y);
            pause(POLL_MILLIS);
            at = find(s -> s.id.equals(target.id) && s.words.equals(target.words))
                    .orElse(at);
        }
        return at;
    }

    /**
     * Answers a dialog for a file that has that title.
     *
     * @return when Return was pressed, as {@link System#nanoTime} has it
     */
    public long file(String title, Path path) {
        try {
            desktop.fileDialog(title);
        } catch (AssertionError missing) {
            shoot("missing");
            List<String> clicks = ask("clicks");
            throw new AssertionError(
                    missing.getMessage() + "; the last click hit " + clicks.get(clicks.size() - 1) + "; shown is\n"
                            + words() + errors(),
                    missing);
        }
        pause(500);
        desktop.key("ctrl+a");
        // The first letter may open the field to type in, which then misses the next.
        String typed = path.toString();
        desktop.type(typed.substring(0, 1));
        pause(600);
        desktop.type(typed.substring(1));
        pause(300);
        desktop.key("Return");
        return System.nanoTime();
    }

    /** A picture of the screen, numbered in the order of the walk. */
    public void shoot(String name) {
        pause(300);
        last = pictures.resolve(String.format(Locale.ROOT, "%02d-%s.png", ++picture, name));
        desktop.shoot(last);
    }

    /** The same, to be looked at. */
    BufferedImage see(String name) throws IOException {
        shoot(name);
        return ImageIO.read(last.toFile());
    }

    /**
     * Runs the same program as a command in the terminal.
     *
     * @return what it prints
     */
    String run(String... arguments) throws IOException, InterruptedException {
        List<String> line = new ArrayList<>(command);
        line.addAll(List.of(arguments));
        Path said = Files.createTempFile(home, "stdout", ".txt");
        Path complained = Files.createTempFile(home, "stderr", ".txt");
        ProcessBuilder start =
                new ProcessBuilder(line).redirectOutput(said.toFile()).redirectError(complained.toFile());
        start.environment().put("HOME", home.toString());
        start.environment().keySet().removeIf(name -> name.startsWith("XDG_"));
        Process process = start.start();
        if (!process.waitFor(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
            process.destroyForcibly();
            throw new AssertionError(line + " does not end");
        }
        // 1 says that something was found.
        if (process.exitValue() > 1 || Files.size(complained) > 0) {
            throw new AssertionError(line + " ends with " + process.exitValue() + ": " + Files.readString(complained));
        }
        return Files.readString(said);
    }

    public static void pause(int millis) {
        try {
            Thread.sleep(millis);
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
            throw new AssertionError(ended);
        }
    }

    /** What it printed on stderr: nothing in a good program. */
    public String errors() {
        try {
            StringBuilder said = new StringBuilder();
            for (String line : Files.readAllLines(errors)) {
                if (!HARMLESS.matcher(line).matches()) {
                    said.append(line).append('\n');
                }
            }
            return said.toString();
        } catch (IOException problem) {
            throw new AssertionError(problem);
        }
    }

    @Override
    public void close() {
        program.destroy();
        try {
            if (!program.waitFor(20, TimeUnit.SECONDS)) {
                program.destroyForcibly();
                throw new AssertionError("it does not end when it is told to");
            }
            eye.close();
        } catch (IOException closed) {
            // It has ended.
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
        }
    }
}
