package ringout.ui.watch;

import java.nio.file.Path;
import java.time.Duration;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.function.Supplier;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.Baselines;
import ringout.bench.Crowd;
import ringout.bench.PlanInUse;
import ringout.bench.WatchSession;
import ringout.check.Change;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.Time;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.ui.background.Background;
import ringout.ui.background.WindowThread;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.FxLettering;
import ringout.watch.ShortLook;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;
import ringout.words.Texts;

/**
 * A long watch over one or several boxes, in the window. While it lasts the screen is looked at once a second, not once a
 * frame. All methods on the application thread.
 */
public final class Watching {
    private static final Duration TICK = Duration.ofSeconds(1);
    private static final Logger LOG = LoggerFactory.getLogger(Watching.class);

    private final WatchPage page;
    private final Background background;
    private final Function<DeviceInfo, KeptChecks> kept;
    private final Consumer<WatchEvent> heard;
    private final ZoneId zone = ZoneId.systemDefault();
    private final List<Background.Job> opening = new ArrayList<>();
    private Consumer<String> failed = why -> {};
    private List<Post> posts = List.of();
    private Optional<Background.Job> clock = Optional.empty();
    private Optional<Crowd> crowd = Optional.empty();
    private long began;
    private long lasted;
    private long faults;
    private boolean ended;
    private final Runnable look;

    /** A box, and what was noticed of it so far. */
    private static final class Post {
        final DeviceInfo device;
        final String name;
        final Optional<PlanInUse> plan;
        /** What was noticed before it was known here that the box is open. */
        final List<WatchEvent> early = new ArrayList<>();

        Optional<WatchSession> session = Optional.empty();
        String failure = "";
        boolean away;

        Post(DeviceInfo device, String name, Optional<PlanInUse> plan) {
            this.device = device;
            this.name = name;
            this.plan = plan;
        }
    }

    /**
     * @param background where boxes are opened and closed
     * @param kept       the earlier checks of a box are among these
     * @param heard      told everything that is noticed
     * @param onTape     shows a recording at an event
     * @param look       begins a look in a break, see {@link #subjects}
     */
    public Watching(
            FxLettering lettering,
            Background background,
            Function<DeviceInfo, KeptChecks> kept,
            Consumer<WatchEvent> heard,
            BiConsumer<WatchSession, WatchModel.Line> onTape,
            Runnable look) {
        this.look = look;
        this.background = background;
        this.kept = kept;
        this.heard = heard;
        page = new WatchPage(
                lettering,
                this::end,
                look,
                line -> posts.get(line.box()).session.ifPresent(session -> onTape.accept(session, line)));
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
        this.failed = failed;
        List<Post> all = devices.stream()
                .map(device -> new Post(device, device.nameAmong(devices), plans.apply(device)))
                .toList();
        posts = all;
        faults = 0;
        ended = false;
        began = System.nanoTime();
        page.begin();
        page.offerLook(all.stream().anyMatch(post -> post.plan.isPresent()));
        Crowd together = Crowd.start(source, Time.OURS);
        crowd = Optional.of(together);
        for (int i = 0; i < all.size(); i++) {
            int number = i;
            Post post = all.get(i);
            opening.add(background.begin(
                    progress -> together.watch(
                            post.device,
                            post.plan,
                            WatchSettings.STANDARD,
                            recording.apply(post.device),
                            event -> WindowThread.soon(() -> noticed(all, number, event))),
                    session -> opened(post, number, session),
                    WatchSession::close,
                    why -> failed(post, why)));
        }
        clock = Optional.of(background.every(TICK, this::tick));
    }

    private void opened(Post post, int number, WatchSession session) {
        post.session = Optional.of(session);
        post.early.forEach(event -> noticed(posts, number, event));
        post.early.clear();
        tick();
    }

    private void failed(Post post, String why) {
        post.failure = why;
        if (posts.stream().allMatch(other -> !other.failure.isEmpty())) {
            String first = posts.get(0).failure;
            leave();
            failed.accept(first);
        } else {
            tick();
        }
    }

