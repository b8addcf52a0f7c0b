package ringout.device;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import ringout.hid.DescriptorException;
import ringout.hid.Input;
import ringout.hid.ReportDescriptor;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * The way around: a box as the kernel's event nodes present it, which desktop systems let whoever sits at the computer
 * read where they refuse hidraw. Nothing is opened to find it.
 *
 * @param bytes      the box's descriptor
 * @param descriptor the same, read
 * @param mapping    what the kernel makes of it
 * @param nodes      where it makes that, for each input device of the mapping that has inputs of a controller
 */
record EvdevBox(byte[] bytes, ReportDescriptor descriptor, EvdevMapping mapping, List<Found> nodes) {
    /** The only driver that leaves the mapping to the kernel's common code. */
    private static final String COMMON_DRIVER = "hid-generic";

    /**
     * An input device of the mapping.
     *
     * @param device its place there
     */
    record Found(int device, LinuxNode.EventNode node) {}

    /**
     * Finds the event nodes of a box, and makes sure of what their codes mean.
     *
     * @return empty where the kernel made none, or not those that follow from the descriptor: a driver of its own, a quirk
     *         or a remapped button may then have given the codes another meaning
     */
    static Optional<EvdevBox> of(LinuxNode box) {
        if (!Libc.isKnown() || !box.driver().equals(COMMON_DRIVER)) {
            return Optional.empty();
        }
        byte[] bytes = box.descriptor().orElse(new byte[0]);
        try {
            ReportDescriptor descriptor = ReportDescriptor.parse(bytes);
            EvdevMapping mapping = EvdevMapping.of(descriptor);
            return match(mapping, box.eventNodes()).map(nodes -> new EvdevBox(bytes, descriptor, mapping, nodes));
        } catch (DescriptorException malformed) {
            return Optional.empty();
        }
    }

    static Optional<List<Found>> match(EvdevMapping mapping, List<LinuxNode.EventNode> made) {
        List<Found> nodes = new ArrayList<>();
        List<LinuxNode.EventNode> left = new ArrayList<>(made);
        for (int device = 0; device < mapping.devices().size(); device++) {
            EvdevMapping.Device wanted = mapping.devices().get(device);
            if (wanted.controls()) {
                Optional<LinuxNode.EventNode> node =
                        left.stream().filter(one -> fits(wanted, one)).findFirst();
                if (node.isEmpty()) {
                    return Optional.empty();
                }
                left.remove(node.get());
                nodes.add(new Found(device, node.get()));
            }
        }
        return nodes.isEmpty() ? Optional.empty() : Optional.of(nodes);
    }

    private static boolean fits(EvdevMapping.Device wanted, LinuxNode.EventNode made) {
        BitSet keys = (BitSet) wanted.keys().clone();
        keys.clear(EvdevMapping.LAST_KEY + 1, EvdevMapping.KEYS);
        return within(keys, made.keys())
                && within(wanted.axes(), made.axes())
                && (!wanted.complete() || within(made.keys(), wanted.keys()) && within(made.axes(), wanted.axes()));
    }

    private static boolean within(BitSet some, BitSet all) {
        BitSet rest = (BitSet) some.clone();
        rest.andNot(all);
        return rest.isEmpty();
    }

    /** True where this user may read all of it. */
    boolean mayOpen() {
        return nodes.stream().allMatch(found -> found.node().mayOpen());
    }

    /** One line that says how the box is read and what is lost by that. */
    String loss() {
        EvdevReports reports = reports();
        List<Phrase> lost = new ArrayList<>(List.of(Phrase.of("evdev.raw"), Phrase.of("evdev.same")));
        if (reports.isSmoothed()) {
            lost.add(Phrase.of("evdev.smoothed"));
        }
        if (!reports.unseen().isEmpty()) {
            lost.add(names(reports.unseen()));
        }
        return Texts.say("evdev.loss", Phrase.and(lost));
    }

    /** Inputs as a person lists them: {@code button 81 to 128, hat 2, axis Clutch}. */
    static Phrase names(Collection<Input> inputs) {
        List<Phrase> names = new ArrayList<>();
        Input.Button first = null;
        Input.Button last = null;
        for (Input input : new TreeSet<>(inputs)) {
            Input.Button button = input instanceof Input.Button b ? b : null;
            if (first != null
                    && last != null
                    && (button == null || !button.equals(new Input.Button(last.number() + 1, last.collection())))) {
                names.add(range(first, last));
                first = null;
            }
            last = button;
            first = first == null ? button : first;
            if (input instanceof Input.Hat hat) {
                names.add(of(Phrase.of("panel.hat", Integer.toString(hat.number())), hat));
            } else if (button == null) {
                names.add(input.words());
            }
        }
        if (first != null && last != null) {
            names.add(range(first, last));
        }
        return Phrase.commas(names.stream().distinct().toList());
    }

    private static Phrase range(Input.Button first, Input.Button last) {
        return first.equals(last)
                ? first.words()
                : of(
                        Phrase.of("evdev.buttons", Integer.toString(first.number()), Integer.toString(last.number())),
                        last);
    }

    /** With the collection of an input, where that is not the first. */
    private static Phrase of(Phrase name, Input input) {
        return input.collection() == 1 ? name : Phrase.of("input.of", name, Integer.toString(input.collection()));
    }

    private EvdevReports reports() {
        List<BitSet> keys = new ArrayList<>();
        mapping.devices().forEach(device -> keys.add(new BitSet()));
        nodes.forEach(found -> keys.set(found.device(), found.node().keys()));
        return new EvdevReports(descriptor, mapping, keys);
    }

    /**
     * Opens it.
     *
     * @param info as listed
     * @throws DeviceException as {@link DeviceSource#open}
     */
    DeviceConnection open(DeviceInfo info) throws DeviceException {
        return EvdevConnection.open(info, bytes, reports(), nodes, true);
    }
}
