package ringout;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javax.tools.Diagnostic;
import javax.tools.DiagnosticCollector;
import javax.tools.JavaCompiler;
import javax.tools.JavaFileObject;
import javax.tools.StandardJavaFileManager;
import javax.tools.ToolProvider;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The compiler names every place that has to know a new kind of fault or control, and DEVELOPERS.md the same ones. It is
 * given the sources that speak of faults or controls, with the classes of all others; on the build server all sources.
 */
class KindsTest {
    private static final Path SOURCES = Path.of("src", "main", "java");
    private static final Path FAULT = Path.of("ringout", "circuit", "Fault.java");
    private static final Path CONTROL = Path.of("ringout", "plan", "Control.java");

    @TempDir
    private Path scratch;

    @Test
    void anEmptyKindIsNamedWhereItStands() throws IOException {
        String fault = Files.readString(SOURCES.resolve(FAULT));
        change(FAULT, before(fault, "}", "\n    record Nothing() implements Fault {}\n"));
        String control = Files.readString(SOURCES.resolve(CONTROL));
        change(
                CONTROL,
                before(
                        control,
                        "}",
                        "\n    record Nothing(String id, String label, Mount mount) implements Control {}\n"));
        assertEquals(Set.of("circuit.Fault", "plan.Control"), places("fault|control"));
    }

    @Test
    void anEmptyFaultIsNamedInEveryPlaceThatHasToKnowIt() throws IOException {
        String fault = Files.readString(SOURCES.resolve(FAULT));
        String kinds = Files.readString(SOURCES.resolve("ringout/circuit/FaultKind.java"));
        change(
                Path.of("ringout/circuit/FaultKind.java"),
                kinds.replaceFirst(
                        ";\n\n    /\\*\\* Where it sits",
                        ",\n    NOTHING(Seat.BOX, When.ALWAYS, Effect.BOTH, Origin.EITHER, Showing.STEADY);\n\n    /** Where it sits"));
        String known = before(fault, "}", """

                    record Nothing() implements Fault {
                        public String text() { return "nothing"; }
                        public FaultKind kind() { return FaultKind.NOTHING; }
                        public List<String> lines() { return List.of(); }
                        public List<String> contacts() { return List.of(); }
                        public <R> R fold(Fold<R> fold) { return fold.nothing(this); }
                    }
                """)
                .replace("interface Fold<R> {", "interface Fold<R> {\n        R nothing(Nothing fault);\n");
        change(FAULT, known);
        assertEquals(listed("fault"), places("fault"));
    }

    @Test
    void anEmptyControlIsNamedInEveryPlaceThatHasToKnowIt() throws IOException {
        String control = Files.readString(SOURCES.resolve(CONTROL));
        String known = before(control, "}", """

                    record Nothing(String id, String label, Mount mount) implements Control {
                        public String kind() { return "nothing"; }
                        public List<Contact> contacts() { return List.of(); }
                        public List<Action> actions() { return List.of(); }
                        public <R> R fold(Fold<R> fold) { return fold.nothing(this); }
                    }
                """)
                .replace("interface Fold<R> {", "interface Fold<R> {\n        R nothing(Nothing control);\n");
        change(CONTROL, known);
        assertEquals(listed("control"), places("control"));
    }

    private static String before(String source, String mark, String added) {
        int at = source.lastIndexOf(mark);
        return source.substring(0, at) + added + source.substring(at);
    }

    /** That source is so from now on. */
    private void change(Path changed, String source) throws IOException {
        Path file = scratch.resolve(changed);
        Files.createDirectories(file.getParent());
        Files.writeString(file, source);
    }

    /**
     * The top-level classes in which the compiler finds something missing with the sources as they were changed.
     *
     * @param word what a source speaks of that may have to know
     */
    private Set<String> places(String word) throws IOException {
        Pattern speaks = Pattern.compile(word, Pattern.CASE_INSENSITIVE);
        List<Path> all = new ArrayList<>();
        try (Stream<Path> files = Files.walk(SOURCES)) {
            for (Path each : files.filter(f -> f.toString().endsWith(".java")).toList()) {
                Path own = scratch.resolve(SOURCES.relativize(each));
                if (Files.exists(own)) {
                    all.add(own);
                } else if (Thorough.ALL
                        || speaks.matcher(Files.readString(each)).find()) {
                    all.add(each);
                }
            }
        }
        JavaCompiler compiler = ToolProvider.getSystemJavaCompiler();
        DiagnosticCollector<JavaFileObject> problems = new DiagnosticCollector<>();
        Path classes = Files.createTempDirectory(scratch, "classes");
        String path = Arrays.stream(System.getProperty("java.class.path").split(File.pathSeparator))
                .filter(entry -> !Thorough.ALL || !entry.contains("target" + File.separator + "classes"))
                .collect(Collectors.joining(File.pathSeparator));
        try (StandardJavaFileManager manager = compiler.getStandardFileManager(problems, null, null)) {
            compiler.getTask(
                            null,
                            manager,
                            problems,
                            List.of(
                                    "-d",
                                    classes.toString(),
                                    "-cp",
                                    path,
                                    "-encoding",
                                    "UTF-8",
                                    "-proc:none",
                                    "-implicit:none",
                                    "-XDshould-stop.ifError=FLOW",
                                    "-Xmaxerrs",
                                    "1000"),
                            null,
                            manager.getJavaFileObjectsFromPaths(all))
                    .call();
        }
        Set<String> places = new TreeSet<>();
        for (Diagnostic<? extends JavaFileObject> problem : problems.getDiagnostics()) {
            if (problem.getKind() == Diagnostic.Kind.ERROR) {
                Matcher name = Pattern.compile("ringout/(.*)\\.java")
                        .matcher(problem.getSource().getName().replace('\\', '/'));
                assertEquals(true, name.find(), problem.toString());
                places.add(name.group(1)
                        .substring(name.group(1).lastIndexOf("ringout/") + 1)
                        .replaceFirst("^ingout/", "")
                        .replace('/', '.'));
            }
        }
        assertFalse(places.isEmpty(), "it compiles");
        return places;
    }

    /** What DEVELOPERS.md says, in the paragraph on a new one of these, after "The compiler names". */
    private static Set<String> listed(String what) throws IOException {
        Matcher paragraph = Pattern.compile("\\*\\*A " + what + ".*?\\*\\*.*?The compiler names(.*?)\\.\\n")
                .matcher(Files.readString(Path.of("DEVELOPERS.md")));
        assertEquals(true, paragraph.find(), "DEVELOPERS.md does not tell how to add a " + what);
        Set<String> places = new TreeSet<>();
        Matcher name = Pattern.compile("`([a-z.]+\\.[A-Z][A-Za-z]+)`").matcher(paragraph.group(1));
        while (name.find()) {
            places.add(name.group(1));
        }
        return places;
    }
}
