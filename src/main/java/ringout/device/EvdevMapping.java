package ringout.device;

import java.util.Arrays;
import java.util.BitSet;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.hid.InputField;
import ringout.hid.ReportDescriptor;
import ringout.hid.Usage;
import ringout.hid.UsagePage;

/**
 * Which key or axis Linux makes of each value of a box's reports: what it does to a box that no special driver claims.
 * Computed from the descriptor alone; {@link EvdevBox} compares it with what the kernel really made. Immutable.
 *
 * <p>Source: Linux 6.1, drivers/hid/hid-input.c: {@code hidinput_connect} (which reports share an input device),
 * {@code hidinput_configure_usage} (codes); drivers/hid/hid-generic.c (one input device per kind of application);
 * include/uapi/linux/input-event-codes.h (numbers). Usages that no controller has are not followed: keyboard keys,
 * media keys, digitizers.
 */
final class EvdevMapping {
    /** Event types. */
    static final int EV_KEY = 0x01;

    static final int EV_REL = 0x02;
    static final int EV_ABS = 0x03;

    /** Keys and axes there can be, with room for kernels that know more keys than 6.1 does. */
    static final int KEYS = 0x400;

    static final int AXES = 0x40;
    /** Last key that Linux 6.1 knows (KEY_MAX). */
    static final int LAST_KEY = 0x2ff;

    static final int ABS_HAT0X = 0x10;
    private static final int ABS_MISC = 0x28;
    private static final int REL_MISC = 0x09;
    private static final int BTN_MISC = 0x100;
    private static final int BTN_MOUSE = 0x110;
    static final int BTN_JOYSTICK = 0x120;
    private static final int BTN_DEAD = 0x12f;
    static final int BTN_GAMEPAD = 0x130;
    private static final int BTN_SELECT = 0x13a;
    private static final int BTN_START = 0x13b;
    static final int BTN_TRIGGER_HAPPY = 0x2c0;
    /** Buttons beyond so many of a joystick or game pad go to the trigger-happy codes. */
    static final int FEW_BUTTONS = 0x10;

    private final List<Device> devices;
    private final IdentityHashMap<InputField, Source[]> sources;

    /**
     * Where a value comes from.
     *
     * @param device place in {@link #devices()}
     * @param type {@link #EV_KEY}, {@link #EV_REL} or {@link #EV_ABS}
     * @param code of the key or axis; of a hat, its horizontal axis, the vertical one being the next
     */
    record Source(int device, int type, int code) {}

    /**
     * An input device.
     *
     * @param keys     it has; those beyond {@link #LAST_KEY} only in a kernel that knows so many
     * @param axes     absolute ones it has
     * @param controls true where any of that comes from a game-controller collection
     * @param complete false where it has usages that are not followed here, and so may have more keys and axes
     */
    record Device(BitSet keys, BitSet axes, boolean controls, boolean complete) {}

    private EvdevMapping(List<Device> devices, IdentityHashMap<InputField, Source[]> sources) {
        this.devices = List.copyOf(devices);
        this.sources = sources;
    }

    static EvdevMapping of(ReportDescriptor descriptor) {
        IdentityHashMap<InputField, Source[]> sources = new IdentityHashMap<>();
        Map<Usage, Growing> devices = new LinkedHashMap<>();
        for (ReportDescriptor.Report report : descriptor.reports()) {
            List<InputField> fields = descriptor.fields().stream()
                    .filter(f -> f.reportId() == report.id())
                    .toList();
            if (fields.isEmpty()) {
                continue;
            }
            // A report belongs to what its first field is in; reports of one kind of application share a device.
            Usage kind = descriptor.applications().size() > 1
                    ? fields.get(0).application().usage()
                    : Usage.NONE;
            Growing device = devices.computeIfAbsent(kind, k -> new Growing(devices.size()));
            fields.forEach(field -> device.configure(descriptor, field, sources));
        }
        devices.values().forEach(device -> device.dropShared(sources));
        return new EvdevMapping(devices.values().stream().map(Growing::device).toList(), sources);
    }

