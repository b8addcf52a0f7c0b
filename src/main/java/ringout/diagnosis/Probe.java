package ringout.diagnosis;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.words.Phrase;

/**
 * A multimeter step on the unplugged box.
 *
 * @param pointA  where the red probe goes
 * @param pointB  where the black probe goes
 * @param mode    what the meter is set to
 * @param hold    ids of the actions held meanwhile
 * @param good    what a box as planned shows
 * @param predict what the leading explanations predict, the likeliest first: an explanation in words to the reading
 * @param bad     what another reading than {@code good} would say: {@code It stays silent if R2 is open at pin 5.}
 * @param said    the whole step for a builder; always begins with "Unplug USB"
 */
public record Probe(
        NodeName pointA,
        NodeName pointB,
        ProbeMode mode,
        List<String> hold,
        ProbeReading good,
        Map<Phrase, ProbeReading> predict,
        Phrase bad,
        Phrase said) {
    public Probe {
        hold = List.copyOf(hold);
        predict = Collections.unmodifiableMap(new LinkedHashMap<>(predict));
    }

    /** The whole step for a builder; always begins with unplugging USB. */
    public String text() {
        return said.text();
    }
}
