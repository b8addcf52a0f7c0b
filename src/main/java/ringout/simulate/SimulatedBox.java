package ringout.simulate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.PriorityQueue;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import ringout.check.BareBoard;
import ringout.circuit.AxisProbes;
import ringout.circuit.AxisWiring;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.Firmware;
import ringout.circuit.Harness;
import ringout.circuit.Meter;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.circuit.Supply;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.words.Phrase;
import ringout.words.RefusedException;

/**
 * A box as planned, with faults: switches are worked, and reports come out, in virtual time.
 *
 * <p>The wiring is the electrical model of {@link Circuit}, the decoding that of {@link Firmware}; here are only the
 * things between them and USB: contact bounce, debounce, the scan and report clock, the length of an encoder's pulse.
 * The firmware scans every millisecond, or as often as it reports where that is quicker, and reports on change.
 *
 * <p>Times of calls must not decrease. The same seed and calls give the same reports. Not thread-safe.
 */
public final class SimulatedBox {
    /**
     * The plan of a board that nothing was soldered to yet, with the touches that prove it for controls.
     *
     * @throws IllegalArgumentException where there is nothing to touch
     */
    public static PlanDocument bare(PlanDocument whole) {
        return BareBoard.plan(
                whole, whole.reading().plan().map(BareBoard::every).orElse(List.of()));
    }

    /** The most that {@link #step} writes. */
    public static final int MAX_REPORT = 8192;
    /** {@link #next()} while nothing will happen by itself. */
    public static final long NEVER = Long.MAX_VALUE;

    private static final long MS = 1_000_000;
    private static final long SLOWEST_SCAN = MS;
    /** Bounce of a good switch: up to 3 ms, in up to four chatters (from memory, no source). */
    private static final long GOOD_BOUNCE = 3 * MS;
    /** How long firmware keeps an encoder's input on for one detent: common practice, no source. */
    private static final long PULSE = 20 * MS;
    /** Of a weak joint or a leak that may show when it is pressed, drawn evenly over the decades: from memory, no source. */
    private static final double LEAST_OHMS = 3e3;

    private static final double MOST_OHMS = 100e3;
    /** Share of the travel that a noisy axis stays away from each end. */
    private static final double NOISY_END = 0.1;
    /** Where a worn track has its worst place. */
    private static final Wear.DeadSpot WORN = new Wear.DeadSpot(0.4, 0.55);
    /** How often firmware takes a new, filtered value of an axis: common practice, no source. */
    private static final long CONVERSION = 4 * MS;

    private final Plan plan;
    private final Circuit circuit;
    private final Firmware firmware;
    private final Firmware.Decoder decoder;
    private final Wear wear;
    private final SplittableRandom random;
    private final ReportWriter writer;
    private final long scanNanos;
    private final long reportNanos;
    private final long debounce;
    private final long start;

    /** One per combination of intermittent faults being there. */
    private final Harness[] harnesses;

    private final boolean[] there;

    /** Of every weak joint and every leak of this very board. */
    private final double ohms;

    private final PriorityQueue<Event> events = new PriorityQueue<>();
    private long sequence;
    private long time;

    private final int words;
    private final long[] closed;
    private final long[] raw;
    private final long[] doubtful;
    private final long[] readsOn;
    private final long[] debounced;
    private final long[] phaseMask;
    private final long[] changedAt;
    private final long[] inputs;
    private final long[] pulses;
    private final long[] pulseEnds;
    private final int[] pulsesDue;
    private final int[] axes;
    /** Where each axis stands on its track, in steps; its reading is the same where the track is good. */
    private final int[] places;

    private final int[] generation;
    private long nextConversion;
    private boolean stale = true;
    /** Some position has changed and may yet change back. */
    private boolean waiting;

    private final byte[][] pendingReports;
    private final int[] pendingLength;
    private int pendingCount;

