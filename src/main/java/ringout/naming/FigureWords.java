package ringout.naming;

import ringout.signal.AxisSpot;
import ringout.signal.Measured;
import ringout.signal.Resolution;
import ringout.words.Phrase;

/** Figures with their units, and how far they may be from the truth. */
public final class FigureWords {
    private static final double NANOS_PER_MS = 1e6;

    private FigureWords() {}

    /** {@code 4.2 ms ± 1.0 ms}, {@code 4.2 ms ± 1.0 ms at best}, {@code 3 ×}. */
    public static Phrase of(Measured figure) {
        int places = figure.places();
        Phrase value = Phrase.decimal(figure.value(), places);
        if (figure.resolution() == 0) {
            return Phrase.of("figure.exact", value, unit(figure.unit()));
        }
        Phrase within = Phrase.decimal(figure.resolution(), places);
        return figure.known()
                ? Phrase.of("figure.within", value, within, unit(figure.unit()))
                : Phrase.of("figure.at-best", value, within, unit(figure.unit()));
    }

    /** As said behind a figure: {@code ± 1.0 ms} or {@code ± 1.0 ms at best}. */
    public static Phrase of(Resolution resolution) {
        Phrase within = Phrase.decimal(resolution.nanos() / NANOS_PER_MS, 1);
        return resolution.measured()
                ? Phrase.of("figure.resolution", within)
                : Phrase.of("figure.resolution.at-best", within);
    }

    /** {@code 4.2 ms}. */
    public static Phrase milliseconds(double nanos) {
        return Phrase.of("figure.exact", Phrase.decimal(nanos / NANOS_PER_MS, 1), unit(Measured.Unit.MILLISECONDS));
    }

    private static Phrase unit(Measured.Unit unit) {
        return switch (unit) {
            case MILLISECONDS -> Phrase.of("unit.milliseconds");
            case SECONDS -> Phrase.of("unit.seconds");
            case TIMES -> Phrase.of("unit.times");
            case STEPS -> Phrase.of("unit.steps");
            case PERCENT -> Phrase.of("unit.percent");
        };
    }

    /** What is odd about a place of a track, as in "the reading ...". */
    public static Phrase of(AxisSpot.Kind kind) {
        return switch (kind) {
            case JUMP -> Phrase.of("spot.jump");
            case FLAT -> Phrase.of("spot.flat");
            case REVERSAL -> Phrase.of("spot.reversal");
        };
    }

    /** {@code once}, {@code twice}, {@code 3 times}. */
    public static Phrase times(long count) {
        return Phrase.of("times", count);
    }
}
