package ringout.hid;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import ringout.hid.InputField.Application;
import ringout.hid.InputField.Kind;

/**
 * Which value of a descriptor is which input. Only fields in game-controller collections count; the collections that
 * bring inputs are numbered from 1 in descriptor order.
 *
 * <p>Buttons go by their number, everything else that is on or off by its usage. Where a usage comes again in one collection, as when a field has more values than
 * usages, each further value takes the next number that no usage of the collection claims: each value is a wire to
 * ring out. (The kernel drops such values unless told otherwise.) Hat switches and D-pads (HUT, Generic Desktop page,
 * 0x90 to 0x93) are numbered together in descriptor order; axes of one usage likewise.
 *
 * @param layout   all inputs, sorted
 * @param bindings in descriptor order
 * @param unread   input values that are no inputs here, by usage, how many of each, in descriptor order
 */
public record GameControls(InputLayout layout, List<Binding> bindings, Map<Usage, Integer> unread) {
    /** Collections, hats and axes of one usage that {@link Input} can number; any more are no inputs. */
    private static final int MOST = 255;

    private static final int MOST_BUTTONS = 65535;
    /** Usages that are no buttons and that one array field may select; of more, none are inputs. */
    private static final int MOST_SELECTED = 256;

    /**
     * A field with what its values are.
     *
     * @param field  in a game-controller collection, no padding
     * @param inputs by value, or by what an array value selects; null where that is no input, a hat's up for a hat
     */
    public record Binding(InputField field, List<@Nullable Input> inputs) {}

    /** The inputs of a descriptor; none where it has no game-controller collection. */
    public static GameControls of(ReportDescriptor descriptor) {
        List<Input> switches = new ArrayList<>();
        List<InputLayout.Axis> axes = new ArrayList<>();
        List<Binding> bindings = new ArrayList<>();
        Map<Usage, Integer> unread = new LinkedHashMap<>();
        int number = 1;
        for (Application application : descriptor.applications()) {
            List<InputField> fields = !descriptor.isGameController(application)
                    ? List.of()
                    : descriptor.fields().stream()
                            .filter(field -> field.application().equals(application) && field.kind() != Kind.CONSTANT)
                            .toList();
            Numbering numbering = new Numbering(number, fields);
            for (InputField field : fields) {
                Binding binding = new Binding(field, numbering.inputs(field));
                bindings.add(binding);
                for (int i = 0; i < binding.inputs().size(); i++) {
                    Usage usage = usage(field, i);
                    if (binding.inputs().get(i) == null && usage.id() != 0) {
                        unread.merge(usage, 1, Integer::sum);
                    }
                }
            }
            switches.addAll(numbering.switches);
            axes.addAll(numbering.axes);
            boolean empty = numbering.switches.isEmpty() && numbering.axes.isEmpty();
            if (!empty && ++number > MOST) {
                break;
            }
        }
        switches.sort(null);
        axes.sort(Comparator.comparing(InputLayout.Axis::input));
        return new GameControls(new InputLayout(switches, axes), bindings, Collections.unmodifiableMap(unread));
    }

    /**
     * True for what controls a game: Joystick, Game Pad and Multi-axis Controller (HUT, Generic Desktop page: 0x04, 0x05,
     * 0x08), the simulation devices (Simulation Controls page: 0x01 to 0x0C, and 0x20 to 0x25 for sticks and yokes) and
     * the controllers of the Game Controls page (0x01 to 0x03).
     */
    public static boolean isController(Usage usage) {
        int id = usage.id();
        return switch (usage.page()) {
            case UsagePage.GENERIC_DESKTOP -> id == 0x04 || id == 0x05 || id == 0x08;
            case UsagePage.SIMULATION -> id >= 0x01 && id <= 0x0C || id >= 0x20 && id <= 0x25;
            case UsagePage.GAME -> id >= 0x01 && id <= 0x03;
            default -> false;
        };
    }

    /** How many things the values of a field can be: one each, or all that an array value can select. */
    private static int places(InputField field) {
        return field.kind() == Kind.ARRAY ? field.selectable() : field.count();
    }

    private static Usage usage(InputField field, int place) {
        return field.kind() == Kind.ARRAY ? field.usages().get(place) : field.usage(place);
    }

