package ringout.outside;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.check.Observation;
import ringout.circuit.Fault;
import ringout.diagnosis.Explanation;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;

/**
 * Says whether an explanation names what is really wrong with a box: by its words, or by another set of faults that no
 * press and no chord can tell from it, by the model of this package.
 */
final class Judge {
    private static final int MOST_CHORDS = 400;
    private static final String HURRIED = "scan:hurried:";
    /** As a good firmware waits. */
    private static final double PATIENT_SECONDS = 200e-6;

    private final Plan plan;
    private final Chip chip;
    private final List<Mistake> truth;
    private final Set<String> lasted;
    private final Soldered real;
    private final List<Set<String>> holds;
    /** The firmware does not wait for the lines, and it shows. */
    private final boolean hasty;

    Judge(Plan plan, Chip chip, List<Mistake> truth) {
        this(plan, chip, truth, Set.of());
    }

    /** @param lasted what comes and goes of the truth, and may as well be said to last */
    Judge(Plan plan, Chip chip, List<Mistake> truth, Set<String> lasted) {
        this.lasted = lasted;
        this.plan = plan;
        this.chip = chip;
        this.truth = truth.stream().filter(m -> !m.ofTime()).toList();
        real = new Soldered(plan, chip, this.truth);
        holds = holds();
        Soldered hurried = new Soldered(plan, chip, List.of());
        Soldered patient = new Soldered(plan, chip.settling(PATIENT_SECONDS), List.of());
        hasty = plan.contacts().stream()
                .map(c -> Set.of(c.id()))
                .anyMatch(press -> !hurried.inputs(press, new BitSet()).equals(patient.inputs(press, new BitSet())));
    }

    /** The plan's own presses one by one, then pairs, then the three corners of every rectangle, evenly thinned out. */
    private List<Set<String>> holds() {
        List<Set<String>> all = new ArrayList<>();
        all.add(Set.of());
        List<Action> presses = plan.actions().stream()
                .filter(a -> a.gesture() == Action.Gesture.PRESS || a.gesture() == Action.Gesture.LATCH)
                .toList();
        presses.forEach(a -> all.add(Set.copyOf(a.contacts())));
        plan.contacts().forEach(c -> all.add(Set.of(c.id())));
        List<Set<String>> chords = new ArrayList<>();
        List<String> ids = presses.stream().flatMap(a -> a.contacts().stream()).toList();
        for (int i = 0; i < ids.size(); i++) {
            for (int j = i + 1; j < ids.size(); j++) {
                chords.add(Set.of(ids.get(i), ids.get(j)));
                corner(ids.get(i), ids.get(j)).ifPresent(chords::add);
            }
        }
        int every = Math.max(1, chords.size() / MOST_CHORDS);
        for (int i = 0; i < chords.size(); i += every) {
            all.add(chords.get(i));
        }
        return all;
    }

    private Optional<Set<String>> corner(String a, String b) {
        if (plan.contact(a).orElseThrow().wiring() instanceof Wiring.Crossing x
                && plan.contact(b).orElseThrow().wiring() instanceof Wiring.Crossing y
                && !x.row().equals(y.row())
                && !x.column().equals(y.column())) {
            Wiring at = new Wiring.Crossing(x.row(), y.column());
            return plan.contacts().stream()
                    .filter(c -> c.wiring().equals(at))
                    .findFirst()
                    .map(c -> Set.of(a, b, c.id()));
        }
        return Optional.empty();
    }

    /** True where one of the explanation's look-alikes is the truth. */
    boolean names(Explanation explanation) {
        if (explanation.alternatives().isEmpty()) {
            return truth.isEmpty() && !hasty;
        }
        return explanation.alternatives().stream()
                .anyMatch(set -> isTruth(set.stream().map(Fault::text).toList()));
    }

    /** True where these faults are the truth, or read the same whatever is pressed. */
    boolean isTruth(List<String> told) {
        List<String> texts = told.stream().map(this::asPlanted).toList();
        Optional<String> hurried =
                texts.stream().filter(t -> t.startsWith(HURRIED)).findFirst();
        if (hasty != hurried.isPresent()) {
            return false;
        }
        if (hurried.isPresent()) {
            int following = Integer.parseInt(hurried.get().substring(HURRIED.length()));
            return follow(following)
                    && reads(Mistake.all(
                            texts.stream().filter(t -> !t.startsWith(HURRIED)).toList()));
        }
        if (isWord(texts)) {
            return true;
        }
        List<Mistake> other = new ArrayList<>();
        try {
            for (String text : texts) {
                // Of a joint or leak only that it is there is said; give it the true one's resistance.
                double ohms = truth.stream()
                        .filter(m -> m.kind().equals("weak") || m.kind().equals("leak"))
                        .mapToDouble(Mistake::ohms)
                        .findFirst()
                        .orElse(Mistake.TYPICAL_OHMS);
                other.add(Mistake.of(text, ohms));
            }
            List<Mistake> reversed = new ArrayList<>(other);
            Collections.reverse(reversed);
            // Exchanges that share a wire mean one thing or its opposite, by which is taken first.
            return reads(other) || reads(reversed);
        } catch (IllegalArgumentException unknown) {
            return false;
        }
    }

