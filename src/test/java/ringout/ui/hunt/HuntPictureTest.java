package ringout.ui.hunt;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.stage.Stage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.bench.SessionView;
import ringout.check.Instruction;
import ringout.circuit.ProbeReading;
import ringout.ui.Looks;
import ringout.ui.Pictures;
import ringout.ui.check.BenchPictureTest;
import ringout.ui.model.HuntModel;
import ringout.ui.model.RecordedHunt;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.words.texts_en_XA;

/** Pictures of every stage of a hunt, as those of the bench; fails on cut text and overlaps. */
@ExtendWith(ApplicationExtension.class)
class HuntPictureTest {
    private static RecordedHunt deadSwitch;
    private static RecordedHunt brokenRow;
    private static RecordedHunt answering;

    private final Locale usual = Locale.getDefault();
    private Stage stage;

    @BeforeAll
    static void hunt() throws Exception {
        deadSwitch = RecordedHunt.of("drivers-desk", "sander", "open:contact:sander", true);
        brokenRow = RecordedHunt.of("drivers-desk", "door-left", "open:R2@after:sander", false);
        answering = RecordedHunt.of("guards-panel", "buzzer", "", false);
    }

    @Start
    void start(Stage given) {
        stage = given;
    }

    @AfterEach
    void language() {
        Locale.setDefault(usual);
    }

    static Stream<Arguments> looks() {
        return BenchPictureTest.looks();
    }

    @ParameterizedTest(name = "{0}{1}")
    @MethodSource("looks")
    void everyStage(Looks.Look look, String language) {
        if (!language.isEmpty()) {
            Locale.setDefault(texts_en_XA.LOCALE);
        }
        String suffix = look.name() + language;
        List<String> faults = new ArrayList<>();
        HuntPage page = onScene(look, deadSwitch, true);
        SessionView before = deadSwitch.states().get(0).session();
        faults.addAll(picture(
                page,
                before,
                HuntModel.choosing(before, deadSwitch.plan().control("brake")),
                List.of(),
                "hunt-choose-" + suffix));
        faults.addAll(picture(page, deadSwitch, HuntModel.Stage.PRESS, List.of(), "hunt-press-" + suffix));
        faults.addAll(picture(
                page,
                deadSwitch,
                HuntModel.Stage.UNPLUG,
                List.of(HuntPage.Act.UNPLUGGED, HuntPage.Act.CANNOT),
                "hunt-unplug-" + suffix));
        faults.addAll(picture(
                page,
                deadSwitch,
                HuntModel.Stage.PROBE,
                List.of(HuntPage.Act.MEASURE, HuntPage.Act.CANNOT),
                "hunt-probe-" + suffix));
        faults.addAll(picture(
                page,
                deadSwitch,
                HuntModel.Stage.FOUND,
                List.of(HuntPage.Act.CHECK, HuntPage.Act.ANOTHER),
                "hunt-found-" + suffix));
        HuntPage other = onScene(look, brokenRow, false);
        faults.addAll(picture(other, brokenRow, HuntModel.Stage.PRESS, List.of(), "hunt-chord-" + suffix));
        faults.addAll(picture(
                other,
                brokenRow,
                HuntModel.Stage.FOUND,
                List.of(HuntPage.Act.CHECK, HuntPage.Act.ANOTHER),
                "hunt-wire-" + suffix));
        HuntPage third = onScene(look, answering, false);
        faults.addAll(picture(
                third,
                answering,
                HuntModel.Stage.ANSWERS,
                List.of(HuntPage.Act.CHECK, HuntPage.Act.ANOTHER),
                "hunt-answers-" + suffix));
        assertEquals(List.of(), faults);
    }

    private HuntPage onScene(Looks.Look look, RecordedHunt hunt, boolean baseline) {
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Theme.loadFonts();
            HuntPage page = new HuntPage(new FxLettering(), new HuntPage.Actions() {
                @Override
                public void hunt(String control) {}

                @Override
                public void command(Instruction command) {}

                @Override
                public void answer(ProbeReading reading) {}

                @Override
                public void act(HuntPage.Act act) {}
            });
            Scene scene = new Scene(page, look.width(), look.height());
            page.getStyleClass().add("window");
            Theme.apply(scene, look.dark(), look.scale());
            page.setEm(Theme.BASE * look.scale());
            page.setPlan(
                    hunt.plan(),
                    HuntModel.start(
                            hunt.plan(),
                            baseline ? Optional.of(RecordedHunt.goodCheck(hunt.plan())) : Optional.empty(),
                            ZoneOffset.UTC));
            stage.setScene(scene);
            stage.show();
            return page;
        });
    }

    private static List<String> picture(
            HuntPage page, RecordedHunt hunt, HuntModel.Stage at, List<HuntPage.Act> offered, String name) {
        RecordedHunt.State state = hunt.at(at);
        return picture(page, state.session(), hunt.page(state), offered, name);
    }

    private static List<String> picture(
            HuntPage page, SessionView view, HuntModel.Page model, List<HuntPage.Act> offered, String name) {
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            page.show(view, view.nanos());
            page.show(model, offered);
        });
        WaitForAsyncUtils.waitForFxEvents();
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene()).stream()
                    .map(fault -> name + ": " + fault)
                    .toList();
        });
    }
}
