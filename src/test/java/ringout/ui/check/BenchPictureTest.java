package ringout.ui.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.scene.control.Label;
import javafx.scene.text.Text;
import javafx.stage.Stage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.KnownBoxes;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.DiagnosisSettings;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.Looks;
import ringout.ui.Pictures;
import ringout.ui.TestPlans;
import ringout.ui.files.RecordingOpened;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.NoticesPane;
import ringout.ui.parts.Remark;
import ringout.ui.parts.Theme;
import ringout.words.Texts;
import ringout.words.texts_en_XA;

/** Takes a picture of every state at two sizes, in both themes and two sizes of text, and fails on cut text and overlaps. */
@ExtendWith(ApplicationExtension.class)
public class BenchPictureTest {
    private static final String LONGER = "-longer";

    @TempDir
    private Path folder;

    private final Locale usual = Locale.getDefault();
    private Stage stage;

    @Start
    void start(Stage given) {
        stage = given;
    }

    /** All looks, and in a longer language those in which it may not fit. */
    public static Stream<Arguments> looks() {
        return Stream.concat(
                Looks.all().map(look -> Arguments.of(look, "")),
                Looks.longer().map(look -> Arguments.of(look, LONGER)));
    }

    @AfterEach
    void language() {
        Locale.setDefault(usual);
    }

    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void aCheckOfTheDesk(Looks.Look look, String language) {
        Plan plan = TestPlans.fixture("drivers-desk");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(
                plan,
                List.of(Fault.parse("open:R2", plan), Fault.parse("exchange:horn-low,horn-high", plan)),
                Wear.NONE,
                1000,
                0,
                3));
        Check check = rehearsal.start();
        BenchPage page = onScene(look, language, p -> p.setPlan(Optional.of(plan)));
        picture(page, rehearsal, "check-begins-" + look.name() + language);
        while (check.view().done() < 9) {
            rehearsal.step(Long.MAX_VALUE);
        }
        while (rehearsal.bench().view(rehearsal.time()).state().onInputs().isEmpty()) {
            rehearsal.step(Long.MAX_VALUE);
        }
        picture(page, rehearsal, "check-half-way-" + look.name() + language);
        rehearsal.run();
        picture(page, rehearsal, "check-done-" + look.name() + language);
        explain(page, plan, check, rehearsal);
        picture(page, rehearsal, "check-explained-" + look.name() + language);
    }

    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void aProbeIsAskedFor(Looks.Look look, String language) {
        Plan plan = TestPlans.fixture("guards-panel");
        Rehearsal rehearsal =
                new Rehearsal(new Rehearsal.Setup(plan, List.of(Fault.parse("open:C2", plan)), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        BenchPage page = onScene(look, language, p -> p.setPlan(Optional.of(plan)));
        rehearsal.run();
        picture(page, rehearsal, null);
        explain(page, plan, check, rehearsal);
        picture(page, rehearsal, "probe-" + look.name() + language);
    }

    private static void explain(BenchPage page, Plan plan, Check check, Rehearsal rehearsal) {
        Diagnosis diagnosis = new Diagnoser(plan, DiagnosisSettings.DEFAULT).diagnose(check.observations(), List.of());
        rehearsal.bench().explain(diagnosis);
        WaitForAsyncUtils.waitForAsyncFx(10_000, () -> page.explain(Optional.of(diagnosis), List.of()));
    }

    /** Without a plan only the tape is there; the box goes away; then it is a recording that is looked at. */
    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void theBoxGoesAwayAndNoticesStandAbove(Looks.Look look, String language) {
        Plan plan = TestPlans.fixture("drivers-desk");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        BenchPage page = onScene(look, language, p -> p.setPlan(Optional.of(plan)));
        while (check.view().done() < 3) {
            rehearsal.step(Long.MAX_VALUE);
        }
        rehearsal
                .bench()
                .lost(
                        rehearsal.time(),
                        "Driver's desk was unplugged. Plug it in again; the check goes on where it was.");
        WaitForAsyncUtils.waitForAsyncFx(
                10_000,
                () -> page.setNotices(List.of(
                        NoticesPane.Notice.of(Texts.say("notice.odd-reports")),
                        new NoticesPane.Notice(
                                Texts.say("notice.plan-changed"),
                                Optional.of(Texts.say("notice.plan-changed.again")),
                                () -> {}))));
        picture(page, rehearsal, "unplugged-" + look.name() + language);
    }

    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void aRecordingWithBounceIsLookedAt(Looks.Look look, String language) throws Exception {
        Path file = TestPlans.recordWorn(folder.resolve("bounce-" + look.name() + language + ".jsonl"));
        BenchPage page = onScene(look, language, p -> {});
        RecordingOpened read = RecordingOpened.read(
                file, Optional.of(new PlanInUse(TestPlans.fixture("guards-panel"), "")), KnownBoxes.NONE, share -> {});
        RecordingOpened opened = read.left().isPresent() ? read.left().get().explained() : read;
        WaitForAsyncUtils.waitForAsyncFx(10_000, () -> page.show(opened));
        shoot(page, "recording-" + look.name() + language);
        BenchPage tapeOnly = onScene(look, language, p -> {});
        WaitForAsyncUtils.waitForAsyncFx(
                10_000,
                () -> tapeOnly.show(new RecordingOpened(
                        file, opened.view(), opened.store(), Optional.empty(), Optional.empty(), Optional.empty())));
        shoot(tapeOnly, "recording-without-plan-" + look.name() + language);
    }

    /**
     * Eight rows of sixteen: where names have no room, numbers stand for them or nothing does, and that is said; each such
     * name is in the list beneath, behind its number. Nothing lies on anything.
     */
    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void aWideMatrix(Looks.Look look, String language) {
        Plan plan = TestPlans.matrix(8, 16);
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(), Wear.NONE, 1000, 0, 3));
        rehearsal.start();
        BenchPage page = onScene(look, language, p -> p.setPlan(Optional.of(plan)));
        picture(page, rehearsal, "wide-" + look.name() + language);
        List<String> unnamed = WaitForAsyncUtils.waitForAsyncFx(
                10_000,
                () -> plan.controls().stream()
                        .filter(control -> !lettering(page, control).equals(control.label()))
                        .map(control -> (plan.controls().indexOf(control) + 1) + "  " + control.label())
                        .toList());
        String remark = WaitForAsyncUtils.waitForAsyncFx(
                10_000, () -> ((Remark) page.lookup("#panel").lookup(".remark-box")).words());
        assertEquals(unnamed.isEmpty() ? Texts.say("panel.front") : Texts.say("panel.numbered"), remark);
        List<String> listed = WaitForAsyncUtils.waitForAsyncFx(
                10_000,
                () -> page.lookupAll(".panel-key-entry").stream()
                        .map(entry -> ((Label) entry).getText())
                        .toList());
        assertEquals(unnamed, listed);
    }

    /** What stands beside a control: its name in one or more lines, its number, or nothing. */
    private static String lettering(BenchPage page, Control control) {
        return page.lookupAll("#control-" + control.id()).stream()
                .flatMap(node -> node.lookupAll(".control-label").stream())
                .map(text -> ((Text) text).getText())
                .collect(Collectors.joining(" "));
    }

    private BenchPage onScene(Looks.Look look, String language, Consumer<BenchPage> prepare) {
        if (language.equals(LONGER)) {
            Locale.setDefault(texts_en_XA.LOCALE);
        }
        return WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            Theme.loadFonts();
            BenchPage page = new BenchPage(
                    new FxLettering(), command -> {}, () -> {}, reading -> {}, () -> {}, control -> {}, faults -> {});
            Scene scene = new Scene(page, look.width(), look.height());
            page.getStyleClass().add("window");
            Theme.apply(scene, look.dark(), look.scale());
            page.setEm(Theme.BASE * look.scale());
            prepare.accept(page);
            stage.setScene(scene);
            stage.show();
            return page;
        });
    }

    private void picture(BenchPage page, Rehearsal rehearsal, String name) {
        WaitForAsyncUtils.waitForAsyncFx(
                10_000, () -> page.show(rehearsal.bench().view(rehearsal.time()), rehearsal.time()));
        WaitForAsyncUtils.waitForFxEvents();
        if (name != null) {
            shoot(page, name);
        }
    }

    private static void shoot(BenchPage page, String name) {
        WaitForAsyncUtils.waitForFxEvents();
        List<String> faults = WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene());
        });
        assertEquals(List.of(), faults, () -> "see " + Path.of("target", "screenshots", name + ".png"));
    }
}
