package ringout.diagnosis;

/**
 * How often each fault is met at the first power-up of a hand-soldered box, as a probability per place where it could be.
 *
 * <p>All figures are common practice without a source: orders of magnitude from what builders report, not counts. Only
 * their ratios matter to the ranking, and one step more or less settles most cases where they are wrong. The table is
 * repeated with its reasoning in {@code docs/diagnosis.md}.
 */
public enum Prior {
    /** Per contact: a cold joint at either leg, a broken leg, or a switch that never makes. */
    CONTACT_OPEN(0.0020),
    /** Per contact: a switch that never opens, or solder between its legs. */
    CONTACT_CLOSED(0.0007),
    /** Per contact: the third terminal of a changeover switch was used. */
    NORMALLY_CLOSED(0.0007),
    /** Per line: the joint at the pin; it is made last, in the tightest place, and takes the pull of the cable. */
    LINE_OPEN(0.0020),
    /** Per stretch of wire between two neighbours. */
    LINE_BROKEN(0.0007),
    /** Per register of a chain: its data joint, halved over the two levels the lost inputs may read. */
    CHAIN_BROKEN(0.0005),
    /** Per pair of lines on neighbouring pins: a solder bridge. */
    NEIGHBOURS_SHORTED(0.0005),
    /** Per other pair of lines, or line and rail: a stray strand. */
    LINES_SHORTED(0.0001),
    /** Per pair of lines of one kind on neighbouring pins. */
    NEIGHBOURS_EXCHANGED(0.0015),
    /** Per other pair of lines of one kind. */
    LINES_EXCHANGED(0.0004),
    /** Per pair of lines of different kinds. */
    KINDS_EXCHANGED(0.0001),
    /** Per pair of contacts of one control: the terminals of a hat or a changeover switch look alike. */
    CONTACTS_OF_ONE_EXCHANGED(0.0030),
    /** Per pair of contacts that follow each other on a line. */
    NEXT_CONTACTS_EXCHANGED(0.0004),
    /** Per contact, shared out over all others: any other two. */
    CONTACTS_EXCHANGED(0.0006),
    /** Per diode: failed or left out, or a joint at it. */
    DIODE_OPEN(0.0004),
    /** Per diode: overheated, or bridged by a whisker of solder. */
    DIODE_SHORT(0.0002),
    /** Per diode: the commonest mistake with a part that looks alike from both ends. */
    DIODE_REVERSED(0.0015),
    /** Per encoder: nothing on the part says which phase leads. */
    PHASES_EXCHANGED(0.0300),
    /** Per line: the table says a pin that carries nothing. */
    WRONG_PIN_UNUSED(0.0003),
    /** Per line, shared out over all others: the table says the pin of another line. */
    WRONG_PIN(0.0003),
    /**
     * Per rule: the buttons are numbered by another rule than the plan's; the firmware's table and the plan are made at
     * different times, and often by different people.
     */
    NUMBERED_OTHERWISE(0.0100),
    /** Per rule: the wires of all rows or columns are in another order; panels are soldered from behind. */
    WIRED_IN_ANOTHER_ORDER(0.0050),
    /** Per box with diodes: the firmware drives the lines that should be read, or all diodes are the wrong way round. */
    SCANNED_OTHER_WAY(0.0100),
    /** Per box with a matrix: the firmware reads before the line has settled, or the pulls are too weak for the wires. */
    SCAN_HURRIED(0.0010),
    /** Per box: another box is being worked, a common wire is off, the level is wrong: nothing at all comes. */
    SILENT(0.0200),
    /** Per contact: a joint or a switch of some kiloohms. */
    CONTACT_WEAK(0.0005),
    /** Per line: the same at the pin. */
    LINE_WEAK(0.0003),
    /** Per pair of lines on neighbouring pins: flux that was left between them. */
    NEIGHBOURS_LEAK(0.0002),
    /** Per other pair of lines, or line and rail. */
    LINES_LEAK(0.00003),
    /** Per contact: flux or moisture across it. */
    CONTACT_LEAK(0.0002),
    /** Per line that is read: no pull resistor, or a scan too quick for the wire. */
    PULL_LOST(0.0003),
    /** Per axis: its wire to the analogue pin is off, or the firmware reads another pin. */
    WIPER_OPEN(0.0040),
    /** Per end of an axis. */
    AXIS_END_OPEN(0.0020),
    /** Per axis: nothing on a potentiometer says which end is which; many a firmware can turn an axis round, too. */
    AXIS_ENDS_EXCHANGED(0.0300),
    /** Per end of an axis: the wiper is not always the lug in the middle. */
    WIPER_EXCHANGED(0.0020),
    /** Per axis: more with every year. */
    AXIS_WORN(0.0050),
    /** Per pair of axes. */
    AXES_EXCHANGED(0.0050),
    /** Per box: single entries of the firmware's table are wrong, or two controls are soldered to one place. */
    WRONG_NUMBERS(0.0300),
    /** Per box: a firmware that reports one key at a time, as some do that were written for a keypad. */
    ONE_AT_A_TIME(0.0050),
    /** Per box: something that none of these is, nor any number of them. */
    SOMETHING_ELSE(0.0100),
    /** Times the prior of the same fault that is always there. */
    INTERMITTENT(0.25);

    private final double value;

    Prior(double value) {
        this.value = value;
    }

    /** A probability per place; for {@link #INTERMITTENT} a factor. */
    public double value() {
        return value;
    }
}
