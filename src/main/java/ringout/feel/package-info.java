/**
 * Finding controls by feel, as a pure state machine, and what its rounds tell: which controls are taken for one another,
 * and how reaching time grows with distance and size. It knows nothing of devices, files and screens; times come in as
 * nanoseconds, and chance as a seed.
 */
package ringout.feel;
