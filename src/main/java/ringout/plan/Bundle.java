package ringout.plan;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;

/**
 * How the wires run behind the panel: bundled, from the board along a few trunks to every control, around what no body may
 * meet, and rather beside bodies than across their terminals. All lengths in millimetres.
 *
 * <p>The trunks are a tree on a square grid, to which the controls are joined one by one, the nearest to the board first,
 * each where its new wire plus {@link #TRADE} times the way from there to the board is least. That is the trade between the
 * least wire and the shortest ways of Alpert, Hu, Huang, Kahng and Karger, "Prim-Dijkstra tradeoffs for improved
 * performance-driven routing tree design", IEEE Transactions on CAD 14(7), 1995 (from memory), with paths in place of
 * single edges. Allowances are common practice, no source.
 */
public final class Bundle {
    /** Where wires are tied at the latest: common practice, no source. */
    public static final double TIE_MM = 50;

    /** From the board to where the bundle is fixed, so that a pull never reaches a joint: common practice, no source. */
    public static final double RELIEF_MM = 30;

    /** What bends add to a way along the bundle: common practice, no source. */
    public static final double BENDS = 1.1;

    /** Pitch of the grid; coarser on panels larger than {@link #MOST_CELLS} of it. */
    private static final double PITCH_MM = 5;

    private static final int MOST_CELLS = 160;

    /** From a keep-out to a bundle: common practice, no source. */
    private static final double CLEAR_MM = 2;

    /** A way across a body counts so many times, one through a keep-out so many: taste. */
    private static final double ACROSS_BODY = 3;

    private static final double THROUGH = 40;

    /** A bend counts as so much way, so that trunks are straight: taste. */
    private static final double BEND_MM = 6;

    private static final double TRADE = 0.3;
    /** A node is come by in one of four ways, or begun at. */
    private static final int WAYS = 5;

    private static final int NO_WAY = 4;
    private static final int[] DX = {0, 1, 0, -1};
    private static final int[] DY = {-1, 0, 1, 0};

    private final Plan plan;
    private final double pitch;
    private final double left;
    private final double top;
    private final int columns;
    private final int rows;
    private final Mount.Place board;
    private final double[] cost;
    private final boolean[] blocked;
    private final int[] parent;
    private final double[] reach;
    private final boolean[] tree;
    /** Of the control that is being joined: the least cost of each node by the way it was come by, and what was before. */
    private final double[] known;

    private final int[] before;
    private final Map<String, Integer> nodeOf = new HashMap<>();
    private final Set<String> pressed = new LinkedHashSet<>();
    private final int root;

    /**
     * A straight piece of bundle.
     *
     * @param from  nearer to the board along the bundle
     * @param wires how many wires run in it
     */
    public record Run(Mount.Place from, Mount.Place to, int wires) {
        /** In millimetres. */
        public double length() {
            return Math.hypot(to.x() - from.x(), to.y() - from.y());
        }
    }

    private Bundle(Plan plan, Plan.Panel panel, Mount.Place board) {
        this.plan = plan;
        this.board = board;
        pitch = Math.max(PITCH_MM, Math.max(panel.width(), panel.height()) / MOST_CELLS);
        columns = Math.max(1, (int) Math.floor(panel.width() / pitch));
        rows = Math.max(1, (int) Math.floor(panel.height() / pitch));
        left = (panel.width() - (columns - 1) * pitch) / 2;
        top = (panel.height() - (rows - 1) * pitch) / 2;
        int count = columns * rows;
        cost = new double[count];
        blocked = new boolean[count];
        parent = new int[count];
        Arrays.fill(parent, -1);
        reach = new double[count];
        tree = new boolean[count];
        known = new double[count * WAYS];
        Arrays.fill(known, Double.POSITIVE_INFINITY);
        before = new int[count * WAYS];
        Arrays.fill(cost, 1);
        for (Inside.KeepOut keepOut : plan.inside().keepOuts()) {
            for (int node = 0; node < count; node++) {
                Mount.Place at = place(node);
                if (keepOut.shape().gap(at.x(), at.y(), plan.panel()) < CLEAR_MM) {
                    blocked[node] = true;
                    cost[node] = THROUGH;
                }
            }
        }
        plan.controls().forEach(c -> c.mount().place().ifPresent(p -> cover(p, Inside.bodyWidth(c.mount()) / 2)));
        root = nearest(board);
        tree[root] = true;
        reach[root] = distance(place(root), board);
        plan.controls().stream()
                .filter(c -> c.mount().place().isPresent())
                .sorted(Comparator.comparingDouble(
                        c -> distance(c.mount().place().orElseThrow(), board)))
                .forEach(this::join);
    }

