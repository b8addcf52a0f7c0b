package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import ringout.bench.Baselines;
import ringout.bench.Crowd;
import ringout.bench.Mailbox;
import ringout.bench.PlanInUse;
import ringout.bench.WatchReplay;
import ringout.bench.WatchSession;
import ringout.check.Change;
import ringout.check.KeptCheck;
import ringout.device.DeviceCatalog;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.Time;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.RecordingFolder;
import ringout.plan.Plan;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.watch.WatchSummary;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Watches boxes in use for as long as an event lasts. */
@Command(name = "listen", mixinStandardHelpOptions = true, description = "help.listen", footer = "help.listen.more")
final class ListenCommand implements Callable<Integer> {
    @ParentCommand
    private Ringout root;

    @Option(names = "--device", paramLabel = "${bundle:label.box}", descriptionKey = "help.listen.device")
    private List<String> devices = List.of();

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.listen.plan")
    private List<Path> plans = List.of();

    @Option(names = "--replay", paramLabel = "${bundle:label.recording}", descriptionKey = "help.listen.replay")
    private Path replay;

    @Option(names = "--out", paramLabel = "${bundle:label.recording}", descriptionKey = "help.listen.out")
    private Path out;

    @Option(names = "--no-record", descriptionKey = "help.listen.no-record")
    private boolean noRecord;

    @Option(names = "--seconds", paramLabel = "${bundle:label.number}", descriptionKey = "help.option.seconds")
    private Double seconds;

    @Mixin
    private JsonOutput output;

    private static final long LOOK_MILLIS = 500;

    private final WatchText text = new WatchText();

    /** A box being watched, with what was told of it. What is told grows by ever rarer repetitions only. */
    private static final class Post {
        final List<WatchEvent> events = Collections.synchronizedList(new ArrayList<>());
        final String name;
        final Optional<PlanInUse> plan;

        @SuppressWarnings("NullAway.Init") // opened right after
        WatchSession session;

        List<Change> changes = List.of();

        Post(String name, Optional<PlanInUse> plan) {
            this.name = name;
            this.plan = plan;
        }
    }

    @Override
    public Integer call() throws DeviceException {
        List<PlanInUse> inUse = plans.stream().map(PlanOption::inUse).toList();
        if (replay != null) {
            output.refuse("--replay", "--device", "--seconds", "--out", "--no-record");
            if (inUse.size() > 1) {
                throw new BadInput(Texts.say("listen.one-plan"));
            }
            return replay(inUse.stream().findFirst());
        }
        if (seconds != null && !(seconds > 0 && seconds < 1e7)) {
            throw new BadInput(Texts.say("usage.seconds", String.valueOf(seconds)));
        }
        if (noRecord) {
            output.refuse("--no-record", "--out");
        }
        return live(inUse);
    }

