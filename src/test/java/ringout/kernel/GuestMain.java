package ringout.kernel;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import ringout.device.HidSource;

/** What runs in the guests. Its output goes to the test outside; it needs a kernel with /dev/uhid and root. */
final class GuestMain {
    /** For the guest that reads boxes through evdev, which waits much; the other does all the rest. */
    static final String EVDEV = "evdev";

    private GuestMain() {}

    public static void main(String[] arguments) throws IOException {
        PrintStream out = new PrintStream(new FileOutputStream(FileDescriptor.out), true, StandardCharsets.UTF_8);
        Results results = new Results(out);
        HidSource source = new HidSource();
        if (List.of(arguments).contains(EVDEV)) {
            new EvdevChecks(source, results).run();
        } else {
            new DecodingChecks(source, results).run();
            new ListingChecks(source, results).run();
            new PadChecks(source, results).run();
            new UdevRuleChecks(results).run();
            new ReplugChecks(source, results).run();
            new CheckChecks(source, results).run();
        }
        results.end();
    }
}
