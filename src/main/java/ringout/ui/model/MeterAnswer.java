package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.naming.Names;
import ringout.naming.Ohms;
import ringout.words.Texts;

/**
 * What a builder can answer when asked what the meter shows.
 *
 * @param reading what it means
 * @param words   what stands on its button
 * @param spoken  the same as a sentence about the meter
 */
public record MeterAnswer(ProbeReading reading, String words, String spoken) {
    /** All answers while the meter is set so; last, that it cannot be told. */
    public static List<MeterAnswer> of(ProbeMode mode) {
        List<ProbeReading> readings = new ArrayList<>(mode.readings());
        readings.add(ProbeReading.UNCERTAIN);
        return readings.stream()
                .map(reading -> new MeterAnswer(
                        reading, answer(mode, reading), Texts.say("step.answer.help", Names.reading(reading, mode))))
                .toList();
    }

    /** On continuity a meter is listened to, else it is read. */
    private static String answer(ProbeMode mode, ProbeReading reading) {
        if (reading == ProbeReading.UNCERTAIN) {
            return Texts.say("meter.answer.none");
        }
        return switch (mode) {
            case CONTINUITY ->
                reading == ProbeReading.BEEP ? Texts.say("meter.answer.beep") : Texts.say("meter.answer.silent");
            case DIODE ->
                switch (reading) {
                    case BEEP -> Texts.say("meter.answer.wire");
                    case ONE_DROP -> Texts.say("meter.answer.drop");
                    case TWO_DROPS -> Texts.say("meter.answer.two-drops");
                    default -> Texts.say("meter.answer.open");
                };
            case RESISTANCE -> Ohms.range(reading).text();
        };
    }

    /** What a good box makes of the meter, as in "should {@code beep}". */
    static String should(ProbeMode mode, ProbeReading good) {
        return switch (mode) {
            case CONTINUITY ->
                switch (good) {
                    case BEEP -> Texts.say("meter.should.beep");
                    case UNCERTAIN -> Texts.say("meter.should.either");
                    default -> Texts.say("meter.should.silent");
                };
            case DIODE ->
                switch (good) {
                    case BEEP -> Texts.say("meter.should.wire");
                    case ONE_DROP -> Texts.say("meter.should.drop");
                    case TWO_DROPS -> Texts.say("meter.should.two-drops");
                    case UNCERTAIN -> Texts.say("meter.should.either");
                    default -> Texts.say("meter.should.open");
                };
            case RESISTANCE ->
                good == ProbeReading.UNCERTAIN
                        ? Texts.say("meter.should.either")
                        : Texts.say("meter.should.ohms", Ohms.range(good));
        };
    }
}
