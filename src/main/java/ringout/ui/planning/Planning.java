package ringout.ui.planning;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import javafx.scene.layout.BorderPane;
import org.jspecify.annotations.Nullable;
import ringout.bench.LearnSession;
import ringout.bench.PlanInUse;
import ringout.circuit.Fault;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.diagnosis.ContinuityRun;
import ringout.files.WholeFile;
import ringout.journal.KeptChecks;
import ringout.journal.PlanHash;
import ringout.learn.Learn;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.report.CockpitCard;
import ringout.report.Document;
import ringout.report.DocumentFile;
import ringout.report.WiringSheet;
import ringout.ui.background.Background;
import ringout.ui.background.WindowThread;
import ringout.ui.files.FileQuestions;
import ringout.ui.files.MeasuredPlans;
import ringout.ui.files.PlanFile;
import ringout.ui.meter.ContinuityPage;
import ringout.ui.model.EditorModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.NoticesPane;
import ringout.ui.solder.SolderPage;
import ringout.words.Texts;

/**
 * What the window does with plans before there is a box: plan a new one, edit, print the wiring sheet, measure. On the
 * application thread.
 */
public final class Planning {
    /** The window around it. */
    public interface Host {
        /** Shows a page, and above it what it is about and how that stands. */
        void show(BorderPane page, String about, String state);

        /** Says something on the page that is shown, which is none of these. */
        void say(String words);

        /** Back to the start page. */
        void home();

        /** Chooses a plan on the start page. */
        void use(Path plan);

        /** Something came to nothing. */
        void failed(String why);

        /** To be spoken where speech is on. */
        void spoken(String words);
    }

    private final Host host;
    private final Background boxes;
    private final Background disk;
    private final Background computing = new Background("ringout-planning");
    private final FileQuestions files;
    private final NewBoxPage newBox;
    private final EditorPage editor;
    private final ContinuityPage continuity;
    private final SolderPage soldering;
    private final LearnPage learn;
    private final Path learnedFolder;
    private Optional<Background.Job> opening = Optional.empty();
    private Optional<LearnSession> learning = Optional.empty();
    /** Of the box that is learned, or whose plan is in the editor and not saved yet. */
    private Optional<LearnedSoFar> learned = Optional.empty();

    private Optional<Path> file = Optional.empty();
    private String onDisk = "";
    private @Nullable BorderPane shown;
    private @Nullable BorderPane before;
    private String measuring = "";

    /**
     * @param boxes         where a box that is learned is opened and closed, in order
     * @param disk          where files are read and written
     * @param measuredPlans takes what checklists showed
     * @param learnedFolder of boxes that are being learned
     * @param checks        of real boxes; beside them is kept what is soldered along
     */
    public Planning(
            FxLettering lettering,
            Background boxes,
            Background disk,
            FileQuestions files,
            MeasuredPlans measuredPlans,
            Path learnedFolder,
            KeptChecks checks,
            Host host) {
        this.boxes = boxes;
        this.disk = disk;
        this.host = host;
        this.learnedFolder = learnedFolder;
        this.files = files;
        newBox = new NewBoxPage(lettering, computing, yaml -> edit(yaml, Optional.empty()));
        editor = new EditorPage(lettering, computing, new EditorPage.Actions() {
            @Override
            public void save() {
                Planning.this.save(() -> {});
            }

            @Override
            public void sheet() {
                print(
                        editor.model().plan(),
                        file.map(f -> f.getFileName().toString())
                                .orElse(suggested(editor.model().plan())),
                        file);
            }

            @Override
            public void probe() {
                measure(editor.model().plan(), PlanHash.of(editor.model().text()));
            }

            @Override
            public void solder() {
                Planning.this.solder(
                        PlanInUse.of(editor.model().plan(), editor.model().text()));
            }

            @Override
            public void card() {
                Planning.this.card(editor.model().plan());
            }

            @Override
            public void compare() {
                Planning.this.compare();
            }

            @Override
            public void edited(EditorModel model) {
                state();
            }
        });
        continuity = new ContinuityPage(lettering, new ContinuityPage.Actions() {
            @Override
            public void measured(ContinuityRun.Outcome outcome) {
                measuredPlans.measured(measuring, outcome);
            }

            @Override
            public void leave() {
                Planning.this.leave();
            }

            @Override
            public void failed(String why) {
                host.failed(why);
            }
        });
        soldering = new SolderPage(lettering, computing, disk, checks, new SolderPage.Actions() {
            @Override
            public void spoken(String words) {
                host.spoken(words);
            }

            @Override
            public void leave() {
                Planning.this.leave();
            }

            @Override
            public void failed(String why) {
                host.failed(why);
            }
        });
        learn = new LearnPage(lettering, new LearnPage.Actions() {
            @Override
            public void say(BiConsumer<Learn, Long> what) {
                learning.ifPresent(session -> session.say(what));
            }

            @Override
            public void planIt() {
                learning.ifPresent(session -> {
                    String yaml = session.yaml();
                    Optional<LearnedSoFar> from = learned;
                    stopLearning();
                    edit(yaml, Optional.empty(), () -> {
                        learned = from;
                        editor.setNotices(List.of(NoticesPane.Notice.of(Texts.say("learn.kept"))));
                    });
                });
            }
        });
    }

