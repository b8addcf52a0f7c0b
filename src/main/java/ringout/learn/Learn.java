package ringout.learn;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.learn.LearnView.Candidate;
import ringout.learn.LearnView.Stage;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.LearnedBox;
import ringout.plan.Mount;
import ringout.plan.NewBox;
import ringout.plan.NewBox.Part;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * Learns the controls of a box without a plan: the builder works one after the other, and each is known by how its
 * inputs move. What stays on when nothing moves is a switch that stays; two inputs that pulse in turn are a knob; hat
 * directions and axes say so themselves. What cannot be told is said in a remark and asked.
 *
 * <p>How anything is wired does not show from one control at a time, so that the wiring of all contacts stays unknown.
 * Times are nanoseconds and never decrease. The times and shares below are ours, tried on simulated boxes: common
 * practice, no source. Not thread-safe.
 */
public final class Learn {
    /** A control is left alone, and stays as it is, when nothing has changed for so long. */
    public static final long QUIET_NANOS = 1_200_000_000L;
    /** A pulse of a knob's detent is no longer than this. */
    static final long PULSE_NANOS = 150_000_000L;
    /** A switch that makes one contact before it breaks the other has both for less than this. */
    static final long OVERLAP_NANOS = 80_000_000L;
    /** So many pulses tell a knob from a finger. */
    static final int PULSES = 3;
    /** Share of its range that an axis must travel to have been worked. */
    static final double TRAVEL = 0.25;
    /** Share of its range below which an axis' movement is noise. */
    static final double NOISE = 0.02;

    private final InputLayout layout;
    private final boolean[] on;
    private final long[] axes;
    private final long[] axisMarks;
    private Set<Input> rest = Set.of();
    private boolean heard;
    private Stage stage = Stage.HANDS_OFF;
    private long lastMove;
    private Phrase note = Phrase.none();

    // The control being worked.
    private final Map<Input, List<Long>> pulses = new LinkedHashMap<>();
    private final Map<Input, Long> wentOn = new LinkedHashMap<>();
    private long[] least;
    private long[] most;
    private boolean stayed;
    private boolean together;
    private long overlapSince = -1;
    private boolean otherWay;
    private Optional<Candidate> candidate = Optional.empty();
    /** The most buttons that were on at once. */
    private Set<Input> peak = Set.of();

    private final Set<Set<Integer>> ghosts = new LinkedHashSet<>();

    private final List<Control> learned = new ArrayList<>();
    /** How many controls each naming gave, for taking it back. */
    private final List<Integer> namings = new ArrayList<>();

    private final Map<String, String> remarks = new LinkedHashMap<>();

    @SuppressWarnings("NullAway.Init") // set by the constructors, which end with a first snapshot
    private LearnView view;

    public Learn(InputLayout layout, long nanos) {
        this(layout, nanos, LearnedBox.Learned.NOTHING);
    }

    /**
     * Goes on with what was learned before.
     *
     * @throws IllegalArgumentException where the box lacks one of the inputs; the message names it
     */
    public Learn(InputLayout layout, long nanos, LearnedBox.Learned before) {
        before.inputs().stream()
                .filter(i -> !layout.switches().contains(i)
                        && layout.axes().stream().noneMatch(a -> a.input().equals(i)))
                .findFirst()
                .ifPresent(i -> {
                    throw new IllegalArgumentException(i.text());
                });
        learned.addAll(before.controls());
        learned.forEach(c -> namings.add(1));
        remarks.putAll(before.remarks());
        ghosts.addAll(before.ghosts());
        this.layout = layout;
        on = new boolean[layout.switches().size()];
        axes = new long[layout.axes().size()];
        axisMarks = new long[axes.length];
        lastMove = nanos;
        begin();
        publish();
    }

    /** Where it stands; another object exactly when something changed. */
    public LearnView view() {
        return view;
    }

    // ---- what the box does

    /** A report came. */
    public void report(long nanos, InputState state) {
        if (stage == Stage.LOST) {
            return;
        }
        boolean first = !heard;
        heard = true;
        int changed = 0;
        for (int i = 0; i < on.length; i++) {
            if (state.isOn(i) != on[i]) {
                on[i] = state.isOn(i);
                changed++;
                edge(nanos, layout.switches().get(i), on[i]);
            }
        }
        for (int i = 0; i < axes.length; i++) {
            axes[i] = state.axis(i);
            if (first) {
                axisMarks[i] = axes[i];
                least[i] = axes[i];
                most[i] = axes[i];
            }
            least[i] = Math.min(least[i], axes[i]);
            most[i] = Math.max(most[i], axes[i]);
            if (Math.abs(axes[i] - axisMarks[i]) > NOISE * range(i)) {
                axisMarks[i] = axes[i];
                moved(nanos);
            }
        }
        if (first && changed > 1) {
            // What was on before anybody looked cannot be told from what was pressed.
            handsOff(nanos, Phrase.of("learning.on-already"));
        } else if (changed > 0) {
            moved(nanos);
        }
        publish();
    }

