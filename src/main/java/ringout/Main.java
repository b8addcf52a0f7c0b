package ringout;

import ringout.cli.Ringout;
import ringout.device.Time;

/** Where {@code java -jar ringout.jar} starts. */
public final class Main {
    private Main() {}

    public static void main(String[] arguments) {
        // AWT only helps to write PDF; it shall not look for a display, nor for a toolkit beside JavaFX's.
        System.setProperty("java.awt.headless", "true");
        System.exit(Ringout.run(Window::open, Time.OURS, arguments));
    }
}
