package ringout.check;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.signal.AxisMeter;
import ringout.signal.AxisSpot;
import ringout.signal.Bounce;
import ringout.signal.EncoderMeter;
import ringout.signal.FlexTrial;
import ringout.signal.Measured;
import ringout.signal.Resolution;
import ringout.words.Phrase;

/** Turns the answers to steps into findings; a pure function of them, so that undoing a step needs no bookkeeping. */
final class Findings {
    private final Asking words;
    private final InputLayout layout;
    private final CheckSettings settings;
    private final Set<Input> onInFirstReport;
    private final Resolution resolution;
    private final List<Finding> findings = new ArrayList<>();

    /** Inputs on with nobody at the box. */
    private final Set<Input> resting = new TreeSet<>();
    /** What each action gave, of those asked for by the plan's own steps. */
    private final Map<Action, Outcome> answers = new LinkedHashMap<>();

    Findings(
            Asking words,
            InputLayout layout,
            CheckSettings settings,
            Set<Input> onInFirstReport,
            Resolution resolution) {
        this.words = words;
        this.layout = layout;
        this.settings = settings;
        this.onInFirstReport = onInFirstReport;
        this.resolution = resolution;
    }

    List<Finding> of(List<Step> steps, List<Result> results) {
        Result.Left left = null;
        for (int i = 0; i < steps.size(); i++) {
            if (results.get(i) instanceof Result.Left l) {
                left = l;
                resting.addAll(l.on());
            } else if (results.get(i) instanceof Result.Worked worked && steps.get(i) instanceof Step.Single single) {
                answers.putIfAbsent(single.action(), worked.last());
            }
        }
        Map<Action, List<Action>> cycles = cycles();
        if (left != null) {
            atRest(left);
        }
        Set<Action> told = new LinkedHashSet<>();
        Set<Action> seen = new LinkedHashSet<>();
        Set<Control> measured = new LinkedHashSet<>();
        for (int i = 0; i < steps.size(); i++) {
            if (results.get(i) instanceof Result.Flexed flexed) {
                flexed(flexed);
            }
            if (results.get(i) instanceof Result.Repeated
                    && measured.add(words.control(steps.get(i).actions().get(0)))) {
                measured(words.control(steps.get(i).actions().get(0)), steps, results);
            }
            if (!(results.get(i) instanceof Result.Worked worked)) {
                continue;
            }
            if (steps.get(i) instanceof Step.Chord chord) {
                chord(chord, worked.last());
            } else if (steps.get(i) instanceof Step.Single single && seen.add(single.action())) {
                single(single.action(), worked, cycles, told);
                if (single.isSweep() && measured.add(words.control(single.action()))) {
                    measured(words.control(single.action()), steps, results);
                }
            }
        }
        return findings;
    }

    // ---------------------------------------------------------------- left alone

    private void atRest(Result.Left left) {
        for (Input input : left.on()) {
            Action owner = words.owner(input);
            if (owner == null) {
                add(
                        FindingKind.EXTRA,
                        List.of(),
                        List.of(),
                        List.of(input),
                        Phrase.of("found.rest.unowned", input.words()).sentence());
            } else if (words.control(owner) instanceof Control.Selector selector) {
                if (!selector.actions().get(0).equals(owner)) {
                    stuck(owner, input, Phrase.of("found.rest.selector", words.name(owner), input.words()));
                }
            } else if (answers.containsKey(owner) && answers.get(owner).inverted()) {
                add(
                        FindingKind.REVERSED,
                        List.of(owner),
                        List.of(input),
                        List.of(input),
                        Phrase.of("found.rest.inverted", words.name(owner), input.words()));
            } else {
                stuck(owner, input, Phrase.of("found.rest.on", words.name(owner), input.words()));
            }
        }
        for (Input input : left.flickering()) {
            Action owner = words.owner(input);
            add(
                    FindingKind.EXTRA,
                    owner == null ? List.of() : List.of(owner),
                    List.of(),
                    List.of(input),
                    Phrase.of("found.rest.flickers", words.input(input)).sentence());
        }
        left.axes().forEach((axis, meter) -> {
            if (meter.restSpan() > AxisWatch.MOVED * meter.range()) {
                Action owner = words.owner(axis);
                add(
                        FindingKind.NOISY,
                        owner == null ? List.of() : List.of(owner),
                        List.of(axis),
                        List.of(axis),
                        Phrase.of(
                                        "found.rest.moves",
                                        words.input(axis),
                                        meter.restSpan(),
                                        meter.range(),
                                        Phrase.decimal(100.0 * meter.restSpan() / meter.range(), 1),
                                        FigureWords.of(meter.noise()))
                                .sentence(),
                        meter.noise());
            }
        });
    }

