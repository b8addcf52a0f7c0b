package ringout.ui.model;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;
import ringout.circuit.Fault;
import ringout.diagnosis.PlanRewrite;
import ringout.hid.Input;
import ringout.plan.Assign;
import ringout.plan.Bundle;
import ringout.plan.Chain;
import ringout.plan.Clearance;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Limits;
import ringout.plan.Line;
import ringout.plan.Mount;
import ringout.plan.NewBox;
import ringout.plan.NumberScheme;
import ringout.plan.PinList;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.plan.PlanEditException;
import ringout.plan.PlanProblem;
import ringout.plan.Scan;
import ringout.plan.Snap;
import ringout.plan.Units;
import ringout.plan.Wiring;
import ringout.words.Texts;

/**
 * The plan editor without its picture: a plan that can always be used, what is selected in it, and every edit.
 *
 * <p>Immutable; an edit gives a new editor. An edit that would leave the plan with an error is not made; {@link #refusal}
 * then says why.
 */
public final class EditorModel {
    /** Pitch of the grid that a dragged control rests on, in millimetres. */
    public static final double GRID_MM = 1;
    /** How far a line through another control attracts, in millimetres. */
    public static final double REACH_MM = 2.5;
    /** The bundle of more controls takes longer than a frame to lay; the wiring sheet has it for any number. */
    private static final int MOST_BUNDLED = 64;
    /** Positions of a selector that is added. */
    private static final int POSITIONS = 4;

    /** What the properties shown are those of. */
    public sealed interface Selection {
        /** Nothing in particular: the box, its panel and its scan. */
        record Box() implements Selection {}

        /** A control. */
        record OfControl(String id) implements Selection {}

        /** A row, a column or a direct line. */
        record OfLine(String name) implements Selection {}
    }

    /**
     * Something to see to.
     *
     * @param error   true for an error, false for a warning or something left to do
     * @param control id of the control to go to; empty where there is none
     */
    public record Problem(boolean error, String text, Optional<String> control) {}

    private final PlanDocument document;
    private final Plan plan;
    private final String saved;
    private final Selection selection;
    private final String refusal;

    private EditorModel(PlanDocument document, String saved, Selection selection, String refusal) {
        this.document = document;
        this.plan = document.reading().plan().orElseThrow();
        this.saved = saved;
        this.selection = exists(plan, selection) ? selection : new Selection.Box();
        this.refusal = refusal;
    }

    private static boolean exists(Plan plan, Selection selection) {
        return selection instanceof Selection.Box
                || selection instanceof Selection.OfControl c
                        && plan.control(c.id()).isPresent()
                || selection instanceof Selection.OfLine l
                        && plan.line(l.name()).isPresent();
    }

    /**
     * An editor of a text.
     *
     * @param yaml  the plan
     * @param file  what to call it in problems
     * @param saved whether the text is what the file holds
     * @return empty where the plan has errors
     */
    public static Optional<EditorModel> of(String yaml, String file, boolean saved) {
        PlanDocument document = PlanDocument.of(yaml, file);
        return document.reading().hasErrors()
                ? Optional.empty()
                : Optional.of(new EditorModel(document, saved ? yaml : "", new Selection.Box(), ""));
    }

    /**
     * An editor of a text with one edit made: what no iron has to mend is as the box is.
     *
     * @return empty where no edit makes any of the faults good
     */
    public static Optional<EditorModel> fitting(String yaml, String file, List<Fault> faults) {
        return PlanRewrite.of(PlanDocument.of(yaml, file), faults)
                .map(fits -> new EditorModel(fits, yaml, new Selection.Box(), ""));
    }

    // What there is

    public Plan plan() {
        return plan;
    }

    /** The YAML to save. */
    public String text() {
        return document.text();
    }

    public Selection selection() {
        return selection;
    }

    /** Why the last edit was not made; empty where it was. */
    public String refusal() {
        return refusal;
    }

