package ringout.ui.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.stage.Stage;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.Rehearsal;
import ringout.check.Check;
import ringout.circuit.Fault;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.ui.Looks;
import ringout.ui.Pictures;
import ringout.ui.TestPlans;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;

/**
 * The bench with 1, 6, 20, 60 and 128 controls, short names and long ones, in every size of window, theme and size of text:
 * a sheet of pictures to be looked at, {@code target/screenshots/size-*}. With {@code -Dringout.sizes=true}, or in a thorough run.
 */
@ExtendWith(ApplicationExtension.class)
class SizesPictureTest {
    private static final int[][] MATRICES = {{1, 1}, {2, 3}, {4, 5}, {6, 10}, {8, 16}};

    private Stage stage;

    @Start
    void start(Stage given) {
        stage = given;
    }

    static Stream<Looks.Look> looks() {
        return Stream.of(new int[] {900, 600}, new int[] {1366, 768}, new int[] {1920, 1080})
                .flatMap(size -> Stream.of(false, true)
                        .flatMap(dark ->
                                Stream.of(1.0, 2.0).map(scale -> new Looks.Look(size[0], size[1], dark, scale))));
    }

    @ParameterizedTest(name = "{0}")
    @MethodSource("looks")
    void everySizeOfBox(Looks.Look look) {
        assumeTrue(
                Boolean.getBoolean("ringout.sizes") || Boolean.getBoolean("ringout.thorough"),
                "the sheet of sizes is taken with -Dringout.sizes=true, or -Dringout.thorough=true");
        List<String> faults = new ArrayList<>();
        for (int[] matrix : MATRICES) {
            for (boolean longer : new boolean[] {false, true}) {
                Plan plan = plan(matrix[0], matrix[1], longer);
                String name = "size-" + plan.controls().size() + (longer ? "-long-" : "-short-") + look.name();
                picture(plan, look, name).forEach(fault -> faults.add(name + ": " + fault));
            }
        }
        assertEquals(List.of(), faults);
    }

    private List<String> picture(Plan plan, Looks.Look look, String name) {
        Rehearsal rehearsal = new Rehearsal(
                new Rehearsal.Setup(plan, List.of(Fault.parse("open:contact:b1", plan)), Wear.NONE, 1000, 0, 3));
        Check check = rehearsal.start();
        while (check.view().done() < Math.min(5, plan.controls().size())) {
            rehearsal.step(Long.MAX_VALUE);
        }
        BenchPage page = WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            Theme.loadFonts();
            BenchPage made = new BenchPage(
                    new FxLettering(), command -> {}, () -> {}, reading -> {}, () -> {}, control -> {}, faults -> {});
            Scene scene = new Scene(made, look.width(), look.height());
            made.getStyleClass().add("window");
            Theme.apply(scene, look.dark(), look.scale());
            made.setEm(Theme.BASE * look.scale());
            made.setPlan(Optional.of(plan));
            stage.setScene(scene);
            stage.show();
            made.show(rehearsal.bench().view(rehearsal.time()), rehearsal.time());
            return made;
        });
        // What shows only once there is no room comes a frame later.
        WaitForAsyncUtils.waitForFxEvents();
        WaitForAsyncUtils.waitForFxEvents();
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene());
        });
    }

    private static Plan plan(int rows, int columns, boolean longer) {
        StringBuilder yaml = new StringBuilder("ringout: 1\nbox: { name: Box }\nlines:\n  rows: {");
        for (int r = 1; r <= rows; r++) {
            yaml.append(r > 1 ? ", R" : " R").append(r).append(": pin ").append(r);
        }
        yaml.append(" }\n  columns: {");
        for (int c = 1; c <= columns; c++) {
            yaml.append(c > 1 ? ", C" : " C").append(c).append(": pin ").append(rows + c);
        }
        yaml.append(" }\nscan: { drive: rows, diodes: per-contact, cathode: row }\ncontrols:\n");
        for (int i = 0; i < rows * columns; i++) {
            yaml.append("  - { id: b")
                    .append(i + 1)
                    .append(", label: ")
                    .append(longer ? "Compartment lamp circuit " : "B")
                    .append(i + 1)
                    .append(", kind: push, at: [R")
                    .append(i / columns + 1)
                    .append(", C")
                    .append(i % columns + 1)
                    .append("], input: button ")
                    .append(i + 1)
                    .append(" }\n");
        }
        return TestPlans.parse(yaml.toString(), "sizes");
    }
}
