package ringout.circuit;

import java.util.Collection;
import java.util.EnumMap;
import java.util.Map;
import java.util.OptionalDouble;

/**
 * How one potentiometer is wired, and what its pin reads: a divider. Its track runs from the ground lug to the supply lug;
 * the wiper touches it in between. The input draws nothing, so the pin takes the level of the nearest wire that has one,
 * and between two of them a level in proportion.
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

    /**
     * What the pin reads.
     *
     * @param place where the wiper is, 0 at the ground lug to 1 at the supply lug
     * @return 0 for ground to 1 for the supply; empty where nothing holds the pin, or supply and ground meet
     */
    public OptionalDouble reads(double place) {
        double pin = at(Fault.AxisOpen.Wire.WIPER, place);
        double ground = at(Fault.AxisOpen.Wire.GROUND, place);
        double supply = at(Fault.AxisOpen.Wire.SUPPLY, place);
        if (Double.isNaN(pin) || Double.isNaN(ground) && Double.isNaN(supply)) {
            return OptionalDouble.empty();
        }
        if (Double.isNaN(ground) || Double.isNaN(supply)) {
            return OptionalDouble.of(Double.isNaN(ground) ? 1 : 0);
        }
        return ground == supply
                ? OptionalDouble.empty()
                : OptionalDouble.of(Math.max(0, Math.min(1, (pin - ground) / (supply - ground))));
    }

    /** True where moving it changes what the pin reads. */
    public boolean moves() {
        OptionalDouble low = reads(0.25);
        return low.isPresent() && !low.equals(reads(0.75));
    }

    /** True where its pin is held by nothing. */
    public boolean floats() {
        return reads(0.5).isEmpty();
    }

    /** Where a wire is on the track; not a number where it is off. */
    private double at(Fault.AxisOpen.Wire wire, double place) {
        Fault.AxisOpen.Wire lug = lugs.get(wire);
        return lug == null
                ? Double.NaN
                : switch (lug) {
                    case GROUND -> 0;
                    case WIPER -> place;
                    case SUPPLY -> 1;
                };
    }
}
