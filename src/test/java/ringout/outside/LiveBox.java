package ringout.outside;

import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.plan.Control;
import ringout.plan.Plan;

/**
 * A soldered box in virtual time: contacts bounce, the firmware scans once a millisecond, debounces, makes pulses of encoder
 * steps, and reports what has changed.
 */
final class LiveBox implements PlayedBox {
    private static final long MS = 1_000_000;
    /** How long a pulse of an encoder step stays on, and off before the next. */
    private static final long PULSE = 20 * MS;

    private final Plan plan;
    private final Soldered soldered;
    private final BoxReport form;
    private final SplittableRandom random;

    private final Set<String> closed = new HashSet<>();
    private final TreeMap<Long, Map<String, Boolean>> motions = new TreeMap<>();
    private final BitSet there = new BitSet();
    private final Map<Role, Integer> differs = new HashMap<>();
    private final Set<Role> believed = new HashSet<>();
    private final int[] axisAt;
    private final Map<Integer, Integer> quadrature = new HashMap<>();
    private final Map<Integer, Integer> quarters = new HashMap<>();
    private final TreeMap<Long, Map<Input, Boolean>> pulses = new TreeMap<>();
    private final Set<Input> pulsing = new TreeSet<>();
    private final Map<Input, Long> pulseFree = new HashMap<>();
    /** A contact with a microfarad across it and a pull-up of 50 kilohms; from memory. */
    private static final int SLOW_MS = 60;

    private Set<Input> pressed = new TreeSet<>();
    private Set<Input> before = new TreeSet<>();
    private final Set<Input> toggled = new TreeSet<>();
    private final Map<Input, Long> since = new HashMap<>();
    private byte[] sent;
    private long now;
    private long nextScan;
    private int still;

    LiveBox(Plan plan, Soldered soldered, long seed) {
        this.plan = plan;
        this.soldered = soldered;
        this.form = new BoxReport(plan);
        this.random = new SplittableRandom(seed);
        axisAt = new int[form.axes()];
        java.util.Arrays.fill(axisAt, 512);
        redraw();
        nextScan = 0;
    }

    @Override
    public byte[] descriptor() {
        return form.descriptor();
    }

    /** A hand shakes the box: faults that come and go are there or not, half and half. */
    private void redraw() {
        for (int i = 0; i < soldered.comingAndGoing(); i++) {
            there.set(i, random.nextBoolean());
        }
    }

    /** Up to three milliseconds of bounce (common practice, no source). */
    @Override
    public void move(long nanos, String contact, boolean close) {
        long at = nanos;
        int bounces = random.nextInt(5);
        for (int i = 0; i < bounces; i++) {
            motion(at, contact, close);
            at += random.nextLong(20_000, 300_000);
            motion(at, contact, !close);
            at += random.nextLong(20_000, 300_000);
        }
        motion(at, contact, close);
        redraw();
        wake(nanos);
    }

    private void motion(long at, String contact, boolean close) {
        motions.computeIfAbsent(at, x -> new HashMap<>()).put(contact, close);
    }

    @Override
    public void axis(long nanos, Input input, int value) {
        int i = form.axis(input);
        if (i >= 0) {
            axisAt[i] = value;
            wake(nanos);
        }
    }

    private void wake(long nanos) {
        still = 0;
        if (nextScan == NEVER) {
            nextScan = Math.max(now, nanos) / MS * MS + MS;
        }
    }

    @Override
    public Report run(long until) {
        while (nextScan <= until && nextScan != NEVER) {
            byte[] report = scan();
            if (report != null) {
                return new Report(now, report);
            }
        }
        return null;
    }