    /** True where the file does not hold what is shown. */
    public boolean unsaved() {
        return !document.text().equals(saved);
    }

    public boolean canUndo() {
        return document.canUndo();
    }

    public boolean canRedo() {
        return document.canRedo();
    }

    /** The control whose properties are shown. */
    public Optional<Control> control() {
        return selection instanceof Selection.OfControl c ? plan.control(c.id()) : Optional.empty();
    }

    /** The line whose properties are shown. */
    public Optional<Line> line() {
        return selection instanceof Selection.OfLine l ? plan.line(l.name()) : Optional.empty();
    }

    /** Everything to see to: what the plan's reader warns of, then what is left to do. */
    public List<Problem> problems() {
        List<Problem> problems = new ArrayList<>();
        for (PlanProblem problem : document.reading().problems()) {
            problems.add(new Problem(
                    problem.severity() == PlanProblem.Severity.ERROR,
                    sentence(problem.message()),
                    document.controlAt(problem.line())));
        }
        for (Control control : plan.controls()) {
            long open = control.contacts().stream()
                    .filter(c -> c.wiring() instanceof Wiring.Unknown)
                    .count();
            if (open > 0) {
                problems.add(new Problem(
                        false,
                        Texts.say(
                                "editor.problem.unwired",
                                control.label(),
                                control.contacts().size(),
                                open),
                        Optional.of(control.id())));
            }
            if (control.mount().place().isEmpty()) {
                problems.add(new Problem(
                        false, Texts.say("editor.problem.unplaced", control.label()), Optional.of(control.id())));
            }
        }
        return problems;
    }

    private static String sentence(String text) {
        return text.isEmpty()
                ? text
                : Character.toUpperCase(text.charAt(0)) + text.substring(1) + (text.endsWith(".") ? "" : ".");
    }

    /** Contacts that no line has yet, in plan order. */
    public List<Contact> unwired() {
        return plan.contacts().stream()
                .filter(c -> c.wiring() instanceof Wiring.Unknown)
                .toList();
    }

    /** The contact at a place in the wiring. */
    public Optional<Contact> at(Wiring wiring) {
        return plan.contacts().stream().filter(c -> c.wiring().equals(wiring)).findFirst();
    }

    /** Every place a contact can be soldered to, taken or free: crossings by row, direct lines, inputs of registers. */
    public List<Wiring> slots() {
        List<Wiring> slots = new ArrayList<>();
        for (Line row : plan.lines(Line.Kind.ROW)) {
            plan.lines(Line.Kind.COLUMN).forEach(column -> slots.add(new Wiring.Crossing(row.name(), column.name())));
        }
        plan.lines(Line.Kind.DIRECT).forEach(line -> slots.add(new Wiring.Direct(line.name())));
        for (Line chain : plan.lines(Line.Kind.SHIFT)) {
            for (int register = 1; register <= chain.registers(); register++) {
                for (int bit = 0; bit < 8; bit++) {
                    slots.add(new Wiring.Shift(chain.name(), register, bit));
                }
            }
        }
        return slots;
    }

    /**
     * All wires together, each from the board along its daisy chain, in millimetres; along the bundle where the plan gives
     * the inside of the box and few enough controls for the window's thread. Empty where a place is missing.
     */
    public Optional<Double> wireLength() {
        Map<String, Mount.Place> places = Assign.places(plan.controls());
        Optional<Bundle> bundle = plan.controls().size() > MOST_BUNDLED ? Optional.empty() : Bundle.of(plan);
        double sum = 0;
        for (Line line : plan.lines()) {
            List<Mount.Place> stops = new ArrayList<>();
            for (String contact : line.contacts()) {
                if (!places.containsKey(contact)) {
                    return Optional.empty();
                }
                stops.add(places.get(contact));
            }
            if (bundle.isPresent()) {
                sum += along(bundle.get(), line.contacts());
                continue;
            }
            sum += Chain.length(
                    stops,
                    java.util.stream.IntStream.range(0, stops.size()).boxed().toList(),
                    board());
        }
        return Optional.of(sum);
    }

