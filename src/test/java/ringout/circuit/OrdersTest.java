package ringout.circuit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringout.hid.Input;
import ringout.plan.Contact;
import ringout.plan.Plan;

/** What comes of buttons that are numbered row by row where a box does otherwise; worked out by hand on squared paper. */
class OrdersTest {
    /** <pre>1 2 3
     * 4 5 6</pre> */
    private static final Plan TWO_BY_THREE =
            PlanMaker.matrix(2, 3, Contact.Diode.CATHODE_ROW).plan();

    private static Orders orders(Plan plan) {
        return new Orders(plan, inputs(plan));
    }

    private static List<Input> inputs(Plan plan) {
        return plan.actions().stream().flatMap(a -> a.input().stream()).toList();
    }

    /** The numbers that come, with a dash where nothing does. */
    private static String numbers(List<java.util.Optional<Input>> image) {
        return image.stream()
                .map(i -> i.map(input -> Integer.toString(((Input.Button) input).number()))
                        .orElse("-"))
                .collect(Collectors.joining(" "));
    }

    @ParameterizedTest
    @CsvSource({
        "mirrored:rows,        4 5 6 1 2 3",
        "mirrored:columns,     3 2 1 6 5 4",
        "mirrored:both,        6 5 4 3 2 1",
        "transposed,           1 4 - 2 5 -",
        "rotated:columns:+1,   2 3 1 5 6 4",
        "rotated:columns:-1,   3 1 2 6 4 5",
        "rotated:rows:+1,      4 5 6 1 2 3",
        "numbering:by-columns, 1 3 5 2 4 6",
        "numbering:shift:+1,   2 3 4 5 6 7",
        "numbering:shift:-1,   - 1 2 3 4 5",
        "numbering:shift:+1:from:3,  1 2 4 5 6 7",
        "numbering:wider:columns:+2, 1 2 3 6 7 8",
        "numbering:wider:rows:+2,    1 2 3 4 5 6"
    })
    void everyOrderGivesItsNumbers(String order, String expected) {
        assertEquals(expected, numbers(orders(TWO_BY_THREE).image(Orders.parse(order))));
    }

    /** Where crossings are left out and numbers are not, the same numbers go out along the columns. */
    @Test
    void numbersWithoutGapsStayWithoutGaps() {
        Plan sparse = PlanMaker.box()
                .rows(2)
                .columns(3)
                .push("one", "R1", "C1")
                .push("two", "R1", "C3")
                .push("three", "R2", "C1")
                .plan();
        assertEquals("1 3 2", numbers(orders(sparse).image(new Order.ByColumns())));
    }

    @Test
    void onlyOrdersThatShowAreListed() {
        assertEquals(
                "numbering:by-columns, mirrored:rows, mirrored:columns, mirrored:both, transposed, rotated:rows:+1, "
                        + "rotated:columns:-1, rotated:columns:+1",
                texts(TWO_BY_THREE));
        // In one row there is nothing to mirror the rows of, and its columns are numbered as the row is.
        assertEquals(
                "mirrored:columns, mirrored:both, transposed, rotated:columns:-1, rotated:columns:+1",
                texts(PlanMaker.matrix(1, 3, Contact.Diode.CATHODE_ROW).plan()));
    }

    /** A plan that leaves a number out, and one whose rows begin four numbers after one another. */
    @Test
    void whatIsLeftOutInThePlanMayBeGivenByTheFirmware() {
        Plan gap = PlanMaker.box()
                .rows(2)
                .columns(3)
                .push("one", "R1", "C1")
                .push("two", "R1", "C2")
                .push("three", "R1", "C3")
                .gap()
                .push("five", "R2", "C1")
                .push("six", "R2", "C2")
                .push("seven", "R2", "C3")
                .plan();
        assertEquals("1 2 3 4 5 6", numbers(orders(gap).image(Orders.parse("numbering:wider:columns:-1"))));
        List<String> listed = orders(gap).leavingOut().stream().map(Order::text).toList();
        assertTrue(listed.contains("numbering:wider:columns:-1"), listed::toString);
        assertTrue(listed.contains("numbering:shift:-1:from:5"), listed::toString);
        assertFalse(listed.contains("numbering:wider:columns:-2"), "three columns are the least for three");
        assertFalse(listed.contains("numbering:shift:-1:from:3"), "two controls would be button 2");
        assertTrue(listed.contains("numbering:shift:+1:from:6"), "two, such as of a knob that comes last");
        assertFalse(listed.contains("numbering:shift:+1:from:7"), "one is no rule");
    }

    private static String texts(Plan plan) {
        return orders(plan).all().stream().map(Order::text).collect(Collectors.joining(", "));
    }

    @Test
    void twoMistakesOfOrderComeOneAfterTheOther() {
        Orders orders = orders(TWO_BY_THREE);
        assertEquals(
                "5 6 7 2 3 4",
                numbers(orders.shown(List.of(
                        new Fault.Misordered(new Order.Mirrored(Order.Side.ROWS)),
                        new Fault.Misordered(new Order.Shifted(1))))));
        assertEquals(
                "- - - - - -",
                numbers(orders.shown(
                        List.of(new Fault.Misordered(new Order.Mirrored(Order.Side.ROWS)), new Fault.Silent()))));
        assertEquals("1 2 3 4 5 6", numbers(orders.shown(List.of())));
    }

    @Test
    void aShiftShowsWhileMostButtonsKeepANumber() {
        Orders orders = orders(TWO_BY_THREE);
        assertTrue(orders.shows(3));
        assertTrue(orders.shows(-2));
        assertFalse(orders.shows(-3));
    }

    /** A knob whose phases are read from where other contacts are planned no longer counts. */
    @Test
    void aKnobInTheMatrixGoesSilentWhereItsPhasesAreReadElsewhere() {
        Plan plan = PlanMaker.box()
                .rows(2)
                .columns(2)
                .encoder("knob", new String[] {"R1", "C1"}, new String[] {"R1", "C2"})
                .push("one", "R2", "C1")
                .push("two", "R2", "C2")
                .plan();
        List<Input> inputs = inputs(plan);
        Orders orders = new Orders(plan, inputs);
        List<java.util.Optional<Input>> mirrored = orders.image(new Order.Mirrored(Order.Side.COLUMNS));
        assertEquals(
                List.of("knob.cw", "knob.ccw", "one", "two"),
                plan.actions().stream().map(a -> a.id()).toList());
        assertEquals("- - 4 3", numbers(mirrored));
        assertEquals("1 2 3 4", numbers(orders.shown(List.of())));
    }
}
