package ringout.ui.sheets;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import javafx.geometry.Orientation;
import javafx.scene.control.SplitPane;
import ringout.bench.SessionView;
import ringout.circuit.Fault;
import ringout.drawing.FaultSketch;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.ui.model.ControlDetail;
import ringout.ui.model.Dials;
import ringout.ui.model.LoomModel;
import ringout.ui.model.PanelModel;
import ringout.ui.model.TapeRow;
import ringout.ui.model.TapeStore;
import ringout.ui.parts.FxLettering;

/** A box as it is drawn: panel and loom side by side, and the tape under them. */
public final class DrawnBox extends SplitPane {
    private static final double DRAWINGS_SHARE = 0.68;

    private final PanelSheet panel;
    private final LoomSheet loom;
    private final TapePane tape;
    private final SplitPane drawings;
    private Consumer<String> picked = this::point;
    private Optional<Plan> plan = Optional.empty();
    private Dials dials;
    private PanelModel panelModel;
    private TapeStore store;
    private SessionView shown;
    private List<String> lastAsked = List.of();

    public DrawnBox(FxLettering lettering) {
        panel = new PanelSheet(lettering);
        loom = new LoomSheet(lettering);
        tape = new TapePane(lettering);
        panel.setDetail(id -> plan.flatMap(p -> p.control(id).map(c -> ControlDetail.of(p, c, store)))
                .orElse(List.of()));
        panel.onPick(id -> picked.accept(id));
        loom.onPick(id -> picked.accept(id));
        drawings = new SplitPane(panel, loom);
        drawings.setDividerPositions(0.5);
        drawings.getStyleClass().add("drawings");
        setOrientation(Orientation.VERTICAL);
        getItems().setAll(drawings, tape);
        setDividerPositions(DRAWINGS_SHARE);
        SplitPane.setResizableWithParent(tape, false);
    }

    public void setEm(double em) {
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
        getItems().setAll(plan.isPresent() ? List.of(drawings, tape) : List.of(tape));
        setDividerPositions(DRAWINGS_SHARE);
        plan.ifPresent(panel::setPlan);
        panelModel = plan.map(PanelModel::new).orElse(null);
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
        panelModel.suspect(controls);
        if (shown != null) {
            panel.show(panelModel.now(Optional.of(shown.state()), shown.check(), dials));
        }
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
        if (store == null || store.layout() != view.layout()) {
            store = new TapeStore(view.layout());
            tape.open(store, TapeRow.of(plan, view.layout()));
        }
        draw(view);
        store.follow(view.edges(), view.state(), now);
        tape.frame(now, view.edges().dropped() + view.edges().size());
    }

    /** Shows a recording, standing still: its end, and all of its tape. */
    public void show(SessionView end, TapeStore whole) {
        store = whole;
        tape.open(store, TapeRow.of(plan, store.layout()));
        draw(end);
        tape.showAll();
        tape.frame(store.to(), 0);
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
        panel.show(panelModel.now(Optional.of(view.state()), view.check(), dials));
        if (shown == null || !sameSwitches(view.state(), shown.state())) {
            loom.show(LoomModel.of(plan.get(), view.state()));
        }
        view.check().ifPresent(check -> {
            List<String> asked = check.prompt().actions();
            if (!asked.equals(lastAsked)) {
                lastAsked = asked;
                asked.stream()
                        .findFirst()
                        .flatMap(plan.get()::action)
                        .flatMap(Action::input)
                        .ifPresent(tape::follow);
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