    private final Map<String, Slide> slides = new HashMap<>();
    /** By encoder with dead detents. */
    private final Map<String, Ring> rings = new HashMap<>();
    /** By worn axis. */
    private final Map<String, Track> tracks = new TreeMap<>();

    /** Something that happens by itself: a contact moves, or the firmware must look again. */
    private record Event(long nanos, long sequence, int contact, boolean closes, int generation)
            implements Comparable<Event> {
        @Override
        public int compareTo(Event other) {
            int byTime = Long.compare(nanos, other.nanos);
            return byTime != 0 ? byTime : Long.compare(sequence, other.sequence);
        }
    }

    /** An axis on its way. */
    private record Slide(int input, int from, int to, long begin, long end) {
        int at(long nanos) {
            if (nanos >= end) {
                return to;
            }
            return from + (int) ((long) (to - from) * Math.max(0, nanos - begin) / Math.max(1, end - begin));
        }
    }

    /** The detents of an encoder, some of them dirty, and where it stands. */
    private static final class Ring {
        final boolean[] dead;
        int at;

        Ring(boolean[] dead) {
            this.dead = dead;
        }

        /** Turns by one detent; false where that one gives nothing. */
        boolean turn(boolean clockwise) {
            int passed = clockwise ? at : Math.floorMod(at - 1, dead.length);
            at = clockwise ? (at + 1) % dead.length : passed;
            return !dead[passed];
        }
    }

    /** The worn track of an axis. */
    private static final class Track {
        final int input;
        double noise;
        int reading;
        Wear.@Nullable DeadSpot dead;
        /** The axis whose pin its wiper is on. */
        int shownAt;
        /** By state of what comes and goes; empty where it is wired as planned. */
        List<AxisWiring> wiring = List.of();

        Track(int input) {
            this.input = input;
            shownAt = input;
        }

        boolean restless(int state) {
            return noise > 0 || !wiring.isEmpty() && wiring.get(state).floats();
        }
    }

    /** Contact numbers of events that move no contact. */
    private static final int LOOK = -1;

    private static final int FLIP = -2;

    /**
     * @param faults    any number together, see {@link Circuit#with}
     * @param wear      what is wrong with the switches
     * @param rateHz    how often the board may report, 1 to 8000 a second
     * @param seed      of everything that is chance
     * @param nanos     now
     * @throws RefusedException where a fault or wear names a line or contact the plan lacks
     */
    public SimulatedBox(Plan plan, Collection<Fault> faults, Wear wear, int rateHz, long seed, long nanos) {
        this(plan, Circuit.of(plan).supply(), faults, wear, rateHz, seed, nanos);
    }

