package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import ringout.check.Observation;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Harness;
import ringout.circuit.Reading;
import ringout.hid.Input;
import ringout.plan.Action;

/** Boxes with hidden faults, and builders who check them. */
final class Boxes {
    private Boxes() {}

    /** Hands off, then every action alone, then some chords of two or three. */
    static List<Observation> check(Circuit circuit, List<Fault> faults, Random random, int chords) {
        List<Observation> observations = new ArrayList<>();
        observations.add(observe(circuit, faults, List.of(), random));
        for (Action action : circuit.plan().actions()) {
            observations.add(observe(circuit, faults, List.of(action.id()), random));
        }
        Chords possible = new Chords(circuit.plan());
        List<String> ids = new ArrayList<>(circuit.plan().actions().stream()
                .map(Action::id)
                .filter(possible::canHold)
                .toList());
        for (int i = 0; i < chords; i++) {
            Collections.shuffle(ids, random);
            List<String> hold = List.copyOf(ids.subList(0, Math.min(ids.size(), 2 + random.nextInt(2))));
            if (possible.together(hold)) {
                observations.add(observe(circuit, faults, hold, random));
            }
        }
        return observations;
    }

    /** What a box gives; doubtful levels and faults that come and go fall either way. */
    static Observation observe(Circuit circuit, List<Fault> faults, Collection<String> hold, Random random) {
        return new Observation(new TreeSet<>(hold), outcome(circuit, faults, hold, random));
    }

    static SortedSet<Input> outcome(Circuit circuit, List<Fault> faults, Collection<String> hold, Random random) {
        List<Fault> now = new ArrayList<>();
        for (Fault fault : faults) {
            if (!(fault instanceof Fault.Intermittent i)) {
                now.add(fault);
            } else if (random.nextBoolean()) {
                now.add(i.fault());
            }
        }
        Harness harness = circuit.with(now);
        Reading reading = harness.read(hold);
        SortedSet<Input> on = new TreeSet<>(reading.on());
        reading.marginal().stream().filter(i -> random.nextBoolean()).forEach(on::add);
        return on;
    }

    /** Never together for good: nobody observes anything of a box without power. */
    static boolean joinsTheRails(List<Fault> set) {
        return set.size() == 2
                && set.get(0) instanceof Fault.LinesShorted a
                && set.get(1) instanceof Fault.LinesShorted b
                && a.first().equals(b.first())
                && Set.copyOf(List.of(a.second(), b.second())).equals(Set.of(Fault.GROUND, Fault.SUPPLY));
    }

    /** The faults of a candidate as their written forms. */
    static String text(FaultTable table, Candidate candidate) {
        return new TreeSet<>(Arrays.stream(candidate.faults())
                        .mapToObj(f -> table.fault(f).text())
                        .toList())
                .toString();
    }
}