    private void noticed(List<Post> of, int number, WatchEvent event) {
        if (of != posts) {
            return;
        }
        Post post = of.get(number);
        if (post.session.isEmpty()) {
            post.early.add(event);
            return;
        }
        faults += event.kind().isFault() ? 1 : 0;
        post.away = event.kind() == WatchEvent.Kind.LOST || post.away && event.kind() != WatchEvent.Kind.FOUND;
        page.add(WatchModel.line(
                number, post.name, posts.size() > 1, post.session.get().began(), event, zone));
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
            if (post.session.isPresent()) {
                WatchSession session = post.session.get();
                boxes.add(WatchModel.box(
                        post.name,
                        post.plan.map(p -> p.plan().box().name()),
                        session.summary(),
                        post.away,
                        ended
                                ? Optional.of(Texts.say("watch.box.over"))
                                : Optional.of(session.ended())
                                        .filter(why -> !why.isEmpty())
                                        .map(why -> Texts.say("watch.box.ended", why)),
                        session.trouble(),
                        session.recording().map(Path::toString)));
            } else if (!post.failure.isEmpty()) {
                boxes.add(new WatchModel.Box(post.name, "✕ " + post.failure, true, ""));
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
        still();
        background.begin(
                progress -> {
                    List<List<String>> summaries = new ArrayList<>();
                    for (Post post : all) {
                        post.session.ifPresent(session -> {
                            session.close();
                            summaries.add(WatchModel.summary(
                                    post.name, session.began(), session.summary(), changes(post, session), zone));
                        });
                    }
                    return summaries;
                },
                summaries -> {
                    if (posts == all) {
                        ended = true;
                        page.end(summaries);
                        tick();
                    }
                },
                failed);
    }

    /** Begins a look in a break where there is a plan to look by. */
    public void look() {
        if (posts.stream().anyMatch(post -> post.plan.isPresent())) {
            look.run();
        }
    }

    /** True where a watch lasts or its end is shown. */
    public boolean watched() {
        return !posts.isEmpty();
    }

    /** Finds out, not on the application thread, what a look in a break asks of each box with a plan. */
    public Supplier<List<Subject>> subjects() {
        List<Post> all = posts;
        boolean over = ended;
        return () -> all.stream()
                .flatMap(post ->
                        post.plan.flatMap(plan -> post.session.map(s -> subject(post, plan, s, over))).stream())
                .toList();
    }

    private Subject subject(Post post, PlanInUse plan, WatchSession session, boolean over) {
        return new Subject(
                post.device,
                plan,
                over || !session.ended().isEmpty() ? Optional.empty() : Optional.of(session),
                ShortLook.asks(plan.plan(), session.summary(), worse(post, plan, session)));
    }

    /** Since the newest kept check; empty where none is kept, and then all that was noticed counts. */
    private Optional<List<Change>> worse(Post post, PlanInUse plan, WatchSession session) {
        try {
            KeptChecks store = kept.apply(post.device);
            boolean compared = session.kept().isPresent()
                    && store.of(post.device, plan.hash()).checks().stream()
                            .anyMatch(k -> k.check().when().isBefore(session.began()));
            return compared ? Optional.of(changes(post, session)) : Optional.empty();
        } catch (JournalException problem) {
            LOG.warn("{}", problem.getMessage());
            return Optional.empty();
        }
    }

    /**
     * A box of the watch, and what a look in a break asks of it.
     *
     * @param live the watch, where it still lasts
     * @param asks empty where nothing got worse
     */
    public record Subject(DeviceInfo device, PlanInUse plan, Optional<WatchSession> live, List<ShortLook.Ask> asks) {
        public Subject {
            asks = List.copyOf(asks);
        }
    }

    /** What is new or worse since the last check of the box; the watch does not depend on it. */
    private List<Change> changes(Post post, WatchSession session) {
        if (post.plan.isEmpty() || session.kept().isEmpty()) {
            return List.of();
        }
        try {
            return Baselines.ofWatch(
                    post.device, post.plan.get(), session.kept().get(), kept.apply(post.device), zone);
        } catch (JournalException problem) {
            LOG.warn("{}", problem.getMessage());
            return List.of();
        }
    }

    /** Ends the watch, where one lasts, without a word; boxes are closed in the background. */
    public void leave() {
        still();
        posts.forEach(post -> post.session.ifPresent(session -> background.close(session::close)));
        posts = List.of();
    }

    private void still() {
        crowd.ifPresent(Crowd::close);
        crowd = Optional.empty();
        clock.ifPresent(Background.Job::cancel);
        clock = Optional.empty();
        opening.forEach(Background.Job::cancel);
        opening.clear();
    }
}
