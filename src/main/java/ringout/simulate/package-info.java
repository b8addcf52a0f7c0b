/**
 * The simulated box and the scripted builder, in virtual time.
 *
 * <p>It must not know a diagnosis: what it hides has to be found.
 */
package ringout.simulate;