    private double along(Bundle bundle, List<String> contacts) {
        double sum = 0;
        String before = "";
        for (String contact : contacts) {
            String control = plan.contact(contact).orElseThrow().control();
            sum += before.isEmpty() ? bundle.wireFromBoard(control) : bundle.wireBetween(before, control);
            before = control;
        }
        return sum;
    }

    private Optional<Mount.Place> board() {
        return plan.board();
    }

    /** The pins of all lines but shift registers, as a builder writes them. */
    public String pins() {
        return PinList.text(plan.lines().stream()
                .filter(l -> l.kind() != Line.Kind.SHIFT)
                .map(Line::pin)
                .toList());
    }

    // Selecting, saving, going back

    public EditorModel select(Selection next) {
        return new EditorModel(document, saved, next, "");
    }

    /** After the text was written to the file. */
    public EditorModel savedNow() {
        return new EditorModel(document, document.text(), selection, "");
    }

    /** Another program has written the file: the text is taken as one step that undo takes back. */
    public EditorModel reloaded(String yaml) {
        EditorModel next = edit(d -> d.withText(yaml));
        return next.refusal.isEmpty() ? new EditorModel(next.document, yaml, selection, "") : next;
    }

    public EditorModel undo() {
        return new EditorModel(usable(document.undo(), true), saved, selection, "");
    }

    public EditorModel redo() {
        return new EditorModel(usable(document.redo(), false), saved, selection, "");
    }

    /** The nearest step on the way whose plan can be used; there is one, because every edit left one. */
    private PlanDocument usable(PlanDocument step, boolean back) {
        PlanDocument at = step;
        while (at.reading().hasErrors() && (back ? at.canUndo() : at.canRedo())) {
            at = back ? at.undo() : at.redo();
        }
        return at.reading().hasErrors() ? document : at;
    }

    EditorModel refuse(String why) {
        return new EditorModel(document, saved, selection, sentence(why));
    }

    EditorModel edit(UnaryOperator<PlanDocument> edit) {
        return edit(edit, selection);
    }

    private EditorModel edit(UnaryOperator<PlanDocument> edit, Selection next) {
        try {
            PlanDocument after = document.together(edit);
            Optional<String> error = after.reading().problems().stream()
                    .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                    .map(PlanProblem::message)
                    .findFirst();
            return error.isPresent() ? refuse(error.get()) : new EditorModel(after, saved, next, "");
        } catch (PlanEditException cannot) {
            return refuse(cannot.getMessage());
        }
    }

    // Controls

    /** One more control, selected, with free inputs, at the first place with room. */
    public EditorModel add(NewBox.Part part) {
        Control control = NewBox.another(plan, part, POSITIONS);
        return edit(d -> d.addControl(control), new Selection.OfControl(control.id()));
    }

    public EditorModel remove(String control) {
        return plan.controls().size() == 1
                ? refuse(Texts.say("editor.refusal.last"))
                : edit(d -> d.removeControl(control), new Selection.Box());
    }

    /** Another label; the id goes with it where it was the one that the old label suggested. */
    public EditorModel label(String control, String label) {
        Control now = plan.control(control).orElseThrow();
        String words = label.strip();
        if (words.isEmpty()) {
            return refuse(Texts.say("editor.refusal.label"));
        }
        if (words.equals(now.label())) {
            return this;
        }
        String id = NewBox.id(now.label()).equals(control) ? free(NewBox.id(words), control) : control;
        return edit(
                d -> id.equals(control)
                        ? d.setLabel(control, words)
                        : d.setLabel(control, words).renameControl(control, id),
                selection instanceof Selection.OfControl c && c.id().equals(control)
                        ? new Selection.OfControl(id)
                        : selection);
    }

