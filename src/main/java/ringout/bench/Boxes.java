package ringout.bench;

import java.util.List;
import ringout.device.DeviceCatalog;
import ringout.device.Time;
import ringout.journal.RecordingSource;

/** All boxes a person can name: those plugged in, simulated ones ({@code sim:…}) and recordings ({@code rec:FILE}). */
public final class Boxes {
    private Boxes() {}

    /**
     * A catalog of them, made anew: simulated boxes and recordings exist once per catalog.
     *
     * @param time of simulated boxes and recordings
     */
    public static DeviceCatalog catalog(Time time) {
        return new DeviceCatalog(List.of(DeviceCatalog.standard(time), new RecordingSource(time)));
    }
}
