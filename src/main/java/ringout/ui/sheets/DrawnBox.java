package ringout.ui.sheets;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javafx.geometry.Orientation;
import javafx.scene.Node;
import javafx.scene.control.SplitPane;
import javafx.scene.control.ToggleButton;
import javafx.scene.control.ToggleGroup;
import javafx.scene.layout.BorderPane;
import javafx.scene.layout.HBox;
import org.jspecify.annotations.Nullable;
import ringout.bench.SessionView;
import ringout.circuit.Fault;
import ringout.drawing.FaultSketch;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.background.WindowThread;
import ringout.ui.model.ControlDetail;
import ringout.ui.model.Dials;
import ringout.ui.model.LoomModel;
import ringout.ui.model.PanelModel;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.words.Texts;

/** A box as it is drawn: panel and loom side by side, and the tape under them; where there is no room for all, one of them. */
public final class DrawnBox extends BorderPane {
    private static final double DRAWINGS_SHARE = 0.68;
    /** Room that the three take together, in sizes of text. */
    private static final double LEAST_WIDTH = 26;

    private static final double LEAST_HEIGHT = 28;

    private final PanelSheet panel;
    private final LoomSheet loom;
    private final TapePane tape;
    private final ToggleGroup choice = new ToggleGroup();
    private final HBox choices;
    private double em = Theme.BASE;
    private boolean oneByOne;
    private Consumer<String> picked = this::point;
    private Optional<Plan> plan = Optional.empty();
    private @Nullable Dials dials;
    private Optional<PanelModel> panelModel = Optional.empty();
    private @Nullable TapeStore store;
    private @Nullable SessionView shown;
    private Optional<FaultSketch.Tips> probed = Optional.empty();
    private List<String> lastAsked = List.of();

    public DrawnBox(FxLettering lettering) {
        panel = new PanelSheet(lettering);
        loom = new LoomSheet(lettering);
        tape = new TapePane(lettering);
        panel.setDetail(id -> plan.flatMap(p -> p.control(id).map(c -> ControlDetail.of(p, c, store)))
                .orElse(List.of()));
        panel.onPick(id -> picked.accept(id));
        loom.onPick(id -> picked.accept(id));
        SplitPane.setResizableWithParent(tape, false);
        choices = new HBox(
                choice("panel", Texts.say("panel.caption"), panel),
                choice("loom", Texts.say("loom.caption"), loom),
                choice("tape", Texts.say("tape.caption"), tape));
        choices.getStyleClass().add("sheet-choice");
        choice.getToggles().get(0).setSelected(true);
        choice.selectedToggleProperty().addListener((of, was, is) -> {
            if (is == null) {
                // One of them is always shown.
                was.setSelected(true);
            } else if (oneByOne) {
                arrange();
            }
        });
        widthProperty().addListener((of, was, is) -> room());
        heightProperty().addListener((of, was, is) -> room());
        arrange();
    }

    private ToggleButton choice(String id, String words, Node sheet) {
        ToggleButton button = new ToggleButton(words);
        button.setId("show-" + id);
        button.setToggleGroup(choice);
        button.setUserData(sheet);
        button.setMinWidth(USE_PREF_SIZE);
        return button;
    }

    /** Looks whether there is room for all of them. */
    private void room() {
        boolean tight = getWidth() < LEAST_WIDTH * em || getHeight() < LEAST_HEIGHT * em;
        if (tight != oneByOne && getWidth() > 0 && getHeight() > 0) {
            oneByOne = tight;
            // Not in the midst of being laid out.
            WindowThread.soon(this::arrange);
        }
    }

    private void arrange() {
        setCenter(null);
        if (oneByOne && plan.isPresent()) {
            setTop(choices);
            setCenter((Node) choice.getSelectedToggle().getUserData());
            return;
        }
        setTop(null);
        // New ones, since one that was made smaller while it was not shown gives the tape no height any more.
        SplitPane together = new SplitPane();
        together.setOrientation(Orientation.VERTICAL);
        if (plan.isPresent()) {
            SplitPane drawings = new SplitPane(panel, loom);
            drawings.getStyleClass().add("drawings");
            drawings.setDividerPositions(0.5);
            together.getItems().setAll(drawings, tape);
            together.setDividerPositions(DRAWINGS_SHARE);
        } else {
            together.getItems().setAll(tape);
        }
        setCenter(together);
    }

    /** Shows the panel, the loom or the tape where they are shown one at a time. */
    public void bring(Node sheet) {
        choice.getToggles().stream()
                .filter(toggle -> toggle.getUserData() == sheet)
                .forEach(toggle -> toggle.setSelected(true));
    }

