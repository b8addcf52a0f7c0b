package ringout.ui.parts;

import java.util.function.Function;
import javafx.util.StringConverter;
import org.jspecify.annotations.Nullable;

/** Lists to choose one of. */
public final class Choices {
    private Choices() {}

    /** How a list's values are said; nothing is read from what is typed. */
    public static <T> StringConverter<T> said(Function<T, String> say) {
        return new StringConverter<>() {
            @Override
            public String toString(T value) {
                return value == null ? "" : say.apply(value);
            }

            @Override
            public @Nullable T fromString(String words) {
                return null;
            }
        };
    }
}