    private void stuck(Action owner, Input input, Phrase told) {
        add(FindingKind.STUCK, List.of(owner), List.of(input), List.of(input), told);
    }

    // ---------------------------------------------------------------- one action

    private void single(Action action, Result.Worked worked, Map<Action, List<Action>> cycles, Set<Action> told) {
        Outcome outcome = worked.last();
        Input planned = action.input().orElseThrow();
        SortedSet<Input> came = new TreeSet<>(outcome.came());
        came.removeAll(resting);
        Set<Input> others = new TreeSet<>(came);
        others.remove(planned);
        List<Action> cycle = cycles.get(action);

        if (outcome.inverted() && !resting.contains(planned)) {
            add(
                    FindingKind.REVERSED,
                    List.of(action),
                    List.of(planned),
                    List.of(planned),
                    Phrase.of("found.inverted", words.name(action), planned.words()));
        } else if (cycle != null) {
            if (told.addAll(cycle)) {
                swapped(cycle);
            }
        } else if (came.contains(planned)) {
            alsoCame(action, planned, others, outcome);
        } else if (others.isEmpty()) {
            nothingCame(action, planned, outcome, worked.attempts().size());
        } else {
            anotherCame(action, planned, others);
        }
        if (!outcome.inverted()) {
            afterwards(action, planned, worked);
        }
        timing(action, planned, outcome);
        if (came.contains(planned) && words.control(action) instanceof Control.Axis axis) {
            outcome.swept().ifPresent(swept -> swept(axis, swept));
        }
    }

    private void swept(Control.Axis axis, AxisSeen swept) {
        String name = Names.label(axis);
        if (swept.end() == AxisSeen.End.LOW) {
            add(
                    FindingKind.REVERSED,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    Phrase.of(
                            "found.axis.reversed",
                            name,
                            axis.high().orElse(""),
                            Math.round(100 * swept.least()),
                            Math.round(100 * swept.most())));
        }
        if (swept.isFarBent()) {
            add(
                    FindingKind.NARROW,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    swept.low() > 0.5
                            ? Phrase.of("found.axis.bent-low", name, Math.round(100 * swept.low()))
                            : Phrase.of("found.axis.bent-high", name, Math.round(100 * (1 - swept.low()))));
        } else if (!swept.enough()) {
            add(
                    FindingKind.NARROW,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    Phrase.of(
                            "found.axis.part",
                            name,
                            Math.round(100 * swept.least()),
                            Math.round(100 * swept.most()),
                            axis.range().orElse((int) Math.round(100 * settings.sweep()))),
                    Measured.percent(swept.reached(), 1, 0.01));
        }
    }

    private void alsoCame(Action action, Input planned, Set<Input> others, Outcome outcome) {
        Set<Input> ghosts = new TreeSet<>(others);
        ghosts.removeAll(outcome.stayed());
        List<Input> foreign =
                ghosts.stream().filter(i -> words.owner(i) == null).toList();
        List<Input> owned = ghosts.stream().filter(i -> words.owner(i) != null).toList();
        List<Action> owners =
                owned.stream().flatMap(i -> Stream.ofNullable(words.owner(i))).toList();
        if (!owned.isEmpty()) {
            List<Action> actions = new ArrayList<>(List.of(action));
            actions.addAll(owners);
            List<Input> actual = new ArrayList<>(List.of(planned));
            actual.addAll(owned);
            boolean ownOpposite = owned.size() == 1
                    && action.gesture() == Action.Gesture.TURN
                    && owners.get(0).control().equals(action.control());
            add(
                    ownOpposite ? FindingKind.SKIPPING : FindingKind.GHOSTED,
                    actions,
                    List.of(planned),
                    actual,
                    ownOpposite
                            ? Phrase.of("found.both-ways", words.name(action), planned.words(), words.inputs(owned))
                            : Phrase.of("found.as-well", words.name(action), planned.words(), words.inputs(owned)));
        }
        if (!foreign.isEmpty()) {
            List<Input> actual = new ArrayList<>(List.of(planned));
            actual.addAll(foreign);
            add(
                    FindingKind.EXTRA,
                    List.of(action),
                    List.of(planned),
                    actual,
                    Phrase.of("found.foreign-as-well", words.name(action), planned.words(), Names.inputs(foreign)));
        }
    }

