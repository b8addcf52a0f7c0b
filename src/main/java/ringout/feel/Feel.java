package ringout.feel;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.hid.InputState;

/**
 * Names controls one after the other, each once a round, in an order that a seed gives, and takes the time until each is
 * found. A control that does not count, because the hand came from elsewhere or nobody was there, is asked again at the end
 * of its round.
 *
 * <p>Times are nanoseconds on one scale, never decreasing. Not thread-safe.
 */
public final class Feel {
    /** After that long nobody is at the box, or the control is dead: it goes into a pause. */
    public static final long PATIENCE_NANOS = 15_000_000_000L;
    /** Fewest rounds of which anything is said. */
    public static final int LEAST_ROUNDS = 2;

    public static final int MOST_ROUNDS = 50;

    private static final long NEVER = Long.MAX_VALUE;
    /** Two fingers, or one between two caps: what follows the right press this soon is part of it. */
    private static final long TOGETHER_NANOS = 150_000_000L;
    /** What comes again this soon is bounce, or the same push. */
    private static final long AGAIN_NANOS = 200_000_000L;
    /** Between the last thing the hand did and the next name: at random, so that nobody can wait for the beat. */
    private static final long LEAST_GAP_NANOS = 600_000_000L;

    private static final long MORE_GAP_NANOS = 800_000_000L;

    private final List<Target> targets;
    private final int rounds;
    private final Random chance;
    private final InputState before;
    private final int[] owner;
    private final Deque<Target> left = new ArrayDeque<>();
    private final List<Trial> trials = new ArrayList<>();
    private final List<Trial.Wrong> wrong = new ArrayList<>();
    private final Map<String, Long> lastOf = new HashMap<>();

    private FeelView.Stage stage = FeelView.Stage.PAUSE;
    private @Nullable Target asked;
    private @Nullable Target at;
    private boolean first = true;
    private boolean read;
    private long askedAt;
    private long hitAt = NEVER;
    private long due = NEVER;
    private int round = 1;
    private int found;
    private FeelView view;

    /**
     * @param rounds {@link #LEAST_ROUNDS} to {@link #MOST_ROUNDS}
     * @throws IllegalArgumentException for other rounds, or fewer than three controls: between two there is no choice
     */
    public Feel(List<Target> targets, InputLayout layout, int rounds, long seed) {
        if (rounds < LEAST_ROUNDS || rounds > MOST_ROUNDS || targets.size() < 3) {
            throw new IllegalArgumentException(rounds + " rounds of " + targets.size() + " controls");
        }
        this.targets = List.copyOf(targets);
        this.rounds = rounds;
        chance = new Random(seed);
        before = layout.newState();
        owner = new int[layout.switches().size()];
        java.util.Arrays.fill(owner, -1);
        for (int i = 0; i < targets.size(); i++) {
            for (Input input : targets.get(i).inputs()) {
                owner[layout.indexOf(input).orElseThrow()] = i;
            }
        }
        shuffle();
        view = made();
    }

    /** What can be asked. */
    public List<Target> targets() {
        return targets;
    }

    /** The box' state from that moment on; the first one tells only how it rests. */
    public void report(long nanos, InputState state) {
        tick(nanos);
        Map<Target, Boolean> worked = new HashMap<>();
        for (int i = 0; i < owner.length; i++) {
            boolean on = state.isOn(i);
            if (read && owner[i] >= 0 && on != before.isOn(i)) {
                Target target = targets.get(owner[i]);
                worked.merge(target, on || target.stays(), Boolean::logicalOr);
            }
        }
        before.copyFrom(state);
        read = true;
        if (asked != null && nanos < askedAt) {
            return; // on its way before the name was there
        }
        // What was hit beside the right one in the same report was hit, too.
        worked.forEach((target, chosen) -> {
            if (chosen && target != asked) {
                other(nanos, target);
            }
        });
        if (asked != null && worked.getOrDefault(asked, false) && hitAt == NEVER) {
            hitAt = nanos;
        }
        if (stage == FeelView.Stage.WAIT && !worked.isEmpty()) {
            gap(nanos);
        } else if (stage == FeelView.Stage.PAUSE && worked.containsValue(true)) {
            resume(nanos);
        }
    }

    private void other(long nanos, Target target) {
        Long last = lastOf.put(target.id(), nanos);
        // A switch that is put back is still the one before.
        if (asked != null
                && !(target.stays() && target == at)
                && (last == null || nanos - last > AGAIN_NANOS)
                && (hitAt == NEVER || nanos - hitAt <= TOGETHER_NANOS)) {
            wrong.add(new Trial.Wrong(target.id(), nanos - askedAt));
        }
    }

