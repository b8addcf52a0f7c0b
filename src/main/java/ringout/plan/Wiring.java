package ringout.plan;

/** Where a contact is soldered. */
public sealed interface Wiring {

    /** Between a row and a column of the matrix. */
    record Crossing(String row, String column) implements Wiring {}

    /** Between a pin of its own and ground or supply. */
    record Direct(String line) implements Wiring {}

    /**
     * Between ground and a parallel input of a shift register.
     *
     * @param line     the chain
     * @param register from 1, the one whose output reaches the board first
     * @param bit      from 0 to 7
     */
    record Shift(String line, int register, int bit) implements Wiring {}

    /** The plan says which input the contact makes, but not how it is wired. */
    record Unknown() implements Wiring {}
}