    private void nothingCame(Action action, Input planned, Outcome outcome, int attempts) {
        if (resting.contains(planned) || planned instanceof Input.Hat hat && oppositeRests(hat)) {
            return; // Stuck, and told as that; or the other side is, and a hat cannot point both ways.
        }
        if (outcome.alreadyOn()) {
            boolean told =
                    answers.values().stream().anyMatch(other -> other.stayed().contains(planned));
            if (!told && !(words.control(action) instanceof Control.Selector)) {
                stuck(action, planned, Phrase.of("found.already-on", words.name(action), planned.words()));
            }
            return;
        }
        add(
                FindingKind.MISSING,
                List.of(action),
                List.of(planned),
                List.of(),
                layout.has(planned)
                        ? Phrase.of("found.nothing", words.name(action), FigureWords.times(attempts), planned.words())
                        : Phrase.of(
                                "found.nothing.undeclared",
                                words.name(action),
                                FigureWords.times(attempts),
                                planned.words()));
    }

    private boolean oppositeRests(Input.Hat hat) {
        Direction[] all = Direction.values();
        return resting.contains(new Input.Hat(hat.number(), all[hat.direction().ordinal() + 2 & 3], hat.collection()));
    }

    private void anotherCame(Action action, Input planned, Set<Input> others) {
        boolean foreign = others.stream().allMatch(i -> words.owner(i) == null);
        List<Action> actions = new ArrayList<>(List.of(action));
        add(
                foreign ? FindingKind.EXTRA : FindingKind.MISSING,
                actions,
                List.of(planned),
                List.copyOf(others),
                Phrase.of("found.instead", words.name(action), words.inputs(others), planned.words()));
    }

    /** What did not come back as it should. */
    private void afterwards(Action action, Input planned, Result.Worked worked) {
        Outcome outcome = worked.last();
        Phrase name = words.name(action);
        for (Input input : outcome.stayed()) {
            Action owner = words.owner(input);
            Phrase told = onInFirstReport.contains(input) && !input.equals(planned)
                    ? Phrase.of("found.on-from-start", words.input(input))
                    : Phrase.of("found.stays-on", words.input(input), name);
            add(
                    owner == null ? FindingKind.EXTRA : FindingKind.STUCK,
                    List.of(owner == null ? action : owner),
                    owner == null ? List.of() : List.of(input),
                    List.of(input),
                    told.sentence());
        }
        List<Input> actual = List.copyOf(outcome.came());
        if (outcome.returned() == Outcome.Returned.AFTER_SECOND_PRESS) {
            add(FindingKind.WRONG_KIND, List.of(action), List.of(planned), actual, Phrase.of("found.latching", name));
        } else if (outcome.returned() == Outcome.Returned.BY_ITSELF
                && !outcome.came().isEmpty()) {
            add(FindingKind.WRONG_KIND, List.of(action), List.of(planned), actual, Phrase.of("found.momentary", name));
        } else if (worked.attempts().stream().anyMatch(a -> a.returned() == Outcome.Returned.AFTER_SECOND_PRESS)) {
            add(FindingKind.STUCK, List.of(action), List.of(planned), actual, Phrase.of("found.stuck-once", name));
        }
    }

    private void timing(Action action, Input planned, Outcome outcome) {
        Bounce worst = outcome.press().worse(outcome.release());
        if (action.gesture() != Action.Gesture.TURN
                && worst.spanNanos() > settings.bounceLimit() + resolution.nanos()) {
            add(
                    FindingKind.BOUNCING,
                    List.of(action),
                    List.of(planned),
                    List.copyOf(outcome.came()),
                    worst == outcome.press()
                            ? Phrase.of(
                                    "found.bounce.press",
                                    words.name(action),
                                    worst.transitions(),
                                    FigureWords.milliseconds(worst.spanNanos()),
                                    FigureWords.of(resolution))
                            : Phrase.of(
                                    "found.bounce.release",
                                    words.name(action),
                                    worst.transitions(),
                                    FigureWords.milliseconds(worst.spanNanos()),
                                    FigureWords.of(resolution)),
                    Measured.time(worst.spanNanos(), resolution));
        }
        if (outcome.dropouts() > 0) {
            add(
                    FindingKind.DROPPING_OUT,
                    List.of(action),
                    List.of(planned),
                    List.copyOf(outcome.came()),
                    Phrase.of(
                            "found.drop-out",
                            words.name(action),
                            FigureWords.times(outcome.dropouts()),
                            FigureWords.milliseconds(outcome.longestDropout()),
                            FigureWords.of(resolution)),
                    Measured.time(outcome.longestDropout(), resolution));
        }
    }

