package ringout.ui;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import javafx.scene.Scene;
import javafx.scene.control.Button;
import javafx.scene.layout.BorderPane;
import javafx.stage.Stage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.framework.junit5.Start;
import org.testfx.util.WaitForAsyncUtils;
import ringout.device.DeviceInfo;
import ringout.plan.Plan;
import ringout.plan.PlanReader;
import ringout.simulate.Wear;
import ringout.ui.files.PlanFile;
import ringout.ui.model.Exercise;
import ringout.ui.model.StartModel;
import ringout.ui.model.WatchModel;
import ringout.ui.parts.FxLettering;
import ringout.ui.parts.Theme;
import ringout.ui.practice.Practice;
import ringout.ui.settings.WindowSettings;
import ringout.ui.start.StartPage;
import ringout.ui.watch.WatchPage;
import ringout.words.Texts;
import ringout.words.texts_en_XA;

/**
 * Every state of the start page, and of the long watch, at two sizes, in both themes and two sizes of text; and once more
 * in a language that is 40 % longer. Fails on cut text and overlaps.
 */
@ExtendWith(ApplicationExtension.class)
class StartPictureTest {
    private static final Path FOLDER = Path.of("/home/driver/plans");
    private static final DeviceInfo DESK = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw3");
    private static final DeviceInfo PANEL = DeviceInfo.joystick("Guard's panel", 0x1209, 2, "", "/dev/hidraw4");
    private static final String RULE =
            "You may not read /dev/hidraw3.\nPut this line into /etc/udev/rules.d/60-ringout.rules:\n"
                    + "KERNEL==\"hidraw*\", ATTRS{idVendor}==\"1209\", ATTRS{idProduct}==\"0001\", TAG+=\"uaccess\"";

    private final Locale before = Locale.getDefault();
    private Stage stage;

    @Start
    void start(Stage given) {
        stage = given;
    }

    @AfterEach
    void language() {
        Locale.setDefault(before);
    }

    static Stream<Arguments> looks() {
        return Stream.concat(
                Looks.all().map(look -> Arguments.of(look, before())),
                Looks.longer().map(look -> Arguments.of(look, texts_en_XA.LOCALE)));
    }

    private static Locale before() {
        return Locale.getDefault();
    }

    private static PlanFile read(String yaml) {
        Path file = FOLDER.resolve("drivers-desk.yaml");
        return new PlanFile(file, "", "", yaml, PlanReader.read(yaml, file.toString()));
    }

    /** What the start page may be asked to show. */
    private record State(
            List<DeviceInfo> devices,
            String trouble,
            String opening,
            Optional<DeviceInfo> chosen,
            Optional<PlanFile> file) {
        StartModel.Page page() {
            return StartModel.of(
                    devices,
                    trouble,
                    opening,
                    chosen,
                    file.flatMap(f -> f.reading().plan()),
                    file.map(f -> f.reading().problems()).orElse(List.of()),
                    file.isPresent());
        }
    }

    private static Map<String, State> states() throws Exception {
        String yaml = Files.readString(Path.of("fixtures", "plans", "drivers-desk.yaml"));
        Optional<PlanFile> good = Optional.of(read(yaml));
        Optional<PlanFile> bad = Optional.of(
                read(yaml.replace("at: [R1, C2]", "at: [R1, C1]").replace("input: button 3", "input: button three")));
        Optional<PlanFile> doubtful = Optional.of(read(yaml.replace("diodes: per-contact", "diodes: none")));
        DeviceInfo shut = new DeviceInfo(DESK.name(), 0x1209, 1, "DESK-01", "/dev/hidraw3", "", 1, 4, false, RULE);
        Map<String, State> states = new LinkedHashMap<>();
        states.put("no-box", new State(List.of(), "", "", Optional.empty(), Optional.empty()));
        states.put("no-plan", new State(List.of(DESK), "", "", Optional.of(DESK), Optional.empty()));
        states.put("several-boxes", new State(List.of(DESK, PANEL), "", "", Optional.empty(), Optional.empty()));
        states.put("another-box", new State(List.of(DESK, PANEL), "", "", Optional.of(PANEL), good));
        states.put("no-permission", new State(List.of(shut), "", "", Optional.of(shut), good));
        states.put("bad-plan", new State(List.of(DESK), "", "", Optional.of(DESK), bad));
        states.put("doubtful-plan", new State(List.of(DESK), "", "", Optional.of(DESK), doubtful));
        states.put("ready", new State(List.of(DESK), "", "", Optional.of(DESK), good));
        states.put("unplugged", new State(List.of(), "", "", Optional.empty(), good));
        states.put(
                "busy",
                new State(
                        List.of(DESK),
                        "",
                        "Another program holds the box. Close it and try again.",
                        Optional.of(DESK),
                        good));
        states.put(
                "no-listing",
                new State(
                        List.of(),
                        "The system does not answer. Log in again.",
                        "",
                        Optional.empty(),
                        Optional.empty()));
        return states;
    }