    /** The bundle of a plan; empty where the plan does not give panel, inside and the place of the board. */
    public static Optional<Bundle> of(Plan plan) {
        return plan.inside().isUnknown()
                ? Optional.empty()
                : plan.panel().flatMap(panel -> plan.board().map(board -> new Bundle(plan, panel, board)));
    }

    /** Makes ways across a body dear. */
    private void cover(Mount.Place middle, double radius) {
        for (int y = Math.max(0, (int) ((middle.y() - radius - top) / pitch));
                y < rows && top + y * pitch <= middle.y() + radius;
                y++) {
            for (int x = Math.max(0, (int) ((middle.x() - radius - left) / pitch));
                    x < columns && left + x * pitch <= middle.x() + radius;
                    x++) {
                int node = y * columns + x;
                if (!blocked[node] && distance(place(node), middle) < radius) {
                    cost[node] = ACROSS_BODY;
                }
            }
        }
    }

    private Mount.Place place(int node) {
        return new Mount.Place(left + node % columns * pitch, top + Math.floorDiv(node, columns) * pitch);
    }

    private static double distance(Mount.Place a, Mount.Place b) {
        return Math.hypot(a.x() - b.x(), a.y() - b.y());
    }

    /** The nearest node that is in nothing; any where there is none. */
    private int nearest(Mount.Place at) {
        int x = (int) Math.max(0, Math.min(columns - 1, Math.round((at.x() - left) / pitch)));
        int y = (int) Math.max(0, Math.min(rows - 1, Math.round((at.y() - top) / pitch)));
        if (!blocked[y * columns + x]) {
            return y * columns + x;
        }
        int best = 0;
        double least = Double.POSITIVE_INFINITY;
        for (int node = 0; node < cost.length; node++) {
            double d = distance(place(node), at) + (blocked[node] ? 1e6 : 0);
            if (d < least) {
                least = d;
                best = node;
            }
        }
        return best;
    }

    private record Step(double cost, int node, int way) {}

    /** Joins a control to the tree by the cheapest path. */
    private void join(Control control) {
        int start = nearest(control.mount().place().orElseThrow());
        nodeOf.put(control.id(), start);
        if (tree[start]) {
            return;
        }
        List<Integer> touched = new ArrayList<>();
        PriorityQueue<Step> open = new PriorityQueue<>(Comparator.comparingDouble(Step::cost)
                .thenComparingInt(Step::node)
                .thenComparingInt(Step::way));
        known[start * WAYS + NO_WAY] = 0;
        before[start * WAYS + NO_WAY] = -1;
        touched.add(start * WAYS + NO_WAY);
        open.add(new Step(0, start, NO_WAY));
        double best = Double.POSITIVE_INFINITY;
        int met = -1;
        while (!open.isEmpty()) {
            Step step = open.remove();
            if (step.cost >= best) {
                break;
            }
            int state = step.node * WAYS + step.way;
            if (step.cost > known[state]) {
                continue;
            }
            if (tree[step.node]) {
                double all = step.cost + TRADE * reach[step.node];
                if (all < best) {
                    best = all;
                    met = state;
                }
                continue;
            }
            for (int way = 0; way < DX.length; way++) {
                int x = step.node % columns + DX[way];
                int y = step.node / columns + DY[way];
                if (x < 0 || y < 0 || x >= columns || y >= rows) {
                    continue;
                }
                int next = y * columns + x;
                double bend = step.way == NO_WAY || step.way == way ? 0 : BEND_MM;
                double all = step.cost + bend + pitch * (cost[step.node] + cost[next]) / 2;
                int to = next * WAYS + way;
                if (all < known[to]) {
                    known[to] = all;
                    before[to] = state;
                    touched.add(to);
                    open.add(new Step(all, next, way));
                }
            }
        }
        // From the tree back to the control, every node hangs on the one before.
        int at = met;
        while (before[at] >= 0) {
            int from = at / WAYS;
            int to = before[at] / WAYS;
            parent[to] = from;
            reach[to] = reach[from] + pitch;
            tree[to] = true;
            if (blocked[from] || blocked[to]) {
                pressed.add(control.id());
            }
            at = before[at];
        }
        touched.forEach(state -> known[state] = Double.POSITIVE_INFINITY);
    }

