package ringout.words;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** A sentence in the code is one that no second language reaches; {@link Texts} has all of them but those named here. */
class SentencesTest {
    private static final Path ROOT = Path.of("src/main/java/ringout");
    private static final Pattern LITERAL = Pattern.compile(
            "//[^\\n]*|/\\*.*?\\*/|'(?:\\\\.|[^'\\\\])+'|\"\"\"(?s:.*?)\"\"\"|\"((?:\\\\.|[^\"\\\\\\n])*)\"",
            Pattern.DOTALL);
    private static final Pattern SENTENCE = Pattern.compile("[a-z]{2,},? [a-z]{2,},? [a-z]{2,}");

    private static final String MISTAKE = "a mistake in a program, which nobody meets";
    private static final String FILE = "goes into a file that is the same in every language";
    private static final String CODE = "a word of JSON";

    private static final Map<String, String> EXCEPTIONS = Stream.of(
                    of(
                            MISTAKE,
                            "bench/BareBoards bench/LearnSession bench/WatchSession bench/Rehearsal circuit/Loom circuit/Meter",
                            "cli/Json cli/Keyboard cli/DemoCommand cli/CheckCommand cli/ExportCommand",
                            "device/ReportRing diagnosis/DiagnosisSettings diagnosis/FaultTable diagnosis/Priors",
                            "hid/DescriptorBuilder hid/InputLayout hid/ReportDecoder journal/PlanHash plan/Assign plan/Known",
                            "plan/PlanEdits report/Sketch signal/EdgeHistory signal/LinearFit signal/TapeThinner",
                            "journal/RecordingText simulate/SimulatedBox simulate/Wear diagnosis/ProbeResult check/Check check/ExtraStep feel/FeelAnalysis ui/EndSignals ui/Peephole",
                            "files/Part device/NativeConnection signal/AxisMeter signal/EdgeClassifier bench/Crowd"),
                    of(
                            FILE,
                            "bench/RecordingPcapng bench/UsbTransfers plan/LearnedBox plan/NewBox report/FirmwareSettings",
                            "device/LinuxNode"),
                    of("for the log", "StartArchive"),
                    of(CODE, "check/Change check/CheckView check/Readiness signal/AxisSpot signal/IntervalMeter"))
            .flatMap(reasons -> reasons.entrySet().stream())
            .collect(Collectors.toMap(Map.Entry::getKey, Map.Entry::getValue));

    private static Map<String, String> of(String reason, String... files) {
        Map<String, String> all = new TreeMap<>();
        for (String file : String.join(" ", files).split(" ")) {
            all.put(file, reason);
        }
        return all;
    }

    @Test
    void everySentenceIsInTheFileOfTexts() throws IOException {
        Map<String, List<String>> found = new TreeMap<>();
        try (Stream<Path> files = Files.walk(ROOT)) {
            for (Path file : files.filter(f -> f.toString().endsWith(".java")).toList()) {
                List<String> sentences = sentences(Files.readString(file));
                if (!sentences.isEmpty()) {
                    String name = ROOT.relativize(file).toString().replace('\\', '/');
                    found.put(name.substring(0, name.length() - ".java".length()), sentences);
                }
            }
        }
        Set<String> unneeded = new TreeSet<>(EXCEPTIONS.keySet());
        unneeded.removeAll(found.keySet());
        assertEquals(Set.of(), unneeded, "exceptions that are none any more");
        found.keySet().removeAll(EXCEPTIONS.keySet());
        assertEquals(Map.of(), found, "make them texts");
    }

    @Test
    void aSentenceIsFoundWhereItIsSaid() {
        assertEquals(
                List.of("no plan can be read"),
                sentences("// it is not this\nchar c = '\"'; say(\"no plan can be read\"); of(\"start.no-plan\");"));
        assertEquals(
                List.of("one of the \\\"help\\\" texts"),
                sentences("@Option(names = \"--x\", description = {\"one of the \\\"help\\\" texts\"}) int x;"));
    }

    private static List<String> sentences(String source) {
        List<String> sentences = new ArrayList<>();
        Matcher literal = LITERAL.matcher(source);
        while (literal.find()) {
            if (literal.group(1) != null && SENTENCE.matcher(literal.group(1)).find()) {
                sentences.add(literal.group(1));
            }
        }
        return sentences;
    }
}