    private double range(int axis) {
        InputLayout.Axis a = layout.axes().get(axis);
        return Math.max(1.0, (double) a.maximum() - a.minimum());
    }

    private void edge(long nanos, Input input, boolean isOn) {
        if (isOn) {
            wentOn.put(input, nanos);
            pulses.computeIfAbsent(input, i -> new ArrayList<>());
        } else {
            List<Long> own = pulses.computeIfAbsent(input, i -> new ArrayList<>());
            Optional.ofNullable(wentOn.remove(input)).ifPresent(since -> own.add(nanos - since));
        }
        Set<Input> now = on();
        if (now.size() > peak.size()) {
            peak = now;
        }
        boolean several = several();
        if (several && overlapSince < 0) {
            overlapSince = nanos;
        } else if (!several && overlapSince >= 0) {
            together |= nanos - overlapSince >= OVERLAP_NANOS;
            overlapSince = -1;
        }
    }

    /** Buttons that are not on at rest and are on at once. */
    private boolean several() {
        return on().stream().filter(i -> !rest.contains(i) && isButton(i)).count() > 1;
    }

    private static boolean isButton(Input input) {
        return input instanceof Input.Button || input instanceof Input.Named;
    }

    private void moved(long nanos) {
        lastMove = nanos;
        if (stage == Stage.WORK && !worked().isEmpty()) {
            stage = Stage.WORKING;
            note = Phrase.none();
        }
    }

    /** Time passes without a report. */
    public void tick(long nanos) {
        if (nanos - lastMove < QUIET_NANOS) {
            return;
        }
        if (stage == Stage.HANDS_OFF) {
            rest = on();
            begin();
            stage = Stage.WORK;
            publish();
        } else if (stage == Stage.WORKING) {
            settle(nanos);
            publish();
        }
    }

    /** The box went away; it is waited for. */
    public void lost(long nanos) {
        stage = Stage.LOST;
        publish();
    }

    /** It is back. */
    public void found(long nanos) {
        Arrays.fill(on, false);
        handsOff(nanos, Phrase.none());
        publish();
    }

    private void handsOff(long nanos, Phrase why) {
        stage = Stage.HANDS_OFF;
        note = why;
        lastMove = nanos;
        begin();
    }

    private void begin() {
        pulses.clear();
        wentOn.clear();
        least = axes.clone();
        most = axes.clone();
        stayed = false;
        together = false;
        overlapSince = -1;
        otherWay = false;
        candidate = Optional.empty();
        peak = Set.of();
    }

    private Set<Input> on() {
        Set<Input> result = new LinkedHashSet<>();
        for (int i = 0; i < on.length; i++) {
            if (on[i]) {
                result.add(layout.switches().get(i));
            }
        }
        return result;
    }

    /** Inputs that moved since the control was begun, in the order they came. */
    private List<Input> worked() {
        List<Input> inputs = new ArrayList<>(pulses.keySet());
        for (int i = 0; i < axes.length; i++) {
            if (most[i] - least[i] > TRAVEL * range(i)) {
                inputs.add(layout.axes().get(i).input());
            }
        }
        return inputs;
    }

    // ---- what it is

    /** Nothing moves any more: either the control is as it was, or it stays. */
    private void settle(long nanos) {
        List<Input> inputs = worked();
        together |= several();
        Optional<Control> known =
                inputs.stream().map(this::known).flatMap(Optional::stream).findFirst();
        Set<Input> now = on();
        if (known.isPresent()) {
            note = chord().orElseGet(
                            () -> Phrase.of("learning.known", known.get().label()));
            rest = now;
            begin();
            stage = Stage.WORK;
        } else if (!now.equals(rest)) {
            stayed = true;
            lastMove = nanos;
        } else if (!stayed && inputs.size() == 1 && isButton(inputs.get(0)) && knob(inputs) && !otherWay) {
            otherWay = true;
            lastMove = nanos;
        } else {
            propose(inputs);
        }
    }