    /** The input devices, also those without any key or axis, of which the kernel makes none. */
    List<Device> devices() {
        return devices;
    }

    /**
     * The key or axis of one value.
     *
     * @param field of the descriptor that was given
     * @param place of the value, or of what an array field's value selects
     * @return empty where it has none, or where another value has the same, so that nobody can tell which it was
     */
    Optional<Source> source(InputField field, int place) {
        Source[] all = sources.get(field);
        return all == null || place >= all.length ? Optional.empty() : Optional.ofNullable(all[place]);
    }

    /** Codes of the System Control usages 0x81 to 0x8F: input-event-codes.h, hidinput_configure_usage. */
    private static final int[] SYSTEM_KEYS = {
        0, 116, 142, 143, 0x1b6, 139, 148, 138, 174, 0x161, 106, 105, 103, 108, 0x164, 0x198
    };

    /** An input device while usages are given to it, in the order of the descriptor. */
    private static final class Growing {
        private final int number;
        private final BitSet keys = new BitSet();
        private final BitSet axes = new BitSet();
        private final BitSet wheels = new BitSet();
        /** Codes that more than one value has, by type. */
        private final BitSet sharedKeys = new BitSet();

        private final BitSet sharedAxes = new BitSet();
        private boolean controls;
        private boolean complete = true;

        Growing(int number) {
            this.number = number;
        }

        Device device() {
            return new Device(keys, axes, controls, complete);
        }

        void configure(ReportDescriptor descriptor, InputField field, IdentityHashMap<InputField, Source[]> sources) {
            if (field.kind() == InputField.Kind.CONSTANT || field.usages().isEmpty()) {
                return;
            }
            // More usages than values: the kernel gives codes to all of them.
            Source[] all = new Source[Math.max(field.usages().size(), field.count())];
            boolean dpad = false;
            for (int i = 0; i < all.length; i++) {
                Usage usage = field.usage(i);
                if (isDpad(usage)) {
                    // One axis for the whole field, and only its first direction reaches it: useless.
                    if (!dpad && absolute(ABS_HAT0X, false) != null) {
                        axes.set(ABS_HAT0X + 1);
                        sharedAxes.set(ABS_HAT0X);
                        dpad = true;
                    }
                } else {
                    all[i] = source(field, usage);
                }
            }
            sources.put(field, all);
            controls |= descriptor.isGameController(field.application())
                    && Arrays.stream(all).anyMatch(Objects::nonNull);
        }

        private static boolean isDpad(Usage usage) {
            return usage.page() == UsagePage.GENERIC_DESKTOP && usage.id() >= 0x90 && usage.id() <= 0x93;
        }

        private @Nullable Source source(InputField field, Usage usage) {
            return switch (usage.page()) {
                case UsagePage.BUTTON -> key(buttonCode(field, usage), false);
                case UsagePage.SIMULATION ->
                    switch (usage.id()) {
                        case 0xBA -> absolute(0x07, false); // ABS_RUDDER
                        case 0xBB -> absolute(0x06, false); // ABS_THROTTLE
                        case 0xC4 -> absolute(0x09, false); // ABS_GAS
                        case 0xC5 -> absolute(0x0a, false); // ABS_BRAKE
                        case 0xC8 -> absolute(0x08, false); // ABS_WHEEL
                        default -> null;
                    };
                case UsagePage.GENERIC_DESKTOP -> desktop(field, usage.id());
                // Undefined, vendors' own.
                case 0x00, 0xFF00, 0x00FF, 0xFFBC, 0xFF09, 0xFF43, UsagePage.LED -> null;
                // Physical interface devices: force feedback.
                case 0x0F -> usage.id() == 0xA4 ? key(BTN_DEAD, true) : null;
                // Device controls, keyboard, telephony, consumer, digitizer, battery, vendors with keys of their own.
                case 0x06, UsagePage.KEYBOARD, 0x0B, UsagePage.CONSUMER, 0x0D, 0x85, 0xFF7F, 0xFF01 -> unfollowed();
                default -> unknown(field);
            };
        }