    private int replay(Optional<PlanInUse> plan) {
        List<WatchEvent> events = new ArrayList<>();
        try {
            WatchReplay result = WatchReplay.of(replay, plan, WatchSettings.STANDARD, events::add);
            result.notes().forEach(output::note);
            PrintWriter print = output.out();
            if (!output.asJson()) {
                events.forEach(e -> print.println(text.line(result.box().name(), result.began(), e)));
                print.println(events.isEmpty() ? "" : System.lineSeparator());
            }
            List<Change> changes = changes(result.box(), plan, result.kept());
            print(
                    List.of(text.document(result.box().name(), result.began(), events, result.summary(), changes)),
                    () -> text.print(print, result.box().name(), result.began(), result.summary(), changes));
            return exitCode(List.of(result.summary()));
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    // ---------------------------------------------------------------- live

    private int live(List<PlanInUse> inUse) throws DeviceException {
        DeviceCatalog catalog = DeviceCatalog.standard(root.time());
        List<DeviceInfo> boxes = new ArrayList<>();
        if (devices.isEmpty()) {
            boxes.addAll(catalog.list());
        }
        for (String name : devices) {
            boxes.add(ChosenBox.of(catalog, name, output::note));
        }
        if (boxes.isEmpty()) {
            boxes.add(catalog.choose("")); // Says what to do.
        }
        if (out != null && boxes.size() > 1) {
            throw new BadInput(Texts.say("listen.one-recording", boxes.size()));
        }
        List<Optional<PlanInUse>> planOf = match(catalog, boxes, inUse);
        List<Post> posts = new ArrayList<>();
        Mailbox<Boolean> over = new Mailbox<>(root.time());
        CountDownLatch printed = new CountDownLatch(1);
        try (Crowd crowd = Crowd.start(catalog, root.time())) {
            for (int i = 0; i < boxes.size(); i++) {
                posts.add(open(crowd, boxes.get(i), boxes.get(i).nameAmong(boxes), planOf.get(i)));
            }
            try (OnSignal signal = OnSignal.run(() -> interrupted(over, printed))) {
                wait(posts, over);
                posts.forEach(post -> post.session.close());
                int status = report(posts);
                printed.countDown();
                return status;
            }
        } catch (InterruptedException wanted) {
            Thread.currentThread().interrupt();
            throw new BadInput("interrupted", wanted);
        } finally {
            posts.stream().filter(post -> post.session != null).forEach(post -> post.session.close());
        }
    }

    /** Ctrl-C: the watch ends in good order, while the system waits for this. */
    private static void interrupted(Mailbox<Boolean> over, CountDownLatch printed) {
        over.accept(true);
        try {
            printed.await(10, TimeUnit.SECONDS);
        } catch (InterruptedException impatient) {
            Thread.currentThread().interrupt();
        }
    }

    private void wait(List<Post> posts, Mailbox<Boolean> over) throws InterruptedException {
        long end = root.time().nanos() + (seconds == null ? Time.FOREVER : Math.round(seconds * 1e9));
        String trouble = "";
        while (posts.stream().anyMatch(post -> post.session.ended().isEmpty())) {
            long left = (end - root.time().nanos()) / 1_000_000;
            if (left <= 0
                    || output.lost()
                    || over.take(Math.min(left, LOOK_MILLIS)).isPresent()) {
                return;
            }
            String now = posts.stream()
                    .map(post -> post.session.trouble())
                    .filter(t -> !t.isEmpty())
                    .findFirst()
                    .orElse("");
            if (!now.equals(trouble)) {
                trouble = now;
                output.note(now.isEmpty() ? Texts.say("listen.again") : Texts.say("listen.unwritten", now));
            }
        }
    }

    private Post open(Crowd crowd, DeviceInfo box, String name, Optional<PlanInUse> plan) throws DeviceException {
        Post post = new Post(name, plan);
        Optional<Path> recording = noRecord
                ? Optional.empty()
                : Optional.of(out != null ? out : RecordingFolder.next(box.name(), LocalDateTime.now()));
        Instant[] began = {Instant.now()};
        try {
            post.session = crowd.watch(box, plan, WatchSettings.STANDARD, recording, event -> {
                post.events.add(event);
                if (!output.asJson()) {
                    PrintWriter print = output.out();
                    print.println(text.line(name, began[0], event));
                    print.flush();
                }
            });
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
        output.note(Phrase.of(
                        "listen.watching",
                        plan.isPresent()
                                ? Phrase.of(
                                        "listen.by-plan",
                                        box.describe(),
                                        plan.get().plan().box().name())
                                : Phrase.of("listen.no-plan", box.describe()),
                        recording.map(path -> Phrase.of("listen.tape", path)).orElse(Phrase.none()),
                        seconds == null ? Phrase.of("listen.ends") : Phrase.none())
                .text());
        return post;
    }

    private int report(List<Post> posts) throws DeviceException {
        List<ObjectNode> documents = new ArrayList<>();
        for (Post post : posts) {
            post.changes = changes(post.session.device(), post.plan, post.session.kept());
            ObjectNode document = text.document(
                    post.name, post.session.began(), List.copyOf(post.events), post.session.summary(), post.changes);
            document.put(
                    "recording", post.session.recording().map(Path::toString).orElse(null));
            documents.add(document);
        }
        PrintWriter print = output.out();
        print(
                documents,
                () -> posts.forEach(post -> {
                    print.println();
                    text.print(print, post.name, post.session.began(), post.session.summary(), post.changes);
                }));
        Optional<String> broken = posts.stream()
                .map(post -> post.session.ended())
                .filter(why -> !why.isEmpty())
                .findFirst();
        if (broken.isPresent()) {
            throw new DeviceException(DeviceException.Reason.IO, broken.get());
        }
        posts.stream()
                .map(post -> post.session.trouble())
                .filter(trouble -> !trouble.isEmpty())
                .findFirst()
                .ifPresent(OutFile::requireWhole);
        return exitCode(posts.stream().map(post -> post.session.summary()).toList());
    }

    /** What is new or worse since the newest check of the box; the watch does not depend on it. */
    private List<Change> changes(DeviceInfo box, Optional<PlanInUse> plan, Optional<KeptCheck> watch) {
        if (plan.isEmpty() || watch.isEmpty()) {
            return List.of();
        }
        try {
            return Baselines.ofWatch(box, plan.get(), watch.get(), KeptChecks.ofUser(), ZoneId.systemDefault());
        } catch (JournalException problem) {
            output.note(Texts.say("listen.not-compared", String.valueOf(problem.getMessage())));
            return List.of();
        }
    }

    private void print(List<ObjectNode> documents, Runnable words) {
        if (output.asJson()) {
            ObjectNode document = Json.object();
            ArrayNode boxes = document.putArray("boxes");
            documents.forEach(boxes::add);
            output.print(document);
        } else {
            words.run();
        }
    }

    private static int exitCode(List<WatchSummary> summaries) {
        return (summaries.stream().allMatch(WatchSummary::clean) ? ExitCode.OK : ExitCode.FINDINGS).status();
    }

    /**
     * Which plan is whose: the only one of the only box, else by serial number, else by USB id, else by name. Where several
     * plans fit several boxes alike, a press on each tells; a plan that is alone in fitting several is that of all of them.
     */
    private List<Optional<PlanInUse>> match(DeviceCatalog catalog, List<DeviceInfo> boxes, List<PlanInUse> plans)
            throws DeviceException {
        if (boxes.size() == 1 && plans.size() == 1) {
            return List.of(Optional.of(plans.get(0)));
        }
        Map<DeviceInfo, PlanInUse> matched = new HashMap<>();
        List<PlanInUse> left = new ArrayList<>(plans);
        while (!left.isEmpty()) {
            PlanInUse plan = left.get(0);
            List<DeviceInfo> fitting =
                    boxes.stream().filter(box -> fits(plan.plan().box(), box)).toList();
            if (fitting.isEmpty()) {
                throw new BadInput(Texts.say("listen.no-box", plan.plan().box().name()));
            }
            List<PlanInUse> rivals = left.stream()
                    .filter(other ->
                            fitting.stream().anyMatch(box -> fits(other.plan().box(), box)))
                    .toList();
            left.removeAll(rivals);
            if (rivals.size() == 1) {
                fitting.forEach(box -> matched.put(box, plan));
            } else if (rivals.size() > fitting.size()) {
                throw new BadInput(Texts.say("listen.too-many-plans", rivals.size(), fitting.size()));
            } else {
                List<DeviceInfo> each = ChosenBox.each(
                        catalog,
                        fitting,
                        rivals.stream().map(one -> one.plan().box().name()).toList(),
                        output::note);
                for (int i = 0; i < each.size(); i++) {
                    matched.put(each.get(i), rivals.get(i));
                }
            }
        }
        return boxes.stream().map(box -> Optional.ofNullable(matched.get(box))).toList();
    }

    private static boolean fits(Plan.Box plan, DeviceInfo box) {
        if (plan.serial().isPresent() && !box.serial().isEmpty()) {
            return plan.serial().get().equals(box.serial());
        }
        if (plan.vendor().isPresent() && plan.product().isPresent()) {
            return plan.vendor().get() == box.vendorId() && plan.product().get() == box.productId();
        }
        return plan.name().equals(box.name());
    }
}
