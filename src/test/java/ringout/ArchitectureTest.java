package ringout;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAPackage;
import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static org.junit.jupiter.api.Assertions.assertEquals;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.domain.properties.HasName;
import com.tngtech.archunit.core.domain.properties.HasOwner;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchCondition;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.ConditionEvents;
import com.tngtech.archunit.lang.SimpleConditionEvent;
import com.tngtech.archunit.library.dependencies.SlicesRuleDefinition;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** Holds the code to the path of a report: which package may know which, and which may touch the world outside. */
@AnalyzeClasses(packages = "ringout", importOptions = ImportOption.DoNotIncludeTests.class)
class ArchitectureTest {
    /** No I/O, no clock, no threads, no toolkit: they can be tested with plain values, and run anywhere. */
    private static final List<String> PURE = List.of(
            "words",
            "hid",
            "plan",
            "circuit",
            "naming",
            "signal",
            "check",
            "watch",
            "learn",
            "feel",
            "diagnosis",
            "solder",
            "simulate",
            "drawing");

    /** Package by package, the Ringout packages it may use besides itself. */
    private static final Map<String, Set<String>> MAY_USE = new TreeMap<>(Map.ofEntries(
            Map.entry("words", Set.of()),
            Map.entry("hid", Set.of("words")),
            Map.entry("plan", Set.of("hid", "words")),
            Map.entry("circuit", Set.of("hid", "plan", "words")),
            Map.entry("naming", Set.of("hid", "plan", "circuit", "words", "signal")),
            Map.entry("signal", Set.of("hid", "words")),
            Map.entry("check", Set.of("hid", "plan", "signal", "words", "naming")),
            Map.entry("watch", Set.of("hid", "plan", "signal", "words", "naming", "check")),
            Map.entry("learn", Set.of("hid", "plan", "words", "naming")),
            Map.entry("feel", Set.of("hid", "plan", "signal", "words")),
            Map.entry("diagnosis", Set.of("hid", "plan", "circuit", "words", "naming", "check")),
            Map.entry("solder", Set.of("plan", "circuit", "words", "naming", "diagnosis")),
            Map.entry("simulate", Set.of("hid", "plan", "circuit", "words", "check")),
            Map.entry("drawing", Set.of("hid", "plan", "circuit", "words", "naming", "check")),
            Map.entry("device", Set.of("hid", "plan", "circuit", "words", "simulate", "files")),
            Map.entry("files", Set.of("words")),
            Map.entry(
                    "journal", Set.of("hid", "plan", "signal", "words", "check", "feel", "solder", "device", "files")),
            Map.entry(
                    "bench",
                    Set.of(
                            "hid",
                            "plan",
                            "circuit",
                            "words",
                            "naming",
                            "signal",
                            "check",
                            "watch",
                            "learn",
                            "feel",
                            "diagnosis",
                            "solder",
                            "simulate",
                            "device",
                            "files",
                            "journal")),
            Map.entry(
                    "report",
                    Set.of(
                            "hid",
                            "plan",
                            "circuit",
                            "words",
                            "naming",
                            "signal",
                            "check",
                            "diagnosis",
                            "drawing",
                            "device",
                            "journal",
                            "files",
                            "bench")),
            Map.entry(
                    "ui",
                    Set.of(
                            "hid",
                            "plan",
                            "circuit",
                            "words",
                            "naming",
                            "signal",
                            "check",
                            "watch",
                            "learn",
                            "feel",
                            "diagnosis",
                            "solder",
                            "simulate",
                            "device",
                            "journal",
                            "bench",
                            "drawing",
                            "files",
                            "report")),
            Map.entry(
                    "cli",
                    Set.of(
                            "hid",
                            "plan",
                            "circuit",
                            "words",
                            "naming",
                            "signal",
                            "check",
                            "watch",
                            "learn",
                            "feel",
                            "diagnosis",
                            "solder",
                            "simulate",
                            "device",
                            "journal",
                            "bench",
                            "files",
                            "report"))));

