package ringout.ui.solder;

import static ringout.ui.parts.Labels.words;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.UnaryOperator;
import javafx.css.PseudoClass;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.control.SplitPane;
import javafx.scene.input.KeyCode;
import javafx.scene.input.KeyEvent;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.FlowPane;
import javafx.scene.layout.VBox;
import ringout.bench.PlanInUse;
import ringout.bench.SolderedBoxes;
import ringout.circuit.Circuit;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.diagnosis.Continuity;
import ringout.journal.KeptChecks;
import ringout.journal.KeptSoldering;
import ringout.solder.Act;
import ringout.solder.PractiseMeter;
import ringout.solder.Soldering;
import ringout.ui.background.Background;
import ringout.ui.model.MeterAnswer;
import ringout.ui.model.SolderModel;
import ringout.ui.parts.BigSentence;
import ringout.ui.parts.Docket;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.StepPane;
import ringout.ui.sheets.LoomSheet;
import ringout.words.Texts;

/** Soldering along a plan: one joint or one sweep of the meter, large, and its place on the loom. */
public final class SolderPage extends BorderPane {
    /** What the page can set going. */
    public interface Actions {
        /** What is to be done next, to be spoken where speech is on. */
        void spoken(String words);

        void leave();

        /** It could not be begun. */
        void failed(String why);
    }

    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);
    private static final PseudoClass TROUBLE = PseudoClass.getPseudoClass("trouble");

    private final Actions actions;
    private final Background computing;
    private final Background disk;
    private final KeptChecks checks;
    private final LoomSheet loom;
    private final Docket side;
    private final BigSentence sentence;
    private final Label place = words("step-place");
    private final Label detail = words("step-detail");
    private final Label counts = words("step-counts");
    private final Label unkept = words("step-detail");
    private final FlowPane buttons = new FlowPane();
    private final VBox step = new VBox();
    private List<DeviceInfo> listed = List.of();
    private Optional<Work> work = Optional.empty();
    /** Counts what was begun, so that news of what was left is passed over. */
    private int begun;

    private Optional<Soldering.Cause> cause = Optional.empty();
    private String spoken = "";
    private Optional<Button> main = Optional.empty();

    /** What is soldered, and by which meter it is measured. */
    private record Work(
            PlanInUse plan, Circuit circuit, Soldering at, Optional<String> touched, Optional<PractiseMeter> meter) {
        Work now(Soldering next) {
            return new Work(plan, circuit, next, touched, meter);
        }

        Work measuredBy(Optional<PractiseMeter> other) {
            return new Work(plan, circuit, at, touched, other);
        }
    }

    /**
     * @param computing where the order is worked out
     * @param disk      where it is kept how far it is
     * @param checks    of real boxes; what is soldered is kept beside them
     */
    public SolderPage(
            FxLettering lettering, Background computing, Background disk, KeptChecks checks, Actions actions) {
        this.actions = actions;
        this.computing = computing;
        this.disk = disk;
        this.checks = checks;
        setId("solder");
        getStyleClass().add("bench");
        loom = new LoomSheet(lettering);
        sentence = new BigSentence(lettering, 2);
        sentence.setId("solder-sentence");
        place.setId("solder-place");
        detail.setId("solder-detail");
        counts.setId("solder-counts");
        unkept.setId("solder-unkept");
        buttons.getStyleClass().add("step-buttons");
        step.getStyleClass().add("step");
        step.getChildren().addAll(place, sentence, detail, buttons, counts, unkept);
        VBox column = new VBox(step);
        column.getStyleClass().add("docket");
        side = new Docket(column);
        SplitPane split = new SplitPane(loom, side);
        split.setDividerPositions(0.55);
        setCenter(split);
        addEventFilter(KeyEvent.KEY_PRESSED, this::key);
    }

    public void setEm(double em) {
        loom.setEm(em);
        sentence.setEm(em);
    }

    /** Begins, or goes on where it was left. */
    public void begin(PlanInUse plan) {
        open(plan, false);
    }

    private void open(PlanInUse plan, boolean anew) {
        int number = ++begun;
        work = Optional.empty();
        unkept.setText("");
        loom.setPlan(plan.plan());
        place.setText("");
        sentence.setWords(Texts.say("solder.opening"));
        detail.setText("");
        counts.setText("");
        buttons.getChildren().clear();
        // On the disk's own thread, so that it is read behind what is still being kept.
        disk.begin(
                progress -> {
                    KeptSoldering store = KeptSoldering.beside(checks);
                    if (anew) {
                        store.putAside(plan.plan(), Instant.now());
                    }
                    List<Act> acts = store.acts(plan.plan());
                    Optional<String> touched = SolderedBoxes.touched(plan, checks.bareBoards())
                            .map(when -> MOMENT.format(when.atZone(ZoneId.systemDefault())));
                    Circuit circuit = Circuit.of(plan.plan());
                    return new Work(plan, circuit, Soldering.of(circuit, acts), touched, Optional.empty());
                },
                read -> {
                    if (number == begun) {
                        show(read);
                    }
                },
                why -> {
                    if (number == begun) {
                        sentence.setWords(why);
                    }
                    actions.failed(why);
                });
    }

    private void show(Work next) {
        if (next.at().lines().isEmpty()) {
            sentence.setWords(Texts.say("solder.nothing"));
            return;
        }
        work = Optional.of(next);
        look();
        refresh();
        requestFocus();
    }

    private void practise() {
        work.ifPresent(w -> {
            int number = ++begun;
            long seed = System.nanoTime();
            computing.begin(
                    progress -> new Work(
                            w.plan(),
                            w.circuit(),
                            Soldering.of(w.circuit(), List.of()).begin(),
                            Optional.empty(),
                            Optional.of(PractiseMeter.hidden(w.circuit(), seed))),
                    ready -> {
                        if (number == begun) {
                            show(ready);
                        }
                    },
                    actions::failed);
        });
    }

    /** Which boxes are plugged in now. */
    public void boxes(List<DeviceInfo> now) {
        listed = List.copyOf(now);
        if (work.isPresent()) {
            Soldering before = work.get().at();
            look();
            if (work.get().at() != before) {
                refresh();
            }
        }
    }

    private void look() {
        work.filter(w -> w.meter().isEmpty())
                .ifPresent(w -> work = Optional.of(w.now(w.at().plugged(
                                SolderedBoxes.plugged(w.plan().plan(), listed).map(DeviceInfo::describe)))));
    }

    /** Nothing is soldered here any more; what was done is kept. */
    public void close() {
        begun++;
        work = Optional.empty();
        spoken = "";
    }

    // What is done

    private void change(UnaryOperator<Soldering> change) {
        work.ifPresent(w -> {
            Soldering next = change.apply(w.at());
            if (w.meter().isEmpty() && !next.acts().equals(w.at().acts())) {
                keep(w.plan(), next.acts());
            }
            work = Optional.of(w.now(next));
            refresh();
            requestFocus();
        });
    }

    private void keep(PlanInUse plan, List<Act> acts) {
        disk.run(
                () -> KeptSoldering.beside(checks).keep(plan.plan(), plan.hash(), acts),
                () -> unkept.setText(""),
                why -> unkept.setText(Texts.say("solder.unkept", why)));
    }

    private void next() {
        if (work.isEmpty()) {
            return;
        }
        Soldering.Stage stage = work.get().at().stage();
        Instant now = Instant.now();
        if (stage instanceof Soldering.Before) {
            change(Soldering::begin);
        } else if (stage instanceof Soldering.Solder) {
            change(at -> at.done(now));
        } else if (stage instanceof Soldering.Measure && work.get().meter().isPresent()) {
            read();
        } else if (stage instanceof Soldering.Measure) {
            change(at -> at.good(now));
        } else if (stage instanceof Soldering.Wrong && cause.isPresent()) {
            Soldering.Cause known = cause.get();
            work = work.map(w -> w.measuredBy(w.meter().map(m -> m.mended(known.joint()))));
            change(at -> at.mended(known.joint(), now));
        } else if (stage instanceof Soldering.End end) {
            if (end.later().isEmpty()) {
                actions.leave();
            } else {
                change(at -> at.again(now));
            }
        }
    }

    private void skip() {
        Instant now = Instant.now();
        change(at -> at.skip(now));
    }

    /** The simulated meter. */
    private void read() {
        work.filter(w -> w.meter().isPresent() && w.at().stage() instanceof Soldering.Measure)
                .ifPresent(w -> {
                    List<Continuity.Step> steps =
                            ((Soldering.Measure) w.at().stage()).sweep().steps();
                    PractiseMeter meter = w.meter().get();
                    Instant now = Instant.now();
                    boolean good = steps.stream().allMatch(point -> meter.reads(point) == point.good());
                    change(at -> {
                        Soldering next = good ? at.good(now) : at.oneByOne();
                        for (int i = 0; !good && i < steps.size(); i++) {
                            next = next.shows(meter.reads(steps.get(i)), now.plusMillis(i));
                        }
                        return next;
                    });
                });
    }

    private void shows(ProbeReading reading) {
        Instant now = Instant.now();
        change(at -> at.shows(reading, now));
    }

    private void key(KeyEvent event) {
        if (work.isEmpty() || event.isShortcutDown() || event.isAltDown()) {
            return;
        }
        boolean other = event.getTarget() instanceof Button button
                && main.filter(button::equals).isEmpty();
        if ((event.getCode() == KeyCode.SPACE || event.getCode() == KeyCode.ENTER) && !other) {
            next();
        } else if (event.getCode() == KeyCode.BACK_SPACE) {
            change(Soldering::back);
        } else if (event.getCode() == KeyCode.S) {
            skip();
        } else if (event.getCode() == KeyCode.N) {
            change(Soldering::oneByOne);
        } else if (event.getCode() == KeyCode.M && work.get().meter().isPresent()) {
            read();
        } else if (event.getCode().isDigitKey() && !event.getText().isEmpty()) {
            List<MeterAnswer> answers = SolderModel.answers(work.get().at());
            int number = event.getText().charAt(0) - '0';
            if (number < 1 || number > answers.size()) {
                return;
            }
            shows(answers.get(number - 1).reading());
        } else {
            return;
        }
        event.consume();
    }

    // What is shown

    private void refresh() {
        if (work.isEmpty()) {
            return;
        }
        Work now = work.get();
        Soldering at = now.at();
        cause = Optional.empty();
        put(now);
        if (at.stage() instanceof Soldering.Wrong wrong) {
            int number = begun;
            computing.begin(
                    progress -> at.cause(wrong),
                    why -> {
                        if (number == begun && work.filter(w -> w.at() == at).isPresent()) {
                            cause = Optional.of(why);
                            put(now);
                        }
                    },
                    actions::failed);
        }
    }

    private void put(Work now) {
        Soldering at = now.at();
        SolderModel.Card card =
                SolderModel.card(at, cause, now.touched(), now.meter().isPresent());
        side.toTop();
        place.setText(card.place());
        sentence.setWords(card.sentence());
        detail.setText(card.detail());
        counts.setText(card.counts());
        step.pseudoClassStateChanged(TROUBLE, card.trouble());
        buttons.getChildren().setAll(offered(now));
        SolderModel.Marked marked = SolderModel.marked(at, cause);
        loom.solder(marked.iron());
        loom.suspect(List.of(), marked.tips());
        loom.point(marked.control());
        if (!card.sentence().equals(spoken)) {
            spoken = card.sentence();
            actions.spoken(spoken);
        }
    }

    private List<Button> offered(Work now) {
        Soldering.Stage stage = now.at().stage();
        List<Button> offered = new ArrayList<>();
        main = Optional.empty();
        if (stage instanceof Soldering.Before before) {
            if (before.box().isEmpty()) {
                offered.add(first(Texts.say("solder.begin")));
            }
            offered.add(plain("solder-practise", Texts.say("solder.practise"), this::practise));
            if (!now.at().acts().isEmpty() && now.meter().isEmpty()) {
                offered.add(plain("solder-anew", Texts.say("solder.anew"), () -> open(now.plan(), true)));
            }
            return offered;
        } else if (stage instanceof Soldering.Solder) {
            offered.add(first(Texts.say("solder.done")));
        } else if (stage instanceof Soldering.Measure measure) {
            if (now.meter().isPresent()) {
                offered.add(first(Texts.say("solder.read")));
            } else if (measure.sweep().steps().size() > 1) {
                offered.add(first(Texts.say("solder.all-good")));
                offered.add(
                        keyed("solder-not-all", Texts.say("solder.not-all"), "N", () -> change(Soldering::oneByOne)));
            } else {
                int number = 1;
                for (MeterAnswer answer : SolderModel.answers(now.at())) {
                    String key = Integer.toString(number++);
                    offered.add(keyed("solder-answer-" + key, answer.words(), key, () -> shows(answer.reading())));
                }
            }
        } else if (stage instanceof Soldering.Wrong && cause.isPresent()) {
            offered.add(first(Texts.say("solder.mended")));
        } else if (stage instanceof Soldering.End end) {
            offered.add(first(end.later().isEmpty() ? Texts.say("meter.done") : Texts.say("solder.later")));
        }
        if (!(stage instanceof Soldering.End)) {
            offered.add(keyed("solder-skip", Texts.say("solder.skip"), "S", this::skip));
        }
        if (!now.at().acts().isEmpty()) {
            offered.add(keyed("solder-back", Texts.say("solder.back"), "⌫", () -> change(Soldering::back)));
        }
        return offered;
    }

    private Button first(String said) {
        Button button = keyed("solder-next", said, "␣", this::next);
        button.getStyleClass().add("main-button");
        main = Optional.of(button);
        return button;
    }

    private static Button keyed(String id, String said, String key, Runnable action) {
        Button button = StepPane.keyed(said, key, said, action);
        button.setId(id);
        return button;
    }

    private static Button plain(String id, String said, Runnable action) {
        Button button = new Button(said);
        button.setId(id);
        button.setMinWidth(USE_PREF_SIZE);
        button.setOnAction(event -> action.run());
        return button;
    }
}
