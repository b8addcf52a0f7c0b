/**
 * The page that guides the iron along a plan.
 *
 * <p>It must not open a box: it only looks whether one is plugged in that must not be.
 */
package ringout.ui.solder;
