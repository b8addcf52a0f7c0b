package ringout.solder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringout.Thorough;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Continuity;
import ringout.plan.Contact;
import ringout.plan.Plan;
import ringout.plan.Wiring;

class SolderingTest {
    private Instant now = Instant.parse("2026-05-02T09:00:00Z");

    static Stream<Plan> plans() throws Exception {
        return SolderPlans.all();
    }

    /** All of them for the boxes of the fixtures; of a large box those of some, in the long series of all. */
    private static <T> List<T> some(List<T> all) {
        int step = all.size() > 20 ? Math.max(1, all.size() / Thorough.of(4, all.size())) : 1;
        return IntStream.range(0, all.size())
                .filter(i -> i % step == 0)
                .mapToObj(all::get)
                .toList();
    }

    private Instant tick() {
        now = now.plusSeconds(1);
        return now;
    }

    private static Soldering begun(Plan plan) {
        return Soldering.of(Circuit.of(plan), List.of()).begin();
    }

    /** Solders and measures to the end as somebody with that box would, mending what is said to be mended. */
    private Run through(Plan plan, List<Fault> faults) {
        Circuit circuit = Circuit.of(plan);
        PractiseMeter meter = PractiseMeter.of(circuit, faults);
        Soldering at = Soldering.of(circuit, List.of()).begin();
        List<Soldering.Wrong> found = new ArrayList<>();
        List<Joint> mended = new ArrayList<>();
        int patience = 0;
        while (!(at.stage() instanceof Soldering.End)) {
            assertTrue(patience++ < 5_000, "it comes to an end; now at " + at.stage());
            if (at.stage() instanceof Soldering.Solder) {
                at = at.done(tick());
            } else if (at.stage() instanceof Soldering.Measure measure) {
                List<Continuity.Step> steps = measure.sweep().steps();
                PractiseMeter used = meter;
                if (steps.size() > 1) {
                    boolean good = steps.stream().allMatch(step -> used.reads(step) == step.good());
                    at = good ? at.good(tick()) : at.oneByOne();
                } else {
                    at = at.shows(used.reads(steps.get(0)), tick());
                }
            } else if (at.stage() instanceof Soldering.Wrong wrong) {
                found.add(wrong);
                Joint joint = at.cause(wrong).joint();
                mended.add(joint);
                meter = meter.mended(joint);
                at = at.mended(joint, tick());
            }
        }
        return new Run(at, found, mended, meter);
    }

    private record Run(Soldering end, List<Soldering.Wrong> found, List<Joint> mended, PractiseMeter meter) {}

    @ParameterizedTest
    @MethodSource("plans")
    void aGoodBoxIsSolderedAndMeasuredWithoutAWrongReading(Plan plan) {
        Run run = through(plan, List.of());
        assertEquals(List.of(), run.found());
        assertEquals(run.end().joints().size(), run.end().done());
        assertEquals(
                run.end().lines().stream().mapToInt(l -> l.steps().size()).sum(),
                run.end().readings().size());
    }

