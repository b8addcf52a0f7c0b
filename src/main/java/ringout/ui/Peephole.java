package ringout.ui;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javafx.application.Platform;
import javafx.collections.ListChangeListener;
import javafx.event.EventHandler;
import javafx.geometry.Bounds;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.CheckBox;
import javafx.scene.control.Labeled;
import javafx.scene.control.ScrollPane;
import javafx.scene.control.TextInputControl;
import javafx.scene.control.ToggleButton;
import javafx.scene.input.InputEvent;
import javafx.scene.input.KeyEvent;
import javafx.scene.input.MouseEvent;
import javafx.scene.text.Text;
import javafx.stage.Window;
import ringout.ui.background.WindowThread;

/**
 * Lets a test look at the window from another process, where the toolkit offers it no accessibility to read: what is
 * shown, where on the screen, in which state. It cannot do anything; tests work the window by mouse and keyboard.
 *
 * <p>Open only where the program is started with {@code -Dringout.peephole=PORT}, and only to this computer. Every line
 * received is answered by one line for each visible node with an id or words, and an empty line:
 * {@code id, type, x, y, width, height, state, words}, parted by tabs; x and y are of the middle, in pixels of the screen.
 * To {@code responses} it answers with a line for each press of a mouse button or key so far: how many microseconds it was
 * from when the toolkit gave it to a window until all windows were laid out for the next frame, and, after a space, on what.
 * To {@code start} it answers when the first frame was laid out, and when the first that tells which boxes there are, by the
 * clock of the computer in milliseconds: {@code frame 1764250000000}, {@code list 1764250000100}.
 * To {@code clicks} it answers with a line for each click so far: {@code click}, then ids and words of everything that was
 * under the mouse both when its button went down and when it came up, parted by tabs.
 */
final class Peephole {
    /** With its middle that near the edge of a part that scrolls, or nearer, a node is not in view, px. */
    private static final double EDGE = 4;

    private static final String PORT = "ringout.peephole";

    private final List<String> responses = new ArrayList<>();
    /** When the press that waits for its frame was given to a window; 0 for none. */
    private long given;
    /** When the last window of its frame was laid out; 0 for none yet. */
    private long laidOut;

    private String on = "";
    private final List<String> started = new ArrayList<>();
    private final List<String> clicks = new ArrayList<>();
    /** What was under the mouse when its button went down. */
    private List<Node> pressed = List.of();

    private Peephole() {}

    /** Opens it where the program was started so. */
    static void openIfAsked(Scene main) {
        Integer port = Integer.getInteger(PORT);
        if (port == null) {
            return;
        }
        try {
            Peephole peephole = new Peephole();
            peephole.time();
            peephole.begin(main);
            // Closed by the end of the program only.
            ServerSocket server = new ServerSocket(port, 4, InetAddress.getLoopbackAddress());
            Thread thread = new Thread(() -> peephole.serve(server), "ringout-peephole");
            thread.setDaemon(true);
            thread.start();
        } catch (IOException taken) {
            throw new UncheckedIOException("cannot listen at " + port, taken);
        }
    }

    /** Times what every window does with clicks and keys; to be called on the window's thread. */
    private void time() {
        Window.getWindows().forEach(this::time);
        Window.getWindows().addListener((ListChangeListener<Window>) change -> {
            while (change.next()) {
                change.getAddedSubList().forEach(this::time);
            }
        });
    }

    private void time(Window window) {
        Scene scene = window.getScene();
        if (scene == null) {
            return;
        }
        EventHandler<InputEvent> press = event -> {
            if (given == 0) {
                given = System.nanoTime();
                on = event.getEventType() + " " + event.getTarget();
                Platform.requestNextPulse();
            }
        };
        scene.addEventFilter(MouseEvent.MOUSE_PRESSED, press);
        scene.addEventFilter(MouseEvent.MOUSE_RELEASED, press);
        scene.addEventFilter(MouseEvent.MOUSE_PRESSED, event -> pressed = under(event));
        scene.addEventFilter(MouseEvent.MOUSE_RELEASED, event -> {
            List<Node> released = under(event);
            clicks.add(pressed.stream()
                    .filter(released::contains)
                    .flatMap(node -> Stream.of(node.getId() == null ? "" : node.getId(), words(node)))
                    .filter(said -> !said.isEmpty())
                    .map(Peephole::line)
                    .collect(Collectors.joining("\t", "click\t", "")));
        });
        scene.addEventFilter(KeyEvent.KEY_PRESSED, press);
        scene.addPostLayoutPulseListener(this::laidOut);
    }

    private static List<Node> under(MouseEvent event) {
        return Stream.<Node>iterate(event.getPickResult().getIntersectedNode(), Objects::nonNull, Node::getParent)
                .toList();
    }

