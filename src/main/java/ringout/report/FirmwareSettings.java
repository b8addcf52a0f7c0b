package ringout.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import ringout.hid.DescriptorBuilder;
import ringout.hid.Direction;
import ringout.hid.Input;
import ringout.hid.Usage;
import ringout.hid.UsagePage;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Scan;
import ringout.plan.Wiring;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * What the firmware in {@code firmware.c} has to be told about a box.
 *
 * <p>Pins are indexes of {@link ChipPins}. Places are the crossings, driven line by driven line, then the direct pins, then
 * the inputs of the shift registers; {@code meaning} says of each what it is: a button from 0, {@link #PHASE} and up,
 * {@link #WAY} and up, or {@link #NOTHING}.
 *
 * @param name         as USB shows it
 * @param vendor       USB vendor id
 * @param product      USB product id
 * @param serial       empty for none
 * @param driven       pins of the lines that are driven in turn
 * @param sensed       pins of the lines that are read meanwhile
 * @param direct       pins with one contact each
 * @param shiftData    for each register, in the order of reading, the pin its chain ends at
 * @param shiftClock   pin; unused without registers
 * @param shiftLoad    pin; unused without registers
 * @param activeHigh   the level of a driven line
 * @param directHigh   direct contacts go to supply
 * @param idlePulled   driven lines that have no turn are pulled up, else they float
 * @param debounceMs   how long a change must stand, 1 to 255
 * @param settleMicros from driving a line to reading
 * @param pulseMs      how long one step of an encoder stays on, and off before the next, 1 to 255
 * @param meaning      by place
 * @param pulses       for each encoder the buttons, from 0, of a step clockwise and anticlockwise
 * @param hats         how many
 * @param axes         in the order of the report
 * @param channels     for each axis its analogue channel
 */
public record FirmwareSettings(
        String name,
        int vendor,
        int product,
        String serial,
        List<Integer> driven,
        List<Integer> sensed,
        List<Integer> direct,
        List<Integer> shiftData,
        int shiftClock,
        int shiftLoad,
        boolean activeHigh,
        boolean directHigh,
        boolean idlePulled,
        int debounceMs,
        int settleMicros,
        int pulseMs,
        List<Integer> meaning,
        List<List<Integer>> pulses,
        int hats,
        List<Input.Axis> axes,
        List<Integer> channels) {
    /** A phase of an encoder: this, twice its number, and 1 more for b. */
    public static final int PHASE = 0x80;
    /** A way of a hat: this, four times its number, and the way clockwise from up. */
    public static final int WAY = 0xC0;
    /** A place that is nothing. */
    public static final int NOTHING = 0xFF;

    /** Four times the charging time of 300 pF through 25 kΩ; see docs/flashing.md. */
    public static final int SETTLE_MICROS = 30;
    /** Where the plan is silent; longer than good switches bounce (common practice, no source). */
    public static final int DEBOUNCE_MS = 5;
    /** Long enough for every program to see it, short enough for 25 steps a second. */
    public static final int PULSE_MS = 20;

    /** USB's test vendor and product, where the plan gives none. */
    private static final int VENDOR = 0x1209;

    private static final int PRODUCT = 0x0001;
    /** HUT, Generic Desktop page. */
    private static final int JOYSTICK = 0x04;

    private static final int MOST_BUTTONS = PHASE;
    private static final int MOST_HATS = 4;
    private static final int MOST_PLACES = 255;
    /** What a string descriptor has room for (USB 2.0, 9.6.7). */
    private static final int MOST_CHARACTERS = 126;

    private static final int REGISTER_INPUTS = 8;

    public FirmwareSettings {
        driven = List.copyOf(driven);
        sensed = List.copyOf(sensed);
        direct = List.copyOf(direct);
        shiftData = List.copyOf(shiftData);
        meaning = List.copyOf(meaning);
        pulses = List.copyOf(pulses);
        axes = List.copyOf(axes);
        channels = List.copyOf(channels);
    }

    /**
     * What a plan asks for.
     *
     * @throws IllegalArgumentException where this firmware cannot do that, with the reason in words for the user
     */
    public static FirmwareSettings of(Plan plan) {
        return new FromPlan(plan).settings();
    }

    /** Reads the plan once, in the order of the firmware's places. */
    private static final class FromPlan {
        private final Plan plan;
        private final Map<String, Integer> encoders = new HashMap<>();
        private final List<List<Integer>> pulses = new ArrayList<>();
        private final List<Integer> hats;

        FromPlan(Plan plan) {
            this.plan = plan;
            hats = new ArrayList<>(plan.actions().stream()
                    .flatMap(a -> a.input().stream())
                    .filter(Input.Hat.class::isInstance)
                    .map(i -> ((Input.Hat) i).number())
                    .collect(Collectors.toCollection(TreeSet::new)));
        }

        FirmwareSettings settings() {
            boolean rowsDriven = plan.scan().drive() == Scan.Drive.ROWS;
            List<Line> driven = plan.lines(rowsDriven ? Line.Kind.ROW : Line.Kind.COLUMN);
            List<Line> sensed = plan.lines(rowsDriven ? Line.Kind.COLUMN : Line.Kind.ROW);
            List<Line> direct = plan.lines(Line.Kind.DIRECT);
            List<Line> chains = plan.lines(Line.Kind.SHIFT);
            Map<Wiring, Integer> means = means();
            List<Integer> meaning = new ArrayList<>();
            for (Line d : driven) {
                for (Line s : sensed) {
                    meaning.add(means.getOrDefault(
                            rowsDriven
                                    ? new Wiring.Crossing(d.name(), s.name())
                                    : new Wiring.Crossing(s.name(), d.name()),
                            NOTHING));
                }
            }
            direct.forEach(d -> meaning.add(means.getOrDefault(new Wiring.Direct(d.name()), NOTHING)));
            List<Integer> shiftData = new ArrayList<>();
            for (Line chain : chains) {
                for (int register = 1; register <= chain.registers(); register++) {
                    shiftData.add(pin(chain));
                    // The last input of a register is the first to come out.
                    for (int bit = REGISTER_INPUTS - 1; bit >= 0; bit--) {
                        meaning.add(means.getOrDefault(new Wiring.Shift(chain.name(), register, bit), NOTHING));
                    }
                }
            }
            require(meaning.size() <= MOST_PLACES, Phrase.of("firmware.most-switches", MOST_PLACES));
            require(hats.size() <= MOST_HATS, Phrase.of("firmware.most-hats", MOST_HATS));
            List<Control.Axis> axes = plan.controls().stream()
                    .filter(Control.Axis.class::isInstance)
                    .map(Control.Axis.class::cast)
                    .sorted((a, b) -> a.input().compareTo(b.input()))
                    .toList();
            List<Integer> taken = new ArrayList<>();
            plan.lines().forEach(l -> taken.add(pin(l)));
            axes.forEach(a -> taken.add(ChipPins.index(analogue(a))));
            int clock = chains.isEmpty() ? 0 : free(taken);
            int load = chains.isEmpty() ? 0 : free(taken);
            boolean high = plan.scan().active() == Scan.Active.HIGH;
            long debounce = Math.round(plan.scan().debounceNanos() / 1e6);
            return new FirmwareSettings(
                    plan.box().name(),
                    plan.box().vendor().orElse(VENDOR),
                    plan.box().product().orElse(PRODUCT),
                    plan.box().serial().orElse(""),
                    pins(driven),
                    pins(sensed),
                    pins(direct),
                    shiftData,
                    clock,
                    load,
                    high,
                    plan.scan().directTo() == Scan.DirectTo.SUPPLY,
                    !high,
                    (int) Math.max(1, Math.min(255, debounce == 0 ? DEBOUNCE_MS : debounce)),
                    SETTLE_MICROS,
                    PULSE_MS,
                    meaning,
                    pulses,
                    hats.size(),
                    axes.stream().map(Control.Axis::input).toList(),
                    axes.stream()
                            .map(a -> ChipPins.channel(analogue(a)).orElseThrow())
                            .toList());
        }

        private Map<Wiring, Integer> means() {
            Map<Wiring, Integer> means = new HashMap<>();
            for (Control control : plan.controls()) {
                for (Contact contact : control.contacts()) {
                    require(
                            !(contact.wiring() instanceof Wiring.Unknown),
                            Phrase.of("firmware.not-wired", contact.id()));
                    means.put(
                            contact.wiring(),
                            control instanceof Control.Encoder knob
                                    ? phase(knob, contact)
                                    : code(contact.input().orElseThrow()));
                }
            }
            return means;
        }

        private int phase(Control.Encoder knob, Contact contact) {
            int number = encoders.computeIfAbsent(knob.id(), x -> {
                pulses.add(List.of(code(knob.cw()), code(knob.ccw())));
                return pulses.size() - 1;
            });
            require(PHASE + 2 * number + 1 < WAY, Phrase.of("firmware.most-encoders", (WAY - PHASE) / 2));
            return PHASE + 2 * number + (contact.equals(knob.a()) ? 0 : 1);
        }

        private int code(Input input) {
            require(input.collection() == 1, Phrase.of("firmware.one-controller", input.text()));
            if (input instanceof Input.Button button) {
                require(button.number() <= MOST_BUTTONS, Phrase.of("firmware.most-buttons", MOST_BUTTONS));
                return button.number() - 1;
            }
            Input.Hat hat = (Input.Hat) input;
            return WAY
                    + Direction.values().length * hats.indexOf(hat.number())
                    + hat.direction().ordinal();
        }

        private static void require(boolean holds, Phrase why) {
            if (!holds) {
                throw new IllegalArgumentException(Texts.say("firmware.cannot", why));
            }
        }

        private static String analogue(Control.Axis axis) {
            String pin = axis.pin().orElse("");
            require(!pin.isEmpty(), Phrase.of("firmware.no-pin", axis.id()));
            String port = port(pin);
            require(ChipPins.channel(port).isPresent(), Phrase.of("firmware.not-analogue", pin, axis.id()));
            return port;
        }

        private static String port(String pin) {
            return ChipPins.port(pin)
                    .orElseThrow(() -> new IllegalArgumentException(Texts.say("firmware.other-board", pin)));
        }

        private static int pin(Line line) {
            return ChipPins.index(port(line.pin()));
        }

        private static List<Integer> pins(List<Line> lines) {
            return lines.stream().map(FromPlan::pin).toList();
        }

        /** The lowest printed pin that nothing else uses. */
        private static int free(List<Integer> taken) {
            for (int i = 2; i < 18; i++) {
                int pin = ChipPins.index(port("pin " + i));
                if (!taken.contains(pin)) {
                    taken.add(pin);
                    return pin;
                }
            }
            throw new IllegalArgumentException(Texts.say("firmware.no-pin-left"));
        }
    }

    /** The number of buttons declared. */
    public int buttons() {
        return 1
                + IntStream.concat(
                                meaning.stream().mapToInt(m -> m).filter(m -> m < PHASE),
                                pulses.stream().flatMap(List::stream).mapToInt(b -> b))
                        .max()
                        .orElse(-1);
    }

    /** What the box declares itself to be. */
    public byte[] descriptor() {
        DescriptorBuilder builder = new DescriptorBuilder().application(new Usage(UsagePage.GENERIC_DESKTOP, JOYSTICK));
        if (buttons() > 0) {
            builder.buttons(1, buttons()).padToByte();
        }
        for (int i = 0; i < hats; i++) {
            builder.hat(8).padToByte();
        }
        axes.forEach(axis -> builder.axis(axis.usage(), 16, 0, 1023));
        return builder.endCollection().bytes();
    }

    /** One C file: the firmware with these settings. */
    public String source() {
        try (InputStream in = FirmwareSettings.class.getResourceAsStream("firmware.c")) {
            String firmware = new String(in.readAllBytes(), StandardCharsets.UTF_8);
            return firmware.replace("/*SETTINGS*/", text());
        } catch (IOException damaged) {
            throw new UncheckedIOException(damaged);
        }
    }

    private String text() {
        StringBuilder c = new StringBuilder();
        c.append(
                "/* ------------------------------------------------------------------ settings, from the wiring plan of\n");
        c.append(" * ")
                .append(name.replace("*/", "* /").replaceAll("[^ -~]", "?"))
                .append(" */\n");
        define(c, "VENDOR", String.format("0x%04X", vendor));
        define(c, "PRODUCT", String.format("0x%04X", product));
        define(c, "DRIVEN", driven.size());
        define(c, "SENSED", sensed.size());
        define(c, "DIRECT", direct.size());
        define(c, "SHIFTED", REGISTER_INPUTS * shiftData.size());
        define(c, "ACTIVE_HIGH", activeHigh ? "1       /* sensed pins need pull-down resistors of their own */" : "0");
        define(c, "DIRECT_HIGH", directHigh ? "1       /* direct pins need pull-down resistors of their own */" : "0");
        define(c, "IDLE_PULLED", idlePulled ? 1 : 0);
        define(c, "DEBOUNCE_MS", debounceMs);
        define(c, "SETTLE_US", settleMicros);
        define(c, "PULSE_MS", pulseMs);
        define(c, "BUTTONS", buttons());
        define(c, "HATS", hats);
        define(c, "ENCODERS", pulses.size());
        define(c, "AXES", axes.size());
        define(c, "SERIAL_INDEX", serial.isEmpty() ? 0 : 2);
        array(c, "driven", driven.stream().map(FirmwareSettings::pin).toList());
        array(c, "sensed", sensed.stream().map(FirmwareSettings::pin).toList());
        array(c, "direct", direct.stream().map(FirmwareSettings::pin).toList());
        if (!shiftData.isEmpty()) {
            define(c, "SHIFT_CLOCK", pin(shiftClock));
            define(c, "SHIFT_LOAD", pin(shiftLoad));
            array(c, "shift_data", shiftData.stream().map(FirmwareSettings::pin).toList());
        }
        array(c, "meaning", meaning.stream().map(FirmwareSettings::means).toList());
        if (!pulses.isEmpty()) {
            c.append("static const uint8_t pulse[][2] PROGMEM = {")
                    .append(pulses.stream()
                            .map(p -> "{" + p.get(0) + ", " + p.get(1) + "}")
                            .collect(Collectors.joining(", ")))
                    .append("};\n");
        }
        array(c, "axis_channel", channels.stream().map(String::valueOf).toList());
        array(c, "report_descriptor", bytes(descriptor()));
        array(c, "name_string", string(name));
        if (!serial.isEmpty()) {
            array(c, "serial_string", string(serial));
        }
        return c.toString().stripTrailing();
    }

    private static void define(StringBuilder c, String name, Object value) {
        c.append("#define ").append(name).append(' ').append(value).append('\n');
    }

    private static void array(StringBuilder c, String name, List<String> values) {
        if (values.isEmpty()) {
            return;
        }
        c.append("static const uint8_t ").append(name).append("[] PROGMEM = {");
        for (int i = 0; i < values.size(); i++) {
            c.append(i == 0 ? "" : ",").append(i % 12 == 0 ? "\n    " : " ").append(values.get(i));
        }
        c.append("};\n");
    }

    private static String pin(int index) {
        return "PIN('" + (char) ('B' + index / 8) + "', " + index % 8 + ")";
    }

    private static String means(int code) {
        if (code == NOTHING) {
            return "NOTHING";
        }
        return code >= WAY
                ? "WAY + " + (code - WAY)
                : code >= PHASE ? "PHASE + " + (code - PHASE) : String.valueOf(code);
    }

    private static List<String> bytes(byte[] bytes) {
        return IntStream.range(0, bytes.length)
                .mapToObj(i -> String.format("0x%02X", bytes[i] & 255))
                .toList();
    }

    private static List<String> string(String text) {
        String kept = text.substring(0, Math.min(text.length(), MOST_CHARACTERS));
        byte[] characters = kept.getBytes(StandardCharsets.UTF_16LE);
        byte[] descriptor = new byte[2 + characters.length];
        descriptor[0] = (byte) descriptor.length;
        descriptor[1] = 3;
        System.arraycopy(characters, 0, descriptor, 2, characters.length);
        return bytes(descriptor);
    }
}