    // ---------------------------------------------------------------- encoders and axes

    private void measured(Control control, List<Step> steps, List<Result> results) {
        if (control instanceof Control.Encoder encoder) {
            skipping(encoder, Measurements.turns(encoder, steps, results));
        } else if (control instanceof Control.Axis axis) {
            Measurements.axis(axis, steps, results).ifPresent(meter -> track(axis, meter));
        }
    }

    private void skipping(Control.Encoder encoder, EncoderMeter.Summary turned) {
        List<Phrase> said = new ArrayList<>();
        if (turned.skipped() > 0) {
            said.add(Phrase.of("found.clicks.nothing", turned.skipped()));
        }
        if (turned.wrong() > 0) {
            said.add(Phrase.of("found.clicks.wrong", turned.wrong()));
        }
        if (turned.doubled() > 0) {
            said.add(Phrase.of("found.clicks.many", turned.doubled()));
        }
        if (turned.quick() > 0) {
            said.add(Phrase.of("found.clicks.quick", turned.quick()));
        }
        if (turned.perDetent() > 1) {
            said.add(Phrase.of("found.clicks.each", turned.perDetent()));
        }
        if (!said.isEmpty()) {
            List<Action> actions = encoder.actions();
            List<Input> inputs = List.of(encoder.cw(), encoder.ccw());
            add(
                    FindingKind.SKIPPING,
                    actions,
                    inputs,
                    inputs,
                    Phrase.of("found.clicks", Names.label(encoder), turned.asked(), Phrase.and(said)),
                    Measured.times(turned.skipped() + turned.wrong() + turned.doubled()));
        }
    }

    private void track(Control.Axis axis, AxisMeter.Summary meter) {
        String name = Names.label(axis);
        for (AxisSpot spot : meter.spots()) {
            Measured width =
                    Measured.percent(spot.to() - spot.from(), meter.range(), Math.max(1, meter.range() / 64.0));
            add(
                    FindingKind.DEAD_SPOT,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    Phrase.of(
                            "found.spot",
                            name,
                            FigureWords.of(spot.kind()),
                            spot.from(),
                            spot.to(),
                            meter.range(),
                            spot.seen(),
                            meter.passes()),
                    width);
        }
        if (meter.leapsDown() + meter.leapsUp() >= AxisSeen.LEAPS) {
            add(
                    FindingKind.NOISY,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    Phrase.of("found.axis.leaps", name, meter.leapsDown(), meter.leapsUp()),
                    Measured.times(meter.leapsDown() + (long) meter.leapsUp()));
        }
        if (meter.spikes() > 0) {
            add(
                    FindingKind.NOISY,
                    axis.actions(),
                    List.of(axis.input()),
                    List.of(axis.input()),
                    Phrase.of(
                            "found.leaps", name, FigureWords.times(meter.spikes()), meter.worstSpike(), meter.range()),
                    Measured.times(meter.spikes()));
        }
    }

    // ---------------------------------------------------------------- exchanges

    /**
     * Actions that give each other's inputs: for each, the cycle it belongs to. Follows "gives the input of" from every
     * action that gives exactly one wrong input; only closed cycles are exchanges.
     */
    private Map<Action, List<Action>> cycles() {
        Map<Action, Action> gives = new HashMap<>();
        answers.forEach((action, outcome) -> {
            Set<Input> came = new TreeSet<>(outcome.came());
            came.removeAll(resting);
            if (came.size() == 1 && !outcome.inverted()) {
                Input only = came.iterator().next();
                if (words.owner(only) != null && !action.input().equals(Optional.of(only))) {
                    gives.put(action, words.owner(only));
                }
            }
        });
        Map<Action, List<Action>> cycles = new HashMap<>();
        for (Action start : answers.keySet()) {
            Set<Action> path = new LinkedHashSet<>();
            Action at = start;
            while (gives.containsKey(at) && path.add(at)) {
                at = gives.get(at);
            }
            if (!path.isEmpty() && at.equals(start)) {
                List<Action> cycle = List.copyOf(path);
                cycle.forEach(a -> cycles.putIfAbsent(a, cycle));
            }
        }
        return cycles;
    }