    private String free(String wanted, String except) {
        Set<String> taken = new HashSet<>();
        plan.controls().stream()
                .map(Control::id)
                .filter(id -> !id.equals(except))
                .forEach(taken::add);
        plan.lines().forEach(l -> taken.add(l.name()));
        String id = wanted;
        for (int i = 2; taken.contains(id); i++) {
            id = wanted + "-" + i;
        }
        return id;
    }

    /** Another id, as commands and recordings call the control. */
    public EditorModel rename(String control, String id) {
        return id.strip().equals(control)
                ? this
                : edit(
                        d -> d.renameControl(control, id.strip()),
                        selection instanceof Selection.OfControl ? new Selection.OfControl(id.strip()) : selection);
    }

    /** Another kind; contacts keep wiring and inputs as far as there are as many. */
    public EditorModel kind(String control, NewBox.Part part) {
        Control now = plan.control(control).orElseThrow();
        int positions = now instanceof Control.Selector s ? s.contacts().size() : POSITIONS;
        return NewBox.Part.of(now) == part
                ? this
                : edit(d -> d.replaceControl(NewBox.become(plan, now, part, positions)));
    }

    /** Another number of positions of a rotary selector, see {@link Limits}. */
    public EditorModel positions(String control, String number) {
        Control now = plan.control(control).orElseThrow();
        return number(number, Limits.LEAST_POSITIONS, Limits.MOST_POSITIONS)
                .map(n -> n == now.contacts().size()
                        ? this
                        : edit(d -> d.replaceControl(NewBox.become(plan, now, NewBox.Part.SELECTOR, n.intValue()))))
                .orElseGet(() ->
                        refuse(Texts.say("editor.refusal.number", Limits.LEAST_POSITIONS, Limits.MOST_POSITIONS)));
    }

    /** Detents a turn of an encoder, see {@link Limits}. */
    public EditorModel detents(String control, String number) {
        Control.Encoder e = (Control.Encoder) plan.control(control).orElseThrow();
        return number(number, 1, Limits.MOST_DETENTS)
                .map(n -> n == e.detents()
                        ? this
                        : edit(d -> d.replaceControl(new Control.Encoder(
                                e.id(), e.label(), e.mount(), e.a(), e.b(), e.cw(), e.ccw(), n.intValue()))))
                .orElseGet(() -> refuse(Texts.say("editor.refusal.number", 1, Limits.MOST_DETENTS)));
    }

    /** The analogue pin of an axis; empty for not given. */
    public EditorModel axisPin(String control, String pin) {
        Control.Axis a = (Control.Axis) plan.control(control).orElseThrow();
        Optional<String> next = pin.isBlank() ? Optional.empty() : Optional.of(pin.strip());
        return next.equals(a.pin())
                ? this
                : edit(d -> d.replaceControl(
                        new Control.Axis(a.id(), a.label(), a.mount(), a.input(), next, a.high(), a.range())));
    }

    /** The end of an axis where its reading is highest, in words; empty for not given. */
    public EditorModel axisHigh(String control, String end) {
        Control.Axis a = (Control.Axis) plan.control(control).orElseThrow();
        Optional<String> next = end.isBlank() ? Optional.empty() : Optional.of(end.strip());
        return next.equals(a.high())
                ? this
                : edit(d -> d.replaceControl(
                        new Control.Axis(a.id(), a.label(), a.mount(), a.input(), a.pin(), next, a.range())));
    }

    /** How much of its range an axis must reach, 1 to 100 %; empty for not given. */
    public EditorModel axisRange(String control, String percent) {
        Control.Axis a = (Control.Axis) plan.control(control).orElseThrow();
        if (percent.isBlank()) {
            return a.range().isEmpty() ? this : axisRange(a, Optional.empty());
        }
        return number(percent.replace("%", ""), 1, 100)
                .map(n -> a.range().equals(Optional.of(n.intValue())) ? this : axisRange(a, Optional.of(n.intValue())))
                .orElseGet(() -> refuse(Texts.say("editor.refusal.number", 1, 100)));
    }

