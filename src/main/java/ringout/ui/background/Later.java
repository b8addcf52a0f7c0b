package ringout.ui.background;

import java.util.Optional;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/** Something that is made when it is first wanted, so that the window's start does not wait for it. On the window's thread. */
public final class Later<T> {
    private final Supplier<T> maker;
    private @Nullable T made;

    public Later(Supplier<T> maker) {
        this.maker = maker;
    }

    /** It, made now where it was not. */
    public T get() {
        T it = made;
        if (it == null) {
            it = maker.get();
            made = it;
        }
        return it;
    }

    /** It, where anybody has wanted it by now. */
    public Optional<T> made() {
        return Optional.ofNullable(made);
    }
}