    public void setEm(double em) {
        learn.setEm(em);
        newBox.setEm(em);
        editor.setEm(em);
        continuity.setEm(em);
        soldering.setEm(em);
    }

    /** True while one of these pages is shown. */
    public boolean active() {
        return shown != null;
    }

    private void show(BorderPane page, String about, String state) {
        if (page != learn) {
            stopLearning();
        }
        shown = page;
        host.show(page, about, state);
    }

    // ---- pages

    /** Asks the few questions for a new box. */
    public void planNew() {
        show(newBox, Texts.say("new-box.about"), "");
        newBox.reset();
    }

    /** Edits a plan file that can be used. */
    public void edit(PlanFile plan) {
        edit(plan.text(), Optional.of(plan.file()));
    }

    /** Edits a plan file with one edit made: it fits a box with these faults, as far as none of them needs the iron. */
    public void fit(PlanFile plan, List<Fault> faults) {
        computing.begin(
                progress -> EditorModel.fitting(plan.text(), plan.file().toString(), faults),
                fits -> fits.ifPresent(model -> {
                    edit(model, plan.text(), Optional.of(plan.file()));
                    editor.setNotices(List.of(NoticesPane.Notice.of(Texts.say("editor.fits"))));
                }),
                host::failed);
    }

    /** Edits a plan's text; without a file it is not saved yet. */
    public void edit(String yaml, Optional<Path> from) {
        edit(yaml, from, () -> {});
    }

    private void edit(String yaml, Optional<Path> from, Runnable then) {
        String name = from.map(Path::toString).orElse(Texts.say("new-box.about"));
        computing.begin(
                progress -> EditorModel.of(yaml, name, from.isPresent()),
                read -> read.ifPresent(model -> {
                    edit(model, yaml, from);
                    then.run();
                }),
                host::failed);
    }

    private void edit(EditorModel model, String yaml, Optional<Path> from) {
        file = from;
        learned = Optional.empty();
        onDisk = from.isPresent() ? yaml : "";
        editor.open(model);
        editor.setNotices(from.isPresent() ? List.of() : List.of(NoticesPane.Notice.of(Texts.say("editor.new"))));
        show(editor, model.plan().box().name(), "");
        state();
    }

    /** Walks through the multimeter checklist of a plan. */
    public void measure(Plan plan, String hash) {
        before = shown;
        measuring = hash;
        show(continuity, plan.box().name(), Texts.say("meter.about"));
        continuity.setPlan(plan);
    }

    /** Guides the iron along a plan. */
    public void solder(PlanInUse plan) {
        before = shown;
        show(soldering, plan.plan().box().name(), Texts.say("solder.about"));
        soldering.begin(plan);
    }

    /** Which boxes are plugged in now. */
    public void boxes(List<DeviceInfo> listed) {
        soldering.boxes(listed);
    }

