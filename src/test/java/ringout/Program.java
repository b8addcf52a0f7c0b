package ringout;

import java.io.IOException;

/** Programs of this computer that some tests compare with. */
public final class Program {
    private Program() {}

    /** True where a program can be started that answers {@code --version}. */
    public static boolean installed(String name) {
        try {
            return new ProcessBuilder(name, "--version")
                            .redirectErrorStream(true)
                            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                            .start()
                            .waitFor()
                    == 0;
        } catch (IOException missing) {
            return false;
        } catch (InterruptedException interrupted) {
            Thread.currentThread().interrupt();
            return false;
        }
    }
}
