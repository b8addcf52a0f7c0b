package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;

/**
 * What a builder can answer when asked what the meter shows.
 *
 * @param reading what it means
 * @param words   what stands on its button
 */
public record MeterAnswer(ProbeReading reading, String words) {
    /** All answers while the meter is set so; last, that it cannot be told. */
    public static List<MeterAnswer> of(ProbeMode mode) {
        List<ProbeReading> readings = new ArrayList<>(mode.readings());
        readings.add(ProbeReading.UNCERTAIN);
        return readings.stream().map(reading -> new MeterAnswer(reading, answer(reading))).toList();
    }

    private static String answer(ProbeReading reading) {
        return switch (reading) {
            case BEEP -> Texts.say("meter.answer.beep");
            case ONE_DROP -> Texts.say("meter.answer.drop");
            case TWO_DROPS -> Texts.say("meter.answer.two-drops");
            case OPEN -> Texts.say("meter.answer.open");
            case UNCERTAIN -> Texts.say("meter.answer.none");
        };
    }

    /** What a good box makes of the meter, as in "should {@code beep}". */
    static String should(ProbeReading good) {
        return switch (good) {
            case BEEP -> Texts.say("meter.should.beep");
            case ONE_DROP -> Texts.say("meter.should.drop");
            case TWO_DROPS -> Texts.say("meter.should.two-drops");
            case OPEN -> Texts.say("meter.should.open");
            case UNCERTAIN -> Texts.say("meter.should.either");
        };
    }
}