    @ParameterizedTest
    @MethodSource("plans")
    void aReversedDiodeIsFoundByTheProbeOfItsLineAndNamed(Plan plan) {
        List<Contact> contacts = plan.contacts();
        for (Contact contact : contacts.size() > 20 && !Thorough.ALL ? contacts.subList(0, 4) : contacts) {
            if (contact.diode() != Contact.Diode.NONE && contact.wiring() instanceof Wiring.Crossing at) {
                String line = contact.diode() == Contact.Diode.CATHODE_ROW ? at.row() : at.column();
                Run run = through(plan, List.of(new Fault.DiodeReversed(contact.id())));
                assertEquals(line, run.found().get(0).line().name(), contact.id());
                assertEquals(
                        "diode:" + line + ":" + contact.id(),
                        run.mended().get(0).id());
                assertEquals(1, run.mended().size());
                assertEquals(List.of(), run.meter().faults());
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void anOpenPinIsFoundByTheProbeOfItsLineAndNamed(Plan plan) {
        for (LineJoints line : SolderOrder.of(Circuit.of(plan))) {
            boolean wire = line.kind().isPresent() && line.kind().get() != ringout.plan.Line.Kind.SHIFT;
            if (wire) {
                Run run = through(plan, List.of(new Fault.LineOpen(line.name())));
                assertEquals(line.name(), run.found().get(0).line().name());
                assertTrue(
                        run.mended().get(0).line().equals(line.name()),
                        run.mended().get(0).id());
                assertEquals(List.of(), run.meter().faults(), line.name());
                assertTrue(run.mended().size() <= line.joints().size(), line.name());
            }
        }
    }

    @ParameterizedTest
    @MethodSource("plans")
    void anOpenJointIsFoundBeforeTheEnd(Plan plan) {
        List<Fault> open = Circuit.of(plan).singleFaults().stream()
                .filter(f -> f instanceof Fault.LineBroken || f instanceof Fault.DiodeOpen)
                .toList();
        for (Fault fault : some(open)) {
            Run run = through(plan, List.of(fault));
            assertFalse(run.found().isEmpty(), fault.text());
            assertEquals(List.of(), run.meter().faults(), fault.text());
        }
    }

    /** Of two wires that lie beside each other or meet at a control: the probe after the later of both. */
    @ParameterizedTest
    @MethodSource("plans")
    void aBridgeOfNeighboursIsFoundByTheProbeOfTheLaterLine(Plan plan) {
        for (LineJoints line : SolderOrder.of(Circuit.of(plan))) {
            for (Continuity.Step step : line.steps()) {
                if (step.kind() == Continuity.Kind.APART
                        && !step.red().written().matches("GND|VCC")) {
                    String one = SolderOrder.line(step.red());
                    String other = SolderOrder.line(step.black());
                    Run run = through(plan, List.of(new Fault.LinesShorted(one, other)));
                    assertEquals(List.of(), run.meter().faults(), one + "," + other);
                    assertTrue(
                            Set.of(one, other)
                                    .contains(run.found().get(0).line().name()),
                            run.found().get(0).line().name());
                }
            }
        }
    }

    /** What practice hides: each is found, and gone at the end. */
    @ParameterizedTest
    @MethodSource("plans")
    void aHiddenMistakeIsFound(Plan plan) {
        for (int seed = 0; seed < 10; seed++) {
            List<Fault> hidden = PractiseMeter.hidden(Circuit.of(plan), seed).faults();
            assertEquals(1, hidden.size());
            Run run = through(plan, hidden);
            assertFalse(run.found().isEmpty(), hidden.toString());
            assertEquals(List.of(), run.meter().faults(), hidden.toString());
        }
    }

    @Test
    void aLeversWireThatDoesNotReachItsLugIsFound() {
        Plan plan = SolderPlans.fixture("drivers-desk.yaml");
        for (Fault.AxisOpen.Wire wire : Fault.AxisOpen.Wire.values()) {
            Run run = through(plan, List.of(new Fault.AxisOpen("brake", wire)));
            assertEquals("lug:brake:" + wire.word(), run.mended().get(0).id());
            assertEquals(List.of(), run.meter().faults());
        }
    }

    @Test
    void itGoesOnWhereItWasLeftAndBackStepByStep() {
        Plan plan = SolderPlans.fixture("guards-panel.yaml");
        Soldering at = begun(plan);
        List<Soldering.Stage> stages = new ArrayList<>();
        while (!(at.stage() instanceof Soldering.End)) {
            stages.add(at.stage());
            Soldering again = Soldering.of(Circuit.of(plan), at.acts());
            assertInstanceOf(Soldering.Before.class, again.stage(), "unplugging is asked for each time");
            assertEquals(at.stage(), again.begin().stage());
            at = at.stage() instanceof Soldering.Solder ? at.done(tick()) : at.good(tick());
        }
        for (int i = stages.size() - 1; i >= 0; i--) {
            at = at.back();
            assertEquals(stages.get(i), at.stage());
        }
        assertEquals(List.of(), at.acts());
    }

    @Test
    void anEditedPlanKeepsTheJointsThatAreStillThere() {
        Plan before = SolderPlans.fixture("guards-panel.yaml");
        Soldering at = begun(before);
        while (!(at.stage() instanceof Soldering.End)) {
            at = at.stage() instanceof Soldering.Solder ? at.done(tick()) : at.good(tick());
        }
        Plan moved = SolderPlans.parse(text("guards-panel.yaml").replace("C2: pin 5", "C2: pin 15"));
        Soldering edited = Soldering.of(Circuit.of(moved), at.acts()).begin();
        Soldering.Solder next = assertInstanceOf(Soldering.Solder.class, edited.stage());
        assertEquals("pin:C2:pin 15", next.joint().id());
        assertEquals(edited.joints().size() - 1, edited.done());
        // Its line is measured anew, no other.
        edited = edited.done(tick());
        Set<String> asked = edited.lines().stream()
                .flatMap(l -> l.steps().stream())
                .map(Continuity.Step::text)
                .collect(Collectors.toSet());
        Soldering.Measure measure = assertInstanceOf(Soldering.Measure.class, edited.stage());
        assertEquals("C2", measure.line().name());
        assertTrue(asked.size() > measure.sweep().steps().size());
    }

    private static String text(String fixture) {
        try {
            return java.nio.file.Files.readString(java.nio.file.Path.of("fixtures/plans", fixture));
        } catch (java.io.IOException problem) {
            throw new java.io.UncheckedIOException(problem);
        }
    }

    @Test
    void aBoxOnUsbHasToBeUnpluggedFirstAndThatIsConfirmed() {
        Soldering at = begun(SolderPlans.fixture("guards-panel.yaml")).done(tick());
        Soldering plugged = at.plugged(Optional.of("Guard's panel"));
        assertEquals(new Soldering.Before(Optional.of("Guard's panel")), plugged.stage());
        assertEquals(plugged.stage(), plugged.begin().stage(), "it cannot be waved away");
        assertEquals(plugged.acts(), plugged.done(tick()).acts(), "nothing is soldered meanwhile");
        Soldering gone = plugged.plugged(Optional.empty());
        assertEquals(new Soldering.Before(Optional.empty()), gone.stage());
        assertEquals(at.stage(), gone.begin().stage());
    }

    @Test
    void whatIsLeftForLaterIsAskedForAgainAndItsLineIsNotMeasuredBefore() {
        Soldering at = begun(SolderPlans.fixture("guards-panel.yaml"));
        Joint first = ((Soldering.Solder) at.stage()).joint();
        at = at.skip(tick());
        while (!(at.stage() instanceof Soldering.End)) {
            if (at.stage() instanceof Soldering.Measure measure) {
                assertFalse(measure.line().joints().contains(first));
            }
            at = at.stage() instanceof Soldering.Solder ? at.done(tick()) : at.good(tick());
        }
        assertEquals(List.of(first), ((Soldering.End) at.stage()).later());
        at = at.again(tick());
        assertEquals(first, ((Soldering.Solder) at.stage()).joint());
        assertInstanceOf(Soldering.Measure.class, at.done(tick()).stage());
    }

    @Test
    void aWrongReadingThatIsLeftStaysWrong() {
        Soldering at = begun(SolderPlans.fixture("guards-panel.yaml"));
        while (at.stage() instanceof Soldering.Solder) {
            at = at.done(tick());
        }
        at = at.oneByOne();
        Soldering.Measure one = assertInstanceOf(Soldering.Measure.class, at.stage());
        assertEquals(1, one.sweep().steps().size());
        at = at.shows(ProbeReading.OPEN, tick());
        // The others of the same wire first: they tell the pin from a joint.
        while (at.stage() instanceof Soldering.Measure) {
            at = at.good(tick());
        }
        Soldering.Wrong wrong = assertInstanceOf(Soldering.Wrong.class, at.stage());
        assertFalse(at.cause(wrong).said().text().isBlank());
        at = at.skip(tick());
        assertInstanceOf(Soldering.Measure.class, at.stage());
        assertEquals(List.of(wrong), at.wrong());
        assertEquals(ProbeReading.OPEN, at.readings().get(0).result().reading());
    }
}
