package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.FeelSession;
import ringout.bench.Mailbox;
import ringout.bench.PlanInUse;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.feel.Feel;
import ringout.feel.FeelResult;
import ringout.feel.FeelView;
import ringout.feel.FeelWords;
import ringout.feel.Target;
import ringout.feel.Trial;
import ringout.journal.JournalException;
import ringout.journal.KeptRounds;
import ringout.journal.RecordingFolder;
import ringout.words.Phrase;
import ringout.words.Texts;

/** How well the controls of a box are found without looking. */
@Command(name = "feel", mixinStandardHelpOptions = true, description = "help.feel", footer = "help.feel.more")
final class FeelCommand implements Callable<Integer> {
    private static final int USUAL_ROUNDS = 6;
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

    @ParentCommand
    private Ringout root;

    @Option(names = "--plan", required = true, paramLabel = "${bundle:label.file}", descriptionKey = "help.feel.plan")
    private Path plan;

    @Option(
            names = "--device",
            paramLabel = "${bundle:label.box}",
            defaultValue = "",
            descriptionKey = "help.option.device")
    private String device;

    @Option(
            names = "--rounds",
            paramLabel = "${bundle:label.number}",
            defaultValue = "" + USUAL_ROUNDS,
            descriptionKey = "help.feel.rounds")
    private int rounds;

    @Option(names = "--seed", paramLabel = "${bundle:label.number}", descriptionKey = "help.feel.seed")
    private Long seed;

    @Option(names = "--out", paramLabel = "${bundle:label.recording}", descriptionKey = "help.option.recording")
    private Path out;

    @Option(names = "--no-record", descriptionKey = "help.feel.no-record")
    private boolean noRecord;

    @Mixin
    private JsonOutput output;

    private boolean finished;

    @Override
    public Integer call() throws DeviceException {
        if (rounds < Feel.LEAST_ROUNDS || rounds > Feel.MOST_ROUNDS) {
            throw new BadInput(Texts.say("usage.outside", "--rounds", rounds, Feel.LEAST_ROUNDS, Feel.MOST_ROUNDS));
        }
        if (noRecord) {
            output.refuse("--no-record", "--out");
        }
        PlanInUse inUse = PlanOption.inUse(plan);
        DeviceCatalog catalog = root.boxes();
        DeviceInfo box = ChosenBox.of(catalog, device, output::note);
        Optional<Path> to = noRecord
                ? Optional.empty()
                : Optional.of(out != null ? out : RecordingFolder.next(box.name(), LocalDateTime.now()));
        Mailbox<FeelView> views = new Mailbox<>(root.time());
        long order = seed != null ? seed : System.nanoTime();
        try (FeelSession session = open(catalog, box, inUse, order, to, views)) {
            output.talk()
                    .println(to.map(path -> Texts.say("live.recorded", box.describe(), path))
                            .orElse(box.describe()));
            try (OnSignal signal = OnSignal.run(() -> finish(session))) {
                follow(session, views);
            }
            FeelResult result = finish(session);
            if (!session.trouble().isEmpty()) {
                throw new DeviceException(DeviceException.Reason.IO, session.trouble());
            }
            OutFile.requireWhole(session.unrecorded());
            return (result.confusions().isEmpty() ? ExitCode.OK : ExitCode.FINDINGS).status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        }
    }

    private FeelSession open(
            DeviceCatalog catalog,
            DeviceInfo box,
            PlanInUse inUse,
            long order,
            Optional<Path> to,
            Mailbox<FeelView> views)
            throws DeviceException, JournalException {
        try {
            return FeelSession.open(catalog, box, inUse, rounds, order, to, views);
        } catch (IllegalArgumentException few) {
            throw new BadInput(
                    Texts.say("feel.no-choice", inUse.plan().controls().size()), few);
        }
    }

    private void follow(FeelSession session, Mailbox<FeelView> views) throws InterruptedException {
        FeelWords words = new FeelWords(session.targets());
        PrintWriter say = output.talk();
        int told = 0;
        Optional<Target> asked = Optional.empty();
        FeelView.Stage stage = FeelView.Stage.WAIT;
        while (true) {
            FeelView view = views.take(200).orElse(session.view());
            for (Trial trial : view.trials().subList(told, view.trials().size())) {
                say.println("    " + words.trial(trial).text());
            }
            told = view.trials().size();
            if (view.stage() != stage || !view.asked().equals(asked)) {
                if (view.stage() != FeelView.Stage.WAIT) {
                    say.println(FeelWords.asked(view).text());
                }
                stage = view.stage();
                asked = view.asked();
            }
            say.flush();
            if (view.stage() == FeelView.Stage.DONE || !session.trouble().isEmpty() || output.lost()) {
                return;
            }
        }
    }