    private static final String[] PAGES = {
        "ringout.ui.start..",
        "ringout.ui.check..",
        "ringout.ui.hunt..",
        "ringout.ui.watch..",
        "ringout.ui.feel..",
        "ringout.ui.board..",
        "ringout.ui.ready..",
        "ringout.ui.meter..",
        "ringout.ui.solder..",
        "ringout.ui.planning.."
    };

    private static final String[] SHARED = {
        "ringout.ui.model..",
        "ringout.ui.settings..",
        "ringout.ui.sound..",
        "ringout.ui.parts..",
        "ringout.ui.sheets..",
        "ringout.ui.files..",
        "ringout.ui.background..",
        "ringout.ui.practice.."
    };

    private static final JavaClasses CLASSES = new ClassFileImporter()
            .withImportOption(new ImportOption.DoNotIncludeTests())
            .importPackages("ringout");

    @TestFactory
    Stream<DynamicTest> everyPackageUsesOnlyWhatThePathAllows() {
        return MAY_USE.entrySet().stream()
                .map(entry -> DynamicTest.dynamicTest(
                        entry.getKey() + " uses only "
                                + (entry.getValue().isEmpty()
                                        ? "itself"
                                        : String.join(", ", new TreeSet<>(entry.getValue()))),
                        () -> {
                            String[] allowed = Stream.concat(Stream.of(entry.getKey()), entry.getValue().stream())
                                    .map(p -> "ringout." + p + "..")
                                    .toArray(String[]::new);
                            DescribedPredicate<JavaClass> foreign = resideInAPackage("ringout..")
                                    .and(DescribedPredicate.not(resideInAnyPackage(allowed)));
                            noClasses()
                                    .that()
                                    .resideInAPackage("ringout." + entry.getKey() + "..")
                                    .should()
                                    .dependOnClassesThat(foreign)
                                    .because("dependencies run along the path of a report only (DEVELOPERS.md)")
                                    .allowEmptyShould(true)
                                    .check(CLASSES);
                        }));
    }