    private EditorModel axisRange(Control.Axis a, Optional<Integer> range) {
        return edit(d ->
                d.replaceControl(new Control.Axis(a.id(), a.label(), a.mount(), a.input(), a.pin(), a.high(), range)));
    }

    /** The input that an action must produce. */
    public EditorModel input(String action, String written) {
        Optional<Input> input = Input.parse(written);
        if (input.isEmpty()) {
            return refuse(Texts.say("editor.refusal.input", written.strip()));
        }
        return plan.action(action).flatMap(ringout.plan.Action::input).equals(input)
                ? this
                : edit(d -> d.setInput(action, input.get()));
    }

    /** A measure of a control. */
    public enum Measure {
        HOLE,
        NUT,
        BODY,
        DEPTH,
        X,
        Y
    }

    /** What a measure is now, in millimetres; empty where the plan is silent. */
    public static Optional<Double> measure(Control control, Measure measure) {
        Mount mount = control.mount();
        return switch (measure) {
            case HOLE -> mount.hole();
            case NUT -> mount.nut();
            case BODY -> mount.body();
            case DEPTH -> mount.depth();
            case X -> mount.place().map(Mount.Place::x);
            case Y -> mount.place().map(Mount.Place::y);
        };
    }

    /** Sets a measure in millimetres, as written: {@code 16}, {@code 16,5}, {@code 1.6 cm}, {@code 0.63 in}. */
    public EditorModel measure(String control, Measure measure, String written) {
        Control now = plan.control(control).orElseThrow();
        Optional<Double> mm = millimetres(written);
        if (mm.isEmpty()) {
            return written.isBlank() && measure(now, measure).isEmpty()
                    ? this
                    : refuse(Texts.say("editor.refusal.length", written.strip()));
        }
        if (mm.equals(measure(now, measure))) {
            return this;
        }
        Mount.Place place = now.mount().place().orElse(new Mount.Place(0, 0));
        return edit(d -> switch (measure) {
            case HOLE -> d.setHole(control, mm.get());
            case NUT -> d.setNut(control, mm.get());
            case BODY -> d.setBodyWidth(control, mm.get());
            case DEPTH -> d.setBodyDepth(control, mm.get());
            case X -> d.setPlace(control, new Mount.Place(mm.get(), place.y()));
            case Y -> d.setPlace(control, new Mount.Place(place.x(), mm.get()));
        });
    }

    static Optional<Double> millimetres(String written) {
        String text = written.strip().toLowerCase(Locale.ROOT).replace(',', '.');
        String withUnit = text.matches("[\\d.]+") ? text + " mm" : text;
        return Units.millimetres(withUnit).map(EditorModel::round);
    }

    private static Optional<Long> number(String written, long least, long most) {
        String text = written.strip();
        return text.matches("\\d{1,6}") && Long.parseLong(text) >= least && Long.parseLong(text) <= most
                ? Optional.of(Long.parseLong(text))
                : Optional.empty();
    }

    // Places

    /** Where a control would come to rest if it were let go here, and what would not fit. */
    public record Trial(Snap.Rest rest, List<Clearance.Conflict> conflicts) {
        public Trial {
            conflicts = List.copyOf(conflicts);
        }
    }

    /** @param snapped false to rest exactly there, to the tenth of a millimetre */
    public Trial trial(String control, Mount.Place place, boolean snapped) {
        Snap.Rest rest =
                snapped ? Snap.rest(plan, control, place, GRID_MM, REACH_MM) : Snap.rest(plan, control, place, 0.1, 0);
        return new Trial(rest, Clearance.at(plan, control, rest.place()));
    }

    public EditorModel move(String control, Mount.Place place) {
        Mount.Place to = new Mount.Place(round(place.x()), round(place.y()));
        return plan.control(control).flatMap(c -> c.mount().place()).equals(Optional.of(to))
                ? this
                : edit(d -> d.setPlace(control, to), new Selection.OfControl(control));
    }

