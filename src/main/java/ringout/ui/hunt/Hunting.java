package ringout.ui.hunt;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import javafx.scene.input.KeyEvent;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import ringout.bench.BareBoards;
import ringout.bench.Baselines;
import ringout.bench.HuntSession;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.check.Instruction;
import ringout.check.KeptCheck;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceException;
import ringout.diagnosis.Probe;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.ui.background.Background;
import ringout.ui.check.BenchNotices;
import ringout.ui.files.PlannedBox;
import ringout.ui.model.HuntModel;
import ringout.ui.model.HuntModel.Stage;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.LinkState;
import ringout.ui.practice.Hands;
import ringout.ui.practice.Practice;
import ringout.ui.practice.Rig;
import ringout.ui.sound.Sounds;
import ringout.words.Texts;

/**
 * Hunts in the window for why one control of a box is dead, from its newest kept check on. The hunt is recorded, but is no
 * check: nothing is kept of it. On the application thread.
 */
public final class Hunting {
    /** How far a key moves the reasons. */
    private static final double PAGE = 0.8;

    private static final Logger LOG = LoggerFactory.getLogger(Hunting.class);

    /** The window around it. */
    public interface Host {
        /** Shows the page. */
        void show();

        /** Says above it which box it is, and how that is connected. */
        void say(String box, String link, boolean trouble);

        /** The box could not be opened. */
        void failed(String why);

        /** The whole box is to be checked. */
        void check(PlannedBox box);

        /** Where to record it, asked in the background; empty to record nothing. */
        Supplier<Optional<Path>> recording(PlannedBox box);
    }

    /** Everything of one box that is hunted in, from opening to closing. */
    private static final class Bench {
        final PlannedBox box;
        final Session session;
        final Optional<KeptCheck> baseline;
        final Optional<Rig> rig;
        final Optional<Hands> hands;
        Optional<HuntSession> hunt = Optional.empty();
        String name = "";
        Optional<Control> refused = Optional.empty();
        /** The builder says that the box is unplugged. */
        boolean unplugged;

        Bench(PlannedBox box, Session session, Optional<KeptCheck> baseline, Optional<Rig> rig, Optional<Hands> hands) {
            this.box = box;
            this.session = session;
            this.baseline = baseline;
            this.rig = rig;
            this.hands = hands;
        }

        Plan plan() {
            return box.plan().plan();
        }

        void close() {
            hunt.ifPresent(HuntSession::close);
            hands.ifPresent(Hands::close);
            session.close();
        }
    }

    /**
     * The newest snapshots of a box and of the hunt in it.
     *
     * @param hunt null while none is chosen
     * @param at   when the box's was first seen here
     */
    private record Seen(SessionView view, HuntSession.@Nullable View hunt, long at) {
        boolean live() {
            return view.link() == SessionView.Link.LIVE;
        }
    }

    private final Host host;
    private final Background background;
    private final Practice practice;
    private final KeptChecks store;
    private final KnownBoxes known;
    private final Sounds sounds;
    private final HuntPage page;
    private final ZoneId zone = ZoneId.systemDefault();
    private Optional<Bench> bench = Optional.empty();
    private Optional<Seen> seen = Optional.empty();
    private Optional<Background.Job> opening = Optional.empty();

    /** @param background where boxes are opened and closed, in order */
    public Hunting(
            FxLettering lettering,
            Background background,
            Practice practice,
            KeptChecks store,
            KnownBoxes known,
            Sounds sounds,
            Host host) {
        this.host = host;
        this.background = background;
        this.practice = practice;
        this.store = store;
        this.known = known;
        this.sounds = sounds;
        page = new HuntPage(lettering, new HuntPage.Actions() {
            @Override
            public void hunt(String control) {
                Hunting.this.hunt(control);
            }

            @Override
            public void command(Instruction command) {
                Hunting.this.command(command);
            }

            @Override
            public void answer(ProbeReading reading) {
                Hunting.this.answer(reading);
            }

            @Override
            public void act(HuntPage.Act act) {
                Hunting.this.act(act);
            }
        });
    }

    public HuntPage page() {
        return page;
    }

    // ---- coming and going

