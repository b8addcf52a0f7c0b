package ringout.diagnosis;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.hid.Input;
import ringout.plan.Action;
import ringout.plan.NumberScheme;
import ringout.plan.Plan;
import ringout.plan.PlanDocument;
import ringout.plan.PlanReader;

/** A plan rewritten to what the box is: the box then does what the plan says. */
class PlanRewriteTest {
    private static final String YAML = read();

    private static String read() {
        try {
            return Files.readString(Path.of("fixtures/plans/guards-panel.yaml"));
        } catch (IOException problem) {
            throw new java.io.UncheckedIOException(problem);
        }
    }

    private static Plan plan(String yaml) {
        return PlanReader.read(yaml, "guards").plan().orElseThrow();
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "numbering:shift:+1",
                "numbering:shift:+7",
                "numbering:by-columns",
                "mirrored:rows",
                "mirrored:columns",
                "mirrored:both",
                "rotated:columns:+1"
            })
    void theBoxDoesWhatTheNewPlanSays(String order) {
        Plan plan = plan(YAML);
        Fault fault = Fault.parse(order, plan);
        Plan rewritten = plan(PlanRewrite.of(YAML, "guards", List.of(fault)).orElseThrow());
        var box = Circuit.of(plan).with(List.of(fault));
        var asSaid = Circuit.of(rewritten).healthy();
        int same = 0;
        for (Action action : plan.actions()) {
            if (!box.read(List.of(action.id())).on().isEmpty()) {
                assertEquals(
                        box.read(List.of(action.id())).on(),
                        asSaid.read(List.of(action.id())).on(),
                        action.id());
                same++;
            }
        }
        assertTrue(same > 5, "answers: " + same);
    }

    @Test
    void commentsStay() {
        String rewritten = PlanRewrite.of(YAML, "guards", List.of(Fault.parse("numbering:shift:+1", plan(YAML))))
                .orElseThrow();
        assertEquals(
                YAML.lines()
                        .filter(l -> l.contains("#"))
                        .map(l -> l.substring(l.indexOf('#')))
                        .toList(),
                rewritten
                        .lines()
                        .filter(l -> l.contains("#"))
                        .map(l -> l.substring(l.indexOf('#')))
                        .toList());
    }

    /** Where a plan says how the firmware numbers, it says the new way after the rewriting, and keeps to it. */
    @ParameterizedTest
    @CsvSource({
        "by-rows, numbering:shift:+2, by-rows from button 3",
        "by-rows, numbering:by-columns, by-columns from button 1",
        "by-rows, mirrored:columns, free from button 1",
        "free, numbering:shift:+2, free from button 3",
        "free, mirrored:columns, free from button 1"
    })
    void whatThePlanSaysOfNumberingGoesWithIt(String said, String order, String then) {
        PlanDocument silent = PlanDocument.of(YAML, "guards");
        Optional<NumberScheme> scheme = NumberScheme.of(plan(YAML));
        String yaml = silent.setNumbering(Optional.of(
                        said.equals("free") ? new NumberScheme(NumberScheme.Way.FREE, 1) : scheme.orElseThrow()))
                .text();
        Plan rewritten = plan(PlanRewrite.of(yaml, "guards", List.of(Fault.parse(order, plan(yaml))))
                .orElseThrow());
        assertEquals(Optional.of(then), rewritten.numbering().map(s -> s.words().text()));
        assertTrue(rewritten.numbering().orElseThrow().fits(rewritten));
        String unsaid = PlanRewrite.of(YAML, "guards", List.of(Fault.parse(order, plan(YAML))))
                .orElseThrow();
        assertEquals(Optional.empty(), plan(unsaid).numbering());
    }

    /** A scheme's first number goes with the numbers from 1 to the most that a device can have, and stays where it could not. */
    @ParameterizedTest
    @CsvSource({"5, -4, 1", "4, -4, 4", "127, 1, 128", "128, 1, 128"})
    void theFirstNumberStaysWithinWhatThereIs(int first, int by, int then) {
        assertEquals(128, NumberScheme.MOST_FIRST);
        String higher = YAML;
        for (int button = 6; button >= 1; button--) {
            higher = higher.replace("button " + button + ",", "button " + (button + 6) + ",");
        }
        String yaml = PlanDocument.of(higher, "guards")
                .setNumbering(Optional.of(new NumberScheme(NumberScheme.Way.FREE, first)))
                .text();
        Fault fault = Fault.parse("numbering:shift:" + (by > 0 ? "+" : "") + by, plan(yaml));
        Plan rewritten = plan(PlanRewrite.of(yaml, "guards", List.of(fault)).orElseThrow());
        assertEquals(then, rewritten.numbering().orElseThrow().first());
        assertEquals(
                Optional.of(new Input.Button(7 + by)),
                rewritten.action("door-open").orElseThrow().input());
    }

    private static Plan rewritten(String fault) {
        return plan(PlanRewrite.of(YAML, "guards", List.of(Fault.parse(fault, plan(YAML))))
                .orElseThrow());
    }

    /** What is wired or flashed otherwise is said otherwise: pins, inputs, or which way the scan goes. */
    @Test
    void whatIsExchangedIsExchangedInThePlan() {
        Plan before = plan(YAML);
        Plan pins = rewritten("exchange:R1,R2");
        assertEquals(
                before.line("R1").orElseThrow().pin(),
                pins.line("R2").orElseThrow().pin());
        assertEquals(
                before.line("R2").orElseThrow().pin(),
                pins.line("R1").orElseThrow().pin());
        Plan inputs = rewritten("exchange:buzzer,saloon");
        assertEquals(
                before.action("buzzer").orElseThrow().input(),
                inputs.action("saloon").orElseThrow().input());
        assertEquals(
                before.action("saloon").orElseThrow().input(),
                inputs.action("buzzer").orElseThrow().input());
        assertEquals(
                before.action("intercom").orElseThrow().input(),
                inputs.action("intercom").orElseThrow().input());
        Plan otherWay = rewritten("scan:other-way");
        assertTrue(otherWay.scan().drive() != before.scan().drive());
    }

    /** Only what can be planned is; what cannot stays as it is. */
    @Test
    void besideWhatNeedsTheIronTheRestIsPlanned() {
        Plan before = plan(YAML);
        Plan after = plan(PlanRewrite.of(
                        YAML, "guards", List.of(Fault.parse("open:R1", before), Fault.parse("exchange:R1,R2", before)))
                .orElseThrow());
        assertEquals(
                before.line("R1").orElseThrow().pin(),
                after.line("R2").orElseThrow().pin());
        assertEquals(
                Optional.empty(), PlanRewrite.of("no plan", "guards", List.of(Fault.parse("exchange:R1,R2", before))));
    }

    @ParameterizedTest
    @CsvSource({
        "mirrored:rows, true",
        "scan:other-way, true",
        "exchange:R1|R2, true",
        "exchange:buzzer|saloon, true",
        "open:R1, false",
        "silent, false",
        "short:R1|R2, false",
        "scan:hurried:1, false",
        "weak:R1, false"
    })
    void whatCanBePlanned(String fault, boolean planned) {
        assertEquals(planned, PlanRewrite.canBePlanned(Fault.parse(fault.replace('|', ','), plan(YAML))));
    }

    @Test
    void whatNeedsTheIronIsNotPlannedAway() {
        Plan plan = plan(YAML);
        assertEquals(
                Optional.empty(),
                PlanRewrite.of(YAML, "guards", List.of(Fault.parse("open:R1", plan), Fault.parse("silent", plan))));
    }
}