    /** Moves a control by millimetres, within the panel. */
    public EditorModel nudge(String control, double dx, double dy) {
        Mount.Place now = plan.control(control)
                .flatMap(c -> c.mount().place())
                .orElseGet(() -> plan.panel()
                        .map(p -> new Mount.Place(Math.round(p.width() / 2), Math.round(p.height() / 2)))
                        .orElse(new Mount.Place(0, 0)));
        double x = Math.max(
                0, Math.min(now.x() + dx, plan.panel().map(Plan.Panel::width).orElse(10_000.0)));
        double y = Math.max(
                0, Math.min(now.y() + dy, plan.panel().map(Plan.Panel::height).orElse(10_000.0)));
        return move(control, new Mount.Place(x, y));
    }

    static double round(double mm) {
        return Math.round(mm * 100) / 100.0;
    }

    /** Lays all controls out anew, on a panel that fits where the plan gives none. */
    public EditorModel layOut() {
        try {
            NewBox.Arrangement arrangement = NewBox.arrange(plan.controls(), plan.panel());
            Plan.Panel laid = arrangement.panel();
            // The wires end where the board's outline is, not where they would without one.
            Plan.Panel panel = plan.inside().board().isPresent()
                    ? new Plan.Panel(laid.width(), laid.height(), laid.depth(), Optional.empty())
                    : laid;
            return edit(d -> d.setPanel(panel).setPlaces(arrangement.places()));
        } catch (PlanEditException cannot) {
            return refuse(cannot.getMessage());
        }
    }

    /** A measure of the panel; of the board, where its wires end, from the panel's left and upper edge, seen from the front. */
    public enum PanelMeasure {
        WIDTH,
        HEIGHT,
        DEPTH,
        BOARD_X,
        BOARD_Y;

        /** In millimetres: a panel has some size, a board may be at its edge. */
        double least() {
            return this == BOARD_X || this == BOARD_Y ? 0 : 1;
        }
    }

    public Optional<Double> panelMeasure(PanelMeasure measure) {
        return switch (measure) {
            case WIDTH -> plan.panel().map(Plan.Panel::width);
            case HEIGHT -> plan.panel().map(Plan.Panel::height);
            case DEPTH -> plan.panel().flatMap(Plan.Panel::depth);
            case BOARD_X -> board().map(Mount.Place::x);
            case BOARD_Y -> board().map(Mount.Place::y);
        };
    }

    /** Sets a measure of the panel in millimetres, as written. A plan without a panel is laid out first. */
    public EditorModel panelMeasure(PanelMeasure measure, String written) {
        Optional<Double> mm = millimetres(written).filter(v -> v >= measure.least());
        if (mm.isEmpty()) {
            return written.isBlank() && panelMeasure(measure).isEmpty()
                    ? this
                    : refuse(Texts.say("editor.refusal.length", written.strip()));
        }
        if (mm.equals(panelMeasure(measure))) {
            return this;
        }
        EditorModel sized = plan.panel().isPresent() ? this : layOut();
        return sized.refusal.isEmpty() ? sized.resized(measure, mm.get()) : sized;
    }

    private EditorModel resized(PanelMeasure measure, double mm) {
        boolean place = measure == PanelMeasure.BOARD_X || measure == PanelMeasure.BOARD_Y;
        if (place && plan.inside().board().isPresent()) {
            Mount.Place outline = plan.inside().board().get().outline().centre();
            double by = mm - panelMeasure(measure).orElseThrow();
            return InsideModel.move(
                    this,
                    new InsideModel.Thing.Board(),
                    measure == PanelMeasure.BOARD_X
                            ? new Mount.Place(outline.x() + by, outline.y())
                            : new Mount.Place(outline.x(), outline.y() + by));
        }
        Plan.Panel p = plan.panel().orElseThrow();
        Plan.Panel next = switch (measure) {
            case WIDTH -> new Plan.Panel(mm, p.height(), p.depth(), Optional.empty());
            case HEIGHT -> new Plan.Panel(p.width(), mm, p.depth(), Optional.empty());
            case DEPTH -> new Plan.Panel(p.width(), p.height(), Optional.of(mm), Optional.empty());
            case BOARD_X -> boarded(p, mm, boardOrFoot().y());
            case BOARD_Y -> boarded(p, boardOrFoot().x(), mm);
        };
        return edit(d -> d.setPanel(next));
    }

