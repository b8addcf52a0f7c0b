/**
 * Edges, bounce, drop-outs, the rate of reports, encoders and axes: what times and levels say, with how finely they
 * are known.
 *
 * <p>It must not know a plan or a fault, and reads no clock: time comes in as nanoseconds.
 */
package ringout.signal;
