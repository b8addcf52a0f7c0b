package ringout.plan;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringout.hid.AxisUsage;
import ringout.hid.Direction;
import ringout.hid.Input;

/** Makes controls with ids, labels and inputs that nothing else has, each the lowest that is free. */
final class Numbering {
    private static final int DETENTS = 20;

    private final int positions;
    private final int first;
    private final List<String> analogPins;
    private final Set<String> ids = new HashSet<>();
    private final Set<String> labels = new HashSet<>();
    private final Set<Input> inputs = new TreeSet<>();
    private final Set<Integer> hats = new HashSet<>();

    /**
     * @param taken      controls whose ids, labels and inputs are not free
     * @param positions  of a rotary selector
     * @param analogPins that are free, in the order to use them
     * @param first      the lowest button to give out
     */
    Numbering(List<Control> taken, int positions, List<String> analogPins, int first) {
        this.positions = positions;
        this.first = first;
        for (Control control : taken) {
            ids.add(control.id());
            labels.add(control.label());
            control.actions().forEach(a -> a.input().ifPresent(inputs::add));
        }
        inputs.forEach(i -> {
            if (i instanceof Input.Hat hat && hat.collection() == 1) {
                hats.add(hat.number());
            }
        });
        this.analogPins = new ArrayList<>(analogPins);
    }

    /** A control that is not wired and has no place yet. */
    Control control(NewBox.Part part) {
        int number = 1;
        while (labels.contains(part.label() + " " + number) || ids.contains(id(part.label() + " " + number))) {
            number++;
        }
        String label = part.label() + " " + number;
        labels.add(label);
        ids.add(id(label));
        return control(part, id(label), label, part.mount(), List.of());
    }

    /** The id that a label suggests. */
    static String id(String label) {
        String id = label.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-").replaceAll("^-+|-+$", "");
        return id.isEmpty() ? "control" : id;
    }

    /** @param kept contacts whose wiring and input to take over, in order, as far as they fit */
    Control control(NewBox.Part part, String id, String label, Mount mount, List<Contact> kept) {
        List<Contact> left = new ArrayList<>(kept);
        return switch (part) {
            case PUSH -> new Control.Push(id, label, mount, pressed(id, id, left));
            case TOGGLE -> new Control.Toggle(id, label, mount, List.of(pressed(id, id, left)));
            case TOGGLE_TWO_WAY ->
                new Control.Toggle(
                        id, label, mount, List.of(pressed(id, id + ".up", left), pressed(id, id + ".down", left)));
            case SELECTOR -> {
                List<Contact> contacts = new ArrayList<>();
                for (int i = 1; i <= positions; i++) {
                    contacts.add(pressed(id, id + "." + i, left));
                }
                yield new Control.Selector(id, label, mount, contacts);
            }
            case ENCODER -> {
                // A phase has no input of its own: the knob's two directions take over those of the contacts.
                Contact a = pressed(id, id + ".a", left);
                Contact b = pressed(id, id + ".b", left);
                yield new Control.Encoder(
                        id,
                        label,
                        mount,
                        phase(a),
                        phase(b),
                        a.input().orElseThrow(),
                        b.input().orElseThrow(),
                        DETENTS);
            }
            case HAT4, HAT5 -> hat(id, label, mount, part == NewBox.Part.HAT5, left);
            case AXIS -> axis(id, label, mount);
        };
    }

    private static Contact phase(Contact c) {
        return new Contact(c.id(), c.control(), c.wiring(), c.diode(), Optional.empty());
    }

    private Control hat(String id, String label, Mount mount, boolean pushable, List<Contact> left) {
        boolean hatBefore = left.stream().anyMatch(c -> c.input().orElse(null) instanceof Input.Hat);
        int number = left.stream()
                .flatMap(c -> c.input().stream())
                .filter(Input.Hat.class::isInstance)
                .mapToInt(i -> ((Input.Hat) i).number())
                .findFirst()
                .orElseGet(this::freeHat);
        hats.add(number);
        Map<Direction, Contact> ways = new EnumMap<>(Direction.class);
        for (Direction way : Direction.values()) {
            Optional<Contact> old = hatBefore
                    ? left.stream()
                            .filter(c -> c.input().equals(Optional.of(new Input.Hat(number, way))))
                            .findFirst()
                    : left.stream().findFirst();
            old.ifPresent(left::remove);
            ways.put(way, contact(id, id + "." + way.word(), old, Optional.of(new Input.Hat(number, way))));
        }
        return new Control.Hat(
                id, label, mount, ways, pushable ? Optional.of(pressed(id, id + ".push", left)) : Optional.empty());
    }

    private int freeHat() {
        int number = 1;
        while (hats.contains(number)) {
            number++;
        }
        return number;
    }

    private Control axis(String id, String label, Mount mount) {
        AxisUsage[] usages = AxisUsage.values();
        int i = 0;
        while (inputs.contains(axis(usages, i))) {
            i++;
        }
        inputs.add(axis(usages, i));
        Optional<String> pin = analogPins.isEmpty() ? Optional.empty() : Optional.of(analogPins.remove(0));
        return new Control.Axis(id, label, mount, axis(usages, i), pin, Optional.empty(), Optional.empty());
    }

    private static Input.Axis axis(AxisUsage[] usages, int i) {
        return new Input.Axis(usages[i % usages.length], 1 + i / usages.length, 1);
    }

    private Contact pressed(String control, String id, List<Contact> left) {
        Optional<Contact> old = left.stream().findFirst();
        old.ifPresent(left::remove);
        Optional<Input> button = old.flatMap(Contact::input).filter(Input.Button.class::isInstance);
        return contact(control, id, old, Optional.of(button.orElseGet(this::freeButton)));
    }

    private static Contact contact(String control, String id, Optional<Contact> old, Optional<Input> input) {
        return new Contact(
                id,
                control,
                old.map(Contact::wiring).orElse(new Wiring.Unknown()),
                old.map(Contact::diode).orElse(Contact.Diode.NONE),
                input);
    }

    private Input freeButton() {
        int number = first;
        while (inputs.contains(new Input.Button(number))) {
            number++;
        }
        inputs.add(new Input.Button(number));
        return new Input.Button(number);
    }
}