    public void setEm(double em) {
        this.em = em;
        room();
        panel.setEm(em);
        loom.setEm(em);
        tape.setEm(em);
    }

    public PanelSheet panel() {
        return panel;
    }

    public LoomSheet loom() {
        return loom;
    }

    public TapePane tape() {
        return tape;
    }

    /** Who is told of a control that is clicked, or chosen with Enter, in place of it being {@link #point pointed out}. */
    public void onPick(Consumer<String> picked) {
        this.picked = picked;
    }

    /** Points nothing out any more, as for another check. */
    public void unpoint() {
        panel.point("");
        loom.point("");
    }

    /** Points a control out on panel and loom, and its input on the tape. */
    public void point(String control) {
        panel.point(control);
        loom.point(control);
        plan.flatMap(p -> p.control(control)).stream()
                .flatMap(c -> c.actions().stream())
                .flatMap(a -> a.input().stream())
                .findFirst()
                .ifPresent(tape::reveal);
    }

    /**
     * Draws a plan, and forgets what was shown of any box.
     *
     * @param plan empty to show the tape alone
     */
    public void setPlan(Optional<Plan> plan) {
        this.plan = plan;
        dials = null;
        store = null;
        shown = null;
        lastAsked = List.of();
        arrange();
        plan.ifPresent(panel::setPlan);
        panelModel = plan.map(PanelModel::new);
        plan.ifPresent(loom::setPlan);
        tape.clear();
    }

    /**
     * Marks what is suspected.
     *
     * @param controls at which it sits
     * @param faults   themselves
     * @param certain  false where those are several suspicions
     * @param tips     where to probe
     */
    public void suspect(Set<String> controls, List<Fault> faults, boolean certain, Optional<FaultSketch.Tips> tips) {
        panelModel.ifPresent(model -> {
            model.suspect(controls);
            if (shown != null) {
                panel.show(model.now(Optional.of(shown.state()), shown.check(), dials));
            }
        });
        if (tips.isPresent() && !tips.equals(probed)) {
            bring(loom);
        }
        probed = tips;
        loom.suspect(faults, certain, tips);
    }

    /** The control on the panel that the keyboard is at. */
    public Optional<String> focused() {
        return panel.focusedControl();
    }

    /**
     * Shows a snapshot; called once per frame.
     *
     * @param now nanoseconds on the snapshot's scale; later than its own time where nothing has happened since
     */
    public void show(SessionView view, long now) {
        TapeStore live = store;
        if (live == null || live.layout() != view.layout()) {
            live = new TapeStore(view.layout());
            store = live;
            tape.open(live, TapeRow.of(plan, view.layout()));
        }
        draw(view);
        live.follow(view.edges(), view.state(), now);
        tape.frame(now, view.edges().dropped() + view.edges().size());
    }

    /** Shows a recording, standing still: its end, and all of its tape. */
    public void show(SessionView end, TapeStore whole) {
        store = whole;
        tape.open(whole, TapeRow.of(plan, whole.layout()));
        draw(end);
        tape.showAll();
        tape.frame(whole.to(), 0);
    }

    /** Panel and loom; only where there is news. */
    private void draw(SessionView view) {
        boolean news = shown == null
                || view.reports() != shown.reports()
                || view.link() != shown.link()
                || !view.check().equals(shown.check());
        if (plan.isEmpty() || !news) {
            return;
        }
        if (dials == null) {
            dials = new Dials(plan.get(), view.layout());
        }
        dials.follow(view.edges());
        panelModel.ifPresent(model -> panel.show(model.now(Optional.of(view.state()), view.check(), dials)));
        if (shown == null || !sameSwitches(view.state(), shown.state())) {
            loom.show(LoomModel.of(plan.get(), view.state()));
        }
        view.check().ifPresent(check -> {
            tape.found(check.findings().stream()
                    .flatMap(finding -> Stream.concat(finding.expected().stream(), finding.actual().stream()))
                    .collect(Collectors.toSet()));
            List<String> asked = check.prompt().actions();
            if (!asked.equals(lastAsked)) {
                lastAsked = asked;
                Optional<Action> action = asked.stream().findFirst().flatMap(plan.get()::action);
                action.flatMap(Action::input).ifPresent(tape::follow);
                action.map(Action::control).ifPresent(control -> {
                    panel.follow(control);
                    loom.follow(control);
                });
            }
        });
        shown = view;
    }

    private static boolean sameSwitches(InputState one, InputState other) {
        if (one.layout() != other.layout()) {
            return false;
        }
        for (int i = 0; i < one.words(); i++) {
            if (one.word(i) != other.word(i)) {
                return false;
            }
        }
        return true;
    }
}