    /** The plan whose bundle it is. */
    public Plan plan() {
        return plan;
    }

    /** True where a control is on the bundle: where the plan gives its place. */
    public boolean has(String control) {
        return nodeOf.containsKey(control);
    }

    /** Controls whose wires find no way but through a keep-out, in the order they were joined. */
    public List<String> pressed() {
        return List.copyOf(pressed);
    }

    private double leg(String control) {
        return distance(
                place(Known.in(nodeOf, control)),
                plan.control(control).flatMap(c -> c.mount().place()).orElseThrow());
    }

    /** Way along the bundle from the board to a control on it, as seen from the front. */
    public double fromBoard(String control) {
        return reach[Known.in(nodeOf, control)] + leg(control);
    }

    /** Way along the bundle between two controls on it, as seen from the front. */
    public double between(String one, String other) {
        if (one.equals(other)) {
            return 0;
        }
        int a = Known.in(nodeOf, one);
        int b = Known.in(nodeOf, other);
        int fork = fork(a, b);
        return leg(one) + leg(other) + reach[a] + reach[b] - 2 * reach[fork];
    }

    private int fork(int a, int b) {
        Set<Integer> up = new LinkedHashSet<>();
        for (int at = a; at >= 0; at = parent[at]) {
            up.add(at);
        }
        int at = b;
        while (!up.contains(at)) {
            at = parent[at];
        }
        return at;
    }

    /**
     * Wire from the board to a control: along the bundle, down to a board on the floor, and longer by the slack that lets the
     * panel be laid open.
     */
    public double wireFromBoard(String control) {
        Optional<Inside.Board> outline = plan.inside().board();
        boolean floor = outline.map(b -> b.on() == Inside.On.FLOOR).orElse(true);
        double down = floor
                ? plan.panel()
                        .flatMap(Plan.Panel::depth)
                        .map(depth ->
                                depth - outline.flatMap(Inside.Board::tall).orElse(0.0) - body(control))
                        .orElse(0.0)
                : body(control);
        return BENDS * (fromBoard(control) + Math.max(0, down))
                + (floor ? plan.inside().lidSlack() : 0);
    }

    /** Wire between two controls: along the bundle, and from the depth of one to that of the other. */
    public double wireBetween(String one, String other) {
        return BENDS * (between(one, other) + Math.abs(body(one) - body(other)));
    }

    private double body(String control) {
        return Inside.bodyDepth(plan.control(control).orElseThrow());
    }

    /**
     * One wire on the bundle.
     *
     * @param from id of a control; empty for from the board
     */
    public record Wire(Optional<String> from, String to) {}

    /** The straight pieces of bundle in which wires run, from the board outwards. */
    public List<Run> runs(List<Wire> wires) {
        int[] through = through(wires);
        List<Run> runs = new ArrayList<>();
        List<List<Integer>> children = children();
        List<Integer> open = new ArrayList<>(List.of(root));
        while (!open.isEmpty()) {
            int from = open.remove(open.size() - 1);
            for (int child : children.get(from)) {
                if (through[child] == 0) {
                    continue;
                }
                int at = child;
                while (children.get(at).size() == 1
                        && straight(from, at, children.get(at).get(0))
                        && through[children.get(at).get(0)] == through[at]) {
                    at = children.get(at).get(0);
                }
                runs.add(new Run(place(from), place(at), through[at]));
                open.add(at);
            }
        }
        return runs;
    }

