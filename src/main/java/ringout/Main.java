package ringout;

import ringout.cli.Ringout;

/** Where {@code java -jar ringout.jar} starts. */
public final class Main {
    private Main() {
    }

    public static void main(String[] arguments) {
        System.exit(Ringout.run(Window::open, arguments));
    }
}
