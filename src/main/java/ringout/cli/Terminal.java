package ringout.cli;

import java.io.PrintWriter;
import java.util.Locale;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.check.Instruction;
import ringout.check.Prompt;

/**
 * A running check in a terminal: one line that is rewritten, findings above it. Where the output is no terminal, plain
 * lines, one per prompt and finding.
 */
final class Terminal {
    private static final int WIDTH = 79;

    private final PrintWriter out;
    private final boolean live;
    private @Nullable Prompt shown;
    private int findings;
    private boolean open;

    Terminal(PrintWriter out) {
        this(out, Keyboard.present());
    }

    /** @param live true where lines can be rewritten */
    Terminal(PrintWriter out, boolean live) {
        this.out = out;
        this.live = live;
    }

    /** Shows where the check stands; prints nothing where nothing is new. */
    synchronized void show(SessionView view) {
        view.check().ifPresent(check -> show(check, view.message()));
    }

    /** The same, without a session. */
    synchronized void show(CheckView check, String message) {
        for (; findings < check.findings().size(); findings++) {
            Finding finding = check.findings().get(findings);
            line("! " + finding.evidence());
        }
        // A finding may become another when later steps explain it: an odd input turns out to be half of a swap.
        findings = check.findings().size();
        Prompt prompt = check.prompt();
        if (prompt == shown) {
            return;
        }
        shown = prompt;
        String text = String.format(
                Locale.ROOT,
                "[%d/%d] %s%s%s",
                Math.min(check.step(), check.total()),
                check.total(),
                prompt.sentence(),
                prompt.detail().isEmpty() ? "" : "  (" + prompt.detail().strip() + ")",
                message.isEmpty() ? "" : "  " + message);
        if (!live) {
            line(text);
            return;
        }
        String fitting = text.length() > WIDTH ? text.substring(0, WIDTH - 1) + "…" : text;
        out.print("\r" + fitting + " ".repeat(WIDTH - fitting.length()));
        out.flush();
        open = true;
    }

    private void line(String text) {
        if (open) {
            out.print("\r" + " ".repeat(WIDTH) + "\r");
            open = false;
        }
        out.println(text);
        out.flush();
    }

    /** Shows a line of its own. */
    synchronized void say(String text) {
        line(text);
    }

    /** Asks for an answer on the same line. */
    synchronized void ask(String text) {
        if (open) {
            line("");
        }
        out.print(text);
        out.flush();
    }

    /** Leaves the line that is rewritten. */
    synchronized void end() {
        if (open) {
            out.println();
            open = false;
        }
        out.println();
        out.flush();
    }

    /** The newest lines, for whoever asks something. */
    private final BlockingQueue<String> lines = new LinkedBlockingQueue<>(1);

    private void typed(String line) {
        lines.clear();
        lines.offer(line);
    }

    /** Asks, and waits for a line; empty where there is no keyboard, or nothing was typed. */
    String answer(String question) throws InterruptedException {
        if (!Keyboard.present()) {
            return "";
        }
        lines.clear();
        ask(question);
        return lines.take();
    }

    /** Takes one-letter commands from the keyboard, on a thread of its own; nothing where there is no keyboard. */
    void commands(Consumer<Instruction> command, Runnable quit) {
        if (!Keyboard.present()) {
            return;
        }
        Keyboard.follow(
                line -> {
                    switch (line.strip().toLowerCase(Locale.ROOT)) {
                        case "s" -> command.accept(Instruction.SKIP);
                        case "r" -> command.accept(Instruction.REPEAT);
                        case "u" -> command.accept(Instruction.UNDO);
                        case "w" -> command.accept(Instruction.WRONG_PRESS);
                        case "p" -> command.accept(Instruction.PAUSE);
                        case "g" -> command.accept(Instruction.GO_ON);
                        case "n" -> command.accept(Instruction.NOTHING_CAME);
                        case "q" -> quit.run();
                        default -> {}
                    }
                    typed(line.strip());
                },
                () -> typed(""));
    }
}
