package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import ringout.bench.PlanInUse;
import ringout.bench.Plans;
import ringout.bench.Rehearsal;
import ringout.bench.Replay;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.bench.SessionView.Link;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.journal.PlanHash;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/** A guided check of a box in the kernel, which is unplugged in the middle of it: the check pauses, goes on, and is right. */
record CheckChecks(DeviceSource source, Results results) {
    /** Real time in a busy emulator would stretch bounce beyond what is normal, so none is let through. */
    private static final String DEBOUNCED = "diodes: none, debounce: 5 ms }";

    private static final long SEED = 3;

    void run() {
        results.check(
                "unplugged twice in a check, it pauses, says so, goes on and finds what it would have found",
                () -> check("CHECK-1", List.of("open:contact:saloon"), false));
        results.check(
                "unplugged twice in a check through evdev, a good box is found good",
                () -> check("CHECK-2", List.of(), true));
    }

    private void check(String serial, List<String> faultTexts, boolean throughEvdev) throws Exception {
        String yaml = Files.readString(Plans.file("guards-panel")).replace("diodes: none }", DEBOUNCED);
        assertTrue(yaml.contains(DEBOUNCED));
        Plan plan = Plans.of(yaml);
        List<Fault> faults =
                faultTexts.stream().map(text -> Fault.parse(text, plan)).toList();
        PlanInUse inUse = new PlanInUse(plan, PlanHash.of(yaml));
        Path recording = Path.of("/tmp", serial + ".jsonl");
        EvdevChecks around = new EvdevChecks(source, results);
        BlockingQueue<SessionView> views = new LinkedBlockingQueue<>();
        CheckView last;
        try (WorkedBox box =
                new WorkedBox(descriptor -> Uhid.plugIn(Boxes.box(serial), descriptor), plan, faults, SEED)) {
            DeviceInfo device = throughEvdev ? around.allow(serial) : Boxes.await(source, serial);
            Session session = throughEvdev
                    ? Somebody.does(() ->
                            Session.open(source, source.find(serial).get(0), Optional.of(inUse), Optional.empty()))
                    : Session.open(source, device, Optional.of(inUse), Optional.of(recording));
            try (session) {
                AtomicBoolean asked = new AtomicBoolean();
                session.listen(view -> {
                    view.check().ifPresent(check -> {
                        boolean question = check.prompt().kind() == Prompt.Kind.QUESTION;
                        if (question && !asked.getAndSet(true)) {
                            session.command(Instruction.NOTHING_CAME); // it was pressed
                        } else if (!question) {
                            asked.set(false);
                        }
                        box.see(check.prompt());
                    });
                    views.add(view);
                });
                // In the middle of a press, and while the builder is asked to let go or to press the next one.
                unplugged(
                        box,
                        views,
                        view -> check(view).done() >= 2
                                && !view.state().onInputs().isEmpty(),
                        around,
                        throughEvdev ? serial : "");
                unplugged(
                        box,
                        views,
                        view -> check(view).done() >= 4
                                && view.state().onInputs().isEmpty(),
                        around,
                        throughEvdev ? serial : "");
                last = check(await(views, view -> check(view).finished()));
            }
            assertEquals(
                    throughEvdev,
                    session.view().notes().stream().anyMatch(note -> note.startsWith("Read through evdev")));
        }
        Rehearsal undisturbed = new Rehearsal(new Rehearsal.Setup(plan, faults, Wear.NONE, 1000, 0, SEED));
        undisturbed.start();
        CheckView expected = undisturbed.run().view();
        assertEquals(
                faults.size(), expected.findings().size(), expected.findings().toString());
        assertEquals(last.total(), last.done());
        assertTrue(last.total() >= expected.total());
        assertEquals(summary(expected), summary(last), last.findings().toString());
        if (!throughEvdev) {
            Replay replay = Replay.of(recording, Optional.of(inUse));
            assertEquals(
                    summary(last), summary(replay.bench().check().orElseThrow().view()), "of the recording");
        }
    }

    /** Unplugs as soon as a view is right for it, looks at the pause, plugs in again, and waits until the check goes on. */
    private static void unplugged(
            WorkedBox box,
            BlockingQueue<SessionView> views,
            Predicate<SessionView> when,
            EvdevChecks around,
            String allowed)
            throws Exception {
        SessionView before = await(views, when);
        box.unplug();
        SessionView lost = await(views, view -> view.link() == Link.LOST);
        assertTrue(lost.message().contains("went away. Plug it in again."), lost.message());
        CheckView paused = check(lost);
        assertTrue(paused.paused());
        assertEquals(Prompt.Kind.PLUG_IN, paused.prompt().kind());
        assertEquals(
                "Unplugged at step " + paused.step() + ": plug it in again",
                paused.prompt().sentence());
        assertTrue(paused.done() >= check(before).done());
        Thread.sleep(700);
        box.plugIn();
        if (!allowed.isEmpty()) {
            around.allow(allowed);
        }
        CheckView back = check(await(views, view -> view.link() == Link.LIVE));
        assertEquals(paused.step(), back.step());
        assertEquals(paused.done(), back.done());
    }

    private static CheckView check(SessionView view) {
        return view.check().orElseThrow();
    }

    private static SessionView await(BlockingQueue<SessionView> views, Predicate<SessionView> what)
            throws InterruptedException {
        SessionView view = views.poll(60, TimeUnit.SECONDS);
        while (view != null && (view.check().isEmpty() || !what.test(view))) {
            view = views.poll(60, TimeUnit.SECONDS);
        }
        if (view == null) {
            throw new AssertionError("the session says nothing more");
        }
        return view;
    }

    private static Set<List<Object>> summary(CheckView view) {
        return view.findings().stream().map(CheckChecks::summary).collect(Collectors.toSet());
    }

    private static List<Object> summary(Finding finding) {
        return List.of(finding.kind(), finding.controls(), finding.expected(), finding.actual());
    }
}
