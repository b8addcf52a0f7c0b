package ringout.diagnosis;

import java.util.List;
import java.util.Optional;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Order;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Line;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.plan.Scan;

/**
 * The plan of a box as it is, where what is wrong is the plan or may as well be: another order or numbering, exchanged
 * controls or wires, a scan that goes the other way. What needs the iron stays as planned.
 */
public final class PlanRewrite {
    private PlanRewrite() {}

    /**
     * The text of the plan rewritten so that a box with these faults does what it says, but for those faults that no plan
     * can make good. Comments, order and layout stay as they are.
     *
     * @param yaml text of the plan
     * @param file what to call it in problems
     * @return empty where none of the faults can be made good by rewriting, or the text is no valid plan
     */
    public static Optional<String> of(String yaml, String file, List<Fault> faults) {
        return of(PlanDocument.of(yaml, file), faults).map(PlanDocument::text);
    }

    /** The same as one edit of a document, to be undone as one. */
    public static Optional<PlanDocument> of(PlanDocument document, List<Fault> faults) {
        Optional<Plan> plan = document.reading().plan();
        List<Fault> planned = faults.stream().filter(PlanRewrite::canBePlanned).toList();
        if (plan.isEmpty() || planned.isEmpty()) {
            return Optional.empty();
        }
        PlanDocument rewritten = document.together(before -> {
            PlanDocument now = before;
            for (Fault fault : planned) {
                Optional<Plan> fits = now.reading().plan();
                if (fits.isPresent()) {
                    now = obeyed(rewrite(now, fits.get(), fault), fits.get());
                }
            }
            return now;
        });
        return Optional.of(rewritten).filter(d -> d.reading().plan().isPresent());
    }

    /** True where the plan can be changed to fit, with nothing to solder. */
    public static boolean canBePlanned(Fault fault) {
        return switch (fault.kind()) {
            case MISORDERED, SCANNED_OTHER_WAY, CONTACTS_EXCHANGED, LINES_EXCHANGED, PHASES_EXCHANGED -> true;
            case LINE_OPEN,
                    LINE_BROKEN,
                    CHAIN_BROKEN,
                    CONTACT_OPEN,
                    CONTACT_CLOSED,
                    LINES_SHORTED,
                    DIODE_OPEN,
                    DIODE_SHORT,
                    DIODE_REVERSED,
                    NORMALLY_CLOSED,
                    WRONG_PIN,
                    SCAN_HURRIED,
                    INTERMITTENT,
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

    private static PlanDocument rewrite(PlanDocument document, Plan plan, Fault fault) {
        if (fault instanceof Fault.ScannedOtherWay) {
            return document.setDrive(plan.scan().drive() == Scan.Drive.ROWS ? Scan.Drive.COLUMNS : Scan.Drive.ROWS);
        }
        if (fault instanceof Fault.LinesExchanged exchanged) {
            Line first = plan.line(exchanged.first()).orElseThrow();
            Line second = plan.line(exchanged.second()).orElseThrow();
            return document.setPin(first.name(), second.pin()).setPin(second.name(), first.pin());
        }
        if (fault instanceof Fault.Misordered) {
            Circuit circuit = Circuit.of(plan);
            List<Optional<Input>> shown = circuit.orders().shown(List.of(fault));
            PlanDocument now = document;
            for (Action action : plan.actions()) {
                Optional<Input> came = action.input()
                        .flatMap(i -> shown.get(circuit.firmware().indexOf(i).orElseThrow()));
                if (came.isPresent() && !came.equals(action.input())) {
                    now = now.setInput(action.id(), came.get());
                }
            }
            return renumbered(now, plan, fault);
        }
        List<Action> pair = plan.actions().stream()
                .filter(a -> fault instanceof Fault.PhasesExchanged phases
                        ? a.control().equals(phases.control())
                        : a.contacts().size() == 1
                                && fault.contacts().contains(a.contacts().get(0)))
                .toList();
        return pair.size() == 2
                        && pair.get(0).input().isPresent()
                        && pair.get(1).input().isPresent()
                ? document.setInput(pair.get(0).id(), pair.get(1).input().get())
                        .setInput(pair.get(1).id(), pair.get(0).input().get())
                : document;
    }

    /** What the plan says of the firmware's numbering goes with the numbers. */
    private static PlanDocument renumbered(PlanDocument document, Plan plan, Fault fault) {
        if (plan.numbering().isEmpty() || !(fault instanceof Fault.Misordered misordered)) {
            return document;
        }
        NumberScheme was = plan.numbering().get();
        if (misordered.order() instanceof Order.Shifted shifted) {
            int first = was.first() + shifted.by();
            return first >= 1 && first <= NumberScheme.MOST_FIRST
                    ? document.setNumbering(Optional.of(new NumberScheme(was.way(), first)))
                    : document;
        }
        if (misordered.order() instanceof Order.ByColumns) {
            Optional<Plan> now = document.reading().plan();
            Optional<NumberScheme> other = Optional.of(new NumberScheme(
                            was.way() == NumberScheme.Way.BY_ROWS
                                    ? NumberScheme.Way.BY_COLUMNS
                                    : NumberScheme.Way.BY_ROWS,
                            was.first()))
                    .filter(s -> was.way() != NumberScheme.Way.FREE)
                    .filter(s -> now.filter(s::fits).isPresent());
            return other.isPresent() ? document.setNumbering(other) : document;
        }
        return document;
    }

    /** A scheme that the plan kept to and no longer keeps to: wires, not numbers, are in another order. */
    private static PlanDocument obeyed(PlanDocument document, Plan before) {
        Optional<Plan> after = document.reading().plan();
        boolean broken = before.numbering().filter(s -> s.fits(before)).isPresent()
                && after.flatMap(Plan::numbering)
                        .filter(s -> !s.fits(after.get()))
                        .isPresent();
        return broken ? document.setNumbering(Optional.of(new NumberScheme(NumberScheme.Way.FREE, 1))) : document;
    }
}
