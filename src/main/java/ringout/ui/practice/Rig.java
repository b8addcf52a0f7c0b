package ringout.ui.practice;

import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Probe;

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

    public ProbeReading reads(Probe probe) {
        return source.probe(box, probe.pointA(), probe.pointB(), probe.mode(), probe.hold());
    }
}
