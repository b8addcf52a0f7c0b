package ringout.ui.solder;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import javafx.scene.Scene;
import javafx.scene.control.Button;
import javafx.stage.Stage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.PlanInUse;
import ringout.journal.KeptChecks;
import ringout.ui.Pictures;
import ringout.ui.TestPlans;
import ringout.ui.background.Background;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.words.texts_en_XA;

/** Pictures of soldering along, of a large box and in a language that is longer; fails on cut text and overlaps. */
@ExtendWith(ApplicationExtension.class)
class SolderPictureTest {
    private final Background work = new Background("soldering");
    private final Locale before = Locale.getDefault();
    private Stage stage;

    @TempDir
    private Path folder;

    @Start
    void start(Stage given) {
        stage = given;
    }

    @AfterEach
    void end() {
        work.end();
        Locale.setDefault(before);
    }

    @ParameterizedTest
    @CsvSource({
        "16, 8, 1280, 800, false, 1, false",
        "16, 8, 1920, 1080, true, 2, false",
        "2, 3, 900, 600, false, 1, true",
        "2, 3, 1920, 1080, true, 2, true"
    })
    void jointAndMeter(int rows, int columns, int width, int height, boolean dark, double scale, boolean longer) {
        Locale.setDefault(longer ? texts_en_XA.LOCALE : Locale.ENGLISH);
        PlanInUse plan = new PlanInUse(TestPlans.matrix(rows, columns), "hash");
        SolderPage page = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Theme.loadFonts();
            SolderPage made = new SolderPage(
                    new FxLettering(), work, work, new KeptChecks(folder.resolve("checks")), new SolderPage.Actions() {
                        @Override
                        public void spoken(String words) {}

                        @Override
                        public void leave() {}

                        @Override
                        public void failed(String why) {
                            throw new AssertionError(why);
                        }
                    });
            made.setEm(Theme.BASE * scale);
            Scene scene = new Scene(made, width, height - Math.round(54 * scale));
            made.getStyleClass().add("window");
            Theme.apply(scene, dark, scale);
            stage.setScene(scene);
            stage.show();
            made.begin(plan);
            return made;
        });
        String look = rows + "x" + columns + "-" + width + "x" + height + (dark ? "-dark" : "-light") + "-"
                + Math.round(scale * 100) + (longer ? "-longer" : "");
        picture(page, "solder-cautions-" + look);
        next(page);
        picture(page, "solder-diode-" + look);
        for (int joint = 0; joint < 2 * columns + 1; joint++) {
            next(page);
        }
        picture(page, "solder-sweep-" + look);
    }

    private void next(SolderPage page) {
        settle();
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> ((Button) page.lookup("#solder-next")).fire());
    }

    private void settle() {
        try {
            WaitForAsyncUtils.waitFor(60, TimeUnit.SECONDS, () -> !work.busy());
        } catch (TimeoutException late) {
            throw new AssertionError(late);
        }
        WaitForAsyncUtils.waitForFxEvents();
    }

    private void picture(SolderPage page, String name) {
        settle();
        List<String> faults = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene());
        });
        assertEquals(List.of(), faults, () -> "see " + Pictures.FOLDER.resolve(name + ".png"));
    }
}
