package ringout.ui;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.TimeUnit;

/** Asks the system whether it is set to dark. The toolkit can tell only from its next version on. */
final class SystemTheme {
    private SystemTheme() {}

    /** True for dark; empty where the system does not say. Takes up to two seconds: not for the application thread. */
    static Optional<Boolean> dark() {
        String os = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
        if (os.contains("win")) {
            return output(List.of(
                            "reg",
                            "query",
                            "HKCU\\Software\\Microsoft\\Windows\\CurrentVersion\\Themes\\Personalize",
                            "/v",
                            "AppsUseLightTheme"))
                    .map(text -> text.contains("0x0"));
        }
        if (os.contains("mac")) {
            // The key exists only while the system is dark; then the command succeeds.
            return Optional.of(output(List.of("defaults", "read", "-g", "AppleInterfaceStyle"))
                    .filter(t -> t.contains("Dark"))
                    .isPresent());
        }
        String gtk = System.getenv("GTK_THEME");
        if (gtk != null && !gtk.isBlank()) {
            return Optional.of(gtk.toLowerCase(Locale.ROOT).contains("dark"));
        }
        return output(List.of("gsettings", "get", "org.gnome.desktop.interface", "color-scheme"))
                .filter(text -> text.contains("prefer-"))
                .map(text -> text.contains("prefer-dark"));
    }

    private static Optional<String> output(List<String> command) {
        try {
            Process process =
                    new ProcessBuilder(command).redirectErrorStream(true).start();
            process.getOutputStream().close();
            if (!process.waitFor(2, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                return Optional.empty();
            }
            String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            return process.exitValue() == 0 ? Optional.of(text) : Optional.empty();
        } catch (IOException noSuchProgram) {
            return Optional.empty();
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return Optional.empty();
        }
    }
}
