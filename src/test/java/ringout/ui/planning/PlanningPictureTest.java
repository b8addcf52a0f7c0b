package ringout.ui.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Function;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.scene.layout.BorderPane;
import javafx.stage.Stage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.Thorough;
import ringout.diagnosis.ContinuityRun;
import ringout.hid.Input;
import ringout.learn.LearnView;
import ringout.plan.NewBox;
import ringout.plan.Plan;
import ringout.ui.Looks;
import ringout.ui.Pictures;
import ringout.ui.TestPlans;
import ringout.ui.background.Background;
import ringout.ui.meter.ContinuityPage;
import ringout.ui.model.EditorModel;
import ringout.ui.model.EditorModel.Selection;
import ringout.ui.model.InsideModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.words.Phrase;
import ringout.words.texts_en_XA;

/** Pictures of the pages for planning at two sizes, in both themes and two sizes of text, and in a language that is longer; fails on cut text and overlaps. */
@ExtendWith(ApplicationExtension.class)
class PlanningPictureTest {
    private final Background computing = new Background("planning");
    private Stage stage;
    private Locale before;

    @AfterEach
    void end() {
        computing.end();
    }

    @Start
    void start(Stage given) {
        stage = given;
    }

    @BeforeEach
    void remember() {
        before = Locale.getDefault();
    }

    @AfterEach
    void restore() {
        Locale.setDefault(before);
    }

    static Stream<Arguments> looks() {
        Stream<Arguments> english = Looks.all()
                .map(look -> Arguments.of(look.width(), look.height(), look.dark(), look.scale(), Locale.ENGLISH));
        return Stream.concat(english, Stream.of(Arguments.of(1280, 800, false, 1.0, texts_en_XA.LOCALE)));
    }

    private static String look(int width, int height, boolean dark, double scale, Locale locale) {
        return width + "x" + height + (dark ? "-dark" : "-light") + "-" + Math.round(scale * 100)
                + (locale.equals(Locale.ENGLISH) ? "" : "-longer");
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}, {4}")
    @MethodSource("looks")
    void theEditor(int width, int height, boolean dark, double scale, Locale locale) throws Exception {
        String yaml = Files.readString(Path.of("fixtures", "plans", "drivers-desk.yaml"));
        EditorPage page = onScene(width, height, dark, scale, locale, lettering -> {
            EditorPage editor = new EditorPage(lettering, computing, new EditorPage.Actions() {
                @Override
                public void save() {}

                @Override
                public void sheet() {}

                @Override
                public void probe() {}

                @Override
                public void solder() {}

                @Override
                public void card() {}

                @Override
                public void compare() {}

                @Override
                public void edited(EditorModel model) {}
            });
            editor.setEm(Theme.BASE * scale);
            editor.show(EditorModel.of(yaml, "desk", true).orElseThrow());
            return editor;
        });
        String look = look(width, height, dark, scale, locale);
        picture(page, "editor-box-" + look);
        edit(page, m -> m.select(new Selection.OfControl("look")));
        picture(page, "editor-hat-" + look);
        edit(page, m -> m.select(new Selection.OfLine("R4")));
        picture(page, "editor-line-" + look);
        edit(page, m -> m.add(NewBox.Part.SELECTOR));
        edit(page, m -> m.measure(m.control().orElseThrow().id(), EditorModel.Measure.X, "40"));
        edit(page, m -> m.measure(m.control().orElseThrow().id(), EditorModel.Measure.HOLE, "wide"));
        picture(page, "editor-refused-" + look);
    }

    /** Every box in every look on the build server; elsewhere the smallest in each, the others in one that is hard on them. */
    static Stream<Arguments> insides() {
        return Stream.of("guards-panel", "drivers-desk", "large")
                .flatMap(box -> Stream.of(
                                Arguments.of(box, 900, 600, false, 1.0, Locale.ENGLISH),
                                Arguments.of(box, 1920, 1080, true, 2.0, Locale.ENGLISH),
                                Arguments.of(box, 1920, 1080, false, 1.0, texts_en_XA.LOCALE))
                        .skip(Thorough.ALL || !box.equals("drivers-desk") ? 0 : 1)
                        .limit(Thorough.ALL || box.equals("guards-panel") ? 3 : 1));
    }