    /** True where with this firmware and nothing else wrong every control gives just so many more, those scanned next. */
    private boolean follow(int following) {
        Soldered good = new Soldered(plan, chip, List.of());
        boolean rows = plan.scan().drive() == Scan.Drive.ROWS;
        List<String> driven = plan.lines(rows ? Line.Kind.ROW : Line.Kind.COLUMN).stream()
                .map(Line::name)
                .toList();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing at
                    && contact.input().isPresent()) {
                int first = driven.indexOf(rows ? at.row() : at.column());
                Set<Input> expected = new HashSet<>();
                for (int i = first; i <= Math.min(first + following, driven.size() - 1); i++) {
                    Wiring next = rows
                            ? new Wiring.Crossing(driven.get(i), at.column())
                            : new Wiring.Crossing(at.row(), driven.get(i));
                    plan.contacts().stream()
                            .filter(c -> c.wiring().equals(next))
                            .forEach(c -> c.input().ifPresent(expected::add));
                }
                if (!good.inputs(Set.of(contact.id()), new BitSet()).equals(expected)) {
                    return false;
                }
            }
        }
        return true;
    }

    /** True where one of the look-alikes is the truth word for word. */
    boolean words(Explanation explanation) {
        return explanation.alternatives().isEmpty() && truth.isEmpty() && !hasty
                || explanation.alternatives().stream()
                        .anyMatch(set -> isWord(set.stream().map(Fault::text).toList()));
    }

    private boolean isWord(List<String> texts) {
        Set<String> wanted = new HashSet<>();
        truth.forEach(m -> wanted.add(normal(m.text())));
        Set<String> said = new HashSet<>();
        texts.forEach(t -> said.add(normal(t)));
        return said.equals(wanted);
    }

    private boolean reads(List<Mistake> faults) {
        Soldered told = new Soldered(plan, chip, faults);
        return holds.stream().allMatch(hold -> told.possible(hold).equals(real.possible(hold)));
    }

    /** What lasts by the explanation and only seemed to, as what it is. */
    private String asPlanted(String text) {
        return lasted.stream()
                .filter(planted -> normal(steady(planted)).equals(normal(text)))
                .findFirst()
                .orElse(text);
    }

    /** Shorts and exchanges are the same whichever is named first. */
    private static String normal(String text) {
        int at = Math.max(text.indexOf("short:"), text.indexOf("exchange:"));
        int comma = text.indexOf(',');
        if (at < 0 || comma < 0) {
            return text;
        }
        int from = text.indexOf(':', at) + 1;
        String a = text.substring(from, comma);
        String b = text.substring(comma + 1);
        return text.substring(0, from) + (a.compareTo(b) < 0 ? a + "," + b : b + "," + a);
    }

    /** What is wrong without what comes and goes but never did while anybody looked: of that nobody can tell. */
    static List<Mistake> shown(Plan plan, Chip chip, List<Mistake> truth, List<Observation> observations) {
        List<Mistake> shown = new ArrayList<>(truth);
        for (Mistake mistake : truth) {
            if (mistake.comesAndGoes()) {
                List<Mistake> others = new ArrayList<>(shown);
                others.remove(mistake);
                Soldered without = new Soldered(plan, chip, others);
                if (observations.stream().allMatch(seen -> without.gives(contacts(plan, seen), seen.on()))) {
                    shown = others;
                }
            }
        }
        return shown;
    }

    /** What comes and goes, and yet was there in every single try: nobody can tell it from what lasts. */
    static Set<String> lasted(Plan plan, Chip chip, List<Mistake> truth, List<Observation> observations) {
        Set<String> lasted = new HashSet<>();
        for (Mistake mistake : truth) {
            if (mistake.comesAndGoes()) {
                List<Mistake> others = new ArrayList<>(truth);
                others.set(truth.indexOf(mistake), Mistake.of(steady(mistake.text())));
                Soldered lasting = new Soldered(plan, chip, others);
                if (observations.stream().allMatch(seen -> lasting.gives(contacts(plan, seen), seen.on()))) {
                    lasted.add(mistake.text());
                }
            }
        }
        return lasted;
    }

    private static String steady(String text) {
        return text.substring(text.indexOf(':') + 1);
    }

    private static Set<String> contacts(Plan plan, Observation seen) {
        Set<String> contacts = new HashSet<>();
        for (String id : seen.held()) {
            Action action = plan.action(id).orElseThrow();
            if (action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH) {
                contacts.addAll(action.contacts());
            }
        }
        return contacts;
    }

    /** True where every observation is what a good box gives: nobody could have told anything. */
    boolean showsNothing(List<Observation> observations) {
        Soldered good = new Soldered(plan, chip.settling(PATIENT_SECONDS), List.of());
        for (Observation seen : observations) {
            Set<String> contacts = new HashSet<>();
            Set<Input> pulses = new HashSet<>();
            for (String id : seen.held()) {
                Action action = plan.action(id).orElseThrow();
                switch (action.gesture()) {
                    case PRESS, LATCH -> contacts.addAll(action.contacts());
                    default -> pulses.add(action.input().orElseThrow());
                }
            }
            Set<Input> expected = new HashSet<>(good.inputs(contacts, new BitSet()));
            expected.addAll(pulses);
            if (!expected.equals(seen.on())) {
                return false;
            }
        }
        return true;
    }
}
