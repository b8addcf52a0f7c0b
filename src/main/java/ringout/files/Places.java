package ringout.files;

import java.nio.charset.StandardCharsets;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;

/**
 * The folders of one user: on Linux and other systems those of the XDG Base Directory Specification (version 0.8), whose
 * variables count only where they hold absolute paths; {@code ~/Library} on macOS; on Windows
 * {@code %APPDATA%} for settings, which may follow a person from computer to computer, and {@code %LOCALAPPDATA%} for what
 * is large or of this computer (Known Folders FOLDERID_RoamingAppData and FOLDERID_LocalAppData). None need exist yet. The home folder is {@code $HOME}, as POSIX has it (Base
 * Definitions, 8.3), else what the system's list of users says.
 *
 * @param config for settings
 * @param data   for recordings and kept checks
 * @param state  for logs
 */
public record Places(Path config, Path data, Path state) {
    /** Set to a folder, this takes the place of {@link #data}. */
    public static final String PROPERTY = "ringout.data";

    /** Bytes of a file's name on every common file system: NAME_MAX of Linux, and no more on the others. */
    private static final int LONGEST_NAME = 255;

    /** The places of whoever runs this program. */
    public static Places ofUser() {
        Map<String, String> environment = System.getenv();
        return of(
                System.getProperty("os.name", ""),
                System.getProperty("user.home", "."),
                environment::get,
                System.getProperty(PROPERTY, ""));
    }

    /** @param data what takes the place of the data folder; blank for none */
    static Places of(String os, String userHome, UnaryOperator<String> environment, String data) {
        Places places = of(os.toLowerCase(Locale.ROOT), userHome, environment);
        return data.isBlank() ? places : new Places(places.config, Path.of(data), places.state);
    }

    private static Places of(String os, String userHome, UnaryOperator<String> environment) {
        if (os.contains("win")) {
            Path roaming = absolute(environment.apply("APPDATA"))
                    .orElse(Path.of(userHome, "AppData", "Roaming"))
                    .resolve("Ringout");
            Path local = absolute(environment.apply("LOCALAPPDATA"))
                    .orElse(Path.of(userHome, "AppData", "Local"))
                    .resolve("Ringout");
            return new Places(roaming, local, local);
        }
        Path home = absolute(environment.apply("HOME")).orElse(Path.of(userHome));
        if (os.contains("mac")) {
            Path support =
                    home.resolve("Library").resolve("Application Support").resolve("Ringout");
            return new Places(
                    support, support, home.resolve("Library").resolve("Logs").resolve("Ringout"));
        }
        return new Places(
                xdg(environment, "XDG_CONFIG_HOME", home.resolve(".config")),
                xdg(environment, "XDG_DATA_HOME", home.resolve(".local").resolve("share")),
                xdg(environment, "XDG_STATE_HOME", home.resolve(".local").resolve("state")));
    }

    /** "All paths set in these environment variables must be absolute": a relative one is as good as none. */
    private static Path xdg(UnaryOperator<String> environment, String variable, Path otherwise) {
        return absolute(environment.apply(variable)).orElse(otherwise).resolve("ringout");
    }

    private static Optional<Path> absolute(String text) {
        try {
            return text == null || text.isBlank()
                    ? Optional.empty()
                    : Optional.of(Path.of(text)).filter(Path::isAbsolute);
        } catch (InvalidPathException nonsense) {
            return Optional.empty();
        }
    }

    /**
     * A name that any common file system takes: where it is too long, it is cut, and a mark made of the whole keeps it
     * apart from others cut alike.
     *
     * @param name without its ending
     * @param rest bytes to be left for what comes behind it
     */
    public static String fitting(String name, int rest) {
        int most = LONGEST_NAME - rest;
        if (name.getBytes(StandardCharsets.UTF_8).length <= most) {
            return name;
        }
        String mark = "-" + Integer.toHexString(name.hashCode());
        StringBuilder cut = new StringBuilder();
        int bytes = mark.length();
        for (int i = 0; i < name.length(); ) {
            String letter = Character.toString(name.codePointAt(i));
            bytes += letter.getBytes(StandardCharsets.UTF_8).length;
            if (bytes > most) {
                break;
            }
            cut.append(letter);
            i += letter.length();
        }
        return cut + mark;
    }
}