    @ParameterizedTest(name = "{0}, {1}")
    @MethodSource("looks")
    void theStart(Looks.Look look, Locale language) throws Exception {
        Locale.setDefault(language);
        Plan plan = TestPlans.fixture("drivers-desk");
        String suffix = look.name() + (language.equals(texts_en_XA.LOCALE) ? "-longer" : "");
        StartPage page = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Theme.loadFonts();
            StartPage made = new StartPage(
                    new FxLettering(), new Practice().plan().plan(), Exercise.of(plan, 1), true, new Nothing());
            onScene(made, look);
            made.setEm(Theme.BASE * look.scale());
            return made;
        });
        List<String> faults = new ArrayList<>();
        for (Map.Entry<String, State> state : states().entrySet()) {
            State is = state.getValue();
            WaitForAsyncUtils.waitForAsyncFx(
                    20_000,
                    () -> page.show(
                            is.page(),
                            is.chosen,
                            is.file.isPresent()
                                    ? List.of(FOLDER.resolve("drivers-desk.yaml"), FOLDER.resolve("guards-panel.yaml"))
                                    : List.of(),
                            is.file));
            faults.addAll(picture("start-" + state.getKey() + "-" + suffix, page.getScene()));
        }
        WaitForAsyncUtils.waitForAsyncFx(
                20_000,
                () -> page.show(
                        StartModel.reading("desk-2026-11-25.jsonl", 0.42, List.of(DESK), Optional.of(plan)),
                        Optional.of(DESK),
                        List.of(),
                        Optional.empty()));
        faults.addAll(picture("start-reading-" + suffix, page.getScene()));
        assertEquals(List.of(), faults);
    }

    @ParameterizedTest(name = "{0}, {1}")
    @MethodSource("looks")
    void theLongWatch(Looks.Look look, Locale language) {
        Locale.setDefault(language);
        String suffix = look.name() + (language.equals(texts_en_XA.LOCALE) ? "-longer" : "");
        WatchModel.Box live = new WatchModel.Box(
                "Driver's desk",
                Texts.say("watch.box.live"),
                false,
                Texts.say("watch.box.plan", "Driver's desk") + " " + Texts.say("watch.box.reports", 14_503_221L) + " "
                        + Texts.say(
                                "watch.box.tape", "/home/driver/.local/share/ringout/recordings/drivers-desk.jsonl"));
        WatchModel.Box away =
                new WatchModel.Box("Guard's panel", Texts.say("watch.box.away"), true, Texts.say("watch.box.no-plan"));
        List<String> faults = new ArrayList<>();
        WatchPage page = WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Theme.loadFonts();
            WatchPage made = new WatchPage(new FxLettering(), () -> {}, () -> {}, line -> {});
            onScene(made, look);
            made.setEm(Theme.BASE * look.scale());
            made.begin();
            made.show(List.of(live, away), 0, 61_000_000_000L);
            return made;
        });
        faults.addAll(picture("watch-quiet-" + suffix, page.getScene()));
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            for (int i = 1; i <= 12; i++) {
                boolean back = i % 5 == 0;
                page.add(new WatchModel.Line(
                        "21:04:" + (10 + i),
                        back ? "found" : "bounced",
                        back
                                ? "Guard's panel: The box is back after 2.4 s ± 1.0 ms."
                                : "Driver's desk: Button 1 (HORN LOW) bounced at a press: 4 further transitions over 19.0 ms ± 1.0 ms."
                                        + (i > 1 ? " (" + i + " times so far)" : ""),
                        !back,
                        back ? 1 : 0,
                        i,
                        Optional.empty()));
            }
            page.show(List.of(live, away), 10, 7_980_000_000_000L);
        });
        faults.addAll(picture("watch-" + suffix, page.getScene()));
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            page.end(List.of(
                    List.of(
                            Texts.say("watch.summary.head", "Driver's desk", "2 h 13 min", 14_503_221L),
                            Texts.say("watch.summary.clean")),
                    List.of(Texts.say(
                            "watch.summary.line",
                            "bounced",
                            "Button 1 (HORN LOW)",
                            10,
                            "21:04:11",
                            "21:04:22",
                            Texts.say("watch.summary.worst", "19.0 ms")))));
            page.show(List.of(live, away), 10, 7_980_000_000_000L);
        });
        faults.addAll(picture("watch-ended-" + suffix, page.getScene()));
        assertEquals(List.of(), faults);
    }

    private void onScene(BorderPane page, Looks.Look look) {
        BorderPane root = new BorderPane(page);
        TopBar top = new TopBar(
                WindowSettings.first().withTextScale(look.scale()), false, change -> {}, () -> {}, () -> {}, () -> {});
        root.setTop(top);
        root.getStyleClass().add("window");
        Scene scene = new Scene(root, look.width(), look.height());
        Theme.apply(scene, look.dark(), look.scale());
        stage.setScene(scene);
        stage.show();
    }

    private static List<String> picture(String name, Scene scene) {
        WaitForAsyncUtils.waitForFxEvents();
        return WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            Pictures.shoot(scene, name);
            return Pictures.faults(scene).stream()
                    .map(fault -> name + ": " + fault)
                    .toList();
        });
    }

    /** While it is not known yet what a plan lets one practise, no fault of another is taken: it begins as soon as it is. */
    @Test
    void practiceWaitsForTheFaultsOfItsPlan() throws Exception {
        List<Exercise> begun = new ArrayList<>();
        Exercise other = new Exercise("of another plan", List.of(), Wear.NONE);
        Exercise own = new Exercise("of this plan", List.of(), Wear.NONE);
        WaitForAsyncUtils.waitForAsyncFx(20_000, () -> {
            StartPage page = new StartPage(
                    new FxLettering(), TestPlans.fixture("drivers-desk"), List.of(other), false, new Nothing() {
                        @Override
                        public void practise(Exercise exercise, boolean byItself) {
                            begun.add(exercise);
                        }
                    });
            new Scene(page);
            page.applyCss();
            page.layout();
            Button practise = (Button) page.lookup("#practise");
            page.awaitPractice();
            practise.fire();
            assertEquals(List.of(), begun);
            page.offerPractice(Optional.of(List.of(own)));
            assertEquals(List.of(own), begun);
            practise.fire();
            assertEquals(List.of(own, own), begun);
        });
    }

    private static class Nothing implements StartPage.Actions {
        @Override
        public void chooseBox(DeviceInfo device) {}

        @Override
        public void choosePressed() {}

        @Override
        public void bareBoard() {}

        @Override
        public void goBack() {}

        @Override
        public void forgetPlan(Path file) {}

        @Override
        public void openPlan() {}

        @Override
        public void usePlan(Path file) {}

        @Override
        public void begin() {}

        @Override
        public void hunt() {}

        @Override
        public void watch() {}

        @Override
        public void feel() {}

        @Override
        public void ready() {}

        @Override
        public void watchLong() {}

        @Override
        public void record(boolean wanted) {}

        @Override
        public void planNew() {}

        @Override
        public void learn() {}

        @Override
        public void editPlan() {}

        @Override
        public void printSheet() {}

        @Override
        public void measurePlan() {}

        @Override
        public void solderPlan() {}

        @Override
        public void practise(Exercise exercise, boolean byItself) {}
    }
}
