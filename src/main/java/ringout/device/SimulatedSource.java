package ringout.device;

import java.io.IOException;
import java.io.InputStream;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import ringout.circuit.Fault;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.files.FileTrouble;
import ringout.files.SmallFile;
import ringout.plan.Known;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.simulate.ScriptedBuilder;
import ringout.simulate.SimulatedBox;
import ringout.simulate.Wear;
import ringout.words.Phrase;
import ringout.words.RefusedException;
import ringout.words.Texts;

/**
 * Simulated boxes in real time. A box exists from the moment it is named:
 * {@code sim:PLANFILE?fault=open:R2&fault=short:R1,C2&bounce=horn-low=20&dropout=bell&noise=brake=12&seed=7&rate=1000&slip=0.05&speed=2&hands=off}.
 * {@code sim:desk} takes the driver's desk that comes with the program. A scripted builder works it while a check asks,
 * unless {@code hands=off}. With {@code speed}, 1 to 20, its time passes that many times as fast as ours. With
 * {@code board=bare} nothing is soldered to it yet, and the touches that prove a bare board are its controls.
 */
public final class SimulatedSource implements DeviceSource {
    /** What names of simulated boxes begin with. */
    public static final String PREFIX = "sim:";

    private static final String BARE = "board=bare";

    /** The name of the same box with nothing soldered to its board. */
    public static String bare(String name) {
        String joint = name.endsWith("&") ? "" : name.contains("?") ? "&" : "?";
        return name.contains(BARE) ? name : name + joint + BARE;
    }

    private static final String DESK = "desk";
    private static final String DESK_PLAN = "/ringout/plans/drivers-desk.yaml";

    /** Of the box's time: a small part of what anybody waits for an answer. */
    private static final long LEAD_NANOS = 500_000_000L;

    private final Map<String, Box> boxes = new LinkedHashMap<>();

    private final Time time;

    public SimulatedSource() {
        this(Time.OURS);
    }

    /** @param time of all its boxes */
    public SimulatedSource(Time time) {
        this.time = time;
    }

    /** How a box's time passes: so many times as fast as ours, from where it was made. */
    record Pace(Time ours, long origin, int speed) implements Time.Upon {
        @Override
        public long nanos() {
            return origin + speed * (ours.nanos() - origin);
        }

        @Override
        public void park(long nanos) {
            ours.park(nanos / speed);
        }
    }

    /** A box on the desk, whether someone reads it or not. Its monitor guards everything in it but what is read by now(). */
    static final class Box {
        final DeviceInfo info;
        final Plan plan;
        final Wear wear;
        final int rate;
        final long seed;
        final ScriptedBuilder builder;
        final boolean scripted;
        List<Fault> faults;
        SimulatedBox simulated;
        final byte[] buffer = new byte[SimulatedBox.MAX_REPORT];
        boolean pluggedIn = true;
        final Pace pace;
        /** Who waits for something to come of it. */
        final Set<Thread> waiting = new HashSet<>();

        private final AtomicLong told = new AtomicLong(Long.MIN_VALUE);
        private @Nullable SimulatedConnection reader;
        private volatile long horizon = SimulatedBox.NEVER;
        /** What it may come to before whoever follows it looks again. */
        private volatile long lead = SimulatedBox.NEVER;

        Box(
                Pace pace,
                DeviceInfo info,
                Plan plan,
                List<Fault> faults,
                Wear wear,
                int rate,
                long seed,
                ScriptedBuilder builder,
                boolean scripted) {
            this.pace = pace;
            this.info = info;
            this.plan = plan;
            this.wear = wear;
            this.rate = rate;
            this.seed = seed;
            this.builder = builder;
            this.scripted = scripted;
            this.faults = List.copyOf(faults);
            this.simulated = new SimulatedBox(plan, faults, wear, rate, seed, now());
        }

        /** As it is with these faults, everything at rest. */
        void rebuild(List<Fault> left) {
            faults = List.copyOf(left);
            simulated = new SimulatedBox(plan, faults, wear, rate, seed, now());
            planned();
        }

        /**
         * Its time. Where it is read, that goes no further than what has been read: a reader whom a busy computer keeps
         * waiting misses nothing and delays nothing, since nobody is told that time passed without a report.
         */
        long now() {
            return told.accumulateAndGet(Math.min(due(pace.nanos()), horizon), Math::max);
        }

