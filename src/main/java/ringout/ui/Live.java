package ringout.ui;

import java.util.function.Consumer;
import java.util.function.Supplier;
import ringout.bench.SessionView;
import ringout.check.CheckCommand;

/**
 * What the window needs of whatever runs behind it.
 *
 * @param view    the newest snapshot; called once per frame, returns at once
 * @param command takes what the builder said; returns at once
 * @param close   ends it; returns at once
 */
record Live(Supplier<SessionView> view, Consumer<CheckCommand> command, Runnable close) {
}
