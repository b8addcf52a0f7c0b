package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Every position of thousands of random boxes against plain search over the wires and diodes as built. */
class PlainSearchTest {
    private enum Level {
        OFF,
        MARGINAL,
        ON
    }

    private static final int CASES = 4000;

    @ParameterizedTest
    @EnumSource(Supply.class)
    void everyPositionReadsAsPlainSearchSays(Supply supply) {
        Map<Level, Integer> seen = new EnumMap<>(Level.class);
        for (int seed = 0; seed < CASES; seed++) {
            AsBuilt.Case box = AsBuilt.random(new Random(seed), 4, 5, 2, seed % 4 == 0);
            Map<String, Level> expected = search(box, supply);
            Map<String, Level> actual = scan(box, supply);
            String what = "seed " + seed + ": " + box;
            assertEquals(expected, actual, what);
            actual.values().forEach(level -> seen.merge(level, 1, Integer::sum));
        }
        assertTrue(
                seen.get(Level.ON) > 5000 && seen.get(Level.OFF) > 10_000 && seen.get(Level.MARGINAL) > 200,
                seen.toString());
    }

    /** More nets than one machine word has bits. */
    @Test
    void boxesOfManyLinesReadAsPlainSearchSays() {
        for (int seed = 0; seed < 60; seed++) {
            AsBuilt.Case box = AsBuilt.random(new Random(seed), 6, 6, 90, seed % 2 == 0);
            assertEquals(search(box, Supply.V5), scan(box, Supply.V5), "seed " + seed + ": " + box);
        }
    }

    private static Map<String, Level> search(AsBuilt.Case box, Supply supply) {
        Map<String, Level> levels = new TreeMap<>();
        PlainSearch.read(box, supply)
                .forEach((contact, verdict) -> levels.put(
                        contact,
                        verdict == PlainSearch.Verdict.OFF
                                ? Level.OFF
                                : verdict == PlainSearch.Verdict.ON ? Level.ON : Level.MARGINAL));
        return levels;
    }

    private static Map<String, Level> scan(AsBuilt.Case box, Supply supply) {
        Circuit circuit = Circuit.of(box.plan(), supply);
        long[] worked = new long[circuit.words()];
        box.worked().forEach(id -> worked[circuit.contactIndex(id) >>> 6] |= 1L << circuit.contactIndex(id));
        long[] on = new long[circuit.words()];
        long[] marginal = new long[circuit.words()];
        circuit.with(box.faults()).scan(worked, on, marginal);
        Map<String, Level> levels = new TreeMap<>();
        for (int i = 0; i < circuit.contacts().size(); i++) {
            boolean isOn = (on[i >>> 6] >>> i & 1) != 0;
            boolean isMarginal = (marginal[i >>> 6] >>> i & 1) != 0;
            assertTrue(!(isOn && isMarginal));
            levels.put(circuit.contacts().get(i).id(), isOn ? Level.ON : isMarginal ? Level.MARGINAL : Level.OFF);
        }
        return levels;
    }
}
