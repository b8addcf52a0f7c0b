package ringout.ui.settings;

import java.util.function.Consumer;
import java.util.function.UnaryOperator;

/** The settings as they are now; every change is handed on, to be kept. */
public final class Preferences {
    private final Consumer<WindowSettings> keep;
    private WindowSettings now;

    public Preferences(WindowSettings now, Consumer<WindowSettings> keep) {
        this.now = now;
        this.keep = keep;
    }

    public WindowSettings now() {
        return now;
    }

    public void change(UnaryOperator<WindowSettings> change) {
        now = change.apply(now);
        keep.accept(now);
    }
}
