package ringout.circuit;

/**
 * What all faults of one kind have in common. How likely each is stands in the diagnosis's table of priors, what it does
 * to the wiring in {@link Loom}.
 */
public enum FaultKind {
    /** {@link Fault.LineOpen}. */
    LINE_OPEN(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, true),
    /** {@link Fault.LineBroken}. */
    LINE_BROKEN(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, true),
    /** {@link Fault.ChainBroken}. */
    CHAIN_BROKEN(Seat.WIRE, When.ALWAYS, Effect.BOTH, Origin.EITHER, true),
    /** {@link Fault.ContactOpen}. */
    CONTACT_OPEN(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, true),
    /** {@link Fault.ContactClosed}. */
    CONTACT_CLOSED(Seat.PART, When.ALWAYS, Effect.ADDS, Origin.EITHER, true),
    /** {@link Fault.LinesShorted}; to a rail it also removes. */
    LINES_SHORTED(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, true),
    /** {@link Fault.LinesExchanged}. */
    LINES_EXCHANGED(Seat.WIRE, When.JOINED, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.ContactsExchanged}. */
    CONTACTS_EXCHANGED(Seat.PLACES, When.WORKED, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.DiodeOpen}. */
    DIODE_OPEN(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, true),
    /** {@link Fault.DiodeShort}. */
    DIODE_SHORT(Seat.PART, When.WORKED, Effect.ADDS, Origin.EITHER, true),
    /** {@link Fault.DiodeReversed}. */
    DIODE_REVERSED(Seat.PART, When.WORKED, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.PhasesExchanged}. */
    PHASES_EXCHANGED(Seat.PLACES, When.WORKED, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.NormallyClosed}. */
    NORMALLY_CLOSED(Seat.PART, When.ALWAYS, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.WrongPin}. */
    WRONG_PIN(Seat.WIRE, When.JOINED, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.Intermittent}: as the fault that comes and goes. */
    INTERMITTENT(Seat.WIRE, When.ALWAYS, Effect.BOTH, Origin.EITHER, false),
    /** {@link Fault.Misordered}. */
    MISORDERED(Seat.BOX, When.ALWAYS, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.ScannedOtherWay}. */
    SCANNED_OTHER_WAY(Seat.BOX, When.ALWAYS, Effect.BOTH, Origin.BUILDING, false),
    /** {@link Fault.ScanHurried}. */
    SCAN_HURRIED(Seat.BOX, When.ALWAYS, Effect.ADDS, Origin.BUILDING, false),
    /** {@link Fault.Silent}. */
    SILENT(Seat.BOX, When.ALWAYS, Effect.REMOVES, Origin.EITHER, false),
    /** {@link Fault.ContactWeak}. */
    CONTACT_WEAK(Seat.PART, When.WORKED, Effect.REMOVES, Origin.EITHER, false),
    /** {@link Fault.LineWeak}. */
    LINE_WEAK(Seat.WIRE, When.JOINED, Effect.REMOVES, Origin.EITHER, false),
    /** {@link Fault.LinesLeak}; to a rail it also removes. */
    LINES_LEAK(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, false),
    /** {@link Fault.ContactLeak}. */
    CONTACT_LEAK(Seat.PART, When.ALWAYS, Effect.ADDS, Origin.EITHER, false),
    /** {@link Fault.PullLost}. */
    PULL_LOST(Seat.WIRE, When.ALWAYS, Effect.ADDS, Origin.EITHER, false),
    /** {@link Fault.AxisOpen}. */
    AXIS_OPEN(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.EITHER, true),
    /** {@link Fault.AxisExchanged}. */
    AXIS_EXCHANGED(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.BUILDING, false),
    /** {@link Fault.AxisWorn}. */
    AXIS_WORN(Seat.AXIS, When.WORKED, Effect.REMOVES, Origin.EITHER, false),
    /** {@link Fault.AxesExchanged}. */
    AXES_EXCHANGED(Seat.AXIS, When.WORKED, Effect.BOTH, Origin.BUILDING, false);

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

    private final Seat seat;
    private final When when;
    private final Effect effect;
    private final Origin origin;
    private final boolean comesAndGoes;

    FaultKind(Seat seat, When when, Effect effect, Origin origin, boolean comesAndGoes) {
        this.seat = seat;
        this.when = when;
        this.effect = effect;
        this.origin = origin;
        this.comesAndGoes = comesAndGoes;
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
        return comesAndGoes;
    }
}
