package ringout.ui;

import java.util.List;
import java.util.Optional;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;
import ringout.device.SimulatedConnection;
import ringout.device.SimulatedSource;
import ringout.device.Time;

/** Simulated boxes that nothing in the program takes for simulated, because checks of simulated ones are not kept. */
final class UnmarkedBoxes implements DeviceSource {
    private final SimulatedSource boxes;
    private volatile Optional<SimulatedConnection> opened = Optional.empty();

    UnmarkedBoxes(SimulatedSource boxes) {
        this.boxes = boxes;
    }

    /** The box opened last, with its scripted builder. */
    Optional<SimulatedConnection> opened() {
        return opened;
    }

    @Override
    public List<DeviceInfo> list() {
        return boxes.list();
    }

    @Override
    public Optional<byte[]> descriptor(DeviceInfo device) throws DeviceException {
        return boxes.descriptor(device);
    }

    @Override
    public DeviceConnection open(DeviceInfo device) throws DeviceException {
        SimulatedConnection box = boxes.open(device);
        opened = Optional.of(box);
        return new DeviceConnection() {
            @Override
            public DeviceInfo info() {
                return box.info();
            }

            @Override
            public byte[] descriptor() {
                return box.descriptor();
            }

            @Override
            public int read(byte[] buffer, int timeoutMillis) throws DeviceException {
                return box.read(buffer, timeoutMillis);
            }

            @Override
            public long now() {
                return box.now();
            }

            @Override
            public Time time() {
                return box.time();
            }

            @Override
            public void followed() {
                box.followed();
            }

            @Override
            public void unfollowed() {
                box.unfollowed();
            }

            @Override
            public long nanosOfLastRead() {
                return box.nanosOfLastRead();
            }

            @Override
            public void close() {
                box.close();
            }
        };
    }
}
