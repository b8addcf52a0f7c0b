package ringout.solder;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.diagnosis.Continuity;
import ringout.plan.Line;
import ringout.plan.Plan;

/** At which joints a fault can be made and mended. */
final class SolderPlaces {
    private final Plan plan;
    private final List<LineJoints> lines;

    SolderPlaces(Plan plan, List<LineJoints> lines) {
        this.plan = plan;
        this.lines = lines;
    }

    /** The joints of a fault, those of the line that was measured first; none for what is no matter of soldering. */
    List<Joint> of(Fault fault, LineJoints measured) {
        Fault lasting = fault.lasting();
        Set<Joint> places = new LinkedHashSet<>();
        if (lasting.kind().seat() == FaultKind.Seat.AXIS) {
            Set<String> lugs = lugs(lasting);
            lines.forEach(line ->
                    line.joints().stream().filter(j -> lugs.contains(j.id())).forEach(places::add));
            return List.copyOf(places);
        }
        List<LineJoints> order = new ArrayList<>(List.of(measured));
        lines.stream().filter(line -> line != measured).forEach(order::add);
        for (LineJoints line : order) {
            boolean diode = lasting instanceof Fault.DiodeReversed
                    || lasting instanceof Fault.DiodeOpen
                    || lasting instanceof Fault.DiodeShort;
            for (Joint joint : line.joints()) {
                boolean at = joint.contacts().stream().anyMatch(contacts(lasting)::contains);
                if (at && (!diode || joint.kind() == Joint.Kind.DIODE)) {
                    places.add(joint);
                }
            }
        }
        if (lasting.contacts().isEmpty()) {
            List<Joint> of = order.stream()
                    .filter(line -> lasting.lines().contains(line.name()))
                    .flatMap(line -> line.joints().stream())
                    .toList();
            List<Joint> pins =
                    of.stream().filter(j -> j.kind() == Joint.Kind.PIN).toList();
            // Where two wires touch: at their pins if those lie side by side, else where both go to one control.
            if (lasting.lines().size() == 1 || sideBySide(lasting.lines())) {
                places.addAll(pins);
            }
            if (lasting.lines().size() > 1) {
                of.stream()
                        .filter(joint -> joint.control()
                                .filter(id -> lasting.lines().stream().allMatch(name -> serves(name, id)))
                                .isPresent())
                        .forEach(places::add);
            }
            places.addAll(pins);
        }
        return List.copyOf(places);
    }

    private boolean sideBySide(List<String> two) {
        List<String> pins = two.stream()
                .flatMap(name -> plan.line(name).map(Line::pin).stream())
                .toList();
        return pins.size() == 2 && Continuity.sideBySide(pins.get(0), pins.get(1));
    }

    private static Set<String> lugs(Fault fault) {
        if (fault instanceof Fault.AxisOpen open) {
            return Set.of("lug:" + open.axis() + ":" + open.wire().word());
        } else if (fault instanceof Fault.AxisExchanged exchanged) {
            Set<String> lugs = new LinkedHashSet<>();
            for (Fault.AxisOpen.Wire wire : Fault.AxisOpen.Wire.values()) {
                lugs.add("lug:" + exchanged.axis() + ":" + wire.word());
            }
            return lugs;
        } else if (fault instanceof Fault.AxesExchanged pair) {
            return Set.of("lug:" + pair.first() + ":wiper", "lug:" + pair.second() + ":wiper");
        }
        return Set.of();
    }

    private static List<String> contacts(Fault fault) {
        return fault instanceof Fault.LineBroken broken ? List.of(broken.after()) : fault.contacts();
    }

    private boolean serves(String line, String control) {
        return lines.stream()
                .filter(l -> l.name().equals(line))
                .flatMap(l -> l.joints().stream())
                .anyMatch(j -> j.control().filter(control::equals).isPresent());
    }

    /** The joint under the red probe, else the pin of that line. */
    Joint first(Soldering.Wrong wrong) {
        List<Joint> joints = wrong.line().joints();
        Joint pin = joints.get(joints.size() - 1);
        NodeName red = wrong.step().red();
        if (red instanceof NodeName.AxisLug lug) {
            return joints.stream()
                    .filter(j -> j.control().filter(lug.axis()::equals).isPresent())
                    .findFirst()
                    .orElse(pin);
        }
        String contact = red instanceof NodeName.Leg leg
                ? leg.contact()
                : red instanceof NodeName.Joint joint ? joint.contact() : "";
        String control = plan.contact(contact).map(c -> c.control()).orElse("");
        return joints.stream()
                .filter(j -> j.contacts().contains(contact))
                .findFirst()
                .or(() -> joints.stream()
                        .filter(j -> j.control().filter(control::equals).isPresent())
                        .findFirst())
                .orElse(pin);
    }
}
