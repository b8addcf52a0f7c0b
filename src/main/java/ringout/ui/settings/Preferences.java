package ringout.ui.settings;

import java.util.function.UnaryOperator;

/** The settings as they are now; every change is kept in their file. */
public final class Preferences {
    private final SettingsFile file;
    private WindowSettings now;

    public Preferences(SettingsFile file) {
        this.file = file;
        now = file.load();
    }

    public WindowSettings now() {
        return now;
    }

    public void change(UnaryOperator<WindowSettings> change) {
        now = change.apply(now);
        file.save(now);
    }
}
