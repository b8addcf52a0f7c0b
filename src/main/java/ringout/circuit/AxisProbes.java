package ringout.circuit;

import java.util.Collection;
import org.jspecify.annotations.Nullable;

/**
 * A multimeter at the wires of axes, on the unplugged box, with the control in the middle of its travel: its track is then
 * far from a beep between any two lugs. Not to be instantiated.
 */
public final class AxisProbes {
    private AxisProbes() {}

    /**
     * What the meter shows between a pad or a rail of the board and a lug.
     *
     * @param faults none of them intermittent
     */
    public static ProbeReading reads(Collection<Fault> faults, NodeName red, NodeName black, ProbeMode mode) {
        Fault.AxisOpen.Wire wire = wire(red) == null ? wire(black) : wire(red);
        NodeName lug = red instanceof NodeName.AxisLug ? red : black;
        if (wire == null || !(lug instanceof NodeName.AxisLug at)) {
            return ProbeReading.UNCERTAIN;
        }
        String planned = axis(red) == null ? axis(black) : axis(red);
        String pad = planned == null ? null : onPinOf(faults, planned);
        boolean joined =
                (pad == null || pad.equals(at.axis())) && new AxisWiring(at.axis(), faults).joins(wire, at.wire());
        return joined ? ProbeReading.BEEP : mode == ProbeMode.CONTINUITY ? ProbeReading.OPEN : ProbeReading.UNCERTAIN;
    }

    /** The axis whose wiper is on the pin of that one. */
    private static String onPinOf(Collection<Fault> faults, String axis) {
        for (Fault fault : faults) {
            if (fault instanceof Fault.AxesExchanged pair) {
                if (pair.first().equals(axis)) {
                    return pair.second();
                } else if (pair.second().equals(axis)) {
                    return pair.first();
                }
            }
        }
        return axis;
    }

    private static @Nullable String axis(NodeName node) {
        return node instanceof NodeName.AxisPad pad ? pad.axis() : null;
    }

    /** The wire that begins there on the board. */
    private static Fault.AxisOpen.@Nullable Wire wire(NodeName node) {
        return node instanceof NodeName.AxisPad
                ? Fault.AxisOpen.Wire.WIPER
                : node instanceof NodeName.Rail rail
                        ? rail.name().equals(Fault.GROUND) ? Fault.AxisOpen.Wire.GROUND : Fault.AxisOpen.Wire.SUPPLY
                        : null;
    }
}
