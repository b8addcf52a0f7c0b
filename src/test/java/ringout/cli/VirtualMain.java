package ringout.cli;

import java.util.Optional;
import ringout.device.VirtualTime;

/** The command line as a process whose simulated boxes and recordings do not wait. */
final class VirtualMain {
    private VirtualMain() {}

    public static void main(String[] arguments) {
        System.exit(Ringout.run(window -> Optional.of("no window in this test"), new VirtualTime(), arguments));
    }
}