    @ParameterizedTest(name = "{0} at {1}x{2}, dark {3}, text {4}, {5}")
    @MethodSource("insides")
    void theInsideOfTheBox(String box, int width, int height, boolean dark, double scale, Locale locale)
            throws Exception {
        String yaml = box.equals("large")
                ? NewBox.yaml(new NewBox.Answers(
                        "Large",
                        Map.of(NewBox.Part.PUSH, 100, NewBox.Part.TOGGLE, 28),
                        2,
                        true,
                        true,
                        ringout.plan.PinList.parse("2-40"),
                        List.of(),
                        Optional.empty()))
                : Files.readString(Path.of("fixtures", "plans", box + ".yaml"));
        EditorPage page = onScene(width, height, dark, scale, locale, lettering -> {
            EditorPage editor = new EditorPage(lettering, computing, new EditorPage.Actions() {
                @Override
                public void save() {}

                @Override
                public void sheet() {}

                @Override
                public void probe() {}

                @Override
                public void solder() {}

                @Override
                public void card() {}

                @Override
                public void compare() {}

                @Override
                public void edited(EditorModel model) {}
            });
            editor.setEm(Theme.BASE * scale);
            editor.show(EditorModel.of(yaml, box, true).orElseThrow());
            return editor;
        });
        edit(page, m -> m.panelMeasure(EditorModel.PanelMeasure.DEPTH, "50"));
        edit(page, m -> InsideModel.size(m, new InsideModel.Thing.Board(), InsideModel.Size.WIDTH, "34"));
        edit(page, m -> InsideModel.size(m, new InsideModel.Thing.Board(), InsideModel.Size.HEIGHT, "18"));
        edit(page, m -> InsideModel.connector(m, Optional.of(ringout.hid.Direction.RIGHT)));
        edit(page, m -> InsideModel.size(m, new InsideModel.Thing.Cable(), InsideModel.Size.X, "0"));
        for (int i = 0; i < 4; i++) {
            edit(page, InsideModel::addKeepOut);
        }
        edit(page, m -> InsideModel.form(m, m.plan().inside().keepOuts().get(1).name(), InsideModel.Form.RIM));
        edit(page, m -> InsideModel.form(m, m.plan().inside().keepOuts().get(2).name(), InsideModel.Form.RECTANGLE));
        String look = box + "-" + look(width, height, dark, scale, locale);
        picture(page, "editor-inside-" + look);
        edit(
                page,
                m -> m.select(new Selection.OfControl(m.plan().controls().get(0).id())));
        edit(page, m -> m.move(m.plan().controls().get(0).id(), new ringout.plan.Mount.Place(14, 14)));
        picture(page, "editor-inside-tight-" + look);
    }

    private static void edit(EditorPage page, java.util.function.UnaryOperator<EditorModel> edit) {
        WaitForAsyncUtils.waitForAsyncFx(10_000, () -> page.edit(edit));
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}, {4}")
    @MethodSource("looks")
    void aNewBox(int width, int height, boolean dark, double scale, Locale locale) {
        NewBoxPage page = onScene(width, height, dark, scale, locale, lettering -> {
            NewBoxPage fresh = new NewBoxPage(lettering, computing, yaml -> {});
            fresh.setEm(Theme.BASE * scale);
            return fresh;
        });
        String look = look(width, height, dark, scale, locale);
        picture(page, "new-box-empty-" + look);
        for (String part : List.of("push", "push", "push", "encoder", "axis")) {
            WaitForAsyncUtils.waitForAsyncFx(
                    10_000, () -> ((javafx.scene.control.Button) page.lookup("#more-" + part)).fire());
        }
        picture(page, "new-box-" + look);
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}, {4}")
    @MethodSource("looks")
    void theMeterChecklist(int width, int height, boolean dark, double scale, Locale locale) {
        Plan plan = TestPlans.fixture("drivers-desk");
        ContinuityPage page = onScene(width, height, dark, scale, locale, lettering -> {
            ContinuityPage fresh = new ContinuityPage(lettering, new ContinuityPage.Actions() {
                @Override
                public void measured(ContinuityRun.Outcome outcome) {}

                @Override
                public void leave() {}

                @Override
                public void failed(String why) {
                    throw new AssertionError(why);
                }
            });
            fresh.setEm(Theme.BASE * scale);
            fresh.setPlan(plan);
            return fresh;
        });
        String look = look(width, height, dark, scale, locale);
        picture(page, "meter-cautions-" + look);
        WaitForAsyncUtils.waitForAsyncFx(
                10_000, () -> ((javafx.scene.control.Button) page.lookup("#begin-measuring")).fire());
        picture(page, "meter-step-" + look);
        WaitForAsyncUtils.waitForAsyncFx(10_000, page::close);
    }