    /** One scan. @return a report, or null where nothing new is to be said */
    private byte[] scan() {
        now = nextScan;
        while (!motions.isEmpty() && motions.firstKey() <= now) {
            motions.pollFirstEntry().getValue().forEach((contact, close) -> {
                if (close) {
                    closed.add(contact);
                } else {
                    closed.remove(contact);
                }
            });
        }
        Set<Role> raw = soldered.roles(closed, there);
        boolean off = raw.contains(new Role.Off());
        boolean changing = debounce(raw);
        turn();
        while (!pulses.isEmpty() && pulses.firstKey() <= now) {
            pulses.pollFirstEntry().getValue().forEach((input, on) -> {
                if (on) {
                    pulsing.add(input);
                } else {
                    pulsing.remove(input);
                }
            });
        }
        Set<Input> on = new TreeSet<>(pulsing);
        for (Role role : believed) {
            if (role instanceof Role.Switch s) {
                on.add(s.input());
            }
        }
        still = changing ? 0 : still + 1;
        on = firmware(on);
        nextScan = still > 3 && motions.isEmpty() && pulses.isEmpty() ? NEVER : now + MS;
        if (off) {
            return null;
        }
        byte[] report = form.report(on, axisAt);
        if (java.util.Arrays.equals(report, sent)) {
            return null;
        }
        sent = report;
        return report;
    }

    /** What a firmware that has its own idea of a button makes of it. */
    private Set<Input> firmware(Set<Input> on) {
        Set<Input> shown = on;
        if (soldered.firmware("one") && on.size() > 1) {
            shown = new TreeSet<>(before);
            shown.retainAll(on);
        }
        for (Input input : on) {
            if (!pressed.contains(input)) {
                since.put(input, now);
                if (!toggled.remove(input)) {
                    toggled.add(input);
                }
            }
        }
        pressed = new TreeSet<>(on);
        if (soldered.firmware("toggles")) {
            shown = new TreeSet<>(toggled);
        } else if (soldered.firmware("pulses")) {
            shown = new TreeSet<>(on);
            shown.removeIf(input -> now - since.getOrDefault(input, 0L) > PULSE);
            still = on.isEmpty() || shown.isEmpty() ? still : 0;
        }
        before = shown;
        return shown;
    }

    private boolean debounce(Set<Role> raw) {
        Set<Role> all = new HashSet<>(raw);
        all.addAll(believed);
        boolean changing = false;
        differs.keySet().retainAll(all);
        for (Role role : all) {
            boolean seen = raw.contains(role);
            if (seen == believed.contains(role)) {
                differs.remove(role);
                continue;
            }
            changing = true;
            // Phases of an encoder are taken as they come, or a quick hand would outrun the firmware.
            int wanted = role instanceof Role.Phase
                    ? 1
                    : role instanceof Role.Switch s && soldered.slow().contains(s.input())
                            ? SLOW_MS
                            : soldered.chip().debounceMs();
            if (differs.merge(role, 1, Integer::sum) >= wanted) {
                differs.remove(role);
                if (seen) {
                    believed.add(role);
                } else {
                    believed.remove(role);
                }
            }
        }
        return changing;
    }

    /** Quadrature: a leads b by a quarter when turned clockwise; four quarters are one detent. */
    private void turn() {
        int k = 0;
        for (Control control : plan.controls()) {
            if (!(control instanceof Control.Encoder knob)) {
                continue;
            }
            boolean a = believed.contains(new Role.Phase(k, true));
            boolean b = believed.contains(new Role.Phase(k, false));
            int at = a ? b ? 2 : 1 : b ? 3 : 0;
            int was = quadrature.getOrDefault(k, 0);
            int step = Math.floorMod(at - was, 4);
            int quarter = quarters.getOrDefault(k, 0) + (step == 1 ? 1 : step == 3 ? -1 : 0);
            quadrature.put(k, at);
            if (at == 0) {
                if (quarter >= 3) {
                    pulse(soldered.pulse(knob.cw()));
                } else if (quarter <= -3) {
                    pulse(soldered.pulse(knob.ccw()));
                }
                quarter = 0;
            }
            quarters.put(k, quarter);
            k++;
        }
    }

    private void pulse(Input input) {
        long from = Math.max(now, pulseFree.getOrDefault(input, 0L));
        pulses.computeIfAbsent(from, x -> new HashMap<>()).put(input, true);
        pulses.computeIfAbsent(from + PULSE, x -> new HashMap<>()).put(input, false);
        pulseFree.put(input, from + 2 * PULSE);
    }
}