    /** Three known buttons held at once, with or without a fourth that answers for them; empty where it was no such chord. */
    private Optional<Phrase> chord() {
        Set<Integer> numbers = new HashSet<>();
        for (Input input : peak) {
            if (input instanceof Input.Button button
                    && button.collection() == 1
                    && known(input).filter(Control.Push.class::isInstance).isPresent()) {
                numbers.add(button.number());
            }
        }
        if (numbers.size() != peak.size() || numbers.size() < 3 || numbers.size() > 4) {
            return Optional.empty();
        }
        if (numbers.size() == 3) {
            return Optional.of(Phrase.of("learning.no-fourth"));
        }
        ghosts.add(Set.copyOf(numbers));
        return Optional.of(Phrase.of(
                "learning.rectangle",
                Phrase.commas(numbers.stream().sorted().map(String::valueOf).toList())));
    }

    private Optional<Control> known(Input input) {
        return learned.stream()
                .filter(c -> c.actions().stream().anyMatch(a -> a.input().equals(Optional.of(input))))
                .findFirst();
    }

    private boolean knob(List<Input> inputs) {
        List<Long> all = inputs.stream()
                .flatMap(i -> pulses.getOrDefault(i, List.of()).stream())
                .toList();
        return all.size() >= PULSES && all.stream().allMatch(nanos -> nanos <= PULSE_NANOS);
    }

    private void propose(List<Input> inputs) {
        List<Input> buttons = inputs.stream().filter(Learn::isButton).toList();
        List<Input> hats = inputs.stream().filter(Input.Hat.class::isInstance).toList();
        if (!hats.isEmpty()) {
            hat(hats, buttons);
        } else if (buttons.isEmpty()) {
            candidate = Optional.of(new Candidate(
                    Part.AXIS,
                    List.of(Part.AXIS),
                    label(Part.AXIS, inputs),
                    inputs,
                    inputs.size() == 1 ? Phrase.none() : Phrase.of("learning.remark.axes"),
                    false));
        } else {
            buttons(buttons);
        }
        stage = Stage.NAME;
    }

    private void hat(List<Input> hats, List<Input> buttons) {
        Input.Hat one = (Input.Hat) hats.get(0);
        Set<Direction> seen =
                hats.stream().map(h -> ((Input.Hat) h).direction()).collect(Collectors.toSet());
        List<Phrase> missing = Arrays.stream(Direction.values())
                .filter(d -> !seen.contains(d))
                .map(Direction::words)
                .toList();
        List<Input> inputs = new ArrayList<>(hats);
        if (buttons.size() == 1) {
            inputs.addAll(buttons);
        }
        Part part = buttons.size() == 1 ? Part.HAT5 : Part.HAT4;
        Phrase unseen = missing.isEmpty() ? Phrase.none() : Phrase.of("learning.remark.unseen", Phrase.commas(missing));
        Phrase left = buttons.size() > 1 ? Phrase.of("learning.remark.left", texts(buttons)) : Phrase.none();
        Phrase remark =
                unseen.isEmpty() ? left : left.isEmpty() ? unseen : Phrase.of("learning.remark.both", unseen, left);
        candidate = Optional.of(new Candidate(
                part, List.of(part), Phrase.of("learning.label.hat", one.number()), inputs, remark, false));
    }

    private void buttons(List<Input> seen) {
        // A selector leaves the position it rested on, which so belongs to it and is its first.
        List<Input> inputs =
                new ArrayList<>(seen.stream().filter(rest::contains).toList());
        seen.stream().filter(i -> !rest.contains(i)).forEach(inputs::add);
        boolean left = seen.stream().anyMatch(rest::contains);
        int n = inputs.size();
        List<Part> parts = new ArrayList<>();
        Phrase remark = Phrase.none();
        boolean guess = false;
        if (together && !left) {
            remark = Phrase.of("learning.remark.together", texts(seen));
            inputs = new ArrayList<>(seen.subList(0, 1));
            parts.add(stayed ? Part.TOGGLE : Part.PUSH);
            parts.add(stayed ? Part.PUSH : Part.TOGGLE);
        } else if (n == 1) {
            remark = left ? Phrase.of("learning.remark.at-rest") : Phrase.none();
            parts.addAll(stayed ? List.of(Part.TOGGLE, Part.PUSH) : List.of(Part.PUSH, Part.TOGGLE));
        } else if (n == 2) {
            parts.addAll(
                    left
                            ? List.of(Part.SELECTOR, Part.TOGGLE_TWO_WAY, Part.PUSH)
                            : stayed
                                    ? List.of(Part.TOGGLE_TWO_WAY, Part.SELECTOR, Part.PUSH)
                                    : knob(inputs)
                                            ? List.of(Part.ENCODER, Part.TOGGLE_TWO_WAY, Part.PUSH)
                                            : List.of(Part.PUSH, Part.ENCODER, Part.TOGGLE_TWO_WAY));
            remark = parts.get(0) == Part.ENCODER
                    ? Phrase.of("learning.remark.clockwise")
                    : parts.get(0) == Part.PUSH ? Phrase.of("learning.remark.two-buttons") : Phrase.none();
            guess = true;
        } else {
            boolean ways = (n == 4 || n == 5) && !stayed && !left;
            if (ways) {
                parts.add(n == 4 ? Part.HAT4 : Part.HAT5);
                remark = n == 5 ? Phrase.of("learning.remark.ways-and-push") : Phrase.of("learning.remark.ways");
                guess = true;
            }
            parts.addAll(stayed || left ? List.of(Part.SELECTOR, Part.PUSH) : List.of(Part.PUSH, Part.SELECTOR));
        }
        Part part = parts.get(0);
        candidate = Optional.of(new Candidate(part, parts, label(part, inputs), inputs, remark, guess));
    }

