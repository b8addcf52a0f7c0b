/**
 * The long watch over a box in use, as a pure state machine: bounce, drop-outs, ghosts, inputs that stick, gaps. It asks for
 * nothing and knows nothing of devices, files and screens; times come in as nanoseconds.
 */
package ringout.watch;
