package ringout.circuit;

/** What a multimeter is set to. */
public enum ProbeMode {
    /** Beeps where the resistance is a few ohms; a diode in the path keeps it silent. The same both ways round. */
    CONTINUITY,
    /** Shows the drop of a diode from the red probe to the black one, and beeps or shows about zero for plain wire. */
    DIODE
}
