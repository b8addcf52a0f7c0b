package ringout.ui.model;

import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.Prompt;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.drawing.PanelLayout;

/** What the panel's picture shows: from plan, inputs and check to a word and a shape for each control. */
public final class PanelModel {
    private PanelModel() {
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
        return of(plan, Optional.empty(), Optional.empty(), null);
    }

    /**
     * The panel of a live box.
     *
     * @param input the newest state; empty where there is no box
     * @param check the guided check, where one runs
     * @param dials the knobs' turns; null for none
     */
    public static State of(Plan plan, Optional<InputState> input, Optional<CheckView> check, Dials dials) {
        Set<Input> on = input.map(state -> Set.copyOf(state.onInputs())).orElse(Set.of());
        Set<String> asked = check.filter(c -> !c.finished()).map(c -> Set.copyOf(c.prompt().actions())).orElse(Set.of());
        Set<Input> known = new HashSet<>();
        Map<String, ControlState> controls = new LinkedHashMap<>();
        for (Control control : plan.controls()) {
            Set<String> lit = new HashSet<>();
            for (Action action : control.actions()) {
                action.input().ifPresent(known::add);
                if (action.input().filter(on::contains).isPresent()) {
                    lit.add(action.id());
                }
            }
            Set<String> wanted = control.actions().stream().map(Action::id).filter(asked::contains).collect(Collectors.toSet());
            Status status = check.map(c -> c.status(control.id())).orElse(Status.WAITING);
            Optional<FindingKind> finding = check.stream().flatMap(c -> c.findings().stream())
                    .filter(f -> f.controls().contains(control.id())).map(Finding::kind).findFirst();
            double slide = control instanceof Control.Axis axis ? input.map(state -> position(state, axis.input())).orElse(0.0) : 0;
            double turn = dials == null ? 0 : dials.turn(control.id());
            String word = word(control, lit, wanted, status, finding, check, slide, input.isPresent());
            controls.put(control.id(), new ControlState(lit, wanted, status, finding, word, turn, slide,
                    spoken(control, lit, wanted, status, finding)));
        }
        List<String> extra = on.stream().filter(i -> !known.contains(i)).sorted().map(Input::text).toList();
        return new State(controls, extra);
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

    private static String word(Control control, Set<String> lit, Set<String> wanted, Status status,
            Optional<FindingKind> finding, Optional<CheckView> check, double slide, boolean live) {
        if (!lit.isEmpty()) {
            return control.actions().size() == 1 ? "on" : control.actions().stream().map(Action::id).filter(lit::contains)
                    .map(id -> id.substring(id.indexOf('.') + 1)).collect(Collectors.joining(", ")) + " on";
        }
        if (!wanted.isEmpty()) {
            return imperative(check.orElseThrow().prompt().kind());
        }
        if (finding.isPresent()) {
            return finding.get().word();
        }
        if (status == Status.GOOD) {
            return "good";
        }
        if (status == Status.SKIPPED) {
            return "skipped";
        }
        if (control instanceof Control.Axis && live) {
            return Math.round(slide * 100) + " %";
        }
        return "";
    }

    private static String imperative(Prompt.Kind kind) {
        return switch (kind) {
            case HOLD -> "hold now";
            case FLEX -> "keep holding";
            case LET_GO -> "let go";
            case PRESS_ONCE -> "press once";
            case PUT_ON -> "put on";
            case PUT_OFF -> "put off";
            case TURN -> "turn now";
            case SWEEP -> "sweep now";
            case HANDS_OFF, PLUG_IN, DONE -> "";
        };
    }

    private static String spoken(Control control, Set<String> lit, Set<String> wanted, Status status,
            Optional<FindingKind> finding) {
        StringBuilder words = new StringBuilder(control.label()).append(", ").append(control.kind()).append(", ")
                .append(PanelLayout.planned(control)).append('.');
        if (!wanted.isEmpty()) {
            words.append(" Asked for now.");
        }
        if (!lit.isEmpty()) {
            words.append(" On.");
        }
        finding.ifPresent(kind -> words.append(" Finding: ").append(kind.word()).append('.'));
        if (finding.isEmpty() && status == Status.GOOD) {
            words.append(" Checked and good.");
        }
        if (status == Status.SKIPPED) {
            words.append(" Skipped.");
        }
        return words.toString();
    }
}
