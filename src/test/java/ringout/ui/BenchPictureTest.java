package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.stage.Stage;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.circuit.Fault;
import ringout.diagnosis.Diagnoser;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Settings;
import ringout.plan.Plan;
import ringout.simulate.Wear;

/** Takes a picture of every state at two sizes, in both themes and two sizes of text, and fails on cut text and overlaps. */
@ExtendWith(ApplicationExtension.class)
class BenchPictureTest {
    private Stage stage;

    @Start
    void start(Stage given) {
        stage = given;
    }

    static Stream<Arguments> looks() {
        return Stream.of(new double[] {1280, 800}, new double[] {1920, 1080}).flatMap(size -> Stream.of(false, true)
                .flatMap(dark -> Stream.of(1.0, 1.5).map(scale -> Arguments.of((int) size[0], (int) size[1], dark, scale))));
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}")
    @MethodSource("looks")
    void aCheckOfTheDesk(int width, int height, boolean dark, double scale) {
        Plan plan = TestPlans.fixture("drivers-desk");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan,
                List.of(Fault.parse("open:R2", plan), Fault.parse("exchange:horn-low,horn-high", plan)), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        BenchPage page = onScene(width, height, dark, scale, p -> p.setPlan(Optional.of(plan)));
        String look = width + "x" + height + (dark ? "-dark" : "-light") + "-" + Math.round(scale * 100);
        picture(page, rehearsal, "check-begins-" + look);
        while (check.view().done() < 9) {
            rehearsal.step(Long.MAX_VALUE);
        }
        while (rehearsal.bench().view(rehearsal.time()).state().onInputs().isEmpty()) {
            rehearsal.step(Long.MAX_VALUE);
        }
        picture(page, rehearsal, "check-half-way-" + look);
        rehearsal.run();
        picture(page, rehearsal, "check-done-" + look);
        explain(page, plan, check, rehearsal);
        picture(page, rehearsal, "check-explained-" + look);
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}")
    @MethodSource("looks")
    void aProbeIsAskedFor(int width, int height, boolean dark, double scale) {
        Plan plan = TestPlans.fixture("guards-panel");
        Rehearsal rehearsal = new Rehearsal(new Rehearsal.Setup(plan, List.of(Fault.parse("open:C2", plan)), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        BenchPage page = onScene(width, height, dark, scale, p -> p.setPlan(Optional.of(plan)));
        rehearsal.run();
        picture(page, rehearsal, null);
        explain(page, plan, check, rehearsal);
        picture(page, rehearsal, "probe-" + width + "x" + height + (dark ? "-dark" : "-light") + "-" + Math.round(scale * 100));
    }

    private static void explain(BenchPage page, Plan plan, Check check, Rehearsal rehearsal) {
        Diagnosis diagnosis = new Diagnoser(plan, Settings.DEFAULT).diagnose(check.observations(), List.of());
        rehearsal.bench().explain(diagnosis);
        WaitForAsyncUtils.waitForAsyncFx(10_000, () -> page.explain(Optional.of(diagnosis), List.of()));
    }

    private BenchPage onScene(int width, int height, boolean dark, double scale, Consumer<BenchPage> prepare) {
        return WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            Theme.loadFonts();
            BenchPage page = new BenchPage(new FxLettering(), command -> { }, () -> { }, reading -> { }, () -> { });
            Scene scene = new Scene(page, width, height);
            page.getStyleClass().add("window");
            Theme.apply(scene, dark, scale);
            page.setEm(Theme.BASE * scale);
            prepare.accept(page);
            stage.setScene(scene);
            stage.show();
            return page;
        });
    }

    private void picture(BenchPage page, Rehearsal rehearsal, String name) {
        WaitForAsyncUtils.waitForAsyncFx(10_000, () -> page.show(rehearsal.bench().view(rehearsal.time()), rehearsal.time()));
        WaitForAsyncUtils.waitForFxEvents();
        if (name == null) {
            return;
        }
        List<String> faults = WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene());
        });
        assertEquals(List.of(), faults, () -> "see " + Path.of("target", "screenshots", name + ".png"));
    }
}