    /** Wires between each node and its parent. */
    private int[] through(List<Wire> wires) {
        int[] through = new int[cost.length];
        for (Wire wire : wires) {
            if (!has(wire.to()) || wire.from().filter(f -> !has(f)).isPresent()) {
                continue;
            }
            int a = wire.from().map(f -> Known.in(nodeOf, f)).orElse(root);
            int b = Known.in(nodeOf, wire.to());
            int fork = fork(a, b);
            for (int at = a; at != fork; at = parent[at]) {
                through[at]++;
            }
            for (int at = b; at != fork; at = parent[at]) {
                through[at]++;
            }
        }
        return through;
    }

    private List<List<Integer>> children() {
        List<List<Integer>> children = new ArrayList<>();
        for (int node = 0; node < parent.length; node++) {
            children.add(new ArrayList<>());
        }
        for (int node = 0; node < parent.length; node++) {
            if (parent[node] >= 0) {
                children.get(parent[node]).add(node);
            }
        }
        return children;
    }

    private boolean straight(int from, int at, int next) {
        return place(from).x() == place(at).x() && place(at).x() == place(next).x()
                || place(from).y() == place(at).y()
                        && place(at).y() == place(next).y();
    }

    /** From where the bundle leaves the board, or a control, to the nearest point of the bundle. */
    public Mount.Place on(Optional<String> control) {
        return place(control.map(c -> Known.in(nodeOf, c)).orElse(root));
    }

    /**
     * Where to tie: at every fork, and at least every {@link #TIE_MM}, wherever two wires or more run together.
     *
     * @param wires what runs in the bundle
     */
    public List<Mount.Place> ties(List<Wire> wires) {
        int[] through = through(wires);
        List<List<Integer>> children = children();
        List<Mount.Place> ties = new ArrayList<>();
        record Open(int node, double since) {}
        List<Open> open = new ArrayList<>(List.of(new Open(root, 0)));
        while (!open.isEmpty()) {
            Open from = open.remove(open.size() - 1);
            for (int child : children.get(from.node())) {
                if (through[child] < 2) {
                    continue;
                }
                long forks =
                        children.get(child).stream().filter(c -> through[c] > 0).count();
                double since = from.since() + pitch;
                boolean tie = forks > 1 || since + pitch > TIE_MM;
                if (tie) {
                    ties.add(place(child));
                }
                open.add(new Open(child, tie ? 0 : since));
            }
        }
        return ties;
    }

    /**
     * Where to fix the bundle against pull: on each of its branches at least {@link #RELIEF_MM} from the board and clear of
     * it, or where the branch ends sooner.
     */
    public List<Mount.Place> reliefs(List<Wire> wires) {
        int[] through = through(wires);
        List<List<Integer>> children = children();
        List<Mount.Place> reliefs = new ArrayList<>();
        List<Integer> open = new ArrayList<>(List.of(root));
        while (!open.isEmpty()) {
            int from = open.remove(open.size() - 1);
            for (int child : children.get(from)) {
                if (through[child] == 0) {
                    continue;
                }
                Mount.Place at = place(child);
                boolean beside = plan.inside()
                        .board()
                        .map(b -> b.outline().gap(at.x(), at.y(), plan.panel()) > CLEAR_MM)
                        .orElse(true);
                boolean end = children.get(child).stream().allMatch(c -> through[c] == 0);
                if (end || beside && reach[child] >= RELIEF_MM) {
                    reliefs.add(at);
                } else {
                    open.add(child);
                }
            }
        }
        return reliefs;
    }

    /** Where the wires leave the board. */
    public Mount.Place board() {
        return board;
    }
}
