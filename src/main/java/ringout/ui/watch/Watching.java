package ringout.ui.watch;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import java.util.function.Function;
import javafx.application.Platform;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.Baselines;
import ringout.bench.PlanInUse;
import ringout.bench.WatchSession;
import ringout.check.Change;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.FxLettering;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.words.Texts;

/**
 * A long watch over one or several boxes, in the window. While it lasts the screen is looked at once a second, not once a
 * frame. All methods on the application thread.
 */
public final class Watching {
    private static final Logger LOG = LoggerFactory.getLogger(Watching.class);

    private final WatchPage page;
    private final ExecutorService background;
    private final KeptChecks store;
    private final Consumer<WatchEvent> heard;
    private final ZoneId zone = ZoneId.systemDefault();
    private List<Post> posts = List.of();
    private Optional<ScheduledExecutorService> clock = Optional.empty();
    private long began;
    private long lasted;
    private long faults;
    private boolean ended;

    /** A box, and what was noticed of it so far. */
    private static final class Post {
        final DeviceInfo device;
        final Optional<PlanInUse> plan;
        WatchSession session;
        String failure = "";
        boolean away;

        Post(DeviceInfo device, Optional<PlanInUse> plan) {
            this.device = device;
            this.plan = plan;
        }
    }

    /**
     * @param background where boxes are opened and closed
     * @param heard      told everything that is noticed
     * @param onTape     shows a recording at an event
     */
    public Watching(
            FxLettering lettering,
            ExecutorService background,
            KeptChecks store,
            Consumer<WatchEvent> heard,
            BiConsumer<WatchSession, WatchModel.Line> onTape) {
        this.background = background;
        this.store = store;
        this.heard = heard;
        page = new WatchPage(lettering, this::end, line -> onTape.accept(posts.get(line.box()).session, line));
    }

    public WatchPage page() {
        return page;
    }

    /**
     * Opens boxes in the background and begins.
     *
     * @param plans     of each box; empty to take every input for a push button
     * @param recording where the tape of a box is kept; empty for none
     * @param failed    told why where none of them opens
     */
    public void begin(
            DeviceSource source,
            List<DeviceInfo> devices,
            Function<DeviceInfo, Optional<PlanInUse>> plans,
            Function<DeviceInfo, Optional<Path>> recording,
            Consumer<String> failed) {
        List<Post> all = devices.stream()
                .map(device -> new Post(device, plans.apply(device)))
                .toList();
        posts = all;
        faults = 0;
        ended = false;
        began = System.nanoTime();
        page.begin();
        background.execute(() -> {
            for (int i = 0; i < all.size(); i++) {
                Post post = all.get(i);
                int number = i;
                try {
                    post.session = WatchSession.open(
                            source,
                            post.device,
                            post.plan,
                            WatchSettings.STANDARD,
                            recording.apply(post.device),
                            event -> Platform.runLater(() -> noticed(all, number, event)));
                } catch (DeviceException | JournalException problem) {
                    post.failure = problem.getMessage();
                }
            }
            Platform.runLater(() -> {
                if (posts != all) {
                    all.stream()
                            .filter(post -> post.session != null)
                            .forEach(post -> background.execute(post.session::close));
                } else if (all.stream().allMatch(post -> post.session == null)) {
                    posts = List.of();
                    failed.accept(all.get(0).failure);
                } else {
                    tick();
                }
            });
        });
        ScheduledExecutorService ticking = Executors.newSingleThreadScheduledExecutor(task -> {
            Thread thread = new Thread(task, "ringout-watch-clock");
            thread.setDaemon(true);
            return thread;
        });
        var unused = ticking.scheduleAtFixedRate(() -> Platform.runLater(this::tick), 1, 1, TimeUnit.SECONDS);
        clock = Optional.of(ticking);
    }

    private void noticed(List<Post> of, int number, WatchEvent event) {
        if (of != posts || of.get(number).session == null) {
            return;
        }
        Post post = of.get(number);
        faults += event.kind().isFault() ? 1 : 0;
        post.away = event.kind() == WatchEvent.Kind.LOST || post.away && event.kind() != WatchEvent.Kind.FOUND;
        page.add(WatchModel.line(number, post.device.name(), posts.size() > 1, post.session.began(), event, zone));
        heard.accept(event);
        tick();
    }

    private void tick() {
        if (posts.isEmpty()) {
            return;
        }
        if (!ended) {
            lasted = System.nanoTime() - began;
        }
        List<WatchModel.Box> boxes = new ArrayList<>();
        for (Post post : posts) {
            if (post.session != null) {
                boxes.add(WatchModel.box(
                        post.device.name(),
                        post.plan.map(p -> p.plan().box().name()),
                        post.session.summary(),
                        post.away,
                        ended
                                ? Optional.of(Texts.say("watch.box.over"))
                                : Optional.of(post.session.ended())
                                        .filter(why -> !why.isEmpty())
                                        .map(why -> Texts.say("watch.box.ended", why)),
                        post.session.trouble(),
                        post.session.recording().map(Path::toString)));
            } else if (!post.failure.isEmpty()) {
                boxes.add(new WatchModel.Box(post.device.name(), "✕ " + post.failure, true, ""));
            }
        }
        page.show(boxes, faults, lasted);
    }

    /** Ends the watch and shows what it has come to. */
    public void end() {
        List<Post> all = posts;
        if (all.isEmpty() || ended) {
            return;
        }
        clock.ifPresent(ScheduledExecutorService::shutdownNow);
        clock = Optional.empty();
        background.execute(() -> {
            List<List<String>> summaries = new ArrayList<>();
            for (Post post : all) {
                if (post.session != null) {
                    post.session.close();
                    summaries.add(WatchModel.summary(
                            post.device.name(), post.session.began(), post.session.summary(), changes(post), zone));
                }
            }
            Platform.runLater(() -> {
                if (posts == all) {
                    ended = true;
                    page.end(summaries);
                    tick();
                }
            });
        });
    }

    /** What is new or worse since the last check of the box; the watch does not depend on it. */
    private List<Change> changes(Post post) {
        if (post.plan.isEmpty() || post.session.kept().isEmpty()) {
            return List.of();
        }
        try {
            return Baselines.ofWatch(
                    post.device, post.plan.get(), post.session.kept().get(), store, zone);
        } catch (JournalException problem) {
            LOG.warn("{}", problem.getMessage());
            return List.of();
        }
    }

    /** Ends the watch, where one lasts, without a word. */
    public void leave() {
        clock.ifPresent(ScheduledExecutorService::shutdownNow);
        clock = Optional.empty();
        posts.stream().filter(post -> post.session != null).forEach(post -> background.execute(post.session::close));
        posts = List.of();
    }

    /** As {@link #leave}, and waits until every recording is closed. */
    public void close() {
        clock.ifPresent(ScheduledExecutorService::shutdownNow);
        posts.stream().filter(post -> post.session != null).forEach(post -> post.session.close());
        posts = List.of();
    }
}