    private void swapped(List<Action> cycle) {
        List<Input> expected = cycle.stream().map(a -> a.input().orElseThrow()).toList();
        List<Input> actual = new ArrayList<>();
        List<Phrase> parts = new ArrayList<>();
        for (int i = 0; i < cycle.size(); i++) {
            Input gives = expected.get((i + 1) % cycle.size());
            actual.add(gives);
            parts.add(Phrase.of(
                    "found.exchanged",
                    words.name(cycle.get(i)),
                    words.input(gives),
                    expected.get(i).words()));
        }
        boolean encoder = cycle.size() == 2
                && cycle.get(0).gesture() == Action.Gesture.TURN
                && cycle.get(0).control().equals(cycle.get(1).control());
        add(
                encoder ? FindingKind.REVERSED : FindingKind.SWAPPED,
                cycle,
                expected,
                actual,
                Phrase.of("list.stop", Phrase.and(parts)));
    }

    // ---------------------------------------------------------------- chords

    /** A chord tells something new only where it gives other than its parts gave one by one. */
    private void chord(Step.Chord chord, Outcome outcome) {
        Set<Input> parts = new TreeSet<>();
        chord.actions()
                .forEach(a ->
                        parts.addAll(answers.containsKey(a) ? answers.get(a).came() : Set.of()));
        Set<Input> ghosts = new TreeSet<>(outcome.came());
        ghosts.removeAll(parts);
        ghosts.removeAll(chord.expected());
        ghosts.removeAll(resting);
        Set<Input> lacking = new TreeSet<>(chord.expected());
        lacking.retainAll(parts);
        lacking.removeAll(outcome.level());
        if (!ghosts.isEmpty()) {
            List<Action> actions = new ArrayList<>(chord.actions());
            ghosts.forEach(i -> {
                if (words.owner(i) != null) {
                    actions.add(words.owner(i));
                }
            });
            add(
                    FindingKind.GHOSTED,
                    actions,
                    List.copyOf(chord.expected()),
                    List.copyOf(outcome.came()),
                    Phrase.of("found.chord.ghost", words.names(chord.actions()), words.inputs(ghosts)));
        }
        if (!lacking.isEmpty()) {
            add(
                    FindingKind.MISSING,
                    chord.actions(),
                    List.copyOf(chord.expected()),
                    List.copyOf(outcome.came()),
                    Phrase.of("found.chord.lacks", words.names(chord.actions()), Names.inputs(lacking)));
        }
    }

    // ---------------------------------------------------------------- flexed

    private void flexed(Result.Flexed result) {
        result.joints().forEach((action, joint) -> {
            Input planned = action.input().orElseThrow();
            if (joint.verdict() == FlexTrial.Verdict.INTERMITTENT) {
                add(
                        FindingKind.DROPPING_OUT,
                        List.of(action),
                        List.of(planned),
                        List.of(planned),
                        Phrase.of(
                                "found.flex.opens",
                                words.name(action),
                                FigureWords.times(joint.openings()),
                                FigureWords.of(Measured.time(joint.longest(), resolution))));
            } else if (joint.verdict() == FlexTrial.Verdict.LOST) {
                add(
                        FindingKind.DROPPING_OUT,
                        List.of(action),
                        List.of(planned),
                        List.of(),
                        Phrase.of("found.flex.lost", words.name(action)));
            }
        });
        for (Input stranger : result.strangers()) {
            Action owner = words.owner(stranger);
            add(
                    FindingKind.EXTRA,
                    owner == null ? List.of() : List.of(owner),
                    List.of(),
                    List.of(stranger),
                    Phrase.of("found.flex.stranger", words.input(stranger)).sentence());
        }
    }

    // ---------------------------------------------------------------- small things

    private void add(
            FindingKind kind, List<Action> actions, List<Input> expected, List<Input> actual, Phrase evidence) {
        add(kind, actions, expected, actual, evidence, null);
    }

    private void add(
            FindingKind kind,
            List<Action> actions,
            List<Input> expected,
            List<Input> actual,
            Phrase evidence,
            @Nullable Measured figure) {
        findings.add(new Finding(
                kind,
                actions.stream().map(Action::control).distinct().toList(),
                actions.stream().map(Action::id).toList(),
                expected,
                actual,
                evidence,
                Optional.ofNullable(figure)));
    }
}
