/**
 * The electrical model: what a box with these faults reports, and what a meter shows at its points.
 *
 * <p>It must not know how likely a fault is, nor what was seen.
 */
package ringout.circuit;
