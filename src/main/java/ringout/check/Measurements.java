package ringout.check;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.signal.AxisMeter;
import ringout.signal.EncoderMeter;

/** What the answers of a check come to for encoders and axes; a pure function of them. */
final class Measurements {
    private Measurements() {}

    /** An encoder's pulses against the detents asked for; attempts that were asked again do not count. */
    static EncoderMeter.Summary turns(Control.Encoder encoder, List<Step> steps, List<Result> results) {
        EncoderMeter meter = new EncoderMeter(EncoderMeter.QUICK_NANOS);
        for (int i = 0; i < steps.size(); i++) {
            Step step = steps.get(i);
            if (!step.isTurn() || !step.actions().get(0).control().equals(encoder.id())) {
                continue;
            }
            if (results.get(i) instanceof Result.Repeated measured && step instanceof Step.Measure turn) {
                feed(meter, turn.action(), turn.times(), measured.last().pulses());
            } else if (results.get(i) instanceof Result.Worked worked
                    && !worked.last().pulses().isEmpty()) {
                feed(meter, step.actions().get(0), 1, worked.last().pulses());
            }
        }
        return meter.summary();
    }

    private static void feed(EncoderMeter meter, Action action, int detents, List<Result.Pulse> pulses) {
        meter.asked(action.isClockwise(), detents);
        pulses.forEach(pulse -> meter.pulse(pulse.nanos(), pulse.clockwise()));
        meter.settled();
    }

    /** What an axis did, at rest and swept; empty where it was neither, or has no position. */
    static Optional<AxisMeter.Summary> axis(Control.Axis axis, List<Step> steps, List<Result> results) {
        List<Map<Input, AxisMeter.Summary>> all = new ArrayList<>();
        for (int i = 0; i < steps.size(); i++) {
            boolean mine = steps.get(i).isSweep()
                    && steps.get(i).actions().get(0).control().equals(axis.id());
            if (results.get(i) instanceof Result.Left left) {
                all.add(left.axes());
            } else if (mine && results.get(i) instanceof Result.Worked worked) {
                all.add(worked.last().axes());
            } else if (mine && results.get(i) instanceof Result.Repeated measured) {
                all.add(measured.last().axes());
            }
        }
        return all.isEmpty()
                ? Optional.empty()
                : Optional.ofNullable(all.get(all.size() - 1).get(axis.input()));
    }
}