        private static int buttonCode(InputField field, Usage usage) {
            int index = usage.id() - 1 & 0xFFFF;
            Usage application = field.application().usage();
            if (application.page() == UsagePage.GENERIC_DESKTOP) {
                switch (application.id()) {
                    case 0x01, 0x02 -> {
                        return BTN_MOUSE + index;
                    }
                    case 0x04 -> {
                        return index < FEW_BUTTONS ? BTN_JOYSTICK + index : BTN_TRIGGER_HAPPY + index - FEW_BUTTONS;
                    }
                    case 0x05 -> {
                        return index < FEW_BUTTONS ? BTN_GAMEPAD + index : BTN_TRIGGER_HAPPY + index - FEW_BUTTONS;
                    }
                    default -> {}
                }
            }
            int part = field.part().page() == UsagePage.GENERIC_DESKTOP
                    ? field.part().id()
                    : 0;
            return index
                    + switch (part) {
                        case 0x01, 0x02 -> BTN_MOUSE;
                        case 0x04 -> BTN_JOYSTICK;
                        case 0x05 -> BTN_GAMEPAD;
                        default -> BTN_MISC;
                    };
        }

        private @Nullable Source desktop(InputField field, int id) {
            if ((id & 0xf0) == 0x80) {
                return SYSTEM_KEYS[id & 0xf] == 0 ? unknown(field) : key(SYSTEM_KEYS[id & 0xf], true);
            }
            if ((id & 0xf0) == 0xa0 || (id & 0xf0) == 0xb0) {
                return unfollowed(); // device and display controls
            }
            return switch (id) {
                // X to Rz may come again: the kernel lets all of them have the same axis.
                case 0x30, 0x31, 0x32, 0x33, 0x34, 0x35 ->
                    field.relative() ? relative(id & 0xf) : absolute(id & 0xf, true);
                case 0x36, 0x37 -> field.relative() ? relative(id & 0xf) : absolute(id & 0xf, false);
                case 0x38 -> field.relative() ? null : absolute(id & 0xf, false); // a mouse wheel is scaled on its way
                case 0x39 -> hat(field);
                case 0x3D -> key(BTN_START, true);
                case 0x3E -> key(BTN_SELECT, true);
                default -> unknown(field);
            };
        }

        private @Nullable Source hat(InputField field) {
            Source hat = absolute(ABS_HAT0X, false);
            if (hat != null && field.logical().size() > 1) {
                axes.set(ABS_HAT0X + 1);
            }
            return hat;
        }

        private @Nullable Source unfollowed() {
            complete = false;
            return null;
        }

        private @Nullable Source unknown(InputField field) {
            return field.bitSize() == 1
                    ? key(BTN_MISC, false)
                    : field.relative() ? relative(REL_MISC) : absolute(ABS_MISC, false);
        }

        /** @param again true where the kernel gives the code even if another value has it */
        private @Nullable Source key(int code, boolean again) {
            return code >= KEYS ? null : take(keys, sharedKeys, EV_KEY, code, again);
        }

        private @Nullable Source absolute(int code, boolean again) {
            return take(axes, sharedAxes, EV_ABS, code, again);
        }

        private @Nullable Source relative(int code) {
            return take(wheels, new BitSet(), EV_REL, code, false);
        }

        private @Nullable Source take(BitSet taken, BitSet shared, int type, int code, boolean again) {
            if (taken.get(code)) {
                if (!again) {
                    return null;
                }
                shared.set(code);
            }
            taken.set(code);
            return new Source(number, type, code);
        }

        void dropShared(IdentityHashMap<InputField, Source[]> sources) {
            for (Source[] all : sources.values()) {
                for (int i = 0; i < all.length; i++) {
                    Source source = all[i];
                    if (source != null
                            && source.device() == number
                            && (source.type() == EV_KEY && sharedKeys.get(source.code())
                                    || source.type() == EV_ABS && sharedAxes.get(source.code()))) {
                        all[i] = null;
                    }
                }
            }
        }
    }
}
