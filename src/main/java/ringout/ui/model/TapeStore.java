package ringout.ui.model;

import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;
import ringout.plan.Known;
import ringout.signal.EdgeHistory;

/** All strips of a tape, fed with snapshots or from a recording. Not thread-safe. */
public final class TapeStore {
    /** Edges kept of all inputs together, about 64 MB. */
    private static final int EDGES = 8_000_000;

    private final InputLayout layout;
    private final Strip[] switches;
    private final Map<Input, Wave> waves = new HashMap<>();
    private long seen;
    private long from = Long.MAX_VALUE;
    private long to = Long.MIN_VALUE;

    public TapeStore(InputLayout layout) {
        this.layout = layout;
        this.switches = new Strip[layout.switches().size()];
        for (int i = 0; i < switches.length; i++) {
            switches[i] = new Strip(Math.max(20_000, EDGES / Math.max(1, switches.length)));
        }
        layout.axes().forEach(axis -> waves.put(axis.input(), new Wave(axis.minimum(), axis.maximum())));
    }

    public InputLayout layout() {
        return layout;
    }

    /** Takes the edges that came since the last call, and the axes as they stand now. */
    public void follow(EdgeHistory.Snapshot edges, InputState state, long now) {
        int start = (int) Math.max(0, seen - edges.dropped());
        for (int i = start; i < edges.size(); i++) {
            add(edges.nanos(i), edges.switchIndex(i), edges.on(i));
        }
        seen = edges.dropped() + edges.size();
        for (int i = 0; i < layout.axes().size(); i++) {
            wave(i).add(now, state.axis(i));
        }
        span(now);
    }

    /** Adds one edge. */
    public void add(long nanos, int switchIndex, boolean on) {
        switches[switchIndex].add(nanos, on);
        span(nanos);
    }

    /** Adds one axis value. */
    public void addAxis(long nanos, int axisIndex, long value) {
        wave(axisIndex).add(nanos, value);
        span(nanos);
    }

    private Wave wave(int axisIndex) {
        return Known.in(waves, layout.axes().get(axisIndex).input());
    }

    /** Time has passed until then, with nothing new. */
    public void reach(long nanos) {
        span(nanos);
    }

    private void span(long nanos) {
        from = Math.min(from, nanos);
        to = Math.max(to, nanos);
    }

    /** The strip of a button or hat direction; null where the box has none of that name. */
    public @Nullable Strip strip(Input input) {
        var index = layout.indexOf(input);
        return input instanceof Input.Axis || index.isEmpty() ? null : switches[index.getAsInt()];
    }

    /** The wave of an axis; null where the box has none of that name. */
    public @Nullable Wave wave(Input input) {
        return waves.get(input);
    }

    /** True where nothing was taken yet. */
    public boolean isEmpty() {
        return from > to;
    }

    /** When it begins, in nanoseconds. */
    public long from() {
        return isEmpty() ? 0 : from;
    }

    /** When it ends so far. */
    public long to() {
        return isEmpty() ? 0 : to;
    }
}
