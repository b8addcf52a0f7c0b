package ringout.circuit;

import java.util.Collection;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;

/**
 * How one potentiometer is wired, and what its pin reads: a divider. Its track runs from the ground lug to the supply lug;
 * the wiper touches it in between. The input draws nothing.
 *
 * <p>Immutable.
 */
public final class AxisWiring {
    /** By wire the lug it is on; a wire that is off is missing. */
    private final Map<Fault.AxisOpen.Wire, Fault.AxisOpen.Wire> lugs = new EnumMap<>(Fault.AxisOpen.Wire.class);

    /** @param faults of any axis, none of them intermittent; those that are about others, or about none, do not matter */
    public AxisWiring(String axis, Collection<Fault> faults) {
        for (Fault.AxisOpen.Wire wire : Fault.AxisOpen.Wire.values()) {
            lugs.put(wire, wire);
        }
        for (Fault fault : faults) {
            if (fault instanceof Fault.AxisExchanged f && f.axis().equals(axis)) {
                switch (f.pair()) {
                    case ENDS -> exchange(Fault.AxisOpen.Wire.GROUND, Fault.AxisOpen.Wire.SUPPLY);
                    case WIPER_GROUND -> exchange(Fault.AxisOpen.Wire.WIPER, Fault.AxisOpen.Wire.GROUND);
                    case WIPER_SUPPLY -> exchange(Fault.AxisOpen.Wire.WIPER, Fault.AxisOpen.Wire.SUPPLY);
                }
            }
        }
        for (Fault fault : faults) {
            if (fault instanceof Fault.AxisOpen f && f.axis().equals(axis)) {
                lugs.remove(f.wire());
            }
        }
    }

    private void exchange(Fault.AxisOpen.Wire one, Fault.AxisOpen.Wire other) {
        Fault.AxisOpen.Wire kept = lugs.get(one);
        lugs.put(one, lugs.get(other));
        lugs.put(other, kept);
    }

    /** True where a wire is on that lug: the one that belongs there, or the one that was asked for. */
    public boolean joins(Fault.AxisOpen.Wire wire, Fault.AxisOpen.Wire lug) {
        return lugs.get(wire) == lug;
    }

    /** Of the track, the resistance between it and the wiper; some tens of ohms of ten kilohms. Common practice, no source. */
    private static final double CONTACT = 0.005;
    /** Of the track, what is left of it at an end. */
    private static final double END = 1e-4;
    /** From a quarter of its range on a reading counts as following. */
    private static final double FOLLOWS = 0.25;

    /**
     * What the pin reads.
     *
     * @param place where the wiper is, 0 at the ground lug to 1 at the supply lug
     * @return 0 for ground to 1 for the supply; empty where nothing holds the pin
     */
    public OptionalDouble reads(double place) {
        Fault.AxisOpen.Wire pin = lugs.get(Fault.AxisOpen.Wire.WIPER);
        if (pin == null) {
            return OptionalDouble.empty();
        }
        double conductance = 0;
        double current = 0;
        for (Fault.AxisOpen.Wire rail : List.of(Fault.AxisOpen.Wire.GROUND, Fault.AxisOpen.Wire.SUPPLY)) {
            Fault.AxisOpen.Wire lug = lugs.get(rail);
            if (lug == null) {
                continue;
            }
            double level = rail == Fault.AxisOpen.Wire.SUPPLY ? 1 : 0;
            if (lug == pin) {
                return OptionalDouble.of(level);
            }
            double g = 1
                    / switch (lug) {
                        case GROUND -> Math.max(END, place);
                        case SUPPLY -> Math.max(END, 1 - place);
                        case WIPER -> CONTACT;
                    };
            conductance += g;
            current += g * level;
        }
        // Where the wiper touches the track; no current flows from there to the pin.
        return conductance == 0 ? OptionalDouble.empty() : OptionalDouble.of(current / conductance);
    }

    /** True where moving it, be it not to its very ends, changes what the pin reads. */
    public boolean moves() {
        return changes(0.25, 0.75);
    }

    /** True where it does so at the very ends at least. */
    public boolean mayMove() {
        return changes(0, 1);
    }

    private boolean changes(double from, double to) {
        OptionalDouble one = reads(from);
        OptionalDouble other = reads(to);
        return one.isPresent() && other.isPresent() && Math.abs(one.getAsDouble() - other.getAsDouble()) >= FOLLOWS;
    }

    /** True where its pin is held by nothing. */
    public boolean floats() {
        return reads(0.5).isEmpty();
    }
}