    /**
     * Opens a box in the background, and hunts in it.
     *
     * @param control that is dead; empty to ask which
     */
    public void begin(PlannedBox box, Optional<String> control) {
        stop();
        Supplier<Optional<Path>> to = host.recording(box);
        opening = Optional.of(background.begin(
                progress -> open(box, to.get()), opened -> take(opened, control), Bench::close, host::failed));
    }

    private Bench open(PlannedBox box, Optional<Path> to) throws DeviceException, JournalException {
        Optional<Rig> rig = practice.rig(box);
        // Its plug may have been pulled for the meter.
        rig.ifPresent(r -> r.plug(true));
        Session session = Session.open(box.source(), box.device(), Optional.empty(), to);
        try {
            // What cannot be read of it is told where the box is checked.
            PlanInUse plan = known.of(box.device(), rig.isPresent(), box.plan(), note -> LOG.warn("{}", note));
            return new Bench(
                    new PlannedBox(box.source(), box.device(), plan),
                    session,
                    rig.isPresent() ? Optional.empty() : baseline(box),
                    rig,
                    practice.hands(box));
        } catch (DeviceException problem) {
            session.close();
            throw problem;
        }
    }

    /** A hunt does without an earlier check where those that are kept cannot be read. */
    private Optional<KeptCheck> baseline(PlannedBox box) {
        try {
            return Baselines.newest(box.device(), box.plan(), store).map(KeptChecks.Kept::check);
        } catch (JournalException problem) {
            LOG.warn("{}", problem.getMessage());
            return Optional.empty();
        }
    }

    private void take(Bench opened, Optional<String> control) {
        bench = Optional.of(opened);
        String from = HuntModel.start(opened.plan(), opened.baseline, zone);
        page.setPlan(
                opened.plan(),
                BareBoards.counted(opened.box.plan())
                        .map(counted -> from + " " + counted)
                        .orElse(from));
        opened.hands.ifPresentOrElse(h -> page.workBy(h::press, h::release), () -> page.workBy(null, null));
        control.ifPresent(this::hunt);
        refresh();
        host.show();
    }

    /** Ends it; the box is closed in the background. */
    public void stop() {
        bench.ifPresent(b -> background.close(() -> {
            b.close();
            // A box to practise on is not left unplugged, where nobody would find it.
            b.rig.ifPresent(rig -> rig.plug(true));
        }));
        clear();
    }

    private void clear() {
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        bench = Optional.empty();
        seen = Optional.empty();
    }

    /** The probe that is shown; the hunt may be further by now. */
    public Optional<Probe> probe() {
        return seen.map(Seen::hunt).flatMap(HuntSession.View::probe);
    }

    // ---- at work

    private void hunt(String control) {
        bench.ifPresent(b -> {
            Optional<Control> chosen = b.plan().control(control);
            if (chosen.filter(c -> !HuntModel.huntable(c)).isPresent()) {
                b.refused = chosen;
            } else {
                b.name = HuntModel.name(b.plan(), control);
                b.hunt = Optional.of(HuntSession.start(b.session, b.box.plan(), control, b.baseline, any -> {}));
            }
            refresh();
        });
    }

    /** Shows the newest snapshots; called once per frame. */
    public void frame() {
        bench.ifPresent(b -> {
            Optional<Seen> before = seen;
            Seen now = look(b);
            SessionView view = now.view();
            page.show(
                    view,
                    view.link() == SessionView.Link.ENDED ? view.nanos() : view.nanos() + System.nanoTime() - now.at());
            if (before.filter(s -> s == now).isEmpty()) {
                refresh();
            }
        });
    }

    /** Takes the newest snapshots; what was seen before where they are the same. */
    private Seen look(Bench b) {
        SessionView view = b.session.view();
        HuntSession.@Nullable View hunt = b.hunt.map(HuntSession::view).orElse(null);
        Optional<Seen> ofSame = seen.filter(s -> s.view() == view);
        Seen now = ofSame.filter(s -> s.hunt() == hunt)
                .orElseGet(() -> new Seen(view, hunt, ofSame.map(Seen::at).orElseGet(System::nanoTime)));
        seen = Optional.of(now);
        return now;
    }

