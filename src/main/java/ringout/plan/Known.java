package ringout.plan;

import java.util.Map;
import java.util.NoSuchElementException;

/** What is known to be there. */
public final class Known {
    private Known() {}

    /**
     * The value of a key that the map surely has.
     *
     * @throws NoSuchElementException naming the key, where it has none: a mistake of the caller
     */
    public static <K, V> V in(Map<K, V> map, K key) {
        V value = map.get(key);
        if (value == null) {
            throw new NoSuchElementException("nothing is known of " + key);
        }
        return value;
    }
}
