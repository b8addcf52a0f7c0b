/**
 * Learns what controls a box has from what they do while they are worked one after the other, as a pure state machine. It
 * knows nothing of devices, files and screens; times come in as nanoseconds.
 */
package ringout.learn;
