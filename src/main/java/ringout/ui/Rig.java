package ringout.ui;

import ringout.circuit.ProbeReading;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.Probe;

/** What a builder does with a real box on the bench, for a simulated one: pulls its plug, and measures it. */
final class Rig {
    private final SimulatedSource source;
    private final DeviceInfo box;

    Rig(SimulatedSource source, DeviceInfo box) {
        this.source = source;
        this.box = box;
    }

    void plug(boolean in) {
        source.plug(box, in);
    }

    ProbeReading reads(Probe probe) {
        return source.probe(box, probe.pointA(), probe.pointB(), probe.mode(), probe.hold());
    }
}