    /** Whatever window was pressed at, what that did may show in any: the press counts until the last of them is laid out. */
    private void laidOut() {
        if (given != 0) {
            boolean first = laidOut == 0;
            laidOut = System.nanoTime();
            if (first) {
                WindowThread.soon(this::answered);
            }
        }
    }

    private void answered() {
        responses.add((laidOut - given) / 1_000 + " " + on.replace('\n', ' '));
        given = 0;
        laidOut = 0;
    }

    private void begin(Scene main) {
        main.addPostLayoutPulseListener(new Runnable() {
            @Override
            public void run() {
                long now = System.currentTimeMillis();
                if (started.isEmpty()) {
                    started.add("frame " + now);
                }
                if (main.lookup("#looking") == null) {
                    started.add("list " + now);
                    main.removePostLayoutPulseListener(this);
                }
            }
        });
    }

    private void serve(ServerSocket server) {
        while (!server.isClosed()) {
            try (Socket socket = server.accept();
                    BufferedReader asked =
                            new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
                    Writer answer = new OutputStreamWriter(socket.getOutputStream(), StandardCharsets.UTF_8)) {
                for (String line = asked.readLine(); line != null; line = asked.readLine()) {
                    answer.write(onWindow(asked(line)));
                    answer.write('\n');
                    answer.flush();
                }
            } catch (IOException gone) {
                // Whoever looked has looked away.
            }
        }
    }

    private Supplier<List<String>> asked(String line) {
        return switch (line) {
            case "responses" -> () -> List.copyOf(responses);
            case "start" -> () -> List.copyOf(started);
            case "clicks" -> () -> List.copyOf(clicks);
            default -> Peephole::look;
        };
    }

    private static List<String> look() {
        List<String> lines = new ArrayList<>();
        for (Window window : List.copyOf(Window.getWindows())) {
            if (window.isShowing() && window.getScene() != null) {
                list(window.getScene().getRoot(), lines);
            }
        }
        return lines;
    }

    private static String onWindow(Supplier<List<String>> lines) throws IOException {
        CompletableFuture<String> seen = new CompletableFuture<>();
        WindowThread.soon(() -> {
            try {
                seen.complete(lines.get().stream().map(line -> line + "\n").collect(Collectors.joining()));
            } catch (RuntimeException mistake) {
                seen.completeExceptionally(mistake);
            }
        });
        try {
            return seen.get();
        } catch (InterruptedException | ExecutionException failed) {
            throw new IOException(failed);
        }
    }

    private static void list(Node node, List<String> lines) {
        if (!node.isVisible()) {
            return;
        }
        String words = words(node);
        Bounds at = node.localToScreen(node.getBoundsInLocal());
        if (at != null && (node.getId() != null || !words.isEmpty() || node instanceof ScrollPane)) {
            lines.add(String.join(
                    "\t",
                    node.getId() == null ? "" : node.getId(),
                    node.getClass().getSimpleName(),
                    figure(at.getCenterX()),
                    figure(at.getCenterY()),
                    figure(at.getWidth()),
                    figure(at.getHeight()),
                    state(node, at),
                    line(words)));
        }
        if (node instanceof Parent parent) {
            parent.getChildrenUnmodifiable().forEach(child -> list(child, lines));
        }
    }

    private static String line(String words) {
        return words.replace('\t', ' ').replace('\n', ' ');
    }

    private static String figure(double pixels) {
        return Long.toString(Math.round(pixels));
    }

    private static String words(Node node) {
        if (node instanceof Labeled labeled) {
            return labeled.getText() == null ? "" : labeled.getText();
        } else if (node instanceof TextInputControl input) {
            return input.getText() == null ? "" : input.getText();
        } else if (node instanceof Text text) {
            return text.getText();
        }
        return node.getAccessibleText() == null ? "" : node.getAccessibleText();
    }

    /** True where a click hits: on the edge itself it does not. */
    private static boolean inside(Bounds pane, double x, double y) {
        return pane.contains(x, y - EDGE) && pane.contains(x, y + EDGE);
    }

    private static String state(Node node, Bounds at) {
        List<String> states = new ArrayList<>();
        for (Node above = node.getParent(); above != null; above = above.getParent()) {
            if (above instanceof ScrollPane pane
                    && !inside(pane.localToScreen(pane.getBoundsInLocal()), at.getCenterX(), at.getCenterY())) {
                states.add("scrolled-away");
                break;
            }
        }
        if (node.isDisabled()) {
            states.add("disabled");
        }
        if (node.isFocused()) {
            states.add("focused");
        }
        if (node instanceof ToggleButton toggle && toggle.isSelected()
                || node instanceof CheckBox box && box.isSelected()) {
            states.add("selected");
        }
        return String.join(",", states);
    }
}