    private static Phrase label(Part part, List<Input> inputs) {
        int number = inputs.get(0) instanceof Input.Button b ? b.number() : 1;
        return switch (part) {
            case PUSH -> Phrase.of("learning.label.button", number);
            case TOGGLE, TOGGLE_TWO_WAY -> Phrase.of("learning.label.toggle", number);
            case SELECTOR -> Phrase.of("learning.label.selector", number);
            case ENCODER -> Phrase.of("learning.label.knob", number);
            case HAT4, HAT5 -> Phrase.of("learning.label.hat", number);
            case AXIS -> inputs.get(0).words().sentence();
        };
    }

    private static Phrase texts(Collection<Input> inputs) {
        return Phrase.commas(inputs.stream().map(Input::words).toList());
    }

    // ---- what the builder says

    /** The control being worked has shown all it can, even though it is not as it was. */
    public void enough(long nanos) {
        if (stage == Stage.WORKING && !worked().isEmpty()) {
            stayed |= !on().equals(rest);
            propose(worked());
            publish();
        }
    }

    /**
     * Names the control that was worked.
     *
     * @param label as written beside it; blank for the one proposed
     * @param part  one of the candidate's parts
     */
    public void name(long nanos, String label, Part part) {
        if (candidate.isEmpty() || !candidate.get().parts().contains(part)) {
            return;
        }
        Candidate named = candidate.get();
        String words = label.isBlank()
                ? (part == named.part() ? named.label() : label(part, named.inputs())).text()
                : label.strip();
        List<Control> controls = controls(part, words, named.inputs());
        controls.forEach(c -> {
            learned.add(c);
            if (!named.remark().isEmpty() && (part == named.part() || !named.guess())) {
                remarks.put(c.id(), named.remark().text());
            }
        });
        namings.add(controls.size());
        next(nanos);
    }

    /** Forgets what was just worked. */
    public void discard(long nanos) {
        next(nanos);
    }

    /** Forgets the control named last. */
    public void undo(long nanos) {
        if (!namings.isEmpty()) {
            int count = namings.remove(namings.size() - 1);
            for (int i = 0; i < count; i++) {
                remarks.remove(learned.remove(learned.size() - 1).id());
            }
        }
        next(nanos);
    }

    private void next(long nanos) {
        if (stage == Stage.LOST) {
            return;
        }
        rest = on();
        begin();
        note = Phrase.none();
        lastMove = nanos;
        stage = Stage.WORK;
        publish();
    }

    private List<Control> controls(Part part, String label, List<Input> inputs) {
        List<Control> made = new ArrayList<>();
        if ((part == Part.PUSH || part == Part.AXIS) && inputs.size() > 1) {
            for (int i = 0; i < inputs.size(); i++) {
                made.add(control(part, free(label + " " + (i + 1), made), inputs.subList(i, i + 1), made));
            }
        } else {
            made.add(control(part, free(label, made), inputs, made));
        }
        return made;
    }

    private String free(String label, List<Control> others) {
        Set<String> taken = new HashSet<>();
        learned.forEach(c -> taken.add(c.label()));
        others.forEach(c -> taken.add(c.label()));
        String free = label;
        for (int i = 2; taken.contains(free); i++) {
            free = label + " " + i;
        }
        return free;
    }