    /** As above, for a board of that supply: levels that are between the thresholds at one may be certain at the other. */
    public SimulatedBox(
            Plan plan, Supply supply, Collection<Fault> faults, Wear wear, int rateHz, long seed, long nanos) {
        if (rateHz < 1 || rateHz > 8000) {
            throw new RefusedException(Phrase.of("refused.rate", rateHz));
        }
        this.plan = plan;
        this.circuit = Circuit.of(plan, supply);
        this.firmware = circuit.firmware();
        this.decoder = firmware.decoder();
        this.wear = wear;
        this.random = new SplittableRandom(seed);
        this.ohms = Math.exp(new SplittableRandom(seed).nextDouble(Math.log(LEAST_OHMS), Math.log(MOST_OHMS)));
        this.writer = new ReportWriter(firmware.inputs(), circuit.orders().shown(faults));
        this.reportNanos = 1_000_000_000L / rateHz;
        this.scanNanos = Math.min(reportNanos, SLOWEST_SCAN);
        this.debounce = plan.scan().debounceNanos();
        this.start = nanos;
        this.time = nanos;
        wear.bounceNanos().keySet().forEach(circuit::contactIndex);
        wear.dropouts().forEach(circuit::contactIndex);
        wear.latching().forEach(circuit::contactIndex);
        wear.momentary().forEach(circuit::contactIndex);
        new TreeMap<>(wear.deadDetents()).forEach((id, count) -> rings.put(id, ring(id, count)));
        wear.noise().forEach((id, steps) -> track(id).noise = steps);
        wear.deadSpots().forEach((id, spot) -> track(id).dead = spot);

        List<Fault> always = new ArrayList<>();
        List<Fault> atTimes = new ArrayList<>();
        for (Fault fault : faults) {
            if (fault instanceof Fault.Intermittent intermittent) {
                atTimes.add(intermittent.fault());
            } else {
                always.add(fault);
            }
        }
        if (atTimes.size() > Harness.MOST_INTERMITTENT) {
            throw new RefusedException(Phrase.of("refused.many-intermittent", Harness.MOST_INTERMITTENT));
        }
        harnesses = new Harness[1 << atTimes.size()];
        for (int i = 0; i < harnesses.length; i++) {
            List<Fault> now = new ArrayList<>(always);
            for (int f = 0; f < atTimes.size(); f++) {
                if ((i >>> f & 1) != 0) {
                    now.add(atTimes.get(f));
                }
            }
            harnesses[i] = circuit.with(now);
        }
        there = new boolean[atTimes.size()];

        int contacts = circuit.contacts().size();
        words = circuit.words();
        closed = new long[words];
        raw = new long[words];
        doubtful = new long[words];
        debounced = new long[words];
        phaseMask = new long[words];
        readsOn = new long[words];
        for (int w = 0; w < words; w++) {
            // Where the level is between the thresholds, each input of this very board reads one way or the other.
            readsOn[w] = random.nextLong();
        }
        changedAt = new long[contacts];
        Arrays.fill(changedAt, NEVER);
        generation = new int[contacts];
        inputs = new long[firmware.words()];
        pulses = new long[firmware.words()];
        pulseEnds = new long[firmware.inputs().size()];
        pulsesDue = new int[firmware.inputs().size()];
        axes = new int[firmware.inputs().size()];
        places = new int[axes.length];
        pendingReports = new byte[writer.reports()][MAX_REPORT];
        pendingLength = new int[writer.reports()];
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder) {
                control.contacts().forEach(c -> set(phaseMask, circuit.contactIndex(c.id()), true));
            }
        }
        for (int i = 0; i < there.length; i++) {
            at(time + between(20, 200), FLIP, false, i);
        }
        wireAxes(faults);
        read();
        System.arraycopy(raw, 0, debounced, 0, words);
        at(time, LOOK, false, 0);
    }

    /** What is wrong with axes and their wires. */
    private void wireAxes(Collection<Fault> faults) {
        for (Control control : plan.controls()) {
            if (control instanceof Control.Axis && faults.stream().anyMatch(f -> isAbout(f, control.id()))) {
                Track track = track(control.id());
                track.wiring = Arrays.stream(harnesses)
                        .map(h -> new AxisWiring(control.id(), h.faults()))
                        .toList();
                if (faults.contains(new Fault.AxisWorn(control.id())) && track.dead == null) {
                    track.dead = WORN;
                }
            }
        }
        for (Fault fault : faults) {
            if (fault instanceof Fault.AxesExchanged f) {
                int kept = track(f.first()).shownAt;
                track(f.first()).shownAt = track(f.second()).shownAt;
                track(f.second()).shownAt = kept;
            }
        }
    }

    private static boolean isAbout(Fault fault, String axis) {
        Fault lasting = fault.lasting();
        return lasting instanceof Fault.AxisOpen open && open.axis().equals(axis)
                || lasting instanceof Fault.AxisExchanged exchanged
                        && exchanged.axis().equals(axis)
                || lasting instanceof Fault.AxisWorn worn && worn.axis().equals(axis)
                || lasting instanceof Fault.AxesExchanged both
                        && (both.first().equals(axis) || both.second().equals(axis));
    }

    private int state() {
        int state = 0;
        for (int i = 0; i < there.length; i++) {
            state |= there[i] ? 1 << i : 0;
        }
        return state;
    }

    /** The wiring as it is now, with those of the intermittent faults that are there. */
    private Harness harness() {
        return harnesses[state()];
    }

    /**
     * What a meter shows between two points of the box, unplugged, with these actions held; a fault that comes and goes as
     * it is now. A contact that is open or weak is so at its switch; its joints are
     * good.
     */
    public ProbeReading probe(NodeName red, NodeName black, ProbeMode mode, Collection<String> hold) {
        if (isAxis(red) || isAxis(black)) {
            return AxisProbes.reads(harness().faults(), red, black, mode);
        }
        Meter meter = harness().meter(circuit.hold(hold));
        // Of all ways the middle one has the middle digit everywhere.
        ProbeReading reading = meter.reads(meter.ways() / 2, red, black, mode);
        return reading == ProbeReading.RESISTIVE ? ProbeReading.ofOhms(ohms) : reading;
    }

    private static boolean isAxis(NodeName node) {
        return node instanceof NodeName.AxisPad || node instanceof NodeName.AxisLug;
    }

    /** The plan this box was built from. */
    public Plan plan() {
        return plan;
    }

    /** Its report descriptor. */
    public byte[] descriptor() {
        return writer.descriptor();
    }

    // ---------------------------------------------------------------- working it

    /** Presses a contact, or puts it over: it bounces, and stays closed. A switch that latches changes over. */
    public void press(long nanos, String contactId) {
        int contact = circuit.contactIndex(contactId);
        boolean latches = wear.latching().contains(contactId);
        boolean closes = !latches || !has(closed, contact);
        move(nanos, contact, contactId, closes);
        if (closes && wear.dropouts().contains(contactId)) {
            // Late enough not to be taken for bounce, early enough for a short hold, long enough to pass any debounce.
            long gapBegins = nanos + between(60, 160) + debounce;
            long gap = Math.max(between(12, 40), debounce + 2 * Math.max(scanNanos, reportNanos) + MS);
            gap = wear.dropoutNanos().getOrDefault(contactId, gap);
            at(gapBegins, contact, false, generation[contact]);
            at(gapBegins + gap, contact, true, generation[contact]);
        }
        if (closes && wear.momentary().contains(contactId)) {
            at(nanos + between(150, 400), contact, false, generation[contact]);
        }
    }

    /** Lets go of a contact, or puts it back. A switch that latches stays as it is. */
    public void release(long nanos, String contactId) {
        int contact = circuit.contactIndex(contactId);
        boolean sprangBack = wear.momentary().contains(contactId) && !has(closed, contact);
        if (!wear.latching().contains(contactId) && !sprangBack) {
            move(nanos, contact, contactId, false);
        }
    }

    /** Turns an encoder by one detent; that takes {@code duration} nanoseconds. */
    public void turn(long nanos, String actionId, long duration) {
        Action action = action(actionId);
        Control.Encoder encoder =
                (Control.Encoder) plan.control(action.control()).orElseThrow();
        boolean clockwise = actionId.equals(encoder.id() + ".cw");
        int leads = circuit.contactIndex((clockwise ? encoder.a() : encoder.b()).id());
        int follows = circuit.contactIndex((clockwise ? encoder.b() : encoder.a()).id());
        Ring ring = rings.get(encoder.id());
        if (ring != null && !ring.turn(clockwise)) {
            // Dirt keeps one phase from closing: the decoder goes a step forward and back again.
            at(nanos, leads, true, ++generation[leads]);
            at(nanos + 2 * duration / 3, leads, false, generation[leads]);
            return;
        }
        at(nanos, leads, true, ++generation[leads]);
        at(nanos + duration / 3, follows, true, ++generation[follows]);
        at(nanos + 2 * duration / 3, leads, false, generation[leads]);
        at(nanos + duration, follows, false, generation[follows]);
    }

    /**
     * Moves an axis; any movement of it under way ends where it is.
     *
     * @param to       0 to 1, share of its travel
     * @param duration nanoseconds, from 1
     */
    public void slide(long nanos, String actionId, double to, long duration) {
        int input = firmware.indexOf(action(actionId).input().orElseThrow()).orElseThrow();
        slides.put(
                actionId,
                new Slide(
                        input,
                        places[input],
                        (int) Math.round(to * ReportWriter.AXIS_MAXIMUM),
                        nanos,
                        nanos + Math.max(1, duration)));
        at(nanos, LOOK, false, 0);
    }

    private Action action(String id) {
        return plan.action(id).orElseThrow(() -> new IllegalArgumentException("the plan has no action " + id));
    }

    private void move(long nanos, int contact, String id, boolean closes) {
        int g = ++generation[contact];
        Long worn = wear.bounceNanos().get(id);
        if (worn != null) {
            wornBounce(nanos, contact, closes, worn, g);
        } else {
            at(nanos, contact, closes, g);
            int chatters = random.nextInt(5);
            long[] moments =
                    random.longs(2L * chatters, 0, GOOD_BOUNCE).sorted().toArray();
            for (int i = 0; i < moments.length; i += 2) {
                at(nanos + moments[i], contact, !closes, g);
                at(nanos + moments[i + 1], contact, closes, g);
            }
        }
    }

    /**
     * A worn contact makes, breaks once more for a while, and makes for good after exactly {@code span}. The break is as
     * long as it must be to pass the firmware's debounce, where the span leaves room for that.
     */
    private void wornBounce(long nanos, int contact, boolean closes, long span, int g) {
        long seen = debounce + 2 * Math.max(scanNanos, reportNanos);
        long gap = Math.max(span / 3, Math.min(seen, span / 2));
        at(nanos, contact, closes, g);
        at(nanos + span - gap, contact, !closes, g);
        at(nanos + span, contact, closes, g);
    }

    /** True where the firmware's debounce leaves nothing to see of a contact that bounces that long. */
    public boolean hides(long bounceNanos) {
        return bounceNanos / 2 < debounce + 2 * Math.max(scanNanos, reportNanos);
    }

    private long between(long leastMillis, long mostMillis) {
        return random.nextLong(leastMillis * MS, mostMillis * MS + 1);
    }

    private void at(long nanos, int contact, boolean closes, int g) {
        events.add(new Event(nanos, sequence++, contact, closes, g));
    }

    // ---------------------------------------------------------------- the firmware's clock

    /** When {@link #step} must be called next; {@link #NEVER} where nothing will change by itself. */
    public long next() {
        if (pendingCount > 0) {
            return time;
        }
        Event event = events.peek();
        return event == null ? NEVER : tick(event.nanos());
    }

    /** The first scan at or after that time. */
    private long tick(long nanos) {
        long since = Math.max(nanos, time) - start;
        return start + (since + scanNanos - 1) / scanNanos * scanNanos;
    }

    /**
     * Lets the firmware do what falls due at {@link #next()}.
     *
     * @param buffer receives a report, from index 0; at least {@link #MAX_REPORT} long
     * @return its length; 0 where nothing changed
     */
    public int step(byte[] buffer) {
        if (pendingCount == 0) {
            scan(next());
        }
        if (pendingCount == 0) {
            return 0;
        }
        for (int i = 0; i < pendingLength.length; i++) {
            if (pendingLength[i] > 0) {
                int length = pendingLength[i];
                System.arraycopy(pendingReports[i], 0, buffer, 0, length);
                pendingLength[i] = 0;
                pendingCount--;
                return length;
            }
        }
        throw new IllegalStateException("a report was pending");
    }

    /** As if it had just been plugged in: the next report goes out whatever it says. */
    public void plugIn(long nanos) {
        writer.forget();
        stale = true;
        at(nanos, LOOK, false, 0);
    }

    private void scan(long now) {
        time = now;
        boolean moved = stale;
        while (!events.isEmpty() && events.peek().nanos() <= now) {
            moved |= happen(events.remove());
        }
        if (moved) {
            read();
        }
        debounce(now);
        endPulses(now);
        slide(now);
        convert(now);
        if (stale && (now - start) % reportNanos < scanNanos) {
            report();
        } else if (stale) {
            at(now + reportNanos - (now - start) % reportNanos, LOOK, false, 0);
        }
    }

    private boolean happen(Event event) {
        if (event.contact() == LOOK) {
            return false;
        }
        if (event.contact() == FLIP) {
            int fault = event.generation();
            there[fault] = !there[fault];
            stale |= !tracks.isEmpty();
            // A cold joint: good for a while, bad for a moment.
            at(event.nanos() + (there[fault] ? between(15, 80) : between(40, 200)), FLIP, false, fault);
            return true;
        }
        if (event.generation() != generation[event.contact()] || has(closed, event.contact()) == event.closes()) {
            return false;
        }
        set(closed, event.contact(), event.closes());
        return true;
    }

    private void read() {
        harness().scan(closed, raw, doubtful);
        for (int w = 0; w < words; w++) {
            raw[w] |= doubtful[w] & readsOn[w];
        }
    }

    private void debounce(long now) {
        boolean changed = false;
        for (int w = 0; w < words; w++) {
            // Phases are not debounced: the quadrature decoder undoes a bounce by itself.
            long quick = (raw[w] ^ debounced[w]) & (debounce == 0 ? ~0L : phaseMask[w]);
            debounced[w] ^= quick;
            changed |= quick != 0;
        }
        boolean differs = !Arrays.equals(raw, debounced);
        for (int i = 0; i < changedAt.length && (differs || waiting); i++) {
            if (has(raw, i) == has(debounced, i)) {
                changedAt[i] = NEVER;
            } else if (changedAt[i] == NEVER) {
                changedAt[i] = now;
                at(now + debounce, LOOK, false, 0);
            } else if (now - changedAt[i] >= debounce) {
                set(debounced, i, has(raw, i));
                changedAt[i] = NEVER;
                changed = true;
            }
        }
        waiting = differs;
        if (changed || stale) {
            decoder.update(debounced, pulses);
            for (int w = 0; w < pulses.length; w++) {
                for (long bits = pulses[w]; bits != 0; bits &= bits - 1) {
                    int input = (w << 6) + Long.numberOfTrailingZeros(bits);
                    pulsesDue[input]++;
                    at(now, LOOK, false, 0);
                }
            }
            stale = true;
        }
    }

    /** An input of an encoder is on for a pulse, then off for as long, for each detent. */
    private void endPulses(long now) {
        for (int i = 0; i < pulsesDue.length; i++) {
            if (pulsesDue[i] > 0 && now >= pulseEnds[i]) {
                pulsesDue[i]--;
                pulseEnds[i] = now + 2 * PULSE;
                at(now + PULSE, LOOK, false, 0);
                at(now + 2 * PULSE, LOOK, false, 0);
                stale = true;
            } else if (pulseEnds[i] > 0 && now >= pulseEnds[i] - PULSE) {
                stale = true;
            }
        }
    }

    private void slide(long now) {
        if (slides.isEmpty()) {
            return;
        }
        slides.values().removeIf(slide -> {
            places[slide.input()] = slide.at(now);
            if (!wiredWrongly(slide.input())) {
                axes[slide.input()] = places[slide.input()];
            }
            return now >= slide.end();
        });
        stale = true;
        if (!slides.isEmpty()) {
            at(now + Math.max(reportNanos, CONVERSION), LOOK, false, 0);
        }
    }

    /** What worn tracks give in place of where the axis stands. */
    private void convert(long now) {
        if (tracks.isEmpty() || now < nextConversion && !stale) {
            return;
        }
        boolean converts = now >= nextConversion;
        int state = state();
        boolean restless = false;
        for (Track track : tracks.values()) {
            restless |= track.restless(state);
            if (track.restless(state) && !converts) {
                axes[track.shownAt] = track.reading;
                continue;
            }
            double place = places[track.input] / (double) ReportWriter.AXIS_MAXIMUM;
            if (track.dead != null && place > track.dead.from() && place < track.dead.to()) {
                place = track.dead.from();
            }
            OptionalDouble level = track.wiring.isEmpty()
                    ? OptionalDouble.of(place)
                    : track.wiring.get(state).reads(place);
            double reading = level.orElseGet(() -> picksUp(now));
            if (track.noise > 0) {
                // Away from the ends of the range, which would cut half of the noise off.
                reading = NOISY_END
                        + (1 - 2 * NOISY_END) * reading
                        + track.noise / ReportWriter.AXIS_MAXIMUM * random.nextGaussian();
            }
            track.reading = (int) Math.round(Math.max(0, Math.min(1, reading)) * ReportWriter.AXIS_MAXIMUM);
            axes[track.shownAt] = track.reading;
        }
        stale = true;
        if (converts && restless) {
            nextConversion = now + Math.max(reportNanos, CONVERSION);
            at(nextConversion, LOOK, false, 0);
        }
    }

    /** What a pin that nothing holds picks up: hum of the mains, and noise. An estimate, no source. */
    private double picksUp(long now) {
        return 0.45 + 0.25 * Math.sin(2 * Math.PI * 50 * (now / 1e9)) + 0.05 * random.nextGaussian();
    }

    private boolean wiredWrongly(int input) {
        return tracks.values().stream().anyMatch(t -> t.input == input && t.shownAt != input);
    }

    private Track track(String id) {
        return tracks.computeIfAbsent(id, key -> {
            if (!(plan.control(id).orElse(null) instanceof Control.Axis axis)) {
                throw new RefusedException(Phrase.of("refused.wear.axis", id));
            }
            return new Track(firmware.indexOf(axis.input()).orElseThrow());
        });
    }

    /** Dead detents lie apart from each other where there is room. */
    private Ring ring(String id, int count) {
        if (!(plan.control(id).orElse(null) instanceof Control.Encoder encoder)) {
            throw new RefusedException(Phrase.of("refused.wear.encoder", id));
        }
        if (count < 1 || 2 * count > encoder.detents()) {
            throw new RefusedException(
                    Phrase.of("refused.wear.clicks", encoder.detents(), id, encoder.detents() / 2, count));
        }
        boolean[] dead = new boolean[encoder.detents()];
        int first = random.nextInt(dead.length);
        for (int i = 0; i < count; i++) {
            dead[(first + i * dead.length / count) % dead.length] = true;
        }
        return new Ring(dead);
    }

    private void report() {
        firmware.levels(debounced, inputs);
        for (int i = 0; i < pulseEnds.length; i++) {
            if (time < pulseEnds[i] - PULSE) {
                set(inputs, i, true);
            } else if (time >= pulseEnds[i]) {
                pulseEnds[i] = 0;
            }
        }
        for (int i = 0; i < writer.reports(); i++) {
            int length = writer.write(i, inputs, axes, pendingReports[i]);
            if (length > 0) {
                pendingCount += pendingLength[i] == 0 ? 1 : 0;
                pendingLength[i] = length;
            }
        }
        stale = false;
    }

    private static boolean has(long[] bits, int index) {
        return (bits[index >>> 6] >>> index & 1) != 0;
    }

    private static void set(long[] bits, int index, boolean value) {
        if (value) {
            bits[index >>> 6] |= 1L << index;
        } else {
            bits[index >>> 6] &= ~(1L << index);
        }
    }

    /** True while that contact is physically closed. */
    public boolean isClosed(Contact contact) {
        return has(closed, circuit.contactIndex(contact.id()));
    }

    /** Contacts closed now, for a picture of the panel. */
    public List<String> closedContacts() {
        return circuit.contacts().stream()
                .filter(this::isClosed)
                .map(Contact::id)
                .toList();
    }
}