    private void state() {
        if (shown == editor) {
            String state = editor.model().unsaved()
                    ? Texts.say("editor.unsaved")
                    : Texts.say(
                            "editor.saved",
                            file.map(f -> f.getFileName().toString()).orElse(""));
            host.show(editor, editor.model().plan().box().name(), state);
        }
    }

    /** Learns a box without a plan. */
    public void learn(DeviceSource source, DeviceInfo box) {
        stopLearning();
        LearnedSoFar kept = new LearnedSoFar(learnedFolder, box);
        Runnable news = WindowThread.bell(this::learned);
        opening = Optional.of(boxes.begin(
                progress -> openLearning(source, box, kept, news),
                session -> {
                    learning = Optional.of(session);
                    learned = Optional.of(kept);
                    show(learn, box.name(), Texts.say("learn.about"));
                    learned();
                },
                LearnSession::close,
                host::failed));
    }

    private static LearnSession openLearning(DeviceSource source, DeviceInfo box, LearnedSoFar kept, Runnable news)
            throws DeviceException {
        Consumer<LearnView> listener = view -> {
            kept.keep(view);
            news.run();
        };
        try {
            return LearnSession.open(source, box, kept.before(), listener);
        } catch (IllegalArgumentException otherFirmware) {
            return LearnSession.open(source, box, LearnedBox.Learned.NOTHING, listener);
        }
    }

    private void learned() {
        learning.ifPresent(session -> learn.show(
                session.view(),
                session.trouble(),
                learned.map(LearnedSoFar::trouble).orElse("")));
    }

    /** Lets go of a box that is learned, or about to be. */
    public void stopLearning() {
        opening.ifPresent(Background.Job::cancel);
        opening = Optional.empty();
        learning.ifPresent(session -> boxes.close(session::close));
        learning = Optional.empty();
    }

    // ---- leaving

    /** Goes back by one page; asks first where edits would be lost. */
    public void leave() {
        if (shown == continuity || shown == soldering) {
            continuity.close();
            soldering.close();
            if (before == editor) {
                show(editor, editor.model().plan().box().name(), "");
                state();
                return;
            }
        }
        if (mayLeave(this::home)) {
            home();
        }
    }

    /**
     * False where edits are not saved; then it is asked what to do with them.
     *
     * @param then done once they are saved or let go
     */
    public boolean mayLeave(Runnable then) {
        if (shown == null
                || shown == newBox
                || shown == learn
                || (shown == continuity || shown == soldering) && before != editor
                || !editor.model().unsaved()) {
            return true;
        }
        show(editor, editor.model().plan().box().name(), "");
        state();
        editor.setNotices(List.of(
                new NoticesPane.Notice(Texts.say("editor.leave"), Optional.of(Texts.say("editor.leave.save")), () -> {
                    save(then);
                }),
                new NoticesPane.Notice(
                        Texts.say("editor.leave.lose"), Optional.of(Texts.say("editor.leave.discard")), () -> {
                            // What is edited next is read anew.
                            editor.open(editor.model().savedNow());
                            then.run();
                        })));
        return false;
    }

    private void home() {
        put();
        host.home();
    }

    /** Puts everything away, for another page to be shown; false where edits would be lost, which then is asked about. */
    public boolean dismiss() {
        if (!mayLeave(this::home)) {
            return false;
        }
        put();
        return true;
    }

    private void put() {
        stopLearning();
        continuity.close();
        soldering.close();
        if (shown == editor) {
            editor.setNotices(List.of());
        }
        shown = null;
    }

    /** Ends what runs behind the pages. */
    public void close() {
        stopLearning();
        continuity.close();
        computing.end();
    }

    /** True while something that was begun is not told yet. */
    public boolean busy() {
        return computing.busy();
    }

    // ---- files

    /** @param then done once it is on the disk */
    private void save(Runnable then) {
        Optional<Path> to = file.or(() -> files.save(
                Texts.say("editor.save.title"),
                Optional.empty(),
                suggested(editor.model().plan()),
                List.of(".yaml", ".yml")));
        to.ifPresent(out -> {
            String text = editor.model().text();
            Optional<LearnedSoFar> from = learned;
            disk.run(
                    () -> {
                        PlanFile.write(out, text);
                        from.ifPresent(LearnedSoFar::done);
                    },
                    () -> saved(out, text, from, then),
                    why -> editor.setNotices(
                            List.of(NoticesPane.Notice.of(Texts.say("editor.save.failed", out.toString(), why)))));
        });
    }