    /** Where the cut list takes the board to be where the plan is silent: the middle of the panel's lower edge. */
    private Mount.Place boardOrFoot() {
        return board().orElseGet(() -> plan.panel()
                .map(p -> new Mount.Place(p.width() / 2, p.height()))
                .orElseThrow());
    }

    private static Plan.Panel boarded(Plan.Panel p, double x, double y) {
        return new Plan.Panel(p.width(), p.height(), p.depth(), Optional.of(new Mount.Place(x, y)));
    }

    public EditorModel boxName(String name) {
        return name.isBlank()
                ? refuse(Texts.say("editor.refusal.name"))
                : name.strip().equals(plan.box().name()) ? this : edit(d -> d.setBoxName(name.strip()));
    }

    // Wiring

    /** Solders a contact somewhere; a contact that is there already takes its place. */
    public EditorModel wire(String contact, Wiring wiring) {
        Contact moved = plan.contact(contact).orElseThrow();
        if (moved.wiring().equals(wiring)) {
            return this;
        }
        Optional<Contact> there = wiring instanceof Wiring.Unknown ? Optional.empty() : at(wiring);
        return edit(d -> {
            PlanDocument next = d.setWiring(contact, wiring);
            return there.isPresent() ? next.setWiring(there.get().id(), moved.wiring()) : next;
        });
    }

    /** Sets the diode in series with a contact on a crossing. */
    public EditorModel diode(String contact, Contact.Diode diode) {
        return plan.contact(contact).orElseThrow().diode() == diode ? this : edit(d -> d.setDiode(contact, diode));
    }

    /** One more line, on the pin after the last; selected. */
    public EditorModel addLine(Line.Kind kind) {
        String letter = switch (kind) {
            case ROW -> "R";
            case COLUMN -> "C";
            case DIRECT -> "D";
            case SHIFT -> "S";
        };
        Set<String> taken = new HashSet<>();
        plan.lines().forEach(l -> taken.add(l.name()));
        int number = 1;
        while (taken.contains(letter + number)) {
            number++;
        }
        String name = letter + number;
        return edit(
                d -> d.addLine(
                        kind,
                        name,
                        PinList.another(plan.lines().stream().map(Line::pin).toList())),
                new Selection.OfLine(name));
    }

    public EditorModel removeLine(String line) {
        return edit(d -> d.removeLine(line), new Selection.Box());
    }

    public EditorModel renameLine(String line, String name) {
        return name.strip().equals(line)
                ? this
                : edit(d -> d.renameLine(line, name.strip()), new Selection.OfLine(name.strip()));
    }

    /** Puts a line on another pin; a line that is there already takes its pin. */
    public EditorModel pin(String line, String pin) {
        if (pin.isBlank()) {
            return refuse(Texts.say("editor.refusal.pin"));
        }
        try {
            List<String> named = PinList.parse(pin);
            String now = plan.line(line).orElseThrow().pin();
            if (named.size() != 1) {
                return refuse(Texts.say("editor.refusal.pin"));
            }
            Optional<Line> there = plan.lines().stream()
                    .filter(l -> l.pin().equals(named.get(0)) && !l.name().equals(line))
                    .findFirst();
            return edit(d -> there.isPresent()
                    ? d.setPin(line, named.get(0)).setPin(there.get().name(), now)
                    : d.setPin(line, named.get(0)));
        } catch (PlanEditException noPin) {
            return refuse(noPin.getMessage());
        }
    }

