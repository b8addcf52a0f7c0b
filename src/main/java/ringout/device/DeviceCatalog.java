package ringout.device;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import ringout.words.Texts;

/**
 * Several sources behind one, in the order given, and the step from what a person typed to one box.
 *
 * <p>Where one source cannot list, the boxes of the others are still there; the failure is thrown only where there is
 * nothing else to show.
 */
public final class DeviceCatalog implements DeviceSource {
    private final List<DeviceSource> sources;
    private final Map<String, DeviceSource> byPath = new ConcurrentHashMap<>();

    public DeviceCatalog(List<DeviceSource> sources) {
        this.sources = List.copyOf(sources);
    }

    /** The boxes plugged into this computer. */
    public static DeviceCatalog standard() {
        return standard(Time.OURS);
    }

    /** @param time of simulated boxes */
    public static DeviceCatalog standard(Time time) {
        return new DeviceCatalog(List.of(new HidSource(), new SimulatedSource(time)));
    }

    @Override
    public List<DeviceInfo> list() throws DeviceException {
        return collect(DeviceSource::list);
    }

    @Override
    public List<DeviceInfo> find(String text) throws DeviceException {
        List<DeviceInfo> found = collect(source -> source.find(text));
        // Each source answers with its own best kind of match; over all, a path beats part of a name.
        List<DeviceInfo> best = DeviceNames.fitting(text, found);
        return best.isEmpty() ? found : best;
    }

    /**
     * The one box a person meant.
     *
     * @param text as {@link #find} takes it; blank takes the only box there is
     * @throws DeviceException {@code NOT_FOUND} or {@code AMBIGUOUS}, with the boxes to choose from in the message
     */
    public DeviceInfo choose(String text) throws DeviceException {
        List<DeviceInfo> fitting = text.isBlank() ? list() : find(text);
        if (fitting.size() == 1) {
            return fitting.get(0);
        }
        if (fitting.isEmpty()) {
            List<DeviceInfo> there = list();
            throw new DeviceException(
                    DeviceException.Reason.NOT_FOUND,
                    (text.isBlank() ? Texts.say("device.none") : Texts.say("device.none-called", text)) + " "
                            + (there.isEmpty()
                                    ? Texts.say("device.plug-in")
                                    : Texts.say("device.connected") + lines(there)));
        }
        throw new DeviceException(
                DeviceException.Reason.AMBIGUOUS,
                (text.isBlank() ? Texts.say("device.several") : Texts.say("device.several-fit", text))
                        + lines(fitting));
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
        DeviceSource source = byPath.get(device.path());
        return source == null ? Optional.empty() : source.descriptor(device);
    }

    @Override
    public DeviceConnection open(DeviceInfo device) throws DeviceException {
        DeviceSource source = byPath.get(device.path());
        if (source == null) {
            throw new DeviceException(
                    DeviceException.Reason.NOT_FOUND, Texts.say("device.not-listed", device.describe()));
        }
        return source.open(device);
    }

    /** What a source is asked for. */
    @FunctionalInterface
    private interface Question {
        List<DeviceInfo> ask(DeviceSource source) throws DeviceException;
    }

    private List<DeviceInfo> collect(Question question) throws DeviceException {
        List<DeviceInfo> all = new ArrayList<>();
        DeviceException failure = null;
        for (DeviceSource source : sources) {
            try {
                for (DeviceInfo device : question.ask(source)) {
                    byPath.put(device.path(), source);
                    all.add(device);
                }
            } catch (DeviceException problem) {
                failure = failure == null ? problem : failure;
            }
        }
        if (all.isEmpty() && failure != null) {
            throw failure;
        }
        return all;
    }

    private static String lines(List<DeviceInfo> devices) {
        StringBuilder text = new StringBuilder();
        devices.forEach(device -> text.append("\n  ")
                .append(device.path())
                .append("  ")
                .append(
                        device.serial().isEmpty()
                                ? device.name()
                                : Texts.say("device.with-serial", device.name(), device.serial())));
        return text.toString();
    }
}