    /** Numbers the inputs of one collection. */
    private static final class Numbering {
        final List<Input> switches = new ArrayList<>();
        final List<InputLayout.Axis> axes = new ArrayList<>();
        private final int collection;
        private final BitSet claimedButtons = new BitSet();
        private final BitSet takenButtons = new BitSet();
        private final Map<AxisUsage, Integer> axisCounts = new EnumMap<>(AxisUsage.class);
        private final Map<Usage, Integer> namedCounts = new HashMap<>();
        /** D-pads begun: the hat number of each, and how many of them have that direction. */
        private final List<Integer> dpads = new ArrayList<>();

        private final Map<Direction, Integer> dpadCounts = new EnumMap<>(Direction.class);
        private int hats;

        Numbering(int collection, List<InputField> fields) {
            this.collection = collection;
            for (InputField field : fields) {
                for (int i = 0; i < places(field); i++) {
                    Usage usage = GameControls.usage(field, i);
                    if (usage.page() == UsagePage.BUTTON) {
                        claimedButtons.set(usage.id());
                    }
                }
            }
        }

        List<@Nullable Input> inputs(InputField field) {
            List<@Nullable Input> inputs = new ArrayList<>();
            for (int i = 0; i < places(field); i++) {
                inputs.add(input(field, GameControls.usage(field, i)));
            }
            return inputs;
        }

        private @Nullable Input input(InputField field, Usage usage) {
            if (usage.page() == UsagePage.BUTTON) {
                return usage.id() == 0 ? null : button(usage.id());
            }
            Optional<Direction> dpad = dpadDirection(usage);
            if (dpad.isPresent()) {
                return dpad(dpad.get());
            }
            Optional<AxisUsage> axis = AxisUsage.of(usage.page(), usage.id());
            if (field.kind() == Kind.ARRAY) {
                return axis.isPresent() || usage.id() == 0 || places(field) > MOST_SELECTED ? null : named(usage);
            }
            if (usage.equals(Usage.HAT_SWITCH)) {
                return field.logical().size() > 1 ? hat() : null;
            }
            if (axis.isPresent()) {
                return axis(field, axis.get());
            }
            return usage.id() != 0 && field.bitSize() == 1 ? named(usage) : null;
        }

        private @Nullable Input named(Usage usage) {
            int number = namedCounts.merge(usage, 1, Integer::sum);
            return number > MOST ? null : add(new Input.Named(usage, number, collection));
        }

        private @Nullable Input button(int usage) {
            int number = usage;
            if (takenButtons.get(number)) {
                number = claimedButtons.nextClearBit(usage);
                if (number > MOST_BUTTONS) {
                    return null;
                }
                claimedButtons.set(number);
            }
            takenButtons.set(number);
            return add(new Input.Button(number, collection));
        }

        private @Nullable Input hat() {
            if (++hats > MOST) {
                return null;
            }
            for (Direction direction : Direction.values()) {
                add(new Input.Hat(hats, direction, collection));
            }
            return new Input.Hat(hats, Direction.UP, collection);
        }

        private @Nullable Input dpad(Direction direction) {
            int which = dpadCounts.merge(direction, 1, Integer::sum) - 1;
            if (which == dpads.size()) {
                dpads.add(++hats);
            }
            int hat = dpads.get(which);
            return hat > MOST ? null : add(new Input.Hat(hat, direction, collection));
        }

        private @Nullable Input axis(InputField field, AxisUsage usage) {
            int number = axisCounts.merge(usage, 1, Integer::sum);
            if (number > MOST) {
                return null;
            }
            Input.Axis axis = new Input.Axis(usage, number, collection);
            axes.add(new InputLayout.Axis(
                    axis, field.logical().minimum(), field.logical().maximum(), field.relative()));
            return axis;
        }

        private Input add(Input input) {
            switches.add(input);
            return input;
        }

        /** HUT, Generic Desktop page: D-pad Up, Down, Right and Left. */
        private static Optional<Direction> dpadDirection(Usage usage) {
            if (usage.page() != UsagePage.GENERIC_DESKTOP) {
                return Optional.empty();
            }
            return Optional.ofNullable(
                    switch (usage.id()) {
                        case 0x90 -> Direction.UP;
                        case 0x91 -> Direction.DOWN;
                        case 0x92 -> Direction.RIGHT;
                        case 0x93 -> Direction.LEFT;
                        default -> null;
                    });
        }
    }
}
