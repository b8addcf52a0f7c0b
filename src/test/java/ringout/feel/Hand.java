package ringout.feel;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Mount;

/**
 * A builder who finds controls by feel, with habits of its own that the analysis does not know: how long a reach takes, how
 * often any other control is hit, and which are taken for one another.
 */
final class Hand {
    private static final long MS = 1_000_000L;

    private final Random chance;
    private final List<Target> panel;
    /** By the id asked for: what is taken instead, and how often. */
    private final Map<String, Map.Entry<String, Double>> mixes = new HashMap<>();

    private double anywhere;
    private double nextDoor;
    private double base = 0.35;
    private double perBit = 0.11;
    private double noise = 0.08;
    private int at = -1;

    Hand(List<Target> panel, long seed) {
        this.panel = panel;
        chance = new Random(seed);
    }

    /** Takes one for the other, either way, that often: 0 to 1. */
    Hand mixing(String a, String b, double often) {
        mixes.put(a, Map.entry(b, often));
        mixes.put(b, Map.entry(a, often));
        return this;
    }

    /** Slips: to any control, and to one beside the right one; 0 to 1 of all reaches. */
    Hand slipping(double anywhere, double nextDoor) {
        this.anywhere = anywhere;
        this.nextDoor = nextDoor;
        return this;
    }

    Hand reaching(double base, double perBit, double noise) {
        this.base = base;
        this.perBit = perBit;
        this.noise = noise;
        return this;
    }

    /** Goes through all rounds. */
    List<Trial> through(Feel feel, InputLayout layout) {
        InputState state = layout.newState();
        long now = 0;
        feel.report(now, state);
        feel.resume(now);
        while (feel.view().stage() != FeelView.Stage.DONE) {
            now = feel.deadline();
            feel.tick(now);
            if (feel.view().stage() != FeelView.Stage.FIND) {
                continue;
            }
            int wanted = panel.indexOf(feel.view().asked().orElseThrow());
            now += nanos(reach(wanted));
            int slip = slip(wanted);
            if (slip >= 0) {
                press(feel, state, now, slip);
                now += 300 * MS + nanos(0.4 + 0.2 * chance.nextDouble());
            }
            press(feel, state, now, wanted);
            at = wanted;
            now += 120 * MS;
        }
        return feel.view().trials();
    }

    private static long nanos(double seconds) {
        return Math.round(seconds * 1e9);
    }

    private double reach(int wanted) {
        double far = at < 0 ? 100 : Math.max(1, gap(at, wanted));
        double size = panel.get(wanted).width().orElse(15.0);
        double bits = Math.log((far + size) / size) / Math.log(2);
        return Math.max(0.15, base + perBit * bits + noise * chance.nextGaussian());
    }

    private double gap(int a, int b) {
        if (panel.get(a).place().isEmpty() || panel.get(b).place().isEmpty()) {
            return 60;
        }
        Mount.Place from = panel.get(a).place().get();
        Mount.Place to = panel.get(b).place().get();
        return Math.sqrt(Math.pow(from.x() - to.x(), 2) + Math.pow(from.y() - to.y(), 2));
    }

    private int slip(int wanted) {
        Map.Entry<String, Double> mix = mixes.get(panel.get(wanted).id());
        if (mix != null && chance.nextDouble() < mix.getValue()) {
            for (int i = 0; i < panel.size(); i++) {
                if (panel.get(i).id().equals(mix.getKey())) {
                    return i;
                }
            }
        }
        double die = chance.nextDouble();
        if (die < anywhere) {
            int other = chance.nextInt(panel.size() - 1);
            return other >= wanted ? other + 1 : other;
        }
        if (die < anywhere + nextDoor) {
            int[] beside = java.util.stream.IntStream.range(0, panel.size())
                    .filter(i -> i != wanted && gap(i, wanted) < 36)
                    .toArray();
            return beside.length == 0 ? -1 : beside[chance.nextInt(beside.length)];
        }
        return -1;
    }

    private static void press(Feel feel, InputState state, long now, int control) {
        state.set(control, true);
        feel.report(now, state);
        // A contact that bounces.
        state.set(control, false);
        feel.report(now + 2 * MS, state);
        state.set(control, true);
        feel.report(now + 3 * MS, state);
        state.set(control, false);
        feel.report(now + 110 * MS, state);
    }
}
