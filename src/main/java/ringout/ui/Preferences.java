package ringout.ui;

import java.util.function.UnaryOperator;
import ringout.ui.model.Settings;

/** The settings as they are now; every change is kept in their file. */
final class Preferences {
    private final SettingsFile file;
    private Settings now;

    Preferences(SettingsFile file) {
        this.file = file;
        now = file.load();
    }

    Settings now() {
        return now;
    }

    void change(UnaryOperator<Settings> change) {
        now = change.apply(now);
        file.save(now);
    }
}
