package ringout.outside;

import ringout.hid.Input;

/** What the firmware takes a place it reads for. */
sealed interface Role {
    /** A switch that is reported as it is. */
    record Switch(Input input) implements Role {}

    /** A phase of an encoder, counted from 0; the firmware turns the order of both into pulses. */
    record Phase(int encoder, boolean leading) implements Role {}

    /** The supply is shorted: the box is off the bus, and says nothing at all. */
    record Off() implements Role {}
}