    /** Prints what it came to, and keeps it; once. */
    private synchronized FeelResult finish(FeelSession session) {
        session.close();
        FeelResult result = session.result();
        if (finished) {
            return result;
        }
        finished = true;
        FeelWords words = new FeelWords(session.targets());
        Optional<FeelSession.Since> since = Optional.empty();
        String kept = "";
        String unkept = "";
        boolean simulated = session.device().path().startsWith(SimulatedSource.PREFIX);
        if (!noRecord && !simulated && session.view().trials().stream().anyMatch(Trial::counts)) {
            try {
                since = session.since(KeptRounds.ofUser());
                kept = KeptRounds.ofUser()
                        .keep(session.device(), session.kept())
                        .toString();
            } catch (JournalException problem) {
                unkept = String.valueOf(problem.getMessage());
            }
        }
        if (output.asJson()) {
            output.print(document(session, result, since, kept));
        } else {
            PrintWriter print = output.out();
            print.println();
            words.result(result).forEach(line -> print.println(line.text()));
            since.ifPresent(s -> {
                print.println(Texts.say("feel.since", MOMENT.format(s.when().atZone(ZoneId.systemDefault()))));
                words.comparison(s.change()).forEach(line -> print.println("  " + line.text()));
            });
            if (!kept.isEmpty()) {
                print.println(Texts.say("feel.kept", kept));
            }
            print.flush();
        }
        if (!unkept.isEmpty()) {
            output.note(Texts.say("feel.not-kept", unkept));
        }
        return result;
    }

    private static ObjectNode document(
            FeelSession session, FeelResult result, Optional<FeelSession.Since> since, String kept) {
        ObjectNode document = Json.object();
        document.put("box", session.device().name())
                .put("rounds", result.rounds())
                .put("enough", result.enough())
                .put("presses", result.presses())
                .put("wrong", result.wrong());
        ArrayNode controls = document.putArray("controls");
        result.controls()
                .forEach(c -> controls.addObject()
                        .put("id", c.id())
                        .put("presses", c.presses())
                        .put("wrong", c.wrong())
                        .put("seconds", c.seconds()));
        ArrayNode confusions = document.putArray("confusions");
        result.confusions()
                .forEach(c -> confusions
                        .addObject()
                        .put("a", c.a())
                        .put("b", c.b())
                        .put("taken", c.taken())
                        .put("presses", c.presses())
                        .put("chance", c.chance())
                        .put("spacingMm", c.spacing().orElse(null))
                        .put("seconds", c.seconds()));
        if (result.reach().isPresent()) {
            FeelResult.Reach reach = result.reach().get();
            document.putObject("reach")
                    .put("intercept", reach.intercept())
                    .put("slope", reach.slope())
                    .put("slopeError", reach.slopeError())
                    .put("presses", reach.points())
                    .put("correlation", reach.correlation());
        } else {
            document.putNull("reach");
        }
        document.put(
                "reachSays", result.noReach().name().toLowerCase(Locale.ROOT).replace('_', '-'));
        ArrayNode proposals = document.putArray("proposals");
        for (FeelResult.Proposal proposal : result.proposals()) {
            ObjectNode node = proposals
                    .addObject()
                    .put("what", proposal.what().name().toLowerCase(Locale.ROOT).replace('_', '-'))
                    .put("seconds", proposal.seconds());
            ArrayNode about = node.putArray("controls");
            proposal.controls().forEach(about::add);
        }
        ArrayNode words = document.putArray("words");
        FeelWords said = new FeelWords(session.targets());
        Phrase.texts(said.result(result)).forEach(words::add);
        ArrayNode changes = document.putArray("changes");
        since.ifPresent(s -> Phrase.texts(said.comparison(s.change())).forEach(changes::add));
        document.put("recording", session.recording().map(Path::toString).orElse(null));
        document.put("kept", kept.isEmpty() ? null : kept);
        return document;
    }
}
