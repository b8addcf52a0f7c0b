package ringout.naming;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.circuit.Fault;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/** What was seen, in the words of somebody who worked the controls. */
public final class EvidenceWords {
    private static final int MOST_NAMES = 5;
    private static final int MOST_MATES = 3;

    private final Plan plan;
    private final Names names;
    private final Map<String, Contact> contacts = new HashMap<>();
    private final Map<String, Line> lines = new HashMap<>();

    public EvidenceWords(Plan plan, Names names) {
        this.plan = plan;
        this.names = names;
        plan.contacts().forEach(c -> contacts.put(c.id(), c));
        plan.lines().forEach(l -> lines.put(l.name(), l));
    }

    /**
     * A press or chord, and what of it the plan does not say; it gave that alone where something else would have kept it from
     * doing so.
     *
     * @param held     ids of the actions held
     * @param on       what came on
     * @param expected what the plan says
     */
    public Phrase deviation(Set<String> held, Set<Input> on, SortedSet<Input> expected) {
        Set<Input> missing = new TreeSet<>(expected);
        missing.removeAll(on);
        Set<Input> extra = new TreeSet<>(on);
        extra.removeAll(expected);
        if (missing.isEmpty() && extra.isEmpty()) {
            return held.isEmpty() ? Phrase.of("seen.rest.answers") : Phrase.of("seen.answers", names.actions(held));
        }
        if (held.isEmpty()) {
            return missing.isEmpty()
                    ? Phrase.of("seen.rest.extra", owned(extra), extra.size())
                    : extra.isEmpty()
                            ? Phrase.of("seen.rest.off", owned(missing), missing.size())
                            : Phrase.of("seen.rest.instead", owned(extra), owned(missing));
        }
        return missing.isEmpty()
                ? Phrase.of("seen.extra", names.actions(held), owned(extra), extra.size())
                : extra.isEmpty()
                        ? Phrase.of("seen.off", names.actions(held), owned(missing), missing.size())
                        : Phrase.of("seen.instead", names.actions(held), owned(extra), owned(missing));
    }

    private Phrase owned(Set<Input> inputs) {
        return Phrase.some(inputs.stream().map(names::owned).toList(), MOST_NAMES);
    }

    /**
     * What speaks for a fault, from the single presses that only it accounts for.
     *
     * @param dead    ids of actions that gave nothing
     * @param alive   ids of actions that gave just their own input
     * @param allElse true where everything but {@code dead} answered as planned
     */
    public Optional<Phrase> pattern(Fault fault, Set<String> dead, Set<String> alive, boolean allElse) {
        if (dead.isEmpty()) {
            return Optional.empty();
        }
        Fault always = fault instanceof Fault.Intermittent i ? i.fault() : fault;
        String name = always instanceof Fault.LineOpen f
                ? f.line()
                : always instanceof Fault.WrongPin f
                        ? f.line()
                        : always instanceof Fault.LineBroken f ? f.line() : null;
        if (name != null) {
            List<String> on = actionsOn(Known.in(lines, name));
            if (!dead.containsAll(on) && always instanceof Fault.LineBroken f) {
                List<String> chain = Known.in(lines, name).contacts();
                List<String> after =
                        on.stream().filter(a -> beyond(chain, f.after(), a)).toList();
                List<String> before = on.stream()
                        .filter(a -> !after.contains(a) && alive.contains(a))
                        .toList();
                if (!before.isEmpty() && dead.containsAll(after)) {
                    return Optional.of(Phrase.of(
                            "seen.broken-after",
                            some(before, MOST_NAMES),
                            before.size(),
                            some(after, MOST_NAMES),
                            name,
                            after.size()));
                }
            }
            if (dead.size() > 1 && dead.containsAll(on)) {
                return Optional.of(
                        andElse(Phrase.of("seen.all-dead", Phrase.number(on.size()), names.bus(name)), allElse));
            }
        }
        Phrase missing = Phrase.of("seen.dead", some(dead, MOST_NAMES), dead.size());
        if (dead.size() == 1 && !allElse) {
            List<Phrase> mates = new ArrayList<>();
            for (String line : linesOf(dead.iterator().next())) {
                List<String> answering = actionsOn(Known.in(lines, line)).stream()
                        .filter(alive::contains)
                        .toList();
                if (!answering.isEmpty()) {
                    mates.add(Phrase.of("seen.on-line", some(answering, MOST_MATES), names.bus(line)));
                }
            }
            if (!mates.isEmpty()) {
                return Optional.of(Phrase.of("seen.though", missing, Phrase.and(mates)));
            }
        }
        return Optional.of(andElse(missing, allElse));
    }

    private static Phrase andElse(Phrase phrase, boolean allElse) {
        return allElse ? Phrase.of("seen.else-answers", phrase) : phrase;
    }

    private Phrase some(Collection<String> actions, int most) {
        return Phrase.some(actions.stream().map(names::action).toList(), most);
    }

    private boolean beyond(List<String> chain, String after, String action) {
        return plan.action(action).stream()
                .flatMap(a -> a.contacts().stream())
                .anyMatch(c -> chain.indexOf(c) > chain.indexOf(after));
    }

    private List<String> actionsOn(Line line) {
        return plan.actions().stream()
                .filter(a -> a.contacts().stream().anyMatch(line.contacts()::contains))
                .map(Action::id)
                .toList();
    }

    private List<String> linesOf(String action) {
        List<String> on = new ArrayList<>();
        for (String id : plan.action(action).map(Action::contacts).orElse(List.of())) {
            Wiring wiring = Known.in(contacts, id).wiring();
            on.addAll(
                    wiring instanceof Wiring.Crossing at
                            ? Arrays.asList(at.row(), at.column())
                            : wiring instanceof Wiring.Direct at
                                    ? List.of(at.line())
                                    : wiring instanceof Wiring.Shift at ? List.of(at.line()) : List.of());
        }
        return on;
    }
}
