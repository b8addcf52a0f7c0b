package ringout.outside;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.regex.Pattern;
import ringout.bench.Plans;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.report.FirmwareSettings;

/**
 * Boxes of the series on the emulated microcontroller. From the command line as {@link Series}, with one more option:
 *
 * <pre>java -cp … ringout.outside.Emulated [-n BOXES] [-seed N] [-s SERIES-REGEX] [-show] [-log]</pre>
 */
final class Emulated {
    /** The six plans: every way of scanning that home-built boxes have. */
    static final Map<String, Plan> PLANS = plans();

    private Emulated() {}

    private static Map<String, Plan> plans() {
        Map<String, Plan> all = new LinkedHashMap<>();
        all.put("drivers-desk", Plans.fixture("drivers-desk"));
        all.put("guards-panel", Plans.fixture("guards-panel"));
        all.put("lamp-switches", Plans.fixture("lamp-switches"));
        all.put("4x4 diodes", Panels.grid(4, 4, true));
        all.put("3x5 columns high", Panels.of(Panels.gridText(3, 5, true, "columns", "high", "5 V")));
        all.put("5x4 bare", Panels.grid(5, 4, false));
        return all;
    }

    /** The boxes one after the other: every series in turn, so that any number of them has some of each. */
    static List<Case> boxes(int count, long firstSeed, Pattern series) {
        List<Map.Entry<String, Function<Long, Case>>> all = Cases.series(PLANS).entrySet().stream()
                .filter(e -> series.matcher(e.getKey()).find() && !e.getKey().startsWith("left"))
                .toList();
        List<Case> boxes = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            Case drawn = all.get(i % all.size()).getValue().apply(firstSeed + i);
            boxes.add(drawn);
        }
        return boxes;
    }

    /** The chip of an emulated box is an ATmega32U4 at 5 V, and its firmware settles as it says. */
    static Chip chip(Plan plan, Chip drawn, SplittableRandom random) {
        boolean hasty = drawn.settle() < 10e-6;
        double pull = plan.scan().active() == Scan.Active.HIGH
                ? 10e3
                : hasty ? random.nextDouble(35e3, 50e3) : random.nextDouble(20e3, 50e3);
        return new Chip(
                5,
                pull,
                drawn.drive(),
                0.2 * 5 - 0.1 + random.nextDouble(0.15, 0.85),
                // What a firmware does between two lines takes ten microseconds anyway: only long cables catch it out.
                hasty ? random.nextDouble(1e-9, 2e-9) : drawn.farads(),
                hasty ? 1e-6 : FirmwareSettings.SETTLE_MICROS * 1e-6,
                drawn.idle(),
                drawn.debounceMs(),
                drawn.floatingTo());
    }

    static Series.Outcome run(Case box) {
        Chip chip = chip(box.plan(), box.chip(), new SplittableRandom(box.seed()));
        Case mine = new Case(box.series(), box.seed(), box.planName(), box.plan(), chip, box.truth(), box.manners());
        Soldered soldered = new Soldered(mine.plan(), chip, mine.truth());
        try (EmulatedBox emulated = new EmulatedBox(soldered, soldered.settings(), mine.seed())) {
            return Series.run(mine, emulated);
        }
    }

    public static void main(String[] args) {
        Series.main(
                args,
                (series, seed, count) -> new Series.Row(
                        "emulated",
                        boxes(count, seed, series).stream().map(Emulated::run).toList()));
    }
}
