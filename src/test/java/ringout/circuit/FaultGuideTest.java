package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import ringout.plan.Plan;
import ringout.plan.PlanReader;

/** The fault guide tells of every fault, in the form in which Ringout writes it. */
class FaultGuideTest {
    private static final Pattern SPAN = Pattern.compile("`([a-z-]+:[^`]+|silent|transposed)`");

    /** A box with the names that the guide uses. */
    private static final Plan PLAN = PlanReader.read("""
            ringout: 1
            box: { name: Guide }
            lines:
              rows: { R1: pin 4, R2: pin 5 }
              columns: { C1: pin 7, C2: pin 8 }
              direct: { D1: pin 2, D2: pin 3 }
              shift: { S1: { pin: pin 10, registers: 2 } }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row }
            controls:
              - { id: x, kind: push, at: [R2, C1], input: button 1 }
              - { id: y, kind: push, at: [R2, C2], input: button 2 }
              - { id: z, kind: push, at: [R1, C2], input: button 3 }
              - { id: e, kind: encoder, a: D1, b: D2, cw: button 4, ccw: button 5, detents: 20 }
              - { id: s, kind: push, at: [S1, 2, 0], input: button 6 }
              - { id: a, kind: axis, input: axis Z }
              - { id: b, kind: axis, input: axis Y }
            """, "guide").plan().orElseThrow();

    @Test
    void everyFaultHasItsPlaceInTheGuide() throws IOException {
        Set<String> told = new TreeSet<>();
        Matcher span = SPAN.matcher(Files.readString(Path.of("docs/fault-guide.md")));
        while (span.find()) {
            // The guide's one made-up encoder is called x, as every control in it is.
            String text = span.group(1).equals("phases:x") ? "phases:e" : span.group(1);
            told.add(Fault.parse(text, PLAN).getClass().getSimpleName());
        }
        assertEquals(
                Arrays.stream(Fault.class.getPermittedSubclasses())
                        .map(Class::getSimpleName)
                        .collect(Collectors.toCollection(TreeSet::new)),
                told);
    }
}
