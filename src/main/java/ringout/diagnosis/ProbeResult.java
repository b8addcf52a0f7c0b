package ringout.diagnosis;

import java.util.List;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;

/**
 * What the meter showed.
 *
 * @param pointA  where the red probe was
 * @param pointB  where the black probe was
 * @param mode    what the meter was set to
 * @param hold    ids of the actions held meanwhile
 * @param reading what it showed; {@link ProbeReading#UNCERTAIN} says nothing
 */
public record ProbeResult(NodeName pointA, NodeName pointB, ProbeMode mode, List<String> hold, ProbeReading reading) {
    public ProbeResult {
        hold = List.copyOf(hold);
        if (reading != ProbeReading.UNCERTAIN && !mode.readings().contains(reading)) {
            throw new IllegalArgumentException("no meter shows " + reading + " when it is set to " + mode);
        }
    }

    /** The answer to a probe that was asked for. */
    public static ProbeResult of(Probe probe, ProbeReading reading) {
        return new ProbeResult(probe.pointA(), probe.pointB(), probe.mode(), probe.hold(), reading);
    }

    /** True where it is what that probe showed. */
    public boolean answers(Probe probe) {
        return pointA.equals(probe.pointA())
                && pointB.equals(probe.pointB())
                && mode == probe.mode()
                && hold.equals(probe.hold());
    }
}
