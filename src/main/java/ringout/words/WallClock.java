package ringout.words;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Moments as a clock on the wall shows them; with the date (ISO 8601) where it is not that of the beginning. */
public final class WallClock {
    private static final DateTimeFormatter SECONDS = DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
    private static final DateTimeFormatter MILLIS = DateTimeFormatter.ofPattern("HH:mm:ss.SSS", Locale.ROOT);

    private WallClock() {}

    /** A moment to the second, so many nanoseconds after the beginning. */
    public static String seconds(Instant began, long nanos, ZoneId zone) {
        return text(began, nanos, zone, SECONDS);
    }

    /** The same to the millisecond. */
    public static String millis(Instant began, long nanos, ZoneId zone) {
        return text(began, nanos, zone, MILLIS);
    }

    private static String text(Instant began, long nanos, ZoneId zone, DateTimeFormatter clock) {
        ZonedDateTime at = began.plusNanos(nanos).atZone(zone);
        boolean sameDay = at.toLocalDate().equals(began.atZone(zone).toLocalDate());
        return (sameDay ? "" : at.toLocalDate() + " ") + clock.format(at);
    }
}
