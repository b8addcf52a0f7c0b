package ringout.journal;

import java.time.Instant;
import java.util.Optional;
import ringout.device.DeviceInfo;

/**
 * The first line of a recording.
 *
 * @param start      when it began, by the wall clock; all times after it count from here on a clock that never jumps
 * @param device     the box; its problem is what was lost by the way it was read, one line, empty where nothing was
 * @param descriptor its report descriptor
 * @param planHash   SHA-256 of the plan file, lower-case hex; empty where it was recorded without a plan
 * @param simulated  true where no real box was there
 */
public record RecordingHeader(
        Instant start, DeviceInfo device, byte[] descriptor, Optional<String> planHash, boolean simulated) {
    /** The newest version this program reads, and the one it writes. */
    public static final int VERSION = 1;

    public RecordingHeader {
        descriptor = descriptor.clone();
    }

    @Override
    public byte[] descriptor() {
        return descriptor.clone();
    }
}
