package ringout.ui.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringout.device.DeviceInfo;
import ringout.plan.Plan;
import ringout.ui.TestPlans;

class StartModelTest {
    private static final DeviceInfo DESK = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-01", "/dev/hidraw0");
    private static final DeviceInfo OTHER = DeviceInfo.joystick("Other", 0x1209, 9, "", "/dev/hidraw1");
    private final Plan plan = TestPlans.fixture("drivers-desk");

    private static StartModel.Page page(List<DeviceInfo> devices, Optional<DeviceInfo> chosen, Optional<Plan> plan) {
        return StartModel.of(devices, "", "", chosen, plan, List.of(), plan.isPresent());
    }

    @Test
    void thereIsAlwaysOneNextThingToDo() {
        assertEquals(
                "Plug in your box",
                page(List.of(), Optional.empty(), Optional.empty()).sentence());
        assertEquals(
                "Choose your box",
                page(List.of(DESK, OTHER), Optional.empty(), Optional.of(plan)).sentence());
        assertEquals(
                "Choose its wiring plan",
                page(List.of(DESK), Optional.of(DESK), Optional.empty()).sentence());
        StartModel.Page ready = page(List.of(DESK), Optional.of(DESK), Optional.of(plan));
        assertTrue(ready.ready());
        assertEquals("Ready to check DRIVER'S DESK", ready.sentence());
    }

    @Test
    void theObviousBoxIsTheOnlyOneOrThePlannedOne() {
        assertEquals(Optional.of(OTHER), StartModel.obvious(List.of(OTHER), Optional.empty()));
        assertEquals(Optional.of(DESK), StartModel.obvious(List.of(OTHER, DESK), Optional.of(plan)));
        assertEquals(Optional.empty(), StartModel.obvious(List.of(OTHER, DESK), Optional.empty()));
    }

    @Test
    void anotherBoxThanThePlansIsRemarkedOn() {
        StartModel.Page page = page(List.of(OTHER), Optional.of(OTHER), Optional.of(plan));
        assertTrue(page.ready());
        assertTrue(page.detail().contains("1209:0001"));
        DeviceInfo sister = DeviceInfo.joystick("Driver's desk", 0x1209, 1, "DESK-02", "/dev/hidraw2");
        assertFalse(StartModel.planned(sister, plan));
        assertTrue(StartModel.planned(DESK, plan));
    }

    @Test
    void everyExerciseIsABoxThatCanBeMade() throws Exception {
        List<Exercise> exercises = Exercise.of(plan, 3);
        assertTrue(exercises.size() >= 10);
        assertEquals(2, exercises.get(0).faults().size());
        ringout.device.SimulatedSource source = new ringout.device.SimulatedSource();
        for (Exercise exercise : exercises) {
            assertEquals(
                    1, source.find(exercise.name(Exercise.DESK, false, 7, 2)).size(), exercise.words());
        }
    }
}