        /** Up to when something may have fallen due by then. */
        long due(long now) {
            return Math.min(now, lead);
        }

        /** Its time waits for a follower, too, whom a busy computer keeps: nobody is asked what he had no time to do. */
        void followed() {
            boolean waited = pace.nanos() > lead;
            lead = now() + LEAD_NANOS;
            if (waited) {
                wake();
            }
        }

        void unfollowed() {
            lead = SimulatedBox.NEVER;
            wake();
        }

        /** The moment after this one, so that what is begun then shares it with nothing that was. */
        long soon() {
            return now() + 1;
        }

        /** When box or builder will do something by themselves. */
        long next() {
            return Math.min(simulated.next(), builder.next());
        }

        /** What is read next is not before this, so that nothing else has been in the same moment. */
        void readUpTo(SimulatedConnection by, long nanos) {
            reader = by;
            horizon = nanos - 1;
        }

        /** Something may be due sooner than before. */
        void planned() {
            if (reader != null) {
                horizon = Math.min(horizon, next() - 1);
            }
            wake();
        }

        void wake() {
            waiting.forEach(pace::unpark);
        }

        /** Whoever read it does not any more. */
        void left(SimulatedConnection by) {
            if (reader == by) {
                reader = null;
                horizon = SimulatedBox.NEVER;
            }
        }
    }

    @Override
    public List<DeviceInfo> list() {
        synchronized (boxes) {
            return boxes.values().stream()
                    .filter(SimulatedSource::isPluggedIn)
                    .map(box -> box.info)
                    .toList();
        }
    }

    private static boolean isPluggedIn(Box box) {
        synchronized (box) {
            return box.pluggedIn;
        }
    }

    @Override
    public List<DeviceInfo> find(String text) throws DeviceException {
        if (!text.startsWith(PREFIX)) {
            return DeviceNames.fitting(text, list());
        }
        synchronized (boxes) {
            Box box = boxes.get(text);
            if (box == null) {
                box = make(text, time);
                boxes.put(text, box);
            }
            return List.of(box.info);
        }
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) {
        synchronized (boxes) {
            return Optional.ofNullable(boxes.get(device.path())).map(box -> box.simulated.descriptor());
        }
    }

    @Override
    public SimulatedConnection open(DeviceInfo device) throws DeviceException {
        Box box;
        synchronized (boxes) {
            box = Known.in(boxes, device.path());
        }
        if (box == null || !isPluggedIn(box)) {
            throw new DeviceException(
                    DeviceException.Reason.NOT_FOUND, Texts.say("device.not-there", device.describe()));
        }
        synchronized (box) {
            box.simulated.plugIn(box.soon());
            box.planned();
        }
        return new SimulatedConnection(box.info, box);
    }

    /** Pulls the cable of a box, or plugs it in again. */
    public void plug(DeviceInfo device, boolean in) {
        Box box;
        synchronized (boxes) {
            box = Known.in(boxes, device.path());
        }
        synchronized (box) {
            box.pluggedIn = in;
            box.wake();
        }
    }

    /**
     * Mends a box: those of its faults that are meant go away, and every switch of it is at rest.
     *
     * @return the faults that were mended; none where nothing was wrong there
     */
    public List<Fault> mend(DeviceInfo device, Predicate<Fault> meant) {
        Box box;
        synchronized (boxes) {
            box = Known.in(boxes, device.path());
        }
        synchronized (box) {
            List<Fault> mended = box.faults.stream().filter(meant).toList();
            if (!mended.isEmpty()) {
                box.rebuild(box.faults.stream().filter(meant.negate()).toList());
            }
            return mended;
        }
    }

    /** A box is put away: it is not listed any more. Whoever has it open loses it. */
    public void forget(DeviceInfo device) {
        Box box;
        synchronized (boxes) {
            box = boxes.remove(device.path());
        }
        if (box != null) {
            synchronized (box) {
                box.pluggedIn = false;
                box.wake();
            }
        }
    }

    /** What a meter shows between two points of a box, with these actions held. */
    public ProbeReading probe(DeviceInfo device, NodeName red, NodeName black, ProbeMode mode, List<String> hold) {
        Box box;
        synchronized (boxes) {
            box = Known.in(boxes, device.path());
        }
        synchronized (box) {
            return box.simulated.probe(red, black, mode, hold);
        }
    }