    private Control control(Part part, String label, List<Input> inputs, List<Control> others) {
        Set<String> taken = new HashSet<>();
        learned.forEach(c -> taken.add(c.id()));
        others.forEach(c -> taken.add(c.id()));
        String id = NewBox.id(label);
        for (int i = 2; taken.contains(id); i++) {
            id = NewBox.id(label) + "-" + i;
        }
        Mount mount = Mount.UNKNOWN;
        return switch (part) {
            case PUSH -> new Control.Push(id, label, mount, contact(id, "", inputs.get(0)));
            case TOGGLE -> new Control.Toggle(id, label, mount, List.of(contact(id, "", inputs.get(0))));
            case TOGGLE_TWO_WAY ->
                new Control.Toggle(
                        id,
                        label,
                        mount,
                        List.of(contact(id, ".up", inputs.get(0)), contact(id, ".down", inputs.get(1))));
            case SELECTOR -> {
                List<Contact> contacts = new ArrayList<>();
                for (int i = 0; i < inputs.size(); i++) {
                    contacts.add(contact(id, "." + (i + 1), inputs.get(i)));
                }
                yield new Control.Selector(id, label, mount, contacts);
            }
            case ENCODER ->
                new Control.Encoder(
                        id, label, mount, phase(id, ".a"), phase(id, ".b"), inputs.get(0), inputs.get(1), 20);
            case HAT4, HAT5 -> hat(id, label, part, inputs);
            case AXIS ->
                new Control.Axis(
                        id,
                        label,
                        mount,
                        (Input.Axis) inputs.get(0),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty());
        };
    }

    private static Control hat(String id, String label, Part part, List<Input> inputs) {
        Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
        boolean real = inputs.get(0) instanceof Input.Hat;
        for (Direction way : Direction.values()) {
            Input input = real
                    ? new Input.Hat(
                            ((Input.Hat) inputs.get(0)).number(),
                            way,
                            inputs.get(0).collection())
                    : inputs.get(way.ordinal());
            ways.put(way, contact(id, "." + way.word(), input));
        }
        Input push = inputs.get(inputs.size() - 1);
        return new Control.Hat(
                id,
                label,
                Mount.UNKNOWN,
                ways,
                part == Part.HAT5 ? Optional.of(contact(id, ".push", push)) : Optional.empty());
    }

    private static Contact contact(String control, String part, Input input) {
        return new Contact(control + part, control, new Wiring.Unknown(), Contact.Diode.NONE, Optional.of(input));
    }

    private static Contact phase(String control, String part) {
        return new Contact(control + part, control, new Wiring.Unknown(), Contact.Diode.NONE, Optional.empty());
    }

    // ---- what is said

    private void publish() {
        Phrase sentence = switch (stage) {
            case HANDS_OFF -> Phrase.of("learning.hands-off");
            case WORK -> learned.isEmpty() ? Phrase.of("learning.work") : Phrase.of("learning.another");
            case WORKING -> working();
            case NAME -> Phrase.of("learning.name");
            case LOST -> Phrase.of("learning.lost");
        };
        Phrase detail = switch (stage) {
            case HANDS_OFF -> Phrase.sentences(List.of(note, Phrase.of("learning.hands-off.detail")));
            case WORK -> {
                boolean corners =
                        learned.stream().filter(Control.Push.class::isInstance).count() >= 4;
                yield Phrase.sentences(List.of(
                        note,
                        Phrase.of("learning.work.detail"),
                        corners ? Phrase.of("learning.work.corners") : Phrase.none()));
            }
            case WORKING ->
                otherWay
                        ? Phrase.of("learning.other-way.detail")
                        : stayed ? Phrase.of("learning.stayed.detail") : texts(worked());
            case NAME ->
                candidate
                        .map(c -> c.remark().isEmpty()
                                ? Phrase.of("learning.name.detail", texts(c.inputs()))
                                : Phrase.of("learning.name.mind", texts(c.inputs()), c.remark()))
                        .orElse(Phrase.none());
            case LOST -> Phrase.of("learning.lost.detail");
        };
        LearnView next = new LearnView(stage, sentence, detail, candidate, learned, remarks, ghosts);
        if (!next.equals(view)) {
            view = next;
        }
    }

    private Phrase working() {
        if (otherWay) {
            return Phrase.of("learning.other-way");
        }
        boolean selector = rest.stream().anyMatch(pulses::containsKey);
        return !stayed
                ? Phrase.of("learning.go-on")
                : selector ? Phrase.of("learning.positions") : Phrase.of("learning.back");
    }
}
