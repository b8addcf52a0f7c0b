package ringout.ui.model;

import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Finding;
import ringout.check.Prompt;
import ringout.drawing.PanelLayout;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * What the panel's picture shows: from plan, inputs and check to a word and a shape for each control. Asked for with
 * every report that is shown, so what does not change is kept from one time to the next. Not thread-safe.
 */
public final class PanelModel {
    private final List<Part> parts;
    private final Set<Input> known = new HashSet<>();
    private @Nullable CheckView standing;
    private Map<String, Status> statuses = Map.of();
    private Map<String, Finding> findings = Map.of();
    private Set<String> suspects = Set.of();
    private Map<String, ControlState> before = Map.of();

    /** A control with what the plan says of it. */
    private record Part(Control control, List<Action> actions, String planned) {}

    public PanelModel(Plan plan) {
        parts = plan.controls().stream()
                .map(c -> new Part(c, c.actions(), PanelLayout.planned(c)))
                .toList();
        parts.forEach(part -> part.actions.forEach(action -> action.input().ifPresent(known::add)));
    }

    /**
     * The panel now.
     *
     * @param controls by id, in plan order
     * @param extra    inputs that are on although no control of the plan has them, as text
     */
    public record State(Map<String, ControlState> controls, List<String> extra) {
        public State {
            controls = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(controls));
            extra = List.copyOf(extra);
        }
    }

    /** The panel of a box that says nothing. */
    public static State idle(Plan plan) {
        return new PanelModel(plan).now(Optional.empty(), Optional.empty(), null);
    }

    /** Marks controls, by id, in whose wiring something is suspected. */
    public void suspect(Set<String> controls) {
        suspects = Set.copyOf(controls);
    }

    /**
     * The panel of a live box.
     *
     * @param input the newest state; empty where there is no box
     * @param check the guided check, where one runs
     * @param dials the knobs' turns; null for none
     */
    public State now(Optional<InputState> input, Optional<CheckView> check, @Nullable Dials dials) {
        Set<Input> on = input.map(state -> (Set<Input>) state.onInputs()).orElse(Set.of());
        Set<String> asked = check.filter(c -> !c.finished())
                .map(c -> Set.copyOf(c.prompt().actions()))
                .orElse(Set.of());
        stand(check);
        Map<String, ControlState> controls = new LinkedHashMap<>();
        for (Part part : parts) {
            Control control = part.control;
            Set<String> lit = on.isEmpty()
                    ? Set.of()
                    : ids(part, action -> action.input().filter(on::contains).isPresent());
            Set<String> wanted = asked.isEmpty() ? Set.of() : ids(part, action -> asked.contains(action.id()));
            Status status = statuses.getOrDefault(control.id(), Status.WAITING);
            Optional<Finding> finding = Optional.ofNullable(findings.get(control.id()));
            double slide = control instanceof Control.Axis axis
                    ? input.map(state -> position(state, axis.input())).orElse(0.0)
                    : 0;
            double turn = dials == null ? 0 : dials.turn(control.id());
            boolean suspect = suspects.contains(control.id());
            String word = word(part, lit, wanted, status, finding, suspect, check, slide, input.isPresent());
            ControlState was = before.get(control.id());
            boolean same = was != null
                    && was.on().equals(lit)
                    && was.asked().equals(wanted)
                    && was.status() == status
                    && was.finding().equals(finding)
                    && was.suspect() == suspect;
            controls.put(
                    control.id(),
                    new ControlState(
                            lit,
                            wanted,
                            status,
                            finding,
                            suspect,
                            word,
                            turn,
                            slide,
                            same && was != null ? was.spoken() : spoken(part, lit, wanted, status, finding, suspect)));
        }
        before = controls;
        List<String> extra = on.stream()
                .filter(i -> !known.contains(i))
                .sorted()
                .map(i -> i.words().text())
                .toList();
        return new State(controls, extra);
    }

    /** How each control stands, found out anew only where the check has moved. */
    private void stand(Optional<CheckView> check) {
        @Nullable CheckView now = check.orElse(null);
        if (now == standing) {
            return;
        }
        standing = now;
        statuses = new HashMap<>();
        findings = new HashMap<>();
        if (now != null) {
            parts.forEach(part -> statuses.put(part.control.id(), now.status(part.control.id())));
            now.findings().forEach(finding -> finding.controls().forEach(id -> findings.putIfAbsent(id, finding)));
        }
    }

    private static Set<String> ids(Part part, Predicate<Action> which) {
        return part.actions.stream().filter(which).map(Action::id).collect(Collectors.toSet());
    }

    private static double position(InputState state, Input.Axis axis) {
        OptionalInt index = state.layout().indexOf(axis);
        if (index.isEmpty()) {
            return 0;
        }
        InputLayout.Axis range = state.layout().axes().get(index.getAsInt());
        double span = Math.max(1, range.maximum() - range.minimum());
        return Math.max(0, Math.min(1, (state.axis(index.getAsInt()) - range.minimum()) / span));
    }

    private static String word(
            Part part,
            Set<String> lit,
            Set<String> wanted,
            Status status,
            Optional<Finding> finding,
            boolean suspect,
            Optional<CheckView> check,
            double slide,
            boolean live) {
        if (!lit.isEmpty()) {
            return part.actions.size() == 1
                    ? Texts.say("panel.on")
                    : Texts.say(
                            "panel.on.part",
                            part.actions.stream()
                                    .map(Action::id)
                                    .filter(lit::contains)
                                    .map(id -> id.substring(id.indexOf('.') + 1))
                                    .collect(Collectors.joining(", ")));
        }
        if (!wanted.isEmpty()) {
            return imperative(check.orElseThrow().prompt().kind());
        }
        if (finding.isPresent()) {
            return finding.get().said().text();
        }
        if (suspect) {
            return Texts.say("panel.suspect");
        }
        if (status == Status.GOOD) {
            return Texts.say("panel.good");
        }
        if (status == Status.SKIPPED) {
            return Texts.say("panel.skipped");
        }
        if (part.control instanceof Control.Axis && live) {
            return Math.round(slide * 100) + " %";
        }
        return "";
    }

    private static String imperative(Prompt.Kind kind) {
        return switch (kind) {
            case HOLD -> Texts.say("panel.hold");
            case FLEX -> Texts.say("panel.flex");
            case LET_GO -> Texts.say("panel.let-go");
            case PRESS_ONCE -> Texts.say("panel.press-once");
            case PUT_ON -> Texts.say("panel.put-on");
            case PUT_OFF -> Texts.say("panel.put-off");
            case REPEAT -> Texts.say("panel.again");
            case TURN -> Texts.say("panel.turn");
            case SWEEP -> Texts.say("panel.sweep");
            case HANDS_OFF, PLUG_IN, QUESTION, PAUSED, DONE -> "";
        };
    }

    private static String spoken(
            Part part, Set<String> lit, Set<String> wanted, Status status, Optional<Finding> finding, boolean suspect) {
        StringBuilder words = new StringBuilder(part.control.label())
                .append(", ")
                .append(part.control.kind())
                .append(", ")
                .append(part.planned)
                .append('.');
        if (!wanted.isEmpty()) {
            words.append(" " + Texts.say("panel.spoken.asked"));
        }
        if (!lit.isEmpty()) {
            words.append(" " + Texts.say("panel.spoken.on"));
        }
        finding.ifPresent(kind -> words.append(" ").append(Texts.say("panel.spoken.finding", kind.said())));
        if (suspect) {
            words.append(" " + Texts.say("panel.spoken.suspect"));
        }
        if (finding.isEmpty() && status == Status.GOOD) {
            words.append(" " + Texts.say("panel.spoken.good"));
        }
        if (status == Status.SKIPPED) {
            words.append(" " + Texts.say("panel.spoken.skipped"));
        }
        return words.toString();
    }
}