    private static Box make(String name, Time time) throws DeviceException {
        int query = name.indexOf('?');
        String file = name.substring(PREFIX.length(), query < 0 ? name.length() : query);
        boolean bare =
                query >= 0 && List.of(name.substring(query + 1).split("&")).contains(BARE);
        Plan plan = plan(file, name, bare);
        List<Fault> faults = new ArrayList<>();
        Wear wear = Wear.NONE;
        long seed = 1;
        int rate = 1000;
        int speed = 1;
        double slip = 0;
        boolean scripted = true;
        for (String pair : query < 0 ? new String[0] : name.substring(query + 1).split("&")) {
            String[] parts = pair.split("=", 2);
            String value;
            try {
                // A plus is meant as it stands (numbering:shift:+1): nothing here has spaces in it.
                value = parts.length < 2 ? "" : URLDecoder.decode(parts[1].replace("+", "%2B"), StandardCharsets.UTF_8);
            } catch (IllegalArgumentException noEscape) {
                throw trouble(name, Texts.say("simulated.escape", pair), noEscape);
            }
            try {
                switch (parts[0]) {
                    case "fault" -> faults.add(Fault.parse(value, plan));
                    case "bounce", "dropout", "skip-detents", "noise", "dead-spot" -> wear = wear.and(parts[0], value);
                    case "seed" -> seed = Long.parseLong(value);
                    case "rate" -> rate = Integer.parseInt(value);
                    case "speed" -> speed = speed(value);
                    case "slip" -> slip = Double.parseDouble(value);
                    case "board" -> {
                        if (!bare) {
                            throw new RefusedException(Phrase.of("refused.simulated.board"));
                        }
                    }
                    case "hands" -> scripted = !value.equals("off");
                    default -> throw new RefusedException(Phrase.of("refused.simulated.setting", parts[0]));
                }
            } catch (NumberFormatException noNumber) {
                throw trouble(name, Texts.say("simulated.number", pair, value), noNumber);
            } catch (IllegalArgumentException | ArrayIndexOutOfBoundsException wrong) {
                throw trouble(name, Texts.say("simulated.pair", pair, String.valueOf(wrong.getMessage())), wrong);
            }
        }
        try {
            Plan.Box box = plan.box();
            DeviceInfo info = DeviceInfo.joystick(
                    box.name(),
                    box.vendor().orElse(0x1209),
                    box.product().orElse(0x0001),
                    box.serial().orElse(""),
                    name);
            return new Box(
                    new Pace(time, time.nanos(), speed),
                    info,
                    plan,
                    faults,
                    wear,
                    rate,
                    seed,
                    new ScriptedBuilder(plan, slip, seed),
                    scripted);
        } catch (IllegalArgumentException wrong) {
            throw trouble(name, String.valueOf(wrong.getMessage()), wrong);
        }
    }

    private static int speed(String value) {
        int speed = Integer.parseInt(value);
        if (speed < 1 || speed > 20) {
            throw new RefusedException(Phrase.of("refused.simulated.speed"));
        }
        return speed;
    }

    private static Plan plan(String file, String name, boolean bare) throws DeviceException {
        String yaml;
        try {
            yaml = file.equals(DESK) ? desk() : SmallFile.text(Path.of(file), SmallFile.PLAN);
        } catch (IOException | InvalidPathException problem) {
            throw trouble(name, Texts.say("simulated.plan-unreadable", file, FileTrouble.why(problem)), problem);
        }
        PlanDocument document = PlanDocument.of(yaml, file);
        if (bare && document.reading().plan().isPresent()) {
            try {
                document = SimulatedBox.bare(document);
            } catch (IllegalArgumentException nothing) {
                throw trouble(name, String.valueOf(nothing.getMessage()), nothing);
            }
        }
        return document.reading()
                .plan()
                .orElseThrow(() -> trouble(name, Texts.say("simulated.plan-errors", file), null));
    }

    private static String desk() throws IOException {
        try (InputStream in = SimulatedSource.class.getResourceAsStream(DESK_PLAN)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    private static DeviceException trouble(String name, String what, @Nullable Throwable cause) {
        return new DeviceException(DeviceException.Reason.NOT_FOUND, Texts.say("simulated.trouble", name, what), cause);
    }
}
