package ringout.signal;

import java.util.ArrayList;
import java.util.List;

/**
 * How a latching control behaves: whether it reaches every position, and how it bounces on the way into and out of each.
 * An on/off switch has one contact; one with positions to both sides of the middle has two.
 *
 * <p>Constant memory; not thread-safe.
 */
public final class ToggleTiming {
    private final EdgeTiming[] on;
    private final EdgeTiming[] off;
    private final boolean[] closed;
    private int together;

    /**
     * What was measured.
     *
     * @param into     by contact, the edges that closed it
     * @param outOf    by contact, the edges that opened it
     * @param together how often two contacts were closed at once, which no lever can do
     */
    public record Summary(List<EdgeTiming.Summary> into, List<EdgeTiming.Summary> outOf, int together) {
        public Summary {
            into = List.copyOf(into);
            outOf = List.copyOf(outOf);
        }

        /** True where every position was reached and left. */
        public boolean complete() {
            return into.stream().allMatch(e -> e.edges() > 0) && outOf.stream().allMatch(e -> e.edges() > 0);
        }
    }

    /** @param contacts 1 or more */
    public ToggleTiming(int contacts) {
        on = new EdgeTiming[contacts];
        off = new EdgeTiming[contacts];
        closed = new boolean[contacts];
        for (int i = 0; i < contacts; i++) {
            on[i] = new EdgeTiming();
            off[i] = new EdgeTiming();
        }
    }

    /** That contact closed. */
    public void closed(int contact, Bounce bounce) {
        on[contact].add(bounce);
        for (int i = 0; i < closed.length; i++) {
            together += i != contact && closed[i] ? 1 : 0;
        }
        closed[contact] = true;
    }

    /** That contact opened. */
    public void opened(int contact, Bounce bounce) {
        off[contact].add(bounce);
        closed[contact] = false;
    }

    /** Everything measured so far. */
    public Summary summary() {
        List<EdgeTiming.Summary> into = new ArrayList<>();
        List<EdgeTiming.Summary> outOf = new ArrayList<>();
        for (int i = 0; i < on.length; i++) {
            into.add(on[i].summary());
            outOf.add(off[i].summary());
        }
        return new Summary(into, outOf, together);
    }
}
