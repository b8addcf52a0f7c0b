package ringout.check;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import ringout.hid.Input;
import ringout.hid.InputLayout;
import ringout.plan.Action;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.signal.AxisMeter;
import ringout.signal.BoxTiming;
import ringout.signal.ContactTiming;
import ringout.signal.EncoderMeter;
import ringout.signal.PulseTiming;
import ringout.signal.ReportRate;
import ringout.signal.TimingLimits;
import ringout.signal.ToggleTiming;
import ringout.words.Phrase;

/**
 * Everything that was measured of a box.
 *
 * @param reports  how often it reports
 * @param limits   of all times here
 * @param contacts those of the plan that make one input each, in its order, then inputs of no control; without a plan all
 *                 that came on
 * @param toggles  switches that stay where they are put
 * @param encoders those that gave a pulse when asked to
 * @param axes     those that have a position
 */
public record Figures(
        ReportRate.Summary reports,
        TimingLimits limits,
        List<Contact> contacts,
        List<Toggle> toggles,
        List<Encoder> encoders,
        List<Axis> axes) {

    /**
     * One contact.
     *
     * @param action id of the action that works it; empty for an input of no control
     * @param named  in words
     */
    public record Contact(Optional<String> action, Phrase named, Input input, ContactTiming.Summary timing) {
        /** In words. */
        public String name() {
            return named.text();
        }
    }

    /** One switch that stays where it is put. */
    public record Toggle(String control, String name, ToggleTiming.Summary timing) {}

    /**
     * One encoder.
     *
     * @param clockwise     how long its pulses that way were; of none where it gave none
     * @param anticlockwise the same the other way
     */
    public record Encoder(
            String control,
            String name,
            EncoderMeter.Summary turned,
            PulseTiming.Summary clockwise,
            PulseTiming.Summary anticlockwise) {}

    /** One axis. */
    public record Axis(String control, String name, Input input, AxisMeter.Summary meter) {}

    public Figures {
        contacts = List.copyOf(contacts);
        toggles = List.copyOf(toggles);
        encoders = List.copyOf(encoders);
        axes = List.copyOf(axes);
    }

    /** What was measured without a plan: of every input that came on. */
    public static Figures of(ReportRate.Summary reports, BoxTiming timing) {
        List<Contact> contacts = new ArrayList<>();
        others(contacts, timing, List.of());
        return new Figures(
                reports,
                new TimingLimits(timing.intervals().resolution(), 0),
                contacts,
                List.of(),
                List.of(),
                List.of());
    }

    /** What was measured during a check. */
    public static Figures of(ReportRate.Summary reports, BoxTiming timing, Check check, ToggleMeters toggles) {
        List<Contact> contacts = new ArrayList<>();
        List<Input> planned = new ArrayList<>();
        List<Toggle> latching = new ArrayList<>();
        List<Encoder> encoders = new ArrayList<>();
        List<Axis> axes = new ArrayList<>();
        Asking words = new Asking(check.plan());
        InputLayout layout = timing.layout();
        for (Control control : check.plan().controls()) {
            for (Action action : control.actions()) {
                boolean contact = action.gesture() == Action.Gesture.PRESS || action.gesture() == Action.Gesture.LATCH;
                OptionalInt index = action.input().map(layout::indexOf).orElse(OptionalInt.empty());
                action.input().ifPresent(planned::add);
                if (contact && index.isPresent()) {
                    contacts.add(new Contact(
                            Optional.of(action.id()),
                            words.name(action),
                            action.input().get(),
                            timing.contact(index.getAsInt())));
                }
            }
            String name = control.label();
            if (control instanceof Control.Encoder encoder) {
                EncoderMeter.Summary turned = Measurements.turns(
                        encoder, check.list().steps(), check.list().results());
                if (turned.asked() > 0) {
                    encoders.add(new Encoder(
                            control.id(), name, turned, pulses(timing, encoder.cw()), pulses(timing, encoder.ccw())));
                }
            } else if (control instanceof Control.Axis axis) {
                Measurements.axis(axis, check.list().steps(), check.list().results())
                        .ifPresent(meter -> axes.add(new Axis(control.id(), name, axis.input(), meter)));
            } else if (control instanceof Control.Toggle) {
                latching.add(new Toggle(control.id(), name, Known.in(toggles.summaries(), control.id())));
            }
        }
        others(contacts, timing, planned);
        return new Figures(
                reports,
                new TimingLimits(
                        timing.intervals().resolution(), check.plan().scan().debounceNanos()),
                contacts,
                latching,
                encoders,
                axes);
    }

    private static PulseTiming.Summary pulses(BoxTiming timing, Input input) {
        OptionalInt index = timing.layout().indexOf(input);
        return index.isPresent() ? timing.pulses(index.getAsInt()) : new PulseTiming().summary();
    }

    private static void others(List<Contact> contacts, BoxTiming timing, List<Input> planned) {
        for (int i = 0; i < timing.layout().switches().size(); i++) {
            Input input = timing.layout().switches().get(i);
            if (!planned.contains(input) && timing.contact(i).press().edges() > 0) {
                contacts.add(new Contact(Optional.empty(), input.words(), input, timing.contact(i)));
            }
        }
    }
}
