package ringout.simulate;

import java.util.List;
import java.util.SortedSet;
import java.util.SplittableRandom;
import java.util.TreeSet;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;

/** Chooses faults for somebody to find, such as soldering makes them. */
public final class HiddenFaults {
    private static final int TRIES = 500;

    private HiddenFaults() {}

    /**
     * Two faults of different sorts, neither of which hides or changes what the other does, and each of which shows in
     * single presses.
     *
     * @return fewer than two only where the plan is too small for that
     */
    public static List<Fault> two(Plan plan, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        Circuit circuit = Circuit.of(plan);
        List<Fault> usual = circuit.singleFaults().stream()
                .filter(f -> isUsual(f, plan))
                .filter(f -> !shownBy(circuit, List.of(f)).isEmpty())
                .toList();
        for (int i = 0; i < TRIES && !usual.isEmpty(); i++) {
            Fault first = usual.get(random.nextInt(usual.size()));
            Fault second = usual.get(random.nextInt(usual.size()));
            if (first.getClass() != second.getClass() && independent(circuit, first, second)) {
                return List.of(first, second);
            }
        }
        return usual.isEmpty() ? List.of() : List.of(usual.get(random.nextInt(usual.size())));
    }

    private static boolean isUsual(Fault fault, Plan plan) {
        return switch (fault.kind()) {
            case LINE_OPEN, LINE_BROKEN, CONTACT_OPEN, DIODE_REVERSED, CONTACT_CLOSED -> true;
            // Nobody takes a leg of an encoder for a push button.
            case CONTACTS_EXCHANGED -> fault.contacts().stream().noneMatch(c -> isPhase(c, plan));
            case LINES_EXCHANGED ->
                fault.lines().stream()
                                .map(l -> plan.line(l).map(Line::kind))
                                .distinct()
                                .count()
                        == 1;
            case CHAIN_BROKEN,
                    LINES_SHORTED,
                    DIODE_OPEN,
                    DIODE_SHORT,
                    PHASES_EXCHANGED,
                    NORMALLY_CLOSED,
                    WRONG_PIN,
                    INTERMITTENT,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    CONTACT_WEAK,
                    LINE_WEAK,
                    LINES_LEAK,
                    CONTACT_LEAK,
                    PULL_LOST,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> false;
        };
    }

    private static boolean isPhase(String contact, Plan plan) {
        return plan.contact(contact)
                .flatMap(c -> plan.control(c.control()))
                .filter(Control.Encoder.class::isInstance)
                .isPresent();
    }

    private static boolean independent(Circuit circuit, Fault first, Fault second) {
        SortedSet<String> byFirst = shownBy(circuit, List.of(first));
        SortedSet<String> bySecond = shownBy(circuit, List.of(second));
        SortedSet<String> common = new TreeSet<>(byFirst);
        common.retainAll(bySecond);
        SortedSet<String> either = new TreeSet<>(byFirst);
        either.addAll(bySecond);
        return common.isEmpty() && shownBy(circuit, List.of(first, second)).equals(either);
    }

    /** Ids of actions that give other inputs than planned, and of those whose inputs are on at rest. */
    private static SortedSet<String> shownBy(Circuit circuit, List<Fault> faults) {
        SortedSet<String> shown = new TreeSet<>();
        Reading rest = circuit.with(faults).read(List.of());
        for (Action action : circuit.plan().actions()) {
            TreeSet<Input> on = new TreeSet<>(
                    circuit.with(faults).read(List.of(action.id())).on());
            boolean atRest = action.input().filter(rest.on()::contains).isPresent();
            on.removeAll(rest.on());
            if (atRest || !on.equals(new TreeSet<>(action.input().map(List::of).orElse(List.of())))) {
                shown.add(action.id());
            }
        }
        return shown;
    }
}
