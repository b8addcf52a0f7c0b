package ringout.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.LearnSession;
import ringout.bench.Mailbox;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.files.FileTrouble;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.learn.LearnView;
import ringout.learn.LearnView.Candidate;
import ringout.learn.LearnView.Stage;
import ringout.plan.Control;
import ringout.plan.LearnedBox;
import ringout.plan.NewBox;
import ringout.words.Texts;

/** Makes a plan of a box that has none, from what its controls do. */
@Command(name = "learn", mixinStandardHelpOptions = true, description = "help.learn", footer = "help.learn.more")
final class LearnCommand implements Callable<Integer> {
    private static final String STOP = "q";
    private static final long ANSWER_NANOS = 10_000_000L;

    @ParentCommand
    private Ringout root;

    @Option(
            names = "--device",
            paramLabel = "${bundle:label.box}",
            defaultValue = "",
            descriptionKey = "help.option.device")
    private String device;

    @Option(names = "--out", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.learn.out")
    private Path out;

    @Mixin
    private JsonOutput output;

    private final TypedAhead typed = new TypedAhead();

    @SuppressWarnings("NullAway.Init") // call() begins with it
    private PrintWriter say;

    @SuppressWarnings("NullAway.Init") // call() begins with it
    private DeviceInfo box;

    /** The controls that are in the file. */
    private List<Control> saved = List.of();

    private String unsaved = "";

    @Override
    public Integer call() throws DeviceException {
        say = output.talk();
        LearnedBox.Learned before = before();
        DeviceCatalog catalog = root.boxes();
        box = ChosenBox.of(catalog, device, output::note);
        if (!before.controls().isEmpty() && !before.box().equals(LearnSession.planned(box))) {
            throw new BadInput(Texts.say("learn.other-box", out, before.box().name(), box.name()));
        }
        saved = before.controls();
        Mailbox<LearnView> views = new Mailbox<>(root.time());
        LearnView learned;
        try (LearnSession session = open(catalog, before, views)) {
            typed.read();
            say.println(box.describe() + ": "
                    + (saved.isEmpty() ? Texts.say("learn.begin") : Texts.say("learn.goes-on", out, saved.size())));
            try (OnSignal signal = OnSignal.run(() -> ended(session))) {
                learned = converse(session, views);
            }
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
        if (learned.learned().isEmpty() && !output.lost()) {
            throw new BadInput(Texts.say("learn.nothing"));
        }
        save(learned);
        if (!unsaved.isEmpty()) {
            say.println(LearnSession.yaml(box, learned));
            throw new FailedOutput(Texts.say("out.failed", out, unsaved), null);
        }
        if (output.asJson()) {
            output.print(document(learned));
        } else {
            say.println(Texts.say("learn.wrote", out, learned.learned().size()));
        }
        return ExitCode.OK.status();
    }

    /** What the file holds from before, untouched since; refuses at once what could not be written at the end. */
    private LearnedBox.Learned before() {
        OutFile.tryPlace(out);
        if (!Files.exists(out)) {
            return LearnedBox.Learned.NOTHING;
        }
        Optional<LearnedBox.Learned> learned = Optional.empty();
        try {
            learned = LearnedBox.read(SmallFile.text(out, SmallFile.PLAN));
        } catch (IOException notOurs) {
            // As any other file.
        }
        return learned.orElseThrow(() -> new BadInput(Texts.say("learn.there", out)));
    }

    private LearnSession open(DeviceCatalog catalog, LearnedBox.Learned before, Mailbox<LearnView> views)
            throws DeviceException {
        try {
            return LearnSession.open(catalog, box, before, views);
        } catch (IllegalArgumentException lacks) {
            throw new BadInput(Texts.say("learn.other-inputs", out, String.valueOf(lacks.getMessage())), lacks);
        }
    }

    /** A signal: what was named is in the file, or printed where it cannot be. */
    private void ended(LearnSession session) {
        LearnView view = session.view();
        if (view.learned().isEmpty()) {
            return;
        }
        save(view);
        say.println();
        say.println(
                unsaved.isEmpty() ? Texts.say("learn.left", out, view.learned().size()) : LearnSession.yaml(box, view));
        say.flush();
    }

    /** Keeps what was named so far, so that nothing ends it: no Ctrl-C, no kill; a full disk is tried again. */
    private synchronized void save(LearnView view) {
        if (view.learned().equals(saved)) {
            return;
        }
        try {
            if (view.learned().isEmpty()) {
                Files.deleteIfExists(out);
            } else {
                WholeFile.write(
                        out,
                        saved.isEmpty() ? WholeFile.Existing.REFUSE : WholeFile.Existing.REPLACE,
                        LearnSession.yaml(box, view));
            }
            saved = view.learned();
            unsaved = "";
        } catch (IOException problem) {
            if (unsaved.isEmpty()) {
                say.println(Texts.say("out.failed", out, FileTrouble.why(problem)));
            }
            unsaved = FileTrouble.why(problem);
        }
    }

    private LearnView converse(LearnSession session, Mailbox<LearnView> views) throws InterruptedException {
        boolean terminal = Keyboard.present();
        LearnView shown = null;
        while (true) {
            LearnView view = views.take(200).orElse(session.view());
            if (view.stage() != Stage.NAME
                    && (shown == null || !view.sentence().equals(shown.sentence()) || view.stage() != shown.stage())) {
                say.println(view.sentence().text()
                        + (view.stage() == Stage.WORKING
                                ? ""
                                : ".  " + view.detail().text()));
                say.flush();
            }
            shown = view;
            save(view);
            if (!session.trouble().isEmpty()) {
                say.println(session.trouble());
                return view;
            }
            if (output.lost()) {
                return view; // nobody sees what is asked
            }
            if (view.stage() == Stage.NAME) {
                if (!name(session, view)) {
                    return view;
                }
                // Until the answer has been taken, the question stands.
                while (session.view() == view) {
                    root.time().park(ANSWER_NANOS);
                }
                views.take(0);
            } else if (terminal) {
                Optional<String> line = typed.poll();
                if (line.filter(LearnCommand::ends).isPresent()) {
                    return view;
                }
                if (line.filter(String::isEmpty).isPresent()) {
                    session.say((learn, now) -> learn.enough(now));
                }
            } else if (typed.peek().filter(LearnCommand::ends).isPresent()) {
                return view; // from a file or a pipe, and nothing more will be named
            }
        }
    }

    private static boolean ends(String line) {
        return line.equals(STOP) || line.equals(TypedAhead.END);
    }

    /** False where the builder is done. */
    private boolean name(LearnSession session, LearnView view) throws InterruptedException {
        Candidate candidate = view.candidate().orElseThrow();
        say.print(view.detail().text() + System.lineSeparator() + "  "
                + Texts.say("learn.called", candidate.part().words(), candidate.label()) + " ");
        say.flush();
        String line = output.lost() ? TypedAhead.END : typed.take();
        if (ends(line)) {
            say.println();
            return false;
        }
        if (line.equals("-") || line.equals("u")) {
            session.say(line.equals("u") ? (learn, now) -> learn.undo(now) : (learn, now) -> learn.discard(now));
            return true;
        }
        NewBox.Part part = candidate.part();
        if (candidate.parts().size() > 1 && Keyboard.present()) {
            part = part(candidate);
        }
        NewBox.Part taken = part;
        session.say((learn, now) -> learn.name(now, line, taken));
        return true;
    }

    private NewBox.Part part(Candidate candidate) throws InterruptedException {
        List<NewBox.Part> parts = candidate.parts();
        for (int i = 0; i < parts.size(); i++) {
            say.print("  " + (i + 1) + " " + parts.get(i).words());
        }
        say.print("  [1]: ");
        say.flush();
        String line = typed.take();
        return line.matches("[1-9]") && Integer.parseInt(line) <= parts.size()
                ? parts.get(Integer.parseInt(line) - 1)
                : parts.get(0);
    }

    private ObjectNode document(LearnView learned) {
        ObjectNode document = Json.object();
        document.put("out", out.toString());
        var list = document.putArray("controls");
        for (Control control : learned.learned()) {
            ObjectNode node = list.addObject();
            node.put("id", control.id());
            node.put("label", control.label());
            node.put("kind", control.kind().toLowerCase(Locale.ROOT));
            var inputs = node.putArray("inputs");
            control.actions().forEach(a -> a.input().ifPresent(i -> inputs.add(i.text())));
            if (learned.remarks().containsKey(control.id())) {
                node.put("remark", learned.remarks().get(control.id()));
            }
        }
        return document;
    }

    /** What can be typed, for the help. */
    static String answers() {
        return HelpTexts.table(9, new String[][] {
            {Texts.say("help.learn.name"), Texts.say("help.learn.as-named")},
            {"-", Texts.say("help.learn.forget")},
            {"u", Texts.say("help.learn.undo")},
            {"q", Texts.say("help.learn.stop")},
        });
    }
}
