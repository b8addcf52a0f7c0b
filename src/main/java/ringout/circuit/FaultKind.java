package ringout.circuit;

/**
 * What all faults of one kind have in common. How likely each is stands in the diagnosis's table of priors, what it does
 * to the wiring in {@link Loom}.
 */
public enum FaultKind {
    /** {@link Fault.LineOpen}. */
    LINE_OPEN(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.LineBroken}. */
    LINE_BROKEN(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.ChainBroken}. */
    CHAIN_BROKEN(Seat.WIRE, When.ALWAYS, Effect.BOTH, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.ContactOpen}. */
    CONTACT_OPEN(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.ContactClosed}. */
    CONTACT_CLOSED(Seat.PART, When.ALWAYS, Effect.ADDS, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.LinesShorted}; to a rail it also removes. */
    LINES_SHORTED(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.LinesExchanged}. */
    LINES_EXCHANGED(Seat.WIRE, When.JOINED, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.ContactsExchanged}. */
    CONTACTS_EXCHANGED(Seat.PLACES, When.WORKED, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.DiodeOpen}. */
    DIODE_OPEN(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.DiodeShort}. */
    DIODE_SHORT(Seat.PART, When.WORKED, Effect.ADDS, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.DiodeReversed}. */
    DIODE_REVERSED(Seat.PART, When.WORKED, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.PhasesExchanged}. */
    PHASES_EXCHANGED(Seat.PLACES, When.WORKED, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.NormallyClosed}. */
    NORMALLY_CLOSED(Seat.PART, When.ALWAYS, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.WrongPin}. */
    WRONG_PIN(Seat.WIRE, When.JOINED, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.Intermittent}: as the fault that comes and goes. */
    INTERMITTENT(Seat.WIRE, When.ALWAYS, Effect.BOTH, Origin.EITHER, Showing.AT_TIMES),
    /** {@link Fault.Misordered}. */
    MISORDERED(Seat.BOX, When.ALWAYS, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.ScannedOtherWay}. */
    SCANNED_OTHER_WAY(Seat.BOX, When.ALWAYS, Effect.BOTH, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.ScanHurried}. */
    SCAN_HURRIED(Seat.BOX, When.ALWAYS, Effect.ADDS, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.Silent}. */
    SILENT(Seat.BOX, When.ALWAYS, Effect.REMOVES, Origin.EITHER, Showing.STEADY),
    /** {@link Fault.ContactWeak}. */
    CONTACT_WEAK(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, Showing.AT_TIMES),
    /** {@link Fault.LineWeak}. */
    LINE_WEAK(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, Showing.AT_TIMES),
    /** {@link Fault.LinesLeak}; to a rail it also removes. */
    LINES_LEAK(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, Showing.AT_TIMES),
    /** {@link Fault.ContactLeak}. */
    CONTACT_LEAK(Seat.PART, When.ALWAYS, Effect.ADDS, Origin.EITHER, Showing.AT_TIMES),
    /** {@link Fault.PullLost}; what it reads of itself it goes on reading, so that more tries tell nothing more. */
    PULL_LOST(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, Showing.STEADY),
    /** {@link Fault.AxisOpen}. */
    AXIS_OPEN(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.EITHER, Showing.EITHER),
    /** {@link Fault.AxisExchanged}. */
    AXIS_EXCHANGED(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.BUILDING, Showing.STEADY),
    /** {@link Fault.AxisWorn}. */
    AXIS_WORN(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.EITHER, Showing.STEADY),
    /** {@link Fault.AxesExchanged}. */
    AXES_EXCHANGED(Seat.AXIS, When.WORKED, Effect.BOTH, Origin.BUILDING, Showing.STEADY);

    /** Where it sits. */
    public enum Seat {
        /** In one contact: its switch, its diode, or their joints. */
        PART,
        /** Between two contacts. */
        PLACES,
        /** In a wire or at its pin. */
        WIRE,
        /** In a potentiometer or its wires, outside the matrix. */
        AXIS,
        /** Nowhere: it is about all of the box. */
        BOX
    }

    /** When it can matter. */
    public enum When {
        /** Only while one of its contacts is worked. */
        WORKED,
        /** Only while a closed contact, or another fault, joins one of its lines to something. */
        JOINED,
        /** At any time. */
        ALWAYS
    }

    /** What it can do to a button; a hat of which two opposite ways are closed gives neither. */
    public enum Effect {
        /** Make it come on. */
        ADDS,
        /** Make it stay off. */
        REMOVES,
        /** Either. */
        BOTH
    }

    /** Where it comes from. */
    public enum Origin {
        /** Wrong from the first day or never: no use of a box exchanges its wires. */
        BUILDING,
        /** A mistake of building, or wear. */
        EITHER
    }

    /** Whether the same press always shows it, or never, as long as nothing else changes. */
    public enum Showing {
        /** It does. */
        STEADY,
        /** It does, or the fault comes and goes as an {@link Fault.Intermittent}, as with a cold joint. */
        EITHER,
        /** At times it shows and at times not: it comes and goes, or has a resistance that reads by pull-up and day. */
        AT_TIMES
    }

    private final Seat seat;
    private final When when;
    private final Effect effect;
    private final Origin origin;
    private final Showing showing;

    FaultKind(Seat seat, When when, Effect effect, Origin origin, Showing showing) {
        this.seat = seat;
        this.when = when;
        this.effect = effect;
        this.origin = origin;
        this.showing = showing;
    }

    /** Where faults of this kind sit. */
    public Seat seat() {
        return seat;
    }

    /** When they can matter. */
    public When when() {
        return when;
    }

    /** True where one can make an input come on. */
    public boolean adds() {
        return effect != Effect.REMOVES;
    }

    /** True where one can make an input stay off. */
    public boolean removes() {
        return effect != Effect.ADDS;
    }

    /** Where they come from. */
    public Origin origin() {
        return origin;
    }

    /** True where one may be there at times, as with a cold joint. */
    public boolean comesAndGoes() {
        return showing == Showing.EITHER;
    }

    /** True where every further try of the same press tells: what one showed, the next need not. */
    public boolean showsAtTimes() {
        return showing == Showing.AT_TIMES;
    }
}
