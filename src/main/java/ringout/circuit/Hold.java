package ringout.circuit;

import java.util.List;

/**
 * A set of actions done at once, made ready by {@link Circuit#hold} so that many harnesses can be asked about it.
 * Immutable.
 */
public final class Hold {
    /** Contacts closed all along. */
    final long[] closed;
    /** Inputs of swept axes, by index. */
    final long[] axes;
    /** One encoder after another is turned by a detent. */
    final List<Turn> turns;

    /** The phases of a turned encoder, by index, in the order they close. */
    record Turn(int leading, int trailing) {}

    Hold(long[] closed, long[] axes, List<Turn> turns) {
        this.closed = closed;
        this.axes = axes;
        this.turns = List.copyOf(turns);
    }
}
