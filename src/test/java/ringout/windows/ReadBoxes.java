package ringout.windows;

import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import ringout.device.DeviceConnection;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.device.HidSource;

/**
 * Runs in a Java for Windows: reads every box there is through the ordinary source, and prints what came, for a test
 * outside to compare with what it sent. Told how many reports it sends to each.
 */
final class ReadBoxes {
    private static final int LOOKS = 60;
    private static final int QUIET_LOOKS = 6;
    private static final long PAUSE_MILLIS = 250;
    private static final int READ_MILLIS = 2000;

    private ReadBoxes() {}

    public static void main(String[] arguments) throws DeviceException, InterruptedException {
        int reports = Integer.parseInt(arguments[0]);
        HidSource source = new HidSource();
        for (DeviceInfo device : settled(source, Integer.parseInt(arguments[1]))) {
            try (DeviceConnection box = source.open(device)) {
                say("BOX", device.serial(), HexFormat.of().formatHex(box.descriptor()));
                byte[] buffer = new byte[16 * 1024];
                for (int i = 0; i < reports; i++) {
                    int length = box.read(buffer, READ_MILLIS);
                    if (length == 0) {
                        break;
                    }
                    say("REPORT", device.serial(), HexFormat.of().formatHex(Arrays.copyOf(buffer, length)));
                }
            } catch (DeviceException problem) {
                say("FAILED", device.serial(), problem.getMessage().replace('\n', ' '));
            }
            say("CLOSED", device.serial(), "");
        }
        say("END", "", "");
    }

    /** Plugging in takes a while: as many as there should be, or as many as have been there for a while. */
    private static List<DeviceInfo> settled(HidSource source, int most) throws DeviceException, InterruptedException {
        List<DeviceInfo> devices = source.list();
        for (int look = 0, quiet = 0; look < LOOKS && quiet < QUIET_LOOKS && devices.size() < most; look++) {
            Thread.sleep(PAUSE_MILLIS);
            List<DeviceInfo> now = source.list();
            quiet = now.size() == devices.size() && !now.isEmpty() ? quiet + 1 : 0;
            devices = now;
        }
        return devices;
    }

    private static void say(String what, String box, String more) {
        System.out.println(what + "\t" + box + "\t" + more);
        System.out.flush();
    }
}