    private void saved(Path out, String text, Optional<LearnedSoFar> from, Runnable then) {
        file = Optional.of(out);
        learned = learned.equals(from) ? Optional.empty() : learned;
        onDisk = text;
        editor.setNotices(List.of());
        host.use(out);
        // What was edited meanwhile is not saved yet.
        if (editor.model().text().equals(text)) {
            editor.show(editor.model().savedNow());
            then.run();
        }
        state();
    }

    /** Another program has written a plan file: an editor without edits of its own takes it, another says so. */
    public void changed(PlanFile now) {
        if (shown != editor
                || file.isEmpty()
                || !file.get().toAbsolutePath().equals(now.file().toAbsolutePath())
                || now.text().equals(onDisk)) {
            return;
        }
        onDisk = now.text();
        if (!editor.model().unsaved() && !now.reading().hasErrors()) {
            editor.edit(m -> m.reloaded(now.text()));
        } else {
            editor.setNotices(List.of(NoticesPane.Notice.of(
                    Texts.say("editor.changed-outside", now.file().getFileName().toString()))));
        }
    }

    private static String suggested(Plan plan) {
        return NewBox.id(plan.box().name()) + ".yaml";
    }

    /**
     * Writes the wiring sheet where the builder wants it.
     *
     * @param name what the plan is called
     * @param near the plan's file, beside which to begin
     */
    public void print(Plan plan, String name, Optional<Path> near) {
        String title = name.replaceAll("\\.ya?ml$", "");
        Optional<Path> to = files.save(
                Texts.say("sheet.title"),
                near.map(Path::toAbsolutePath).map(Path::getParent),
                title + ".pdf",
                List.of(".pdf", ".html"));
        to.ifPresent(out -> {
            disk.run(
                    () -> DocumentFile.write(
                            WiringSheet.of(plan, name, Document.Paper.of(Locale.getDefault())),
                            out,
                            WholeFile.Existing.REPLACE),
                    () -> printed(Texts.say("sheet.written", out.toString())),
                    why -> printed(Texts.say("sheet.failed", out.toString(), why)));
        });
    }

    private void card(Plan plan) {
        Optional<Path> to = files.save(
                Texts.say("card.title", plan.box().name()),
                file.map(Path::toAbsolutePath).map(Path::getParent),
                NewBox.id(plan.box().name()) + "-card.pdf",
                List.of(".pdf", ".html"));
        to.ifPresent(out -> disk.run(
                () -> DocumentFile.write(
                        CockpitCard.of(plan, Document.Paper.of(Locale.getDefault())), out, WholeFile.Existing.REPLACE),
                () -> printed(Texts.say("card.wrote", out.toString())),
                why -> printed(Texts.say("sheet.failed", out.toString(), why))));
    }

    /** The box before: chosen once, and compared with whatever is edited from then on. */
    private void compare() {
        Optional<Path> chosen = files.open(
                Texts.say("editor.compare.title"),
                file.map(Path::toAbsolutePath).map(Path::getParent));
        chosen.ifPresent(from -> disk.begin(
                progress -> PlanFile.read(from),
                read -> {
                    if (shown == editor
                            && read.reading().plan().isPresent()
                            && !read.reading().hasErrors()) {
                        editor.compareWith(
                                from.getFileName().toString(),
                                read.reading().plan().get());
                    } else if (shown == editor) {
                        String why = read.reading().problems().isEmpty()
                                ? ""
                                : read.reading().problems().get(0).message();
                        printed(Texts.say("editor.compare.bad", from.toString(), why));
                    }
                },
                this::printed));
    }

    private void printed(String said) {
        List<NoticesPane.Notice> notices = new ArrayList<>(List.of(NoticesPane.Notice.of(said)));
        if (shown == editor) {
            editor.setNotices(notices);
        } else {
            host.say(said);
        }
    }
}