    @ParameterizedTest(name = "{0}x{1}, dark {2}, text {3}, {4}")
    @MethodSource("looks")
    void learning(int width, int height, boolean dark, double scale, Locale locale) {
        Plan plan = TestPlans.fixture("drivers-desk");
        LearnPage page = onScene(width, height, dark, scale, locale, lettering -> {
            LearnPage fresh = new LearnPage(lettering, new LearnPage.Actions() {
                @Override
                public void say(java.util.function.BiConsumer<ringout.learn.Learn, Long> what) {}

                @Override
                public void planIt() {}
            });
            fresh.setEm(Theme.BASE * scale);
            fresh.show(
                    new LearnView(
                            LearnView.Stage.HANDS_OFF,
                            Phrase.of("learning.hands-off"),
                            Phrase.of("learning.hands-off.detail"),
                            Optional.empty(),
                            List.of(),
                            Map.of(),
                            java.util.Set.of()),
                    "",
                    "");
            return fresh;
        });
        String look = look(width, height, dark, scale, locale);
        picture(page, "learn-begins-" + look);
        LearnView.Candidate candidate = new LearnView.Candidate(
                NewBox.Part.ENCODER,
                List.of(NewBox.Part.ENCODER, NewBox.Part.TOGGLE_TWO_WAY),
                Phrase.of("learning.label.knob", 13),
                List.of(new Input.Button(13), new Input.Button(14)),
                Phrase.of("learning.remark.clockwise"),
                true);
        WaitForAsyncUtils.waitForAsyncFx(
                10_000,
                () -> page.show(
                        new LearnView(
                                LearnView.Stage.NAME,
                                Phrase.of("learning.name"),
                                Phrase.of(
                                        "learning.name.mind",
                                        Phrase.commas(candidate.inputs().stream()
                                                .map(Input::words)
                                                .toList()),
                                        candidate.remark()),
                                Optional.of(candidate),
                                plan.controls().subList(0, 9),
                                Map.of(
                                        "bell",
                                        "came on together: button 3, button 4; two lines may touch, a diode may be missing, or the switch has several contacts"),
                                java.util.Set.of()),
                        "",
                        ""));
        picture(page, "learn-naming-" + look);
    }

    private <P extends BorderPane> P onScene(
            int width, int height, boolean dark, double scale, Locale locale, Function<FxLettering, P> make) {
        Locale.setDefault(locale);
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Theme.loadFonts();
            P page = make.apply(new FxLettering());
            // As in the window, whose strip along the top takes its share.
            Scene scene = new Scene(page, width, height - Math.round(54 * scale));
            page.getStyleClass().add("window");
            Theme.apply(scene, dark, scale);
            stage.setScene(scene);
            stage.show();
            return page;
        });
    }

    private void picture(BorderPane page, String name) {
        try {
            WaitForAsyncUtils.waitFor(60, TimeUnit.SECONDS, () -> !computing.busy());
        } catch (TimeoutException late) {
            throw new AssertionError(late);
        }
        WaitForAsyncUtils.waitForFxEvents();
        List<String> faults = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Pictures.shoot(page.getScene(), name);
            return Pictures.faults(page.getScene());
        });
        assertEquals(List.of(), faults, () -> "see " + Pictures.FOLDER.resolve(name + ".png"));
    }
}