    @TestFactory
    Stream<DynamicTest> purePackagesTouchNothingOutside() {
        return PURE.stream()
                .map(name -> DynamicTest.dynamicTest(name + " is pure", () -> {
                    noClasses()
                            .that()
                            .resideInAPackage("ringout." + name + "..")
                            .should()
                            .dependOnClassesThat()
                            .resideInAnyPackage(
                                    "java.io..",
                                    "java.nio.file..",
                                    "java.net..",
                                    "java.util.concurrent..",
                                    "java.util.logging..",
                                    "javafx..",
                                    "org.slf4j..",
                                    "com.sun.jna..",
                                    "org.hid4java..",
                                    "picocli..",
                                    "com.fasterxml..")
                            .allowEmptyShould(true)
                            .check(CLASSES);
                    for (String clock : List.of("nanoTime", "currentTimeMillis", "getenv", "getProperty", "exit")) {
                        noClasses()
                                .that()
                                .resideInAPackage("ringout." + name + "..")
                                .should()
                                .callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(
                                                JavaClass.Predicates.type(System.class)))
                                        .and(JavaCall.Predicates.target(HasName.Predicates.name(clock))))
                                .allowEmptyShould(true)
                                .check(CLASSES);
                    }
                    noClasses()
                            .that()
                            .resideInAPackage("ringout." + name + "..")
                            .should()
                            .dependOnClassesThat()
                            .haveFullyQualifiedName("java.lang.Thread")
                            .allowEmptyShould(true)
                            .check(CLASSES);
                }));
    }

    @ArchTest
    static final ArchRule NATIVE_CALLS_ARE_MADE_BY_DEVICE = noClasses()
            .that()
            .resideOutsideOfPackages("ringout.device..", "ringout")
            .should()
            .dependOnClassesThat()
            .resideInAnyPackage("com.sun.jna..", "org.hid4java..");

    /** A sentence that is made elsewhere is one that no second language reaches; HelpTexts hands ours on as picocli wants them. */
    @ArchTest
    static final ArchRule ONLY_THE_WORDS_ROOM_KNOWS_BUNDLES = noClasses()
            .that()
            .resideOutsideOfPackage("ringout.words..")
            .and()
            .doNotHaveFullyQualifiedName("ringout.cli.HelpTexts")
            .should()
            .dependOnClassesThat()
            .haveFullyQualifiedName("java.util.ResourceBundle");

    @ArchTest
    static final ArchRule ONLY_THE_WINDOW_KNOWS_THE_TOOLKIT = noClasses()
            .that()
            .resideOutsideOfPackage("ringout.ui..")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("javafx..");

    @ArchTest
    static final ArchRule ONLY_THE_COMMAND_LINE_KNOWS_PICOCLI = noClasses()
            .that()
            .resideOutsideOfPackage("ringout.cli..")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("picocli..");

    @ArchTest
    static final ArchRule PACKAGES_FORM_NO_CYCLE =
            SlicesRuleDefinition.slices().matching("ringout.(*)..").should().beFreeOfCycles();

    /** Which room of the window may know which follows from this: none knows one that knows it, and none the window. */
    @ArchTest
    static final ArchRule ROOMS_OF_THE_WINDOW_FORM_NO_CYCLE =
            SlicesRuleDefinition.slices().matching("ringout.ui.(*)..").should().beFreeOfCycles();

    @ArchTest
    static final ArchRule NO_ROOM_KNOWS_THE_WINDOW = noClasses()
            .that()
            .resideInAPackage("ringout.ui.*..")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("ringout.ui");

    @ArchTest
    static final ArchRule WHAT_IS_SHOWN_KNOWS_NO_TOOLKIT = noClasses()
            .that()
            .resideInAnyPackage("ringout.ui.model..", "ringout.ui.settings..")
            .should()
            .dependOnClassesThat()
            .resideInAPackage("javafx..");

    /** Shared parts, and rooms that hand over what they made: they know no page. */
    @ArchTest
    static final ArchRule SHARED_ROOMS_KNOW_NO_PAGE = noClasses()
            .that()
            .resideInAnyPackage(SHARED)
            .should()
            .dependOnClassesThat()
            .resideInAnyPackage(PAGES);

    /** A page hands over to another through the window; but a hunt shares its notices with the check. */
    @TestFactory
    Stream<DynamicTest> aPageKnowsNoOther() {
        return Stream.of(PAGES)
                .map(page -> DynamicTest.dynamicTest(
                        page,
                        () -> noClasses()
                                .that()
                                .resideInAPackage(page)
                                .should()
                                .dependOnClassesThat(resideInAnyPackage(Stream.of(PAGES)
                                        .filter(other -> !other.equals(page))
                                        .filter(other -> !(page.endsWith("hunt..") && other.endsWith("check..")))
                                        .filter(other -> !(page.endsWith("planning..")
                                                && (other.endsWith("meter..") || other.endsWith("solder.."))))
                                        .toArray(String[]::new)))
                                .check(CLASSES)));
    }

    /** What comes to the window's thread from another, and every thread that is not the sound's, goes through one room. */
    @ArchTest
    static final ArchRule ONE_ROOM_KNOWS_THE_WINDOWS_THREAD = noClasses()
            .that()
            .resideInAPackage("ringout.ui..")
            .and()
            .resideOutsideOfPackage("ringout.ui.background..")
            .and()
            // by which a test outside the program looks in
            .doNotHaveFullyQualifiedName("ringout.ui.Peephole")
            .should()
            .callMethod(javafx.application.Platform.class, "runLater", Runnable.class)
            .orShould()
            .dependOnClassesThat()
            .haveNameMatching(
                    "java\\.util\\.concurrent\\.(Exec|Scheduled|Thread|Completable|Future|Fork).*|javafx\\.concurrent\\..*");

    private static final DescribedPredicate<JavaCall<?>> WAITS = DescribedPredicate.describe(
            "waits in real time",
            call -> Set.of("sleep", "parkNanos").contains(call.getName())
                    || call.getTargetOwner().isEquivalentTo(Object.class)
                            && call.getName().equals("wait"));

    /** So that whoever tests it can have it wait in virtual time. */
    @ArchTest
    static final ArchRule WHAT_FOLLOWS_A_BOX_WAITS_BY_ITS_TIME = noClasses()
            .that()
            .resideInAnyPackage("ringout.bench..", "ringout.cli..", "ringout.journal..")
            .and()
            // by which it makes sure of the disk, now and then
            .doNotHaveFullyQualifiedName("ringout.journal.Journal")
            .should()
            .callMethodWhere(WAITS);

    /**
     * What of the tests waits in real time, and why, besides those of windows, of what is shipped, and of kernels;
     * DEVELOPERS.md tells why these do.
     */
    private static final Map<String, String> WAIT_IN_REAL_TIME = Map.ofEntries(
            Map.entry("ringout.cli.Program", "another process"),
            Map.entry("ringout.cli.FaultInjectionTest", "signals at any moment of another process"),
            Map.entry("ringout.cli.ListenCommandTest", "another process, ended by a signal"),
            Map.entry("ringout.cli.MendedQuestionTest", "another process, in a terminal"),
            Map.entry("ringout.cli.LearnCommandTest", "a file that is written while a person types"),
            Map.entry("ringout.device.FakeSource", "a reader of a box that has no time of its own"),
            Map.entry("ringout.device.VirtualTime", "whoever is outside of it"),
            Map.entry("ringout.files.WholeFileTest", "another process, killed"),
            Map.entry("ringout.journal.KilledTest", "another process, killed"),
            Map.entry("ringout.journal.Victim", "the process that is killed"),
            Map.entry("ringout.outside.UsbGuestMain", "a kernel in a guest"));

    @ArchTest
    static void onlyTheListedTestsWaitInRealTime(JavaClasses any) {
        JavaClasses tests =
                new ClassFileImporter(List.of(new ImportOption.OnlyIncludeTests())).importPackages("ringout");
        Set<String> found = new TreeSet<>();
        for (JavaClass type : tests) {
            if (!resideInAnyPackage("ringout.ui..", "ringout.walk..", "ringout.kernel..", "ringout.windows..")
                            .test(type)
                    && type.getMethodCallsFromSelf().stream().anyMatch(WAITS)) {
                found.add(type.getName().replaceAll("\\$.*", ""));
            }
        }
        assertEquals(new TreeSet<>(WAIT_IN_REAL_TIME.keySet()), found);
    }

    /** In the core, where there is no widget, a view is a snapshot; what is in the window has other names. */
    @ArchTest
    static final ArchRule A_VIEW_IS_A_SNAPSHOT =
            noClasses().that().resideInAPackage("ringout.ui..").should().haveSimpleNameEndingWith("View");

    @ArchTest
    static final ArchRule NO_STATIC_MUTABLE_STATE = classes()
            .should(new ArchCondition<JavaClass>("have only final static fields") {
                @Override
                public void check(JavaClass type, ConditionEvents events) {
                    type.getFields().stream()
                            .filter(f -> f.getModifiers().contains(JavaModifier.STATIC))
                            .filter(f -> !f.getModifiers().contains(JavaModifier.FINAL))
                            .filter(f -> !f.getName().contains("$"))
                            .forEach(f -> events.add(SimpleConditionEvent.violated(f, f.getDescription())));
                }
            });

    /** A package that this test does not list would be free to use anything. */
    @ArchTest
    static void everyPackageIsListed(JavaClasses all) {
        Set<String> found = new TreeSet<>();
        all.forEach(type -> {
            String[] parts = type.getPackageName().split("\\.");
            if (parts.length > 1) {
                found.add(parts[1]);
            }
        });
        found.removeAll(MAY_USE.keySet());
        assertEquals(Set.of(), found, () -> "list them in " + Arrays.asList("MAY_USE", "DEVELOPERS.md"));
    }
}