    /** Moves a contact along the daisy chain of a line. */
    public EditorModel along(String line, String contact, int by) {
        List<String> chain = new ArrayList<>(plan.line(line).orElseThrow().contacts());
        int from = chain.indexOf(contact);
        int to = from + by;
        if (from < 0 || to < 0 || to >= chain.size()) {
            return this;
        }
        Collections.swap(chain, from, to);
        return edit(d -> d.setOrder(line, chain));
    }

    /** Every wire in the order that makes it shortest. */
    public EditorModel shortWires() {
        Map<String, Mount.Place> places = Assign.places(plan.controls());
        Map<String, List<String>> orders = new LinkedHashMap<>();
        plan.lines().stream()
                .filter(l -> l.kind() != Line.Kind.SHIFT && l.contacts().size() > 1)
                .forEach(l -> orders.put(l.name(), Assign.chained(l.contacts(), places, board())));
        return edit(d -> d.setOrders(orders));
    }

    /** How the automatic wiring wires. */
    public enum Style {
        MATRIX_WITH_DIODES,
        MATRIX,
        DIRECT
    }

    /** The style that comes nearest to what the plan has. */
    public Style style() {
        boolean diodes = plan.contacts().stream().anyMatch(c -> c.diode() != Contact.Diode.NONE);
        return diodes
                ? Style.MATRIX_WITH_DIODES
                : plan.lines(Line.Kind.ROW).isEmpty()
                                && !plan.lines(Line.Kind.DIRECT).isEmpty()
                        ? Style.DIRECT
                        : Style.MATRIX;
    }

    /** Wires everything anew with the fewest of these pins and short wires. */
    public EditorModel wireAll(Style style, String pins) {
        boolean diodes = style == Style.MATRIX_WITH_DIODES;
        try {
            Scan scan = plan.scan();
            Contact.Diode diode = diodes ? scan.conducting() : Contact.Diode.NONE;
            Assign.Assignment assignment = Assign.assign(
                    plan.controls(), new Assign.Means(style != Style.DIRECT, diode, PinList.parse(pins), board()));
            return edit(d -> {
                PlanDocument wired = d.assign(assignment).setDiodes(diodes).removeDiodes();
                return plan.numbering().map(wired::renumber).orElse(wired);
            });
        } catch (PlanEditException cannot) {
            return refuse(cannot.getMessage());
        }
    }

    // Numbering

    /** How the firmware numbers, for those who do not say: as if it were free. */
    public Optional<NumberScheme> numbering() {
        return plan.numbering();
    }

    /** Says how the firmware numbers; empty for not said. The buttons keep their numbers. */
    public EditorModel numbering(Optional<NumberScheme.Way> way) {
        int first = plan.numbering().map(NumberScheme::first).orElse(1);
        return edit(d -> d.setNumbering(way.map(w -> new NumberScheme(w, first))));
    }

    /** The lowest number that the scheme gives out. */
    public EditorModel first(String written) {
        return number(written, 1, NumberScheme.MOST_FIRST)
                .map(first -> edit(d -> d.setNumbering(Optional.of(new NumberScheme(
                        plan.numbering().map(NumberScheme::way).orElse(NumberScheme.Way.FREE), first.intValue())))))
                .orElseGet(() -> refuse(Texts.say("editor.refusal.number", 1, NumberScheme.MOST_FIRST)));
    }

    /** Why the buttons cannot be numbered by the scheme, or need not be; empty where they can. */
    public String noRenumbering() {
        Optional<NumberScheme> ruled = plan.numbering().filter(s -> s.way() != NumberScheme.Way.FREE);
        return ruled.isEmpty()
                ? Texts.say("grey.no-scheme")
                : ruled.get().inputs(plan).entrySet().stream()
                                .allMatch(e -> plan.action(e.getKey())
                                        .flatMap(ringout.plan.Action::input)
                                        .equals(Optional.of(e.getValue())))
                        ? Texts.say("grey.numbered")
                        : "";
    }

    /** Gives every button the number that the scheme gives it, in one step. */
    public EditorModel renumber() {
        return plan.numbering().map(scheme -> edit(d -> d.renumber(scheme))).orElse(this);
    }
}
