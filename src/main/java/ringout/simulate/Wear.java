package ringout.simulate;

import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import ringout.words.Phrase;
import ringout.words.RefusedException;

/**
 * What is wrong with the switches, encoders and axes themselves rather than with the wiring. Contacts are named by their
 * ids, encoders and axes by those of their controls.
 *
 * @param bounceNanos  how long a worn contact bounces after every press and release
 * @param dropouts     contacts that open for a moment while they are held
 * @param dropoutNanos how long, for some of these; chance for the others
 * @param latching     momentary controls where a latching switch was fitted
 * @param momentary    latching controls where a momentary switch was fitted
 * @param deadDetents  how many detents of an encoder's turn give no pulse, always the same ones
 * @param noise        standard deviation of an axis' reading, in steps
 * @param deadSpots    places of an axis' track where the wiper has no contact
 */
public record Wear(
        Map<String, Long> bounceNanos,
        Set<String> dropouts,
        Map<String, Long> dropoutNanos,
        Set<String> latching,
        Set<String> momentary,
        Map<String, Integer> deadDetents,
        Map<String, Double> noise,
        Map<String, DeadSpot> deadSpots) {
    /** Good ones of the planned kinds. */
    public static final Wear NONE =
            new Wear(Map.of(), Set.of(), Map.of(), Set.of(), Set.of(), Map.of(), Map.of(), Map.of());

    private static final double MS = 1e6;
    private static final double MOST_MS = 1000;
    private static final int MOST_DETENTS = 500;
    private static final double MOST_NOISE = 200;

    /** From one place of a track to another, as shares of the travel, 0 to 1; between them the reading stays at the first. */
    public record DeadSpot(double from, double to) {
        public DeadSpot {
            if (!(from >= 0 && to <= 1 && from < to)) {
                throw new IllegalArgumentException("a dead spot from " + from + " to " + to);
            }
        }
    }

    public Wear {
        bounceNanos = Map.copyOf(bounceNanos);
        dropouts = Set.copyOf(dropouts);
        dropoutNanos = Map.copyOf(dropoutNanos);
        latching = Set.copyOf(latching);
        momentary = Set.copyOf(momentary);
        deadDetents = Map.copyOf(deadDetents);
        noise = Map.copyOf(noise);
        deadSpots = Map.copyOf(deadSpots);
    }

    /** This wear, with one contact bouncing. */
    public Wear bouncing(String contact, long nanos) {
        return new Wear(
                with(bounceNanos, contact, nanos),
                dropouts,
                dropoutNanos,
                latching,
                momentary,
                deadDetents,
                noise,
                deadSpots);
    }

    /** This wear, with one contact dropping out, for as long as chance has it. */
    public Wear droppingOut(String contact) {
        return new Wear(
                bounceNanos, with(dropouts, contact), dropoutNanos, latching, momentary, deadDetents, noise, deadSpots);
    }

    /** This wear, with one contact dropping out for so long. */
    public Wear droppingOut(String contact, long nanos) {
        return new Wear(
                bounceNanos,
                with(dropouts, contact),
                with(dropoutNanos, contact, nanos),
                latching,
                momentary,
                deadDetents,
                noise,
                deadSpots);
    }

    /** This wear, with one switch that latches. */
    public Wear latching(String contact) {
        return new Wear(
                bounceNanos, dropouts, dropoutNanos, with(latching, contact), momentary, deadDetents, noise, deadSpots);
    }

    /** This wear, with one switch that comes back by itself. */
    public Wear momentary(String contact) {
        return new Wear(
                bounceNanos, dropouts, dropoutNanos, latching, with(momentary, contact), deadDetents, noise, deadSpots);
    }

    /** This wear, with so many detents of an encoder's turn that give nothing. */
    public Wear skipping(String encoder, int detents) {
        return new Wear(
                bounceNanos,
                dropouts,
                dropoutNanos,
                latching,
                momentary,
                with(deadDetents, encoder, detents),
                noise,
                deadSpots);
    }

    /** This wear, with one axis whose reading is so noisy. */
    public Wear noisy(String axis, double steps) {
        return new Wear(
                bounceNanos,
                dropouts,
                dropoutNanos,
                latching,
                momentary,
                deadDetents,
                with(noise, axis, steps),
                deadSpots);
    }

    /** This wear, with a dead spot on the track of an axis. */
    public Wear deadSpot(String axis, double from, double to) {
        return new Wear(
                bounceNanos,
                dropouts,
                dropoutNanos,
                latching,
                momentary,
                deadDetents,
                noise,
                with(deadSpots, axis, new DeadSpot(from, to)));
    }

    /**
     * This wear and more, as it is written in commands: {@code bounce ID=MS}, {@code dropout ID} or {@code dropout ID=MS},
     * {@code latching ID}, {@code momentary ID}, {@code skip-detents ID=COUNT}, {@code noise ID=STEPS}, {@code dead-spot
     * ID=FROM-TO} in percent of the travel.
     *
     * @throws RefusedException saying how it is to be written
     */
    public Wear and(String kind, String text) {
        String[] parts = text.split("=", 2);
        String id = parts[0];
        boolean valued = parts.length == 2;
        return switch (kind) {
            case "bounce" -> bouncing(id, millis(kind, text, valued ? parts[1] : ""));
            case "dropout" -> valued ? droppingOut(id, millis(kind, text, parts[1])) : droppingOut(id);
            case "latching" -> latching(id);
            case "momentary" -> momentary(id);
            case "skip-detents" ->
                skipping(id, (int) number(kind, text, valued ? parts[1] : "", 1, MOST_DETENTS, "notch=2"));
            case "noise" -> noisy(id, number(kind, text, valued ? parts[1] : "", 0, MOST_NOISE, "brake=12"));
            case "dead-spot" -> {
                String[] ends = (valued ? parts[1] : "").split("-", 2);
                double from = number(kind, text, ends[0], 0, 100, "brake=40-50");
                double to = number(kind, text, ends.length < 2 ? "" : ends[1], 0, 100, "brake=40-50");
                if (from >= to) {
                    throw new RefusedException(Phrase.of("refused.wear.ends", kind, text));
                }
                yield deadSpot(id, from / 100, to / 100);
            }
            default -> throw new IllegalArgumentException("there is no wear \"" + kind + "\"");
        };
    }

    private static long millis(String kind, String text, String value) {
        double millis = number(kind, text, value, 0, MOST_MS, "horn-low=20");
        if (millis == 0) {
            throw new RefusedException(Phrase.of("refused.wear.time", kind, text));
        }
        return Math.round(millis * MS);
    }

    private static double number(String kind, String text, String value, double least, double most, String example) {
        try {
            double number = Double.parseDouble(value);
            if (!(number >= least && number <= most)) {
                throw new RefusedException(Phrase.of("refused.wear.outside", kind, text, value, least, most));
            }
            return number;
        } catch (NumberFormatException wrong) {
            throw new RefusedException(Phrase.of("refused.wear.like", kind, text, example));
        }
    }

    private static Set<String> with(Set<String> set, String name) {
        Set<String> more = new HashSet<>(set);
        more.add(name);
        return more;
    }

    private static <V> Map<String, V> with(Map<String, V> map, String name, V value) {
        Map<String, V> more = new HashMap<>(map);
        more.put(name, value);
        return more;
    }
}
