package ringout.ui.practice;

import java.util.List;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Probe;
import ringout.plan.Plan;

/** What a builder does with a real box on the bench, for a simulated one: pulls its plug, and measures it. */
public final class Rig {
    private final SimulatedSource source;
    private final DeviceInfo box;

    Rig(SimulatedSource source, DeviceInfo box) {
        this.source = source;
        this.box = box;
    }

    public void plug(boolean in) {
        source.plug(box, in);
    }

    /**
     * Mends what is wrong at a place of the wiring, as an iron, a new part or another setting of the firmware would.
     *
     * @param place a contact's id, or a line's name for its joint at the board
     * @return what was wrong there; empty where nothing was
     */
    public List<Fault> mend(Plan plan, String place) {
        return source.mend(box, fault -> Mending.at(plan, fault, place));
    }

    public ProbeReading reads(Probe probe) {
        return source.probe(box, probe.pointA(), probe.pointB(), probe.mode(), probe.hold());
    }
}