    /** Time passed. */
    public void tick(long nanos) {
        if (stage == FeelView.Stage.FIND && hitAt != NEVER && nanos >= hitAt + TOGETHER_NANOS) {
            long hit = hitAt;
            over(hit - askedAt, first ? Trial.End.FIRST : Trial.End.FOUND);
            if (stage != FeelView.Stage.DONE) {
                gap(hit);
            }
        }
        if (stage == FeelView.Stage.FIND && hitAt == NEVER && nanos >= askedAt + PATIENCE_NANOS) {
            over(PATIENCE_NANOS, Trial.End.LONG);
            rest(FeelView.Stage.PAUSE);
        }
        if (stage == FeelView.Stage.WAIT && nanos >= due) {
            ask(nanos);
        }
    }

    /** The name that stands has only now come before the builder: time counts from here. */
    public void shown(long nanos) {
        if (asked != null && hitAt == NEVER && wrong.isEmpty()) {
            askedAt = Math.max(askedAt, nanos);
        }
    }

    /** When {@link #tick} must be called at the latest; {@link Long#MAX_VALUE} where nothing falls due. */
    public long deadline() {
        return switch (stage) {
            case WAIT -> due;
            case FIND -> hitAt == NEVER ? askedAt + PATIENCE_NANOS : hitAt + TOGETHER_NANOS;
            case PAUSE, AWAY, DONE -> NEVER;
        };
    }

    /** The builder wants a rest. */
    public void pause(long nanos) {
        tick(nanos);
        if (stage == FeelView.Stage.FIND || stage == FeelView.Stage.WAIT) {
            broken(nanos);
            rest(FeelView.Stage.PAUSE);
        }
    }

    /** The builder goes on. */
    public void resume(long nanos) {
        if (stage == FeelView.Stage.PAUSE) {
            first = true;
            at = null;
            gap(nanos);
        }
    }

    /** The box went away. */
    public void lost(long nanos) {
        tick(nanos);
        if (stage != FeelView.Stage.DONE) {
            broken(nanos);
            rest(FeelView.Stage.AWAY);
        }
    }

    /** It is back: in a pause until something is worked. How it rests now is read anew. */
    public void found(long nanos) {
        tick(nanos);
        read = false;
        if (stage == FeelView.Stage.AWAY) {
            rest(FeelView.Stage.PAUSE);
        }
    }

    /** It is enough: what was found counts. */
    public void end(long nanos) {
        tick(nanos);
        if (stage != FeelView.Stage.DONE) {
            broken(nanos);
            rest(FeelView.Stage.DONE);
        }
    }

    /** As it stands; the same object until something changes. */
    public FeelView view() {
        return view;
    }

    private void gap(long nanos) {
        stage = FeelView.Stage.WAIT;
        due = nanos + LEAST_GAP_NANOS + (long) (chance.nextDouble() * MORE_GAP_NANOS);
        view = made();
    }

    private void rest(FeelView.Stage how) {
        stage = how;
        due = NEVER;
        view = made();
    }

    private void ask(long nanos) {
        asked = left.remove();
        askedAt = nanos;
        hitAt = NEVER;
        wrong.clear();
        lastOf.clear();
        stage = FeelView.Stage.FIND;
        view = made();
    }

    private void broken(long nanos) {
        if (asked != null) {
            over(Math.max(0, nanos - askedAt), Trial.End.BROKEN);
        }
    }

    private void over(long took, Trial.End end) {
        Target target = asked;
        if (target == null) {
            return;
        }
        Trial trial = new Trial(round, target.id(), Optional.ofNullable(at).map(Target::id), took, wrong, end);
        trials.add(trial);
        asked = null;
        hitAt = NEVER;
        boolean hit = end == Trial.End.FOUND || end == Trial.End.FIRST;
        at = hit ? target : null;
        first = !hit;
        if (trial.counts()) {
            found++;
        } else {
            left.addLast(target);
        }
        if (left.isEmpty()) {
            if (round == rounds) {
                rest(FeelView.Stage.DONE);
                return;
            }
            round++;
            found = 0;
            shuffle();
        }
    }

    /** Another order; never the same control twice at a round's turn. */
    private void shuffle() {
        List<Target> order = new ArrayList<>(targets);
        Collections.shuffle(order, chance);
        if (order.get(0) == at) {
            Collections.swap(order, 0, 1 + chance.nextInt(order.size() - 1));
        }
        left.addAll(order);
    }

    private FeelView made() {
        return new FeelView(
                stage,
                stage == FeelView.Stage.FIND ? Optional.ofNullable(asked) : Optional.empty(),
                round,
                rounds,
                found,
                targets.size(),
                trials);
    }
}