    private void refresh() {
        bench.ifPresent(b -> {
            Seen now = look(b);
            SessionView view = now.view();
            HuntSession.@Nullable View hunt = now.hunt();
            // For a press it must have been plugged in again.
            b.unplugged &= hunt != null
                    && hunt.state() != HuntSession.State.PRESS
                    && hunt.state() != HuntSession.State.PLUG_IN;
            HuntModel.Page next = hunt == null
                    ? HuntModel.choosing(view, b.refused)
                    : HuntModel.of(b.plan(), b.name, hunt, view, b.unplugged);
            sounds.follow(page.shown(), next);
            page.show(next, offered(b, next.stage(), now.live()));
            page.setNotices(BenchNotices.ofSession(view));
            say(b, view, next.stage());
        });
    }

    private void say(Bench b, SessionView view, Stage stage) {
        boolean probing = (stage == Stage.PROBE || stage == Stage.FOUND) && view.link() == SessionView.Link.LOST;
        host.say(
                view.box(),
                probing
                        ? Texts.say("hunt.link.probing")
                        : LinkState.words(view.link(), b.rig.isPresent(), b.session.recording()),
                !probing && view.link() != SessionView.Link.LIVE);
    }

    private static List<HuntPage.Act> offered(Bench b, Stage stage, boolean live) {
        boolean simulated = b.rig.isPresent();
        return switch (stage) {
            case UNPLUG -> List.of(simulated ? HuntPage.Act.PULL : HuntPage.Act.UNPLUGGED, HuntPage.Act.CANNOT);
            case PROBE -> simulated ? List.of(HuntPage.Act.MEASURE, HuntPage.Act.CANNOT) : List.of(HuntPage.Act.CANNOT);
            case PLUG_IN -> simulated ? List.of(HuntPage.Act.PUSH) : List.of();
            // What is mended is plugged in before it is checked.
            case FOUND, ANSWERS ->
                live
                        ? List.of(HuntPage.Act.CHECK, HuntPage.Act.ANOTHER)
                        : simulated ? List.of(HuntPage.Act.PUSH) : List.of();
            case CHOOSE, PRESS, THINK, STOPPED -> List.of();
        };
    }

    private void answer(ProbeReading reading) {
        bench.flatMap(b -> b.hunt)
                .filter(h -> page.shown().filter(p -> p.stage() == Stage.PROBE).isPresent())
                .ifPresent(h -> probe().ifPresent(asked -> h.answer(asked, reading)));
    }

    private void act(HuntPage.Act act) {
        bench.ifPresent(b -> {
            switch (act) {
                case UNPLUGGED -> b.unplugged = true;
                case PULL -> b.rig.ifPresent(rig -> rig.plug(false));
                case PUSH -> b.rig.ifPresent(rig -> rig.plug(true));
                case MEASURE -> probe().ifPresent(probe -> b.rig.ifPresent(rig -> answer(rig.reads(probe))));
                case CANNOT -> b.hunt.ifPresent(h -> probe().ifPresent(h::skip));
                // Each hunt has a session and a recording of its own.
                case CHECK -> host.check(b.box);
                case ANOTHER -> begin(b.box, Optional.empty());
            }
            refresh();
        });
    }

    /** Takes what was said by key; false where that key says nothing. */
    public boolean key(KeyEvent event) {
        if (bench.isEmpty() || page.shown().isEmpty()) {
            return false;
        }
        boolean live = seen.filter(Seen::live).isPresent();
        Optional<HuntPage.Act> act = offered(bench.get(), page.shown().get().stage(), live).stream()
                .filter(a -> a.key.equals(event.getCode().getName()))
                .findFirst();
        if (act.isPresent()) {
            act(act.get());
            return true;
        }
        switch (event.getCode()) {
            case S -> command(Instruction.SKIP);
            case R -> command(Instruction.REPEAT);
            case W -> command(Instruction.WRONG_PRESS);
            case U -> command(Instruction.UNDO);
            case PAGE_DOWN -> page.scroll(PAGE);
            case PAGE_UP -> page.scroll(-PAGE);
            default -> {
                Optional<ProbeReading> reading = page.answer(event);
                reading.ifPresent(this::answer);
                return reading.isPresent();
            }
        }
        return true;
    }

    private void command(Instruction command) {
        if (page.shown().filter(p -> p.card().commands().contains(command)).isEmpty()) {
            return;
        }
        if (command == Instruction.UNDO) {
            bench.flatMap(b -> b.hunt).ifPresent(HuntSession::undo);
        } else {
            bench.ifPresent(b -> b.session.command(command));
        }
    }
}
