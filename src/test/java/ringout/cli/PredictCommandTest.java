package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import picocli.CommandLine;
import ringout.device.Time;

class PredictCommandTest {
    private static final String DESK = "fixtures/plans/drivers-desk.yaml";

    private record Run(int status, String out, String err) {}

    private static Run predict(String... arguments) {
        List<String> all = new ArrayList<>(List.of("predict", "--plan", DESK));
        all.addAll(List.of(arguments));
        StringWriter out = new StringWriter();
        StringWriter err = new StringWriter();
        CommandLine command = Ringout.commandLine(files -> Optional.of("no window in a test"), Time.OURS)
                .setOut(new PrintWriter(out))
                .setErr(new PrintWriter(err));
        return new Run(command.execute(all.toArray(String[]::new)), out.toString(), err.toString());
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "horn-low                      |                            | {'on':['button 1']}",
                "horn-low,bell                 | short:R1,R2                | {'on':['button 1','button 3','button 5','button 7']}",
                "look.up,look.right,notch.ccw  | phases:notch               | {'on':['button 13','hat 1 up','hat 1 right']}",
                "brake,breaker                 | wrong-pin:C4,pin 30        | {'on':['axis Z']}",
                "horn-low                      | intermittent:open:R1       | {'on':[],'marginal':['button 1']}",
                "horn-low,horn-high,sander     | diode-short:horn-low       | {'on':['button 1','button 2','button 5','button 6']}",
            })
    void printsOneDocumentSortedByKindAndNumber(String hold, String fault, String expected) throws Exception {
        Run run =
                fault == null ? predict("--hold", hold, "--json") : predict("--fault", fault, "--hold", hold, "--json");
        assertEquals("", run.err);
        assertEquals(0, run.status);
        ObjectMapper mapper = new ObjectMapper();
        String document = expected.replace('\'', '"').replaceFirst("\\{", "{\"ringout\":\"predict\",\"version\":1,");
        assertEquals(mapper.readTree(document), mapper.readTree(run.out));
    }

    /** Too much is asked for, which is no mistake of the program. */
    @Test
    void moreFaultsThanCanComeAndGoTogetherAreRefused() {
        List<String> faults = new ArrayList<>();
        for (String line : "R1 R2 R3 R4 C1 C2 C3 C4 D1".split(" ")) {
            faults.addAll(List.of("--fault", "intermittent:open:" + line));
        }
        Run run = predict(faults.toArray(String[]::new));
        assertEquals(2, run.status, run.err);
        assertTrue(run.err.contains("9 faults together that come and go"), run.err);
    }

    @Test
    void theSupplySettlesWhatTwoDiodesInSeriesRead() {
        String[] ghost = {"--fault", "diode-short:horn-low", "--hold", "horn-low,horn-high,sander", "--json", "--supply"
        };
        assertTrue(predict(append(ghost, "5")).out.contains("button 6"));
        assertTrue(!predict(append(ghost, "5")).out.contains("marginal"));
        assertTrue(predict(append(ghost, "3.3")).out.contains("marginal"));
    }

    @Test
    void takesSeveralFaultsAfterOneOptionOrSeveral() {
        String once =
                predict("--fault", "open:R1", "closed:contact:bell", "--hold", "horn-low", "sander", "--json").out;
        assertEquals(
                once,
                predict("--fault", "open:R1", "--fault", "closed:contact:bell", "--hold", "horn-low,sander", "--json")
                        .out);
        assertTrue(once.contains("button 5") && !once.contains("button 1"), once);
    }

    @Test
    void printsWhatDiffersFromThePlanInWords() {
        Run run = predict("--fault", "exchange:R1,R2", "--fault", "open:contact:bell", "--hold", "horn-low,bell");
        assertEquals(0, run.status);
        assertTrue(run.out.contains("Held:   Horn low, Bell"), run.out);
        assertTrue(run.out.matches("(?s).*button 1 +off +Horn low +though held.*"), run.out);
        assertTrue(run.out.matches("(?s).*button 5 +on +Sander +though not held.*"), run.out);
        assertTrue(predict("--hold", "").out.contains("Nothing comes on."));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "--fault|open:R7|there is no line \"R7\"; possible are R1, R2, R3, R4, C1, C2, C3, C4, D1, D2",
                "--hold|notch|nothing to hold called \"notch\"; possible are horn-low",
                "--supply|12|possible are 3.3 and 5",
            })
    void aMistakeIsBadInputAndSaysWhatIsPossible(String option, String value, String message) {
        Run run = predict(option, value);
        assertEquals(ExitCode.BAD_INPUT.status(), run.status);
        assertTrue(run.err.contains(message), run.err);
        assertEquals("", run.out);
    }

    private static String[] append(String[] values, String last) {
        List<String> all = new ArrayList<>(List.of(values));
        all.add(last);
        return all.toArray(String[]::new);
    }
}
